namespace CaliperStation.Bench;

/// <summary>A line of text and its meaning.</summary>
internal readonly record struct InkedLine(string Text, Ink Ink);

/// <summary>The texts of the right column as wrapped lines.</summary>
internal static class TextPainter
{
    /// <summary>
    /// What to do, then the caution, then the hint, in at most <paramref name="rows"/>. The caution keeps its first row
    /// whatever the length of the rest: it stands before the step for a reason.
    /// </summary>
    public static IReadOnlyList<InkedLine> Prompt(BenchPrompt prompt, int columns, int rows, bool withHint)
    {
        int kept = prompt.Caution.Length > 0 && rows > 1 ? 1 : 0;
        List<InkedLine> lines = [];
        Add(lines, TextCells.Wrap(prompt.Ask, columns, rows - kept), Ink.Strong);
        if (prompt.Caution.Length > 0)
        {
            Add(lines, TextCells.Wrap("! " + prompt.Caution, columns, rows - lines.Count), Ink.Caution);
        }

        if (withHint)
        {
            Add(lines, TextCells.Wrap(prompt.Hint, columns, rows - lines.Count), Ink.Ground);
        }

        return lines;
    }

    /// <summary>What to move; every line begins with an arrow, its continuations are indented.</summary>
    public static IReadOnlyList<InkedLine> Advice(IReadOnlyList<string> advice, int columns, int rows)
    {
        List<InkedLine> lines = [];
        foreach (string line in advice)
        {
            IReadOnlyList<string> wrapped = TextCells.Wrap(line, columns - 2, rows - lines.Count);
            for (int row = 0; row < wrapped.Count; row++)
            {
                lines.Add(new InkedLine((row == 0 ? "→ " : "  ") + wrapped[row], Ink.Strong));
            }
        }

        return lines;
    }

    private static void Add(List<InkedLine> lines, IReadOnlyList<string> texts, Ink ink) =>
        lines.AddRange(texts.Select(text => new InkedLine(text, ink)));
}
