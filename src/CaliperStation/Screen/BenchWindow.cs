using CaliperStation.Core.Bench;
using CaliperStation.Core.Readings;
using Terminal.Gui.Input;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>The bench: draws the model over all of the terminal, under the page of help, and turns keys into intents.</summary>
/// <remarks>Of what is drawn only cells that differ from what the terminal shows are sent, so a changed digit costs a few bytes, and the same painters serve every size. The UI thread only.</remarks>
internal sealed class BenchWindow : Runnable
{
    private readonly BenchColours _colours;
    private readonly Action<BenchInput> _onIntent;
    private readonly Switches _switches;
    private readonly KeyBindings _bindings = new();
    private readonly KeyBurst? _burst;
    private BenchModel _model;
    private readonly TimeProvider _time;
    private readonly bool _isLarge;
    private readonly Body _body;
    private readonly KeyRow _keys;
    private readonly HelpPage _help;
    private PressGate _gate;   // heard only by the page of help: what was held down there is no press here

    /// <summary>A view of a first model; with <paramref name="pace"/>, what is typed too fast for a person is an instrument's.</summary>
    public BenchWindow(BenchModel model, BenchColours colours, Action<BenchInput> onIntent, ScreenSettings? settings = null, TimeProvider? pace = null)
    {
        _time = pace ?? TimeProvider.System;
        _burst = pace is null ? null : new KeyBurst(pace);
        _switches = (settings ?? ScreenSettings.Usual).Switches;
        _isLarge = settings is { Large: true };
        _model = model;
        _colours = colours;
        _onIntent = onIntent;
        Width = Dim.Fill();
        Height = Dim.Fill();
        CanFocus = true;
        SetScheme(colours.Scheme);
        OwnPress clicks = new(_time);
        _body = new Body(this);
        _keys = new KeyRow(colours, clicks, Click);
        _help = new HelpPage(colours, _switches, IsCalmPress, clicks, () => SetFocus());
        Add(_body, _keys, _help);
        Refresh();
    }

    /// <summary>Shows another model at the next drawing.</summary>
    public void Show(BenchModel model)
    {
        _model = model;
        Refresh();
    }

    /// <summary>Takes pasted text into the entry; it never presses Enter by itself.</summary>
    public void Paste(string text)
    {
        _bindings.Type(text);
        Refresh();
    }

    /// <inheritdoc/>
    protected override bool OnKeyDown(Key key)
    {
        bool isPress = _switches.Press.Has(key) || key == Key.F2 || ((key == Key.Enter || key == Key.Space) && _bindings.Entry.Text.Length == 0);
        if (isPress && _gate.Heard is not null)
        {
            if (!_gate.IsCalm(Now))
            {
                _gate = PressGate.Hear(Now);
                return true;   // the key that chose something on the page of help is still down
            }

            _gate = default;
        }

        if (BenchKeys.ActionOf(key) == BenchAction.Help || (BenchKeys.TextOf(key) == "?" && _bindings.Entry is { Text.Length: 0, IsReason: false }))
        {
            Do(BenchAction.Help);
        }
        else if (_switches.Press.Has(key))
        {
            Do(BenchAction.Press);
        }
        else if (_switches.NotSo.Has(key))
        {
            Do(BenchAction.NotSo);
        }
        else if ((key == Key.Enter || key == Key.Tab) && ByDevice() is { } typed)
        {
            Tell(typed);
        }
        else if (BenchKeys.ActionOf(key) is { } action)
        {
            bool empty = _bindings.Entry is { Text.Length: 0, IsReason: false };
            int before = _bindings.Entry.Text.Length;
            if (key != Key.A.WithCtrl || CanSetAside)   // a device marks the field with it: no refusal before its value
            {
                Do(action);
            }

            if (action == BenchAction.Space && _bindings.Entry.Text.Length > before)
            {
                _burst?.Typed(1);   // between number and unit
            }
            else if (BenchKeys.IsOnPad(key))
            {
                _burst?.TypedOnPad();
            }
            else if (empty && key == Key.A.WithCtrl)
            {
                _burst?.Mark();
            }
        }
        else if (BenchKeys.TextOf(key) is { Length: > 0 } text)
        {
            _bindings.Type(text);
            _burst?.Typed(text.Length);
        }
        else
        {
            if (BenchKeys.IsOnPad(key))
            {
                _burst?.TypedOnPad();
            }

            return base.OnKeyDown(key);
        }

        Refresh();
        return true;
    }

