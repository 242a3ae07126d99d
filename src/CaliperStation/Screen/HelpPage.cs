namespace CaliperStation.Screen;

/// <summary>What the keys and marks of the bench mean, over all of the screen; any key closes it.</summary>
internal static class HelpPage
{
    private static readonly (string What, string Means)[] _keys =
    [
        ("Enter, Space, F2", "one press: confirm, take the caliper's value, this pin is moved, sign, leave; a second press within a second takes the last one back"),
        (BenchKeys.Retake, "take the last reading again; no to a look (also Ctrl-R)"),
        (BenchKeys.Moved, "all was moved as advised (also Ctrl-O)"),
        (BenchKeys.Aside, "set aside what is not within: a reason is wanted, and the record is not verified (also Ctrl-A)"),
        (BenchKeys.Yes, "yes to what is asked (also Ctrl-Y, or three presses in a row)"),
        ("Esc", "empties the line that is being typed"),
        (BenchKeys.Stop, "stop; all readings are kept, and the blouse goes on later (also Ctrl-C, F12)"),
    ];

    private static readonly (string What, string Means)[] _words =
    [
        ("14 t   7/16   11.1 mm", "a length"),
        ("hand XY", "another hand measures"),
        ("tag NEW REASON", "the tag was wrong"),
        ("retake STEP", "one reading of those before is taken again, such as rack-left"),
        ("moved ITEM", "this item was moved, advised or not"),
        ("abandon REASON", "the sitting is given up: not this coat, begun by mistake"),
    ];

    private static readonly (OrderState State, string Means)[] _marks =
    [
        (OrderState.Now, "now"), (OrderState.Within, "within"), (OrderState.Borderline, "borderline"), (OrderState.Outside, "outside"),
        (OrderState.Stale, "to be read again"), (OrderState.Aside, "set aside"), (OrderState.Ahead, "to come"),
    ];

    /// <summary>The page; what has no room is left out from below, by whole entries.</summary>
    internal static Canvas Paint(int width, int height)
    {
        Canvas canvas = new(width, height);
        int y = 0;
        void Line(string text, CellStyle style)
        {
            if (y < canvas.Height - 1)
            {
                canvas.Write(new Region(0, y++, canvas.Width, 1), text, style);
            }
        }

        void Entries(string heading, IEnumerable<(string What, string Means)> entries)
        {
            Line(heading, CellStyle.Heading);
            foreach ((string what, string means) in entries)
            {
                IReadOnlyList<string> rows = TextCells.Wrap($"{what}: {means}", Math.Max(1, canvas.Width - 2), canvas.Height);
                for (int row = 0; row < rows.Count && y + rows.Count - row < canvas.Height; row++)
                {
                    Line((row == 0 ? " " : "   ") + rows[row], CellStyle.Ground);
                }
            }
        }

        Entries("Keys", _keys);
        Line("Marks", CellStyle.Heading);
        foreach (string row in TextCells.Wrap(string.Join("   ", _marks.Select(mark => $"{Marks.Of(mark.State)} {mark.Means}")), Math.Max(1, canvas.Width - 2), canvas.Height))
        {
            Line(" " + row, CellStyle.Ground);
        }

        Entries("Words that may be typed", _words);
        canvas.Write(new Region(0, canvas.Height - 1, canvas.Width, 1), TextCells.Fit("any key: back to the bench", canvas.Width), CellStyle.Key);
        return canvas;
    }
}
