using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using Terminal.Gui.Input;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>The typed line, always open: a value, or the reason for setting something aside. Moving about in it, selecting and deleting are the kit's.</summary>
/// <remarks>The UI thread only.</remarks>
internal sealed class EntryField : TextField
{
    private string _begun = string.Empty;
    private string _wants = string.Empty;

    /// <summary>True while a reason is asked for.</summary>
    internal bool IsReason { get; private set; }

    /// <summary>True while nothing is typed and no reason is asked for, so that a key may be a press.</summary>
    internal bool IsIdle => Text.Length == 0 && !IsReason;

    /// <summary>True while a reason is asked for, or what follows a word that was chosen.</summary>
    internal bool AsksReason => IsReason || (_begun.Length > 0 && Text.StartsWith(_begun, StringComparison.Ordinal));

    /// <summary>What is still to be said after a word that was chosen, such as <c>REASON</c>; empty once something is.</summary>
    internal string Wants => _begun.Length > 0 && Text == _begun ? _wants : string.Empty;

    /// <summary>How many more UTF-16 units go in; what is selected makes room.</summary>
    internal int Room => Answer.MaxLineLength - Text.Length + (SelectedText?.Length ?? 0);

    /// <summary>Puts in a word, and asks for what follows it.</summary>
    internal void Begin(string word, string wants)
    {
        Clear();
        (_begun, _wants) = (word + " ", wants);
        Text = _begun;
        MoveEnd();
    }

    /// <summary>Asks for a reason; what was typed already becomes its beginning.</summary>
    internal void AskReason()
    {
        IsReason = true;
        MoveEnd();
    }

    /// <summary>Empties the line and asks for a value again.</summary>
    internal void Clear()
    {
        (IsReason, _begun, Text) = (false, string.Empty, string.Empty);
        MoveEnd();
        ClearHistoryChanges();   // else it grows all day
    }

    /// <summary>Ends the entry: a press when nothing was typed, else what was typed; null when a reason was asked for and none given.</summary>
    internal BenchInput? Submit()
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

    /// <summary>Its first line, made printable, as much as there is room for: a paste never presses Enter.</summary>
    internal string Fitting(string text)
    {
        int end = text.AsSpan().IndexOfAny('\r', '\n');
        end = Math.Min(end < 0 ? text.Length : end, Answer.MaxLineLength);
        string line = PrintableText.Escape(text[..end]);
        int room = Math.Clamp(Room, 0, line.Length);
        return line[..(room > 0 && room < line.Length && char.IsHighSurrogate(line[room - 1]) ? room - 1 : room)];
    }

    /// <inheritdoc/>
    protected override string OnSanitizingPaste(string raw) => Fitting(raw);

    /// <summary>The kit's menu of the right button would take the keys of the bench.</summary>
    protected override bool OnMouseEvent(Mouse mouse) => mouse.Flags == ContextMenu?.MouseFlags || base.OnMouseEvent(mouse);
}
