
namespace CaliperStation.Screen;

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
