using Terminal.Gui.Input;

namespace CaliperStation.Screen;

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