    private void Click(string key)
    {
        if (BenchKeys.ActionOf(key) is { } action)
        {
            DoAndShow(action);
        }
    }

    /// <summary>All of it as things stand. While a reason is asked for, the keys are those that end the asking.</summary>
    private void Refresh()
    {
        _body.SetNeedsDraw();
        _keys.Visible = Viewport.Height == 0 || BenchLayout.HasKeysAt(Viewport.Width, Viewport.Height);
        _keys.Show(!_bindings.Entry.AsksReason ? _model.Keys :
        [
            new KeyHint(BenchKeys.NameOf(BenchAction.Enter), "take it"),
            new KeyHint(BenchKeys.NameOf(BenchAction.Clear), "drop it"),
            .. _model.Keys.Where(hint => BenchKeys.ActionOf(hint.Key) is BenchAction.Stop or BenchAction.Help),
        ]);
    }

    private TimeSpan Now => _time.GetElapsedTime(0);

    private bool IsCalmPress()
    {
        bool isCalm = _gate.IsCalm(Now);
        _gate = PressGate.Hear(Now);
        return isCalm;
    }

    private bool CanSetAside => _model.Offers.Any(offer => offer.Act == Act.Aside);

    /// <summary>Does what a key does, also when it is chosen on the page of help or clicked.</summary>
    private void Do(BenchAction action)
    {
        if (action == BenchAction.Help)
        {
            _help.Open(_model.Prompt.Ask, BenchHelp.Of(_model, Tell, DoAndShow, Begin));
            return;
        }

        _bindings.OffersReasons = _model.Offers.Any(offer => offer is { Act: Act.Aside, Takes: ['[', ..] });
        _bindings.CanSetAside = CanSetAside;
        if (_bindings.Do(action) is { } intent)
        {
            Tell(intent);
        }
    }

    private void DoAndShow(BenchAction action)
    {
        Do(action);
        Refresh();
    }

    private void Begin(string word, string wants)
    {
        _bindings.Entry.Begin(word, wants);
        Refresh();
    }

    private void Tell(BenchInput intent)
    {
        Refresh();
        _onIntent(intent);
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

    /// <summary>Nothing is cleared: the body covers every cell, and clearing would send them all again.</summary>
    protected override bool OnClearingViewport() => true;

    /// <summary>What is drawn by hand, over all of the window; the kit's own views lie on it.</summary>
    private sealed class Body : View
    {
        private readonly BenchWindow _of;

        internal Body(BenchWindow of)
        {
            _of = of;
            (Width, Height, CanFocus) = (Dim.Fill(), Dim.Fill(), false);
            ViewportChanged += (_, _) => of.Refresh();
        }

        /// <inheritdoc/>
        protected override bool OnClearingViewport() => true;

        /// <inheritdoc/>
        protected override bool OnDrawingContent(DrawContext? context)
        {
            if (!_of._help.Visible)
            {
                CanvasDrawing.Draw(this, BenchPainter.Paint(_of._model, _of._bindings.Entry, Viewport.Width, Viewport.Height, _of._isLarge), _of._colours);
            }

            return true;
        }
    }
}

/// <summary>Sends a canvas to the terminal through a view: only the cells that differ from what is shown.</summary>
internal static class CanvasDrawing
{
    internal static void Draw(View view, Canvas canvas, BenchColours colours)
    {
        for (int y = 0; y < canvas.Height; y++)
        {
            for (int x = 0; x < canvas.Width; x++)
            {
                CanvasCell cell = canvas[x, y];
                if (cell.Text.Length > 0 && !IsShown(view, x, y, cell, colours))
                {
                    view.SetAttribute(colours[cell.Style]);
                    view.AddStr(x, y, cell.Text);
                }
            }
        }
    }

    private static bool IsShown(View view, int x, int y, CanvasCell cell, BenchColours colours) =>
        view.App?.Driver?.Contents is { } contents && y < contents.GetLength(0) && x < contents.GetLength(1)
        && contents[y, x].Grapheme == cell.Text && contents[y, x].Attribute == colours[cell.Style];
}
