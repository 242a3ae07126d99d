using CaliperStation.Core.Bench;
using Terminal.Gui.Drawing;
using Terminal.Gui.Input;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>The bench's only view: draws the model over all of the terminal and turns keys into intents.</summary>
/// <remarks>
/// One view and one canvas, not a tree of the kit's controls: only cells that differ from what the terminal shows are sent, so a
/// changed digit costs a few bytes, and the same painters serve every size. The UI thread only.
/// </remarks>
internal sealed class BenchWindow : Runnable
{
    private readonly BenchColours _colours;
    private readonly Action<BenchInput> _onIntent;
    private readonly Switches _switches;
    private readonly KeyBindings _bindings = new();
    private readonly KeyBurst? _burst;
    private BenchModel _model;
    private bool _showsHelp;

    /// <summary>A view of a first model; with <paramref name="pace"/>, what is typed too fast for a person is an instrument's.</summary>
    public BenchWindow(BenchModel model, BenchColours colours, Action<BenchInput> onIntent, Switches? switches = null, TimeProvider? pace = null)
    {
        _burst = pace is null ? null : new KeyBurst(pace);
        _switches = switches ?? Switches.None;
        _model = model;
        _colours = colours;
        _onIntent = onIntent;
        Width = Dim.Fill();
        Height = Dim.Fill();
        CanFocus = true;
        SetScheme(new Scheme(colours[CellStyle.Ground]));
    }

    /// <summary>Shows another model at the next drawing.</summary>
    public void Show(BenchModel model)
    {
        _model = model;
        SetNeedsDraw();
    }

    /// <summary>Takes pasted text into the entry; it never presses Enter by itself.</summary>
    public void Paste(string text)
    {
        _bindings.Type(text);
        SetNeedsDraw();
    }

    /// <inheritdoc/>
    protected override bool OnKeyDown(Key key)
    {
        bool asksHelp = KeyMap.ActionOf(key) == BenchAction.Help || (KeyMap.TextOf(key) == "?" && _bindings.Entry is { Text.Length: 0, IsReason: false });
        if (_showsHelp || asksHelp)
        {
            _showsHelp = !_showsHelp;
            SetNeedsDraw();
            if (KeyMap.ActionOf(key) != BenchAction.Stop)
            {
                return true;   // the key that closes the page does nothing else
            }
        }

        BenchInput? intent = null;
        if (_switches.Press.Has(key))
        {
            intent = _bindings.Do(BenchAction.Press);
        }
        else if (_switches.NotSo.Has(key))
        {
            intent = _bindings.Do(BenchAction.NotSo);
        }
        else if ((key == Key.Enter || key == Key.Tab) && ByDevice() is { } typed)
        {
            intent = typed;
        }
        else if (KeyMap.ActionOf(key) is { } action)
        {
            _bindings.OffersReasons = _model.OffersReasons;
            _bindings.AsksLook = _model.Prompt.Kind == PromptKind.Look;
            _bindings.CanSetAside = _model.Keys.Any(hint => hint.Key == BenchKeys.Aside);
            bool empty = _bindings.Entry is { Text.Length: 0, IsReason: false };
            int before = _bindings.Entry.Text.Length;
            intent = key == Key.A.WithCtrl && !_bindings.CanSetAside ? null : _bindings.Do(action);   // a device marks the field with it: no refusal before its value
            if (action == BenchAction.Space && _bindings.Entry.Text.Length > before)
            {
                _burst?.Typed(1);   // between number and unit
            }
            else if (KeyMap.IsOnPad(key))
            {
                _burst?.TypedOnPad();
            }
            else if (empty && key == Key.A.WithCtrl)
            {
                _burst?.Mark();
            }
        }
        else if (KeyMap.TextOf(key) is { Length: > 0 } text)
        {
            _bindings.Type(text);
            _burst?.Typed(text.Length);
        }
        else
        {
            if (KeyMap.IsOnPad(key))
            {
                _burst?.TypedOnPad();
            }

            return base.OnKeyDown(key);
        }

        SetNeedsDraw();
        if (intent is not null)
        {
            _onIntent(intent);
        }

        return true;
    }

    /// <summary>The entry, taken out, when a device typed its end; a reason is a person's, unless it was the device that asked for it.</summary>
    private BenchInput? ByDevice()
    {
        EntryLine entry = _bindings.Entry;
        TypedBy by = _burst is null || (entry.IsReason && !_burst.AfterMark) ? TypedBy.Person : _burst.End(entry.Text);
        BenchInput? typed = by switch
        {
            TypedBy.Person => null,
            TypedBy.Device or TypedBy.Both => new BenchInput.Instrument(entry.Text, by == TypedBy.Both),
            TypedBy.UnlockedPad => new BenchInput.UnlockedPad(),
        };
        if (typed is not null)
        {
            entry.Clear();
        }

        return typed;
    }

    /// <summary>Nothing is cleared: the canvas covers every cell, and clearing would send them all again.</summary>
    protected override bool OnClearingViewport() => true;

    /// <inheritdoc/>
    protected override bool OnDrawingContent(DrawContext? context)
    {
        Canvas canvas = _showsHelp ? HelpPage.Paint(Viewport.Width, Viewport.Height) : BenchPainter.Paint(_model, _bindings.Entry, Viewport.Width, Viewport.Height);
        for (int y = 0; y < canvas.Height; y++)
        {
            DrawRow(canvas, y);
        }

        return true;
    }

    private void DrawRow(Canvas canvas, int y)
    {
        for (int x = 0; x < canvas.Width; x++)
        {
            CanvasCell cell = canvas[x, y];
            if (cell.Text.Length == 0 || IsShown(x, y, cell))
            {
                continue;
            }

            SetAttribute(_colours[cell.Style]);
            AddStr(x, y, cell.Text);
        }
    }

    private bool IsShown(int x, int y, CanvasCell cell) =>
        App?.Driver?.Contents is { } contents && y < contents.GetLength(0) && x < contents.GetLength(1)
        && contents[y, x].Grapheme == cell.Text && contents[y, x].Attribute == _colours[cell.Style];
}
