using CaliperStation.Core.Bench;
using CaliperStation.Core.Readings;
using Terminal.Gui.Drawing;
using Terminal.Gui.Input;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>The bench: the model drawn over all of the terminal, the typed line and the row of keys on it, the page of help over all of that; turns keys into intents.</summary>
/// <remarks>Of what is drawn by hand only cells that differ from what the terminal shows are sent, so a changed digit costs a few bytes. The focus is the typed line's, or that of the page of help. The UI thread only.</remarks>
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
    private readonly Label _sign = new() { Height = 1 };
    private readonly Label _invitation = new() { Height = 1 };
    private readonly KeyRow _keys;
    private readonly HelpPage _help;
    private Region _place;     // of the typed line
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
        _sign.SetScheme(new Scheme(colours[CellStyle.Strong]));
        _invitation.SetScheme(new Scheme(colours[CellStyle.Quiet]));
        _invitation.ViewportSettings |= ViewportSettingsFlags.TransparentMouse;
        Entry.SetScheme(new Scheme(colours.Scheme) { Editable = colours[CellStyle.Strong], Active = colours[CellStyle.Key] });   // active is what is selected
        Entry.KeyDown += OnEntryKey;
        Entry.ValueChanged += (_, _) => Refresh();
        _keys = new KeyRow(colours, clicks, Click);
        _help = new HelpPage(colours, _switches, IsCalmPress, clicks, FocusEntry);
        Add(_body, _sign, Entry, _invitation, _keys, _help);
        Refresh();
        Entry.SetFocus();
    }

    /// <summary>Shows another model at the next drawing.</summary>
    public void Show(BenchModel model)
    {
        _model = model;
        _body.SetNeedsDraw();
        Refresh();
    }

    private EntryField Entry => _bindings.Entry;

    /// <summary>No key is lost, wherever the focus is.</summary>
    protected override bool OnKeyDown(Key key)
    {
        if (!_help.Visible && !Entry.HasFocus)
        {
            FocusEntry();
            return Entry.NewKeyDownEvent(key);
        }

        if (BenchKeys.ActionOf(key) == BenchAction.Stop)
        {
            Do(BenchAction.Stop);   // also from the page of help
            return true;
        }

        return base.OnKeyDown(key);
    }

    private void FocusEntry()
    {
        Entry.SetFocus();
        Entry.MoveEnd();   // the kit selects all of it, and the next key would replace it
        _body.SetNeedsDraw();
    }

    /// <summary>What the bench does not hear is the typed line's: text, and the keys that edit it.</summary>
    private void OnEntryKey(object? sender, Key key)
    {
        bool isPress = _switches.Press.Has(key) || key == Key.F2 || ((key == Key.Enter || key == Key.Space) && Entry.Text.Length == 0);
        if (isPress && _gate.Heard is not null)
        {
            if (!_gate.IsCalm(Now))
            {
                _gate = PressGate.Hear(Now);
                key.Handled = true;   // the key that chose something on the page of help is still down
                return;
            }

            _gate = default;
        }

        key.Handled = true;
        string text = BenchKeys.TextOf(key);
        if (BenchKeys.ActionOf(key) == BenchAction.Help || (text == "?" && Entry.IsIdle))
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
        else if (BenchKeys.ActionOf(key) is { } action && (key != Key.Space || Entry.IsIdle))
        {
            bool empty = Entry.IsIdle;
            if (key != Key.A.WithCtrl || CanSetAside)   // a device marks the field with it: no refusal before its value
            {
                Do(action);
            }

            if (empty && key == Key.A.WithCtrl)
            {
                _burst?.Mark();
            }
        }
        else if (text.Length > 0)
        {
            string fitting = Entry.Fitting(text);
            _burst?.Typed(text.Length);
            key.Handled = fitting != text;
            if (key.Handled)
            {
                Entry.InsertText(fitting);   // escaped, for it would not show what it is; or nothing, for there is no room
            }
        }
        else
        {
            if (BenchKeys.IsOnPad(key))
            {
                _burst?.TypedOnPad();
            }

            key.Handled = key == Key.InsertChar || (Entry.ContextMenu is { } menu && key == menu.Key) || !Entry.KeyBindings.TryGet(key, out _);
        }

        Refresh();
    }

    private void Click(string key)
    {
        if (BenchKeys.ActionOf(key) is { } action)
        {
            Do(action);
        }
    }

    /// <summary>What lies on the drawing, as things stand. While a reason is asked for, the keys are those that end the asking.</summary>
    private void Refresh()
    {
        (_place, Region keys) = BenchLayout.OwnRows(_body.Viewport.Width, _body.Viewport.Height);
        _body.Covered = [_place, keys];
        string sign = TextCells.Fit(Entry.IsReason ? "Reason: " : "> ", Math.Max(2, _place.Width / 2));
        string invitation = Entry.Wants.Length > 0 ? Entry.Wants : Entry.Text.Length == 0 ? Invitation() : "";
        int at = TextCells.Columns(sign), indent = Entry.Wants.Length > 0 ? TextCells.Columns(Entry.Text) + 1 : 2;
        _sign.Text = sign;
        _invitation.Text = TextCells.Fit(invitation, Math.Max(0, _place.Width - at - indent));
        _invitation.Visible = _invitation.Text.Length > 0;
        _keys.Visible = !keys.IsEmpty || _body.Viewport.Height == 0;
        Put(_sign, 0, at);
        Put(Entry, at, Math.Max(1, _place.Width - at));
        Put(_invitation, at + indent, TextCells.Columns(_invitation.Text));
        _keys.Show(!Entry.AsksReason ? _model.Keys :
        [
            new KeyHint(BenchKeys.NameOf(BenchAction.Enter), "take it"),
            new KeyHint(BenchKeys.NameOf(BenchAction.Clear), "drop it"),
            .. _model.Keys.Where(hint => BenchKeys.ActionOf(hint.Key) is BenchAction.Stop or BenchAction.Help),
        ]);

        void Put(View view, int x, int width)
        {
            if (view.Frame != new System.Drawing.Rectangle(_place.X + x, _place.Y, width, 1))
            {
                (view.X, view.Y, view.Width) = (_place.X + x, _place.Y, width);
            }
        }
    }

    private string Invitation() => (Entry.IsReason, _model.Prompt.Kind, _model.Offers.Count == 0 || _model.Offers.Any(offer => offer.Act == Act.Press)) switch
    {
        (true, _, _) => "why go on, then Enter; Esc to drop it",
        (false, PromptKind.Ready, _) => "Enter when it is so",
        (false, PromptKind.Look, _) => "Enter for yes, or type no",
        (false, PromptKind.Amend, _) => "Enter once it is so",
        (false, PromptKind.Reading, false) => "type the length, then Enter",
        (false, PromptKind.Sign, false) => "type the initials, then Enter",
        (false, PromptKind.Reading, true) => "Enter takes the value, or type one",
        (false, PromptKind.Decide, _) => "press one of the keys below",
        (false, PromptKind.Sign, true) => "Enter signs, or type initials",
        (false, PromptKind.Question, _) => "yes, or what you mean instead",
        (false, PromptKind.Closed, _) => "Enter ends",
        _ => string.Empty,
    };

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
            _help.Open(_model.Prompt.Ask, BenchHelp.Of(_model, Tell, Do, Entry.Begin));
            return;
        }

        _bindings.OffersReasons = _model.Offers.Any(offer => offer is { Act: Act.Aside, Takes: ['[', ..] });
        _bindings.CanSetAside = CanSetAside;
        BenchInput? intent = _bindings.Do(action);
        Refresh();
        if (intent is not null)
        {
            Tell(intent);
        }
    }

    private void Tell(BenchInput intent) => _onIntent(intent);

    /// <summary>The entry, taken out, when a device typed its end; a reason is a person's, unless it was the device that asked for it.</summary>
    private BenchInput? ByDevice()
    {
        TypedBy by = _burst is null || (Entry.IsReason && !_burst.AfterMark) ? TypedBy.Person : _burst.End(Entry.Text);
        BenchInput? typed = by switch
        {
            TypedBy.Person => null,
            TypedBy.Device or TypedBy.Both => new BenchInput.Instrument(Entry.Text, by == TypedBy.Both),
            TypedBy.UnlockedPad => new BenchInput.UnlockedPad(),
        };
        if (typed is not null)
        {
            Entry.Clear();
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

        /// <summary>Where the kit's own rows lie: nothing is drawn there.</summary>
        internal Region[] Covered { private get; set; } = [];

        /// <inheritdoc/>
        protected override bool OnClearingViewport() => true;

        /// <inheritdoc/>
        protected override bool OnDrawingContent(DrawContext? context)
        {
            if (!_of._help.Visible)
            {
                CanvasDrawing.Draw(this, BenchPainter.Paint(_of._model, Viewport.Width, Viewport.Height, _of._isLarge), _of._colours, Covered);
            }

            return true;
        }
    }
}

