using Terminal.Gui.Input;

namespace CaliperStation.Screen;

/// <summary>The names of the bench's keys as they are shown; <see cref="KeyMap"/> knows the keys themselves.</summary>
/// <remarks>
/// Every second function key, so that a gloved finger that slips meets a key that does nothing; F9 does nothing unless something is asked. F10 and F11 are left out:
/// many terminals open their menu or fill the screen with them. F13 and above never arrive whole.
/// </remarks>
internal static class BenchKeys
{
    /// <summary>One press; the space bar and F2 (a foot switch that types) do the same.</summary>
    public const string Press = "Enter";

    /// <summary>Take the last reading again; also Ctrl-R.</summary>
    public const string Retake = "F4";

    /// <summary>The advised items were moved; also Ctrl-O.</summary>
    public const string Moved = "F6";

    /// <summary>Go on though not within; asks for the reason in the entry line; also Ctrl-A.</summary>
    public const string Aside = "F8";

    /// <summary>Yes to a question about an odd reading or the coat; also Ctrl-Y, and three presses in a row.</summary>
    public const string Yes = "F9";

    /// <summary>What the keys and marks mean; also a question mark where nothing is typed.</summary>
    public const string Help = "F1";

    /// <summary>Stop and resume later; also Ctrl-C and F12.</summary>
    public const string Stop = "Ctrl-Q";
}

/// <summary>What a key does on the bench, before the state of the typed entry is looked at.</summary>
internal enum BenchAction
{
    /// <summary>Ends the entry; a press when it is empty.</summary>
    Enter,

    /// <summary>A press when the entry is empty, else a blank in it.</summary>
    Space,

    /// <summary>Pedal press: discards typed text, since the operator may not be looking at the screen; does nothing while a reason is asked for.</summary>
    Press,

    /// <summary>Second switch: not so.</summary>
    NotSo,

    /// <summary>Take the last reading again.</summary>
    Retake,

    /// <summary>The advised items were moved.</summary>
    Moved,

    /// <summary>Set aside: asks for the reason.</summary>
    Aside,

    /// <summary>Yes to what is asked.</summary>
    Yes,

    /// <summary>What the keys and marks mean.</summary>
    Help,

    /// <summary>Stop.</summary>
    Stop,

    /// <summary>Drops the entry.</summary>
    Clear,

    /// <summary>Takes away before the caret.</summary>
    Backspace,

    /// <summary>Takes away after the caret.</summary>
    Delete,

    /// <summary>Caret to the left.</summary>
    Left,

    /// <summary>Caret to the right.</summary>
    Right,

    /// <summary>Caret to the beginning.</summary>
    Home,

    /// <summary>Caret to the end.</summary>
    End,
}

/// <summary>The bench's keys; <see cref="BenchKeys"/> has their shown names and why these.</summary>
internal static class KeyMap
{
    private static readonly (Key Key, BenchAction Action)[] All =
    [
        (Key.Enter, BenchAction.Enter),
        (Key.Space, BenchAction.Space),
        (Key.F1, BenchAction.Help),
        (Key.F2, BenchAction.Press),
        (Key.F4, BenchAction.Retake),
        (Key.R.WithCtrl, BenchAction.Retake),
        (Key.F6, BenchAction.Moved),
        (Key.O.WithCtrl, BenchAction.Moved),
        (Key.F8, BenchAction.Aside),
        (Key.A.WithCtrl, BenchAction.Aside),
        (Key.F9, BenchAction.Yes),
        (Key.Y.WithCtrl, BenchAction.Yes),
        (Key.F12, BenchAction.Stop),
        (Key.Q.WithCtrl, BenchAction.Stop),
        (Key.C.WithCtrl, BenchAction.Stop),
        (Key.Esc, BenchAction.Clear),
        (Key.Backspace, BenchAction.Backspace),
        (Key.Delete, BenchAction.Delete),
        (Key.CursorLeft, BenchAction.Left),
        (Key.CursorRight, BenchAction.Right),
        (Key.Home, BenchAction.Home),
        (Key.End, BenchAction.End),
    ];

    // What digits and point of a number pad become while its lock is off; the middle one, 5, often sends nothing.
    private static readonly Key[] OnPad =
        [Key.Home, Key.End, Key.CursorUp, Key.CursorDown, Key.CursorLeft, Key.CursorRight, Key.PageUp, Key.PageDown, Key.InsertChar, Key.Delete];

    /// <summary>True for a key that a number pad sends for a digit or the point while its lock is off.</summary>
    public static bool IsOnPad(Key key) => OnPad.Contains(key);

    /// <summary>What a key does, or null.</summary>
    public static BenchAction? ActionOf(Key key)
    {
        foreach ((Key known, BenchAction action) in All)
        {
            if (known == key)
            {
                return action;
            }
        }

        return null;
    }

    /// <summary>The text a key types, or empty.</summary>
    public static string TextOf(Key key) => key.IsCtrl || key.IsAlt ? string.Empty : key.AsGrapheme is { Length: > 0 } text && text[0] >= ' ' ? text : string.Empty;
}
