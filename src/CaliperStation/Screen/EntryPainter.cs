
namespace CaliperStation.Screen;

/// <summary>Draws the typed entry: what it asks for, the text around the caret, and the caret.</summary>
internal static class EntryPainter
{
    /// <summary>Draws it in a region's first row.</summary>
    public static void Paint(Canvas canvas, Region region, EntryLine entry, PromptKind kind)
    {
        if (region.IsEmpty)
        {
            return;
        }

        string label = entry.IsReason ? "Reason: " : "> ";
        int labelColumns = canvas.Write(region, TextCells.Fit(label, region.Width / 2), CellStyle.Strong);
        Region field = new(region.X + labelColumns, region.Y, region.Width - labelColumns, 1);
        TextElement[] before = [.. TextCells.Elements(entry.Text[..entry.Caret])];
        TextElement[] after = [.. TextCells.Elements(entry.Text[entry.Caret..])];

        // The end of what stands before the caret is shown, with room for the caret itself.
        int first = before.Length;
        int columns = 0;
        while (first > 0 && columns + before[first - 1].Columns < field.Width)
        {
            first--;
            columns += before[first].Columns;
        }

        int caret = canvas.Write(field, string.Concat(before[first..].Select(element => element.Text)), CellStyle.Strong);
        canvas.Write(field, string.Concat(after.Select(element => element.Text)), CellStyle.Strong, caret);
        if (entry.Text.Length == 0)
        {
            canvas.Write(field, TextCells.Fit(Invitation(entry.IsReason, kind), field.Width - 2), CellStyle.Quiet, 2);
        }

        canvas.Tint(new Region(field.X + caret, field.Y, after.Length > 0 ? after[0].Columns : 1, 1), CellStyle.Key);
    }

    private static string Invitation(bool isReason, PromptKind kind) => (isReason, kind) switch
    {
        (true, _) => "why go on, then Enter; Esc to drop it",
        (false, PromptKind.Ready) => "Enter when it is so",
        (false, PromptKind.Look) => "Enter for yes, or type no",
        (false, PromptKind.Amend) => "Enter once it is so",
        (false, PromptKind.Reading) => "Enter takes the value, or type one",
        (false, PromptKind.Decide) => "press a key below, or type a value",
        (false, PromptKind.Sign) => "Enter signs, or type initials",
        (false, PromptKind.Question) => "yes, or what you mean instead",
        (false, PromptKind.Closed) => "Enter ends",
        _ => string.Empty,
    };
}
