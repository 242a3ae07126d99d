using CaliperStation.Core.Bench;
using CaliperStation.Core.Readings;
using Terminal.Gui.Input;

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

/// <summary>What can be done on the page beneath, what its marks mean, and a way to do each without knowing its key. Knows no page: it is given lines.</summary>
/// <remarks>A press that chooses wants a quiet before it: a held key must not run through the lists.</remarks>
internal sealed class HelpPage
{
    private const int Page = 5;

    private readonly string _title;
    private readonly IReadOnlyList<HelpLine> _lines;
    private readonly HelpPage? _above;
    private int _at;
    private int[] _shown = [];   // the line of each row that was drawn last

    /// <summary>The page; the first line leaves it, so that a press by mistake does nothing.</summary>
    internal HelpPage(string title, IReadOnlyList<HelpLine> lines, HelpPage? above = null) =>
        (_title, _lines, _above) = (title, [new HelpLine("", above is null ? "back" : "back to the list"), .. lines], above);

    /// <summary>What follows a key: the page that is shown now, null once it is left; and what is to be done.</summary>
    internal (HelpPage? Shown, Action? Do) Take(Key key, Switches switches, ref PressGate gate, TimeSpan now)
    {
        if (key == Key.Enter || key == Key.F2 || key == Key.Space || switches.Press.Has(key))
        {
            bool isCalm = gate.IsCalm(now);
            gate = PressGate.Hear(now);
            return isCalm ? Choose() : (this, null);
        }

        int? to = key == Key.CursorDown || key == Key.F8 || switches.NotSo.Has(key) ? (_at + 1) % _lines.Count
            : key == Key.CursorUp ? (_at + _lines.Count - 1) % _lines.Count
            : key == Key.PageDown ? Math.Min(_at + Page, _lines.Count - 1)
            : key == Key.PageUp ? Math.Max(_at - Page, 0)
            : key == Key.Home ? 0
            : key == Key.End ? _lines.Count - 1
            : null;
        _at = to ?? _at;
        return (to is null ? _above : this, null);
    }

    /// <summary>A click on a row chooses its line.</summary>
    internal (HelpPage? Shown, Action? Do) Click(int row)
    {
        if (row < 0 || row >= _shown.Length || _shown[row] < 0)
        {
            return (this, null);
        }

        _at = _shown[row];
        return Choose();
    }

    private (HelpPage? Shown, Action? Do) Choose() =>
        _at == 0 ? (_above, null)
        : _lines[_at] is { Choices: { Count: > 0 } choices, What: var what } ? (new HelpPage(what, choices, this), null)
        : _lines[_at].Do is { } action ? (null, action)
        : (this, null);

    /// <summary>The page, moved so far that the marked line is seen whole.</summary>
    internal Canvas Paint(int width, int height)
    {
        Canvas canvas = new(width, height);
        List<(string Text, CellStyle Style, int Line)> rows = [];
        for (int line = 0; line < _lines.Count; line++)
        {
            HelpLine each = _lines[line];
            if (each.Heading.Length > 0)
            {
                rows.Add((each.Heading, CellStyle.Heading, line));
            }

            IReadOnlyList<string> wrapped = TextCells.Wrap(each.What.Length > 0 ? $"{each.What}: {each.Means}" : each.Means, Math.Max(1, canvas.Width - 4), Math.Max(1, canvas.Height));
            rows.AddRange(wrapped.Select((text, row) => ((row == 0 ? (line == _at ? $"{Marks.Of(OrderState.Now)} " : "  ") : "    ") + text, line == _at ? CellStyle.Strong : CellStyle.Ground, line)));
        }

        int room = Math.Max(0, canvas.Height - 2);
        int first = rows.FindIndex(row => row.Line == _at), last = rows.FindLastIndex(row => row.Line == _at);
        int top = Math.Clamp(last - room + 1, 0, Math.Max(0, rows.Count - room));   // as far up as shows the marked line to its end
        top = first < top ? first : top;
        _shown = [.. Enumerable.Repeat(-1, canvas.Height)];
        int below = rows.Count - top - room;
        canvas.Write(canvas.All.Row(0), TextCells.Fit(_title, canvas.Width), CellStyle.Heading);
        for (int row = 0; row < room && top + row < rows.Count; row++)
        {
            canvas.Write(canvas.All.Row(row + 1), rows[top + row].Text, rows[top + row].Style);
            _shown[row + 1] = rows[top + row].Line;
        }

        string more = below > 0 ? FormattableString.Invariant($"  {below} more below") : "";
        string keys = new[] { $"↓ ↑ choose  Enter does it  Esc back{more}", $"↓ ↑  Enter  Esc{more}" }.FirstOrDefault(each => TextCells.Columns(each) <= canvas.Width, "↓ ↑");
        canvas.Write(canvas.All.Row(canvas.Height - 1), keys, CellStyle.Key);
        return canvas;
    }
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
