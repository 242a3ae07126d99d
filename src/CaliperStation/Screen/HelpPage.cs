using System.Collections.ObjectModel;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using Terminal.Gui.Drawing;
using Terminal.Gui.Input;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>A line of the page of help.</summary>
/// <param name="What">Keys and words, or a mark; empty for none.</param>
/// <param name="Means">What they do or mean.</param>
/// <param name="Do">Does it; null for what is only to be read.</param>
internal sealed record HelpLine(string What, string Means, Action? Do = null)
{
    /// <summary>A heading that stands above the line; empty for none.</summary>
    public string Heading { get; init; } = "";

    /// <summary>Lines of which one is to be chosen first; empty for none.</summary>
    public IReadOnlyList<HelpLine> Choices { get; init; } = [];
}

/// <summary>What can be done on the page beneath, what its marks mean, and a way to do each without knowing its key. It lies over all of that page while it is visible; it knows no page and is given lines.</summary>
/// <remarks>
/// A list of the kit's: it scrolls, pages and has the focus. A line of help takes as many rows of it as it is wrapped to; the marked row is always a line's first.
/// A press that chooses wants a quiet before it: a held key must not run through the lists.
/// </remarks>
internal sealed class HelpPage : View
{
    private readonly BenchColours _colours;
    private readonly Switches _switches;
    private readonly Func<bool> _isCalmPress;
    private readonly OwnPress _clicks;
    private readonly Action _left;
    private readonly Label _title = new() { Width = Dim.Fill() };
    private readonly ListView _list = new() { Y = 1, Width = Dim.Fill(), Height = Dim.Fill(1) };
    private readonly Label _more = new() { X = Pos.AnchorEnd(), Y = Pos.AnchorEnd(1) };
    private readonly KeyRow _keys;
    private readonly ObservableCollection<string> _rows = [];
    private readonly List<Row> _of = [];   // what each row of the list belongs to
    private readonly Stack<Level> _above = new();
    private Level _shown = new("", []);

    /// <summary>The page, not open yet.</summary>
    /// <param name="colours">How it looks.</param>
    /// <param name="switches">What foot switches type.</param>
    /// <param name="isCalmPress">Hears a press and says whether there was a quiet before it; what it heard is no press on the page beneath.</param>
    /// <param name="clicks">Hears clicks.</param>
    /// <param name="left">Told when the page is left, before what was chosen is done.</param>
    internal HelpPage(BenchColours colours, Switches switches, Func<bool> isCalmPress, OwnPress clicks, Action left)
    {
        (_colours, _switches, _isCalmPress, _clicks, _left) = (colours, switches, isCalmPress, clicks, left);
        (Width, Height, CanFocus, Visible) = (Dim.Fill(), Dim.Fill(), true, false);
        SetScheme(colours.Scheme);
        _title.SetScheme(new Scheme(colours[CellStyle.Heading]));
        _more.SetScheme(new Scheme(colours[CellStyle.Quiet]));
        _keys = new KeyRow(colours, clicks, OnKeyClicked);
        _list.SetSource(_rows);
        _list.KeyDown += OnListKey;
        _list.Activating += OnListActivating;
        _list.RowRender += (_, row) => row.RowAttribute = _colours[StyleOf(row.Row)];
        _list.ValueChanged += (_, _) => Mark();
        _list.ViewportChanged += (_, _) => ShowKeys();
        Add(_title, _list, _keys, _more);
        ViewportChanged += (_, _) => Wrap();
    }

    /// <summary>Opens it; its first line leaves it, so that a press by mistake does nothing.</summary>
    internal void Open(string title, IReadOnlyList<HelpLine> lines)
    {
        _above.Clear();
        _shown = new Level(title, [new HelpLine("", "back"), .. lines]);
        Visible = true;
        Wrap();
        _list.SetFocus();
    }

    /// <summary>Leaves it, whatever list of it is open.</summary>
    internal void Leave()
    {
        _above.Clear();
        Visible = false;
        _left();
    }

    private int At => _shown.At;

    private void OnListKey(object? sender, Key key)
    {
        if (BenchKeys.ActionOf(key) == BenchAction.Stop)
        {
            return;
        }

        key.Handled = true;
        if (key == Key.Enter || key == Key.F2 || key == Key.Space || _switches.Press.Has(key))
        {
            if (_isCalmPress())
            {
                Choose();
            }

            return;
        }

        Action move = key == Key.CursorDown || key == Key.F8 || _switches.NotSo.Has(key) ? Next
            : key == Key.CursorUp ? Before
            : key == Key.PageDown ? () => _list.MovePageDown()
            : key == Key.PageUp ? () => _list.MovePageUp()
            : key == Key.Home ? () => _list.MoveHome()
            : key == Key.End ? () => _list.MoveEnd()
            : Back;
        move();
        Reach();
    }

