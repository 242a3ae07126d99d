
namespace CaliperStation.Screen;

/// <summary>A line of text and its meaning.</summary>
internal readonly record struct StyledLine(string Text, CellStyle Style);

/// <summary>The texts of the right column as wrapped lines.</summary>
internal static class TextPainter
{
    /// <summary>
    /// What to do, then the caution, in at most <paramref name="rows"/>. The caution keeps its first row
    /// whatever the length of the rest: it stands before the step for a reason.
    /// </summary>
    public static IReadOnlyList<StyledLine> Prompt(BenchPrompt prompt, int columns, int rows)
    {
        int kept = prompt.Caution.Length > 0 && rows > 1 ? 1 : 0;
        List<StyledLine> lines = [];
        Add(lines, TextCells.Wrap(prompt.Ask, columns, rows - kept), CellStyle.Strong);
        if (prompt.Caution.Length > 0)
        {
            Add(lines, TextCells.Wrap("! " + prompt.Caution, columns, rows - lines.Count), CellStyle.Caution);
        }

        return lines;
    }

    /// <summary>The hint.</summary>
    public static IReadOnlyList<StyledLine> Hint(BenchPrompt prompt, int columns, int rows)
    {
        List<StyledLine> lines = [];
        Add(lines, TextCells.Wrap(prompt.Hint, columns, rows), CellStyle.Ground);
        return lines;
    }

    /// <summary>The detail of a verdict; what does not fit is left out by whole parts, for a cut figure would read as another.</summary>
    public static IReadOnlyList<string> Detail(string detail, int columns, int rows)
    {
        if (TextCells.Wrap(detail, columns, rows + 1).Count <= rows)
        {
            return TextCells.Wrap(detail, columns, rows);
        }

        string parts = TextCells.FitParts(string.Empty, detail, columns);
        return rows < 1 ? [] : [parts.Length > 0 ? parts : TextCells.Fit(detail, columns)];
    }

    /// <summary>What to move; every line begins with a dash, its continuations are indented.</summary>
    public static IReadOnlyList<StyledLine> Advice(IReadOnlyList<string> advice, int columns, int rows)
    {
        List<StyledLine> lines = [];
        for (int index = 0; index < advice.Count; index++)
        {
            // Every piece of advice keeps a row, so that none is lost without a sign.
            int kept = Math.Min(advice.Count - 1 - index, Math.Max(0, rows - lines.Count - 1));
            IReadOnlyList<string> wrapped = TextCells.Wrap(advice[index], columns - 2, rows - lines.Count - kept);
            for (int row = 0; row < wrapped.Count; row++)
            {
                lines.Add(new StyledLine((row == 0 ? "- " : "  ") + wrapped[row], CellStyle.Strong));
            }
        }

        return lines;
    }

    private static void Add(List<StyledLine> lines, IReadOnlyList<string> texts, CellStyle style) =>
        lines.AddRange(texts.Select(text => new StyledLine(text, style)));
}
