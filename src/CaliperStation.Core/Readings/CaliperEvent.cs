using CaliperStation.Core.Wire;

namespace CaliperStation.Core.Readings;

/// <summary>What a caliper and its line tell the bench. Kinds are typed; words are for people and nobody compares them.</summary>
public abstract record CaliperEvent
{
    private CaliperEvent()
    {
    }

    /// <summary>The line is open; readings may come.</summary>
    public sealed record Opened : CaliperEvent;

    /// <summary>The line is not there, or was lost; it is tried again by itself.</summary>
    /// <param name="Kind">What happened.</param>
    /// <param name="Words">What, and what to do: whole sentences, safe to show.</param>
    public sealed record Lost(LossKind Kind, string Words) : CaliperEvent;

    /// <summary>A value as displayed; its <see cref="Reading.Arrived"/> says when, its hand is empty.</summary>
    public sealed record Value(Reading Reading) : CaliperEvent
    {
        /// <summary>True when it only says what the display shows of itself: of a caliper that is asked it is never the answer.</summary>
        public bool IsOfItself { get; init; }
    }

    /// <summary>A frame that was refused.</summary>
    /// <param name="Kind">Why.</param>
    /// <param name="Words">Why, in words.</param>
    /// <param name="Raw">The bytes, escaped.</param>
    public sealed record Refused(FrameReason Kind, string Words, string Raw) : CaliperEvent;

    /// <summary>The caliper's own button, or a switch wired to the line.</summary>
    public sealed record Press : CaliperEvent;

    /// <summary>A second switch wired to the line: not so.</summary>
    public sealed record NotSo : CaliperEvent;

    /// <summary>Something worth saying that is neither a reading nor a bad frame.</summary>
    public sealed record Noted(NoteKind Kind, string Words) : CaliperEvent;

    /// <summary>What seems wrong with the line as a whole. Sent when the opinion changes.</summary>
    /// <param name="Kind">What; null when nothing does.</param>
    /// <param name="Words">The same in the words of <c>caliper listen</c>.</param>
    public sealed record Diagnosed(LineTrouble? Kind, string? Words) : CaliperEvent;
}

/// <summary>What may be wrong with a line.</summary>
public enum LineTrouble
{
    /// <summary>Nothing comes.</summary>
    Silent,

    /// <summary>Text comes, and no line ends.</summary>
    NoEnds,

    /// <summary>Lines name no unit, and none is set.</summary>
    NoUnit,

    /// <summary>The caliper says that its range is exceeded or its counter has overflowed.</summary>
    Range,

    /// <summary>The caliper reports errors.</summary>
    Device,

    /// <summary>Text comes, and no line is a reading.</summary>
    NoReading,

    /// <summary>7 data bits with even parity are read as 8.</summary>
    EvenParity,

    /// <summary>7 data bits with odd parity are read as 8.</summary>
    OddParity,

    /// <summary>Bit 8 means nothing.</summary>
    EighthBit,

    /// <summary>The levels are inverted.</summary>
    Inverted,

    /// <summary>Wrong rate or framing.</summary>
    Rate,

    /// <summary>Too many lines are refused among good ones.</summary>
    ManyRefused,
}

/// <summary>Why a line is not there.</summary>
public enum LossKind
{
    /// <summary>There is no such port.</summary>
    NotThere,

    /// <summary>It was there and went: unplugged, or its driver failed.</summary>
    Gone,

    /// <summary>This user may not open it.</summary>
    NotAllowed,

    /// <summary>Another program holds it.</summary>
    Busy,

    /// <summary>It is there and cannot be opened or read.</summary>
    Failed,

    /// <summary>Its rate and format could not be found.</summary>
    Unknown,

    /// <summary>A replay has come to its end.</summary>
    Ended,
}

/// <summary>What a device noted.</summary>
public enum NoteKind
{
    /// <summary>Lines of the bridge never came.</summary>
    LinesLost,

    /// <summary>The bridge sent a line twice; it counts once.</summary>
    LineRepeated,

    /// <summary>The bridge started again.</summary>
    BridgeRestarted,

    /// <summary>The caliper's cell is low.</summary>
    CellLow,

    /// <summary>The wired switch cannot be read on this port.</summary>
    NoSwitch,

    /// <summary>What came back on the line is another device than before.</summary>
    OtherDevice,

    /// <summary>The station did not listen for a while; what came meanwhile was dropped.</summary>
    Paused,

    /// <summary>The line's rate and format were found.</summary>
    LineFound,
}