/// <summary>Sends a canvas to the terminal through a view: only the cells that differ from what is shown.</summary>
internal static class CanvasDrawing
{
    internal static void Draw(View view, Canvas canvas, BenchColours colours, params ReadOnlySpan<Region> covered)
    {
        for (int y = 0; y < canvas.Height; y++)
        {
            for (int x = 0; x < canvas.Width; x++)
            {
                CanvasCell cell = canvas[x, y];
                if (cell.Text.Length > 0 && !IsIn(covered, x, y) && !IsShown(view, x, y, cell, colours))
                {
                    view.SetAttribute(colours[cell.Style]);
                    view.AddStr(x, y, cell.Text);
                }
            }
        }
    }

    private static bool IsIn(ReadOnlySpan<Region> regions, int x, int y)
    {
        foreach (Region region in regions)
        {
            if (x >= region.X && x < region.Right && y >= region.Y && y < region.Bottom)
            {
                return true;
            }
        }

        return false;
    }

    private static bool IsShown(View view, int x, int y, CanvasCell cell, BenchColours colours) =>
        view.App?.Driver?.Contents is { } contents && y < contents.GetLength(0) && x < contents.GetLength(1)
        && contents[y, x].Grapheme == cell.Text && contents[y, x].Attribute == colours[cell.Style];
}
