using CaliperStation.Core.Bench;
using Terminal.Gui.Input;

namespace CaliperStation.Screen;

/// <summary>What a key does on the bench, before the state of the typed entry is looked at.</summary>
internal enum BenchAction
{
    /// <summary>Ends the entry; a press when it is empty.</summary>
    Enter,

    /// <summary>A press; a blank where something is typed.</summary>
    Space,

    /// <summary>Pedal press: discards typed text, since the operator may not be looking at the screen; does nothing while a reason is asked for.</summary>
    Press,

    /// <summary>Second switch: no to what is asked, else the last reading is taken again; a held one is one press.</summary>
    NotSo,

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
}

/// <summary>The bench's keys: what each does, and what it is called where it is shown. The only list of them.</summary>
/// <remarks>
/// Every second function key, so that a gloved finger that slips meets a key that does nothing; F9 does nothing unless something is asked. F10 and F11 are left out:
/// many terminals open their menu or fill the screen with them. F13 and above never arrive whole.
/// </remarks>
internal static class BenchKeys
{
    /// <summary>Of the keys of an action the first is the one that is shown.</summary>
    private static readonly (Key Key, BenchAction Action)[] _all =
    [
        (Key.Enter, BenchAction.Enter),
        (Key.Space, BenchAction.Space),
        (Key.F2, BenchAction.Press),
        (Key.F4, BenchAction.NotSo),
        (Key.R.WithCtrl, BenchAction.NotSo),
        (Key.F6, BenchAction.Moved),
        (Key.O.WithCtrl, BenchAction.Moved),
        (Key.F8, BenchAction.Aside),
        (Key.A.WithCtrl, BenchAction.Aside),
        (Key.F9, BenchAction.Yes),
        (Key.Y.WithCtrl, BenchAction.Yes),
        (Key.F1, BenchAction.Help),
        (Key.Q.WithCtrl, BenchAction.Stop),
        (Key.C.WithCtrl, BenchAction.Stop),
        (Key.F12, BenchAction.Stop),
        (Key.Esc, BenchAction.Clear),
    ];

    // What digits and point of a number pad become while its lock is off; the middle one, 5, often sends nothing.
    private static readonly Key[] _onPad =
        [Key.Home, Key.End, Key.CursorUp, Key.CursorDown, Key.CursorLeft, Key.CursorRight, Key.PageUp, Key.PageDown, Key.InsertChar, Key.Delete];

    /// <summary>True for a key that edits the typed line, which is the kit's.</summary>
    public static bool IsEditing(Key key) => key == Key.Backspace || key == Key.Delete || key == Key.CursorLeft || key == Key.CursorRight || key == Key.Home || key == Key.End;

    /// <summary>True for a key that a number pad sends for a digit or the point while its lock is off.</summary>
    public static bool IsOnPad(Key key) => _onPad.Contains(key);

    /// <summary>What a key does, or null.</summary>
    public static BenchAction? ActionOf(Key key)
    {
        foreach ((Key known, BenchAction action) in _all)
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

    /// <summary>What a key is called where it is shown.</summary>
    public static string NameOf(Key key) => key == Key.CursorUp ? "↑" : key == Key.CursorDown ? "↓" : key.ToString().Replace('+', '-');

    /// <summary>What an action's own key is called.</summary>
    public static string NameOf(BenchAction action) => NameOf(_all.First(known => known.Action == action).Key);

    /// <summary>What all of an action's keys are called; of a press those that press it too.</summary>
    public static string NamesOf(BenchAction action) => string.Join(", ", _all
        .Where(known => known.Action == action || (action == BenchAction.Enter && known.Action is BenchAction.Space or BenchAction.Press))
        .Select(known => NameOf(known.Key)).Concat(action == BenchAction.Help ? ["?"] : []));

    /// <summary>The action of a key that is shown by this name, or null.</summary>
    public static BenchAction? ActionOf(string name) => _all.Where(known => NameOf(known.Key) == name).Select(known => (BenchAction?)known.Action).FirstOrDefault();

    /// <summary>The action that does what is offered, or null where only a word does.</summary>
    public static BenchAction? ActionFor(Offer offer) => offer.Act switch
    {
        Act.Press => BenchAction.Enter,
        Act.Aside => BenchAction.Aside,
        Act.Stop => BenchAction.Stop,
        Act.Yes => BenchAction.Yes,
        Act.Moved when offer.Takes is not "ITEM" => BenchAction.Moved,
        _ => offer.IsNotSo ? BenchAction.NotSo : null,
    };
}