    /// <summary>A click on a line chooses it; one on a line that is only to be read marks it.</summary>
    private void OnListActivating(object? sender, CommandEventArgs arguments)
    {
        arguments.Handled = true;
        if (arguments.Context?.Binding is MouseBinding { MouseEvent.Position: { } at } && at.Y + _list.Viewport.Y is var row && row < _of.Count && !_of[row].IsHeading)
        {
            int line = _of[row].Line;
            if (!Does(line) || _clicks.Take())
            {
                Select(line);
                Reach();
                Choose();
            }
        }
    }

    private void OnKeyClicked(string key)
    {
        Action act = key == BenchKeys.NameOf(Key.CursorDown) ? Next : key == BenchKeys.NameOf(Key.CursorUp) ? Before : key == BenchKeys.NameOf(Key.Esc) ? Back : Choose;
        act();
        Reach();
    }

    private void Next() => Select((At + 1) % _shown.Lines.Count);

    private void Before() => Select((At + _shown.Lines.Count - 1) % _shown.Lines.Count);

    private bool Does(int line) => line == 0 || _shown.Lines[line] is { Choices.Count: > 0 } or { Do: not null };

    private void Choose()
    {
        HelpLine line = _shown.Lines[At];
        if (At == 0)
        {
            Back();
        }
        else if (line.Choices.Count > 0)
        {
            _above.Push(_shown);
            _shown = new Level(line.What, [new HelpLine("", "back to the list"), .. line.Choices]);
            Wrap();
        }
        else if (line.Do is { } act)
        {
            Leave();
            act();
        }
    }

    private void Back()
    {
        if (_above.TryPop(out Level? above))
        {
            _shown = above;
            Wrap();
        }
        else
        {
            Leave();
        }
    }

    /// <summary>Puts the lines into rows as wide as the page.</summary>
    private void Wrap()
    {
        if (!Visible)
        {
            return;
        }

        (int width, int height) = (Math.Max(1, Viewport.Width), Math.Max(1, Viewport.Height));
        int at = At;
        _title.Text = TextCells.Fit(PrintableText.Escape(_shown.Title), width);
        _list.SelectedItem = null;   // else the kit moves it while there are few rows
        _rows.Clear();
        _of.Clear();
        for (int line = 0; line < _shown.Lines.Count; line++)
        {
            HelpLine each = _shown.Lines[line];
            if (each.Heading.Length > 0)
            {
                Add(each.Heading, new Row(line, "", true));
            }

            IReadOnlyList<string> wrapped = TextCells.Wrap(each.What.Length > 0 ? $"{each.What}: {each.Means}" : each.Means, Math.Max(1, width - 4), height) is { Count: > 0 } some ? some : [""];
            for (int row = 0; row < wrapped.Count; row++)
            {
                Add((row == 0 ? "  " : "    ") + wrapped[row], new Row(line, wrapped[row], false));
            }
        }

        _shown.At = at;
        Select(at);
        Reach();

        void Add(string text, Row row)
        {
            _rows.Add(text);
            _of.Add(row);
        }
    }

    private void Select(int line)
    {
        _list.SelectedItem = FirstOf(line);
        Mark();
    }

    /// <summary>Marks the line that the list stands in; the kit steps by rows.</summary>
    private void Mark()
    {
        if (_list.SelectedItem is not { } row || row >= _of.Count)
        {
            return;
        }

        Sign(FirstOf(_shown.At), "  ");
        _shown.At = _of[row].Line;
        Sign(FirstOf(_shown.At), $"{Marks.Of(OrderState.Now)} ");
        _list.SelectedItem = FirstOf(_shown.At);

        void Sign(int first, string sign)
        {
            if (_rows[first] != sign + _of[first].Text)
            {
                _rows[first] = sign + _of[first].Text;
            }
        }
    }

    /// <summary>Moves the list so far that the marked line is seen to its end, with a heading above it.</summary>
    private void Reach()
    {
        int first = _of.FindIndex(row => row.Line == At), last = _of.FindLastIndex(row => row.Line == At), room = Math.Max(1, _list.Viewport.Height);
        int top = Math.Clamp(_list.Viewport.Y, Math.Min(first, Math.Max(0, last - room + 1)), first);
        _list.Viewport = _list.Viewport with { Y = Math.Min(top, Math.Max(0, _rows.Count - room)) };
        ShowKeys();
        SetNeedsDraw();
    }

    private void ShowKeys()
    {
        int below = _rows.Count - _list.Viewport.Y - _list.Viewport.Height;
        _more.Text = below > 0 ? FormattableString.Invariant($"{below} more below") : "";
        KeyHint[] all = [.. Hints("next", "before", "does it", "back")];
        _keys.Show(KeyRow.Fitting(all, Viewport.Width - TextCells.Columns(_more.Text) - 1).Count() == all.Length ? all : [.. Hints("", "", "", "back")]);

        static IEnumerable<KeyHint> Hints(params string[] does) => ((Key[])[Key.CursorDown, Key.CursorUp, Key.Enter, Key.Esc]).Zip(does, (key, does) => new KeyHint(BenchKeys.NameOf(key), does));
    }

