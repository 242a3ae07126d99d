using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Screen;

/// <summary>The line of typed entry, always open: a value, or the reason for setting something aside.</summary>
/// <remarks>One thread only. The caret counts UTF-16 units and never stands inside a surrogate pair.</remarks>
internal sealed class EntryLine
{
    /// <summary>Longest entry in UTF-16 units: a sentence of a reason, not a file pasted by mistake.</summary>
    public const int Longest = 200;

    /// <summary>What was typed so far.</summary>
    public string Text { get; private set; } = string.Empty;

    /// <summary>Before which unit of <see cref="Text"/> the next one goes.</summary>
    public int Caret { get; private set; }

    /// <summary>True while a reason is asked for.</summary>
    public bool IsReason { get; private set; }

    /// <summary>What is still to be said after a word that was chosen, such as <c>REASON</c>; empty once something is.</summary>
    public string Wants => Text == _begun ? _wants : string.Empty;

    /// <summary>True while a reason is asked for, or what follows a word that was chosen.</summary>
    public bool AsksReason => IsReason || (_begun.Length > 0 && Text.StartsWith(_begun, StringComparison.Ordinal));

    private string _begun = string.Empty;
    private string _wants = string.Empty;

    /// <summary>Puts in a word, and asks for what follows it.</summary>
    public void Begin(string word, string wants)
    {
        Clear();
        Insert(word + " ");
        (_begun, _wants) = (Text, wants);
    }

    /// <summary>Puts text in at the caret: its first line, made printable, as much as there is room for.</summary>
    public void Insert(string text)
    {
        int lineBreak = text.AsSpan().IndexOfAny('\r', '\n');
        string line = PrintableText.Escape(lineBreak < 0 ? text : text[..lineBreak]);
        int room = Math.Min(line.Length, Longest - Text.Length);
        if (room > 0 && char.IsHighSurrogate(line[room - 1]))
        {
            room--;
        }

        Text = Text.Insert(Caret, line[..room]);
        Caret += room;
    }

    /// <summary>Takes away what stands before the caret.</summary>
    public void Backspace()
    {
        int end = Caret;
        MoveLeft();
        Text = Text.Remove(Caret, end - Caret);
    }

    /// <summary>Takes away what stands after the caret.</summary>
    public void Delete() => Text = Text.Remove(Caret, StepRight());

    /// <summary>One to the left.</summary>
    public void MoveLeft() => Caret -= Caret == 0 ? 0 : Caret > 1 && char.IsLowSurrogate(Text[Caret - 1]) ? 2 : 1;

    /// <summary>One to the right.</summary>
    public void MoveRight() => Caret += StepRight();

    /// <summary>To the beginning.</summary>
    public void MoveHome() => Caret = 0;

    /// <summary>To the end.</summary>
    public void MoveEnd() => Caret = Text.Length;

    /// <summary>Empties the line and asks for a value again.</summary>
    public void Clear()
    {
        Text = string.Empty;
        Caret = 0;
        IsReason = false;
    }

    /// <summary>Asks for a reason; what was typed already becomes its beginning.</summary>
    public void AskReason()
    {
        IsReason = true;
        Caret = Text.Length;
    }

    /// <summary>Ends the entry: a press when nothing was typed, else what was typed; null when a reason was asked for and none given.</summary>
    public BenchInput? Submit()
    {
        string text = Text.Trim();
        BenchInput? intent = (IsReason, text.Length) switch
        {
            (true, 0) => null,
            (true, _) => new BenchInput.Says(new Answer.Aside(text)),
            (false, 0) => new BenchInput.Press(PressOrigin.Person),
            (false, _) => new BenchInput.Says(Answer.Of(text)),
        };
        Clear();
        return intent;
    }

    private int StepRight() => Caret == Text.Length ? 0 : Caret + 1 < Text.Length && char.IsHighSurrogate(Text[Caret]) ? 2 : 1;
}

/// <summary>Draws the typed entry: what it asks for, the text around the caret, and the caret.</summary>
internal static class EntryPainter
{
    /// <summary>Draws it in a region's first row.</summary>
    public static void Paint(Canvas canvas, Region region, EntryLine entry, PromptKind kind, bool mayPress = true)
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
        if (entry.Wants.Length > 0)
        {
            canvas.Write(field, entry.Wants, CellStyle.Quiet, caret + 1);
        }

        if (entry.Text.Length == 0)
        {
            canvas.Write(field, TextCells.Fit(Invitation(entry.IsReason, kind, mayPress), field.Width - 2), CellStyle.Quiet, 2);
        }

        canvas.Tint(new Region(field.X + caret, field.Y, after.Length > 0 ? after[0].Columns : 1, 1), CellStyle.Key);
    }

    private static string Invitation(bool isReason, PromptKind kind, bool mayPress) => (isReason, kind) switch
    {
        (true, _) => "why go on, then Enter; Esc to drop it",
        (false, PromptKind.Ready) => "Enter when it is so",
        (false, PromptKind.Look) => "Enter for yes, or type no",
        (false, PromptKind.Amend) => "Enter once it is so",
        (false, PromptKind.Reading) when !mayPress => "type the length, then Enter",
        (false, PromptKind.Sign) when !mayPress => "type the initials, then Enter",
        (false, PromptKind.Reading) => "Enter takes the value, or type one",
        (false, PromptKind.Decide) => "press one of the keys below",
        (false, PromptKind.Sign) => "Enter signs, or type initials",
        (false, PromptKind.Question) => "yes, or what you mean instead",
        (false, PromptKind.Closed) => "Enter ends",
        _ => string.Empty,
    };
}