    private int FirstOf(int line) => _of.FindIndex(row => row.Line == line && !row.IsHeading);

    private CellStyle StyleOf(int row) => row >= _of.Count ? CellStyle.Ground : _of[row].IsHeading ? CellStyle.Heading : _of[row].Line == At ? CellStyle.Strong : CellStyle.Ground;

    /// <summary>A list of lines, and which of them is marked.</summary>
    private sealed record Level(string Title, IReadOnlyList<HelpLine> Lines)
    {
        internal int At { get; set; }
    }

    /// <summary>A row of the list.</summary>
    private readonly record struct Row(int Line, string Text, bool IsHeading);
}

/// <summary>The lines of help of the bench: what the model offers, and the marks that stand on it.</summary>
internal static class BenchHelp
{
    /// <summary>The heading over what can be done.</summary>
    internal const string Deeds = "What can be done now";

    /// <summary>The lines.</summary>
    /// <param name="model">What the screen shows.</param>
    /// <param name="tell">Tells the bench.</param>
    /// <param name="act">Does what a key does.</param>
    /// <param name="begin">Puts a word into the entry, and asks for what follows it.</param>
    internal static IReadOnlyList<HelpLine> Of(BenchModel model, Action<BenchInput> tell, Action<BenchAction> act, Action<string, string> begin)
    {
        List<HelpLine> lines = [];
        foreach (Offer offer in model.Offers)
        {
            BenchAction? action = BenchKeys.ActionFor(offer);
            string words = offer.Act == Act.Type ? offer.Word : $"{offer.Word} {offer.Takes}".Trim();
            string what = string.Join(" or ", new[] { action is { } key ? BenchKeys.NamesOf(key) : "", words }.Where(part => part.Length > 0));
            lines.Add(new HelpLine(what, offer.Means, Doing(offer, action)) { Choices = ChoicesOf(offer, action, tell, act) });
        }

        lines.Add(new HelpLine(BenchKeys.NameOf(BenchAction.Clear), "empties the line that is being typed"));
        return [.. Headed(Deeds, lines), .. Headed("What is shown", MarksOf(model))];

        Action? Doing(Offer offer, BenchAction? action) =>
            action is { } key ? () => act(key)
            : offer.Act == Act.Type ? null
            : offer.Takes.Length == 0 ? () => tell(new BenchInput.Says(Answer.Of(offer.Word)))
            : () => begin(offer.Word, offer.Takes);
    }

    private static IReadOnlyList<HelpLine> ChoicesOf(Offer offer, BenchAction? action, Action<BenchInput> tell, Action<BenchAction> act)
    {
        if (offer.Choices.Count == 0)
        {
            return [];
        }

        IEnumerable<HelpLine> choices = offer.Choices.Select(choice => new HelpLine("", choice.Name, () => tell(new BenchInput.Says(Answer.Of($"{offer.Word} {choice.Said}")))));
        return offer.Act == Act.Moved && action is { } all ? [new HelpLine("", "all as advised", () => act(all)), .. choices] : [.. choices];
    }

    /// <summary>The marks that stand on the screen now, each with its meaning.</summary>
    private static List<HelpLine> MarksOf(BenchModel model)
    {
        IEnumerable<OrderState> states = model.Order.Where(line => !line.IsHeading || line.State is not (OrderState.Now or OrderState.Ahead)).Select(line => line.State)
            .Concat(model.LastVerdict is { } verdict ? [Marks.StateOf(verdict.Verdict)] : []).Concat(model.Order.Count > 0 ? [OrderState.Now] : []).Distinct().Order();
        List<HelpLine> lines = [new HelpLine("", string.Join(", ", states.Select(state => $"{Marks.Of(state)} {Marks.WordsOf(state)}")))];
        if (model.Strip is not null)
        {
            lines.Add(new HelpLine("", StripPainter.Legend));
        }

        if (model.Front.Gap is not null)
        {
            lines.Add(new HelpLine("▲▼ ◄►", "in the picture: the two edges that the jaws touch"));
        }

        if (model.Front.Arrows.Count > 0)
        {
            lines.Add(new HelpLine("↑↓ →←", "in the picture: which way a pin is to go"));
        }

        if (model.Sides.Length > 0)
        {
            lines.Add(new HelpLine("", model.Sides));
        }

        return lines;
    }

    internal static IEnumerable<HelpLine> Headed(string heading, IReadOnlyList<HelpLine> lines) => lines.Select((line, at) => at == 0 ? line with { Heading = heading } : line);
}
