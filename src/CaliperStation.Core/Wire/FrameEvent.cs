using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Wire;

/// <summary>What a decoder made of some bytes.</summary>
public enum FrameEventKind
{
    /// <summary>A value that passed every check of its format.</summary>
    Value,

    /// <summary>Bytes that are no frame of this format, or a frame that fails a check; counted and shown, never guessed at.</summary>
    Refused,

    /// <summary>The instrument says that it cannot measure: an error or overflow line.</summary>
    DeviceError,

    /// <summary>A pedal or button was pressed.</summary>
    Press,

    /// <summary>A line that is legal but carries no value: identification, echo, command reply.</summary>
    Ignored,

    /// <summary>Something about the line's history or the instrument's health; the frame itself, if there is one, is an event of its own.</summary>
    Noted,
}

/// <summary>Why an event is no value, or what it notes. The words beside it are for people; nobody compares them.</summary>
public enum FrameReason
{
    /// <summary>It is a value, a press, or nothing to use.</summary>
    None,

    /// <summary>It is no frame of this format.</summary>
    Garbled,

    /// <summary>It names no unit, and none is set.</summary>
    NoUnit,

    /// <summary>It has no decimal point, and the instrument sends decimals.</summary>
    NoPoint,

    /// <summary>Beyond what the caliper can show.</summary>
    Range,

    /// <summary>The instrument says that it cannot measure.</summary>
    Device,

    /// <summary>Lines of the bridge never came.</summary>
    LinesLost,

    /// <summary>The bridge sent a line twice; it counts once.</summary>
    LineRepeated,

    /// <summary>The bridge started again.</summary>
    BridgeRestarted,

    /// <summary>The caliper's cell is low.</summary>
    CellLow,
}

/// <summary>One event of a decoder. One per line or frame.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Value">The length, for <see cref="FrameEventKind.Value"/>; taken in <see cref="Unit"/>, or in the unit the decoder was given when the frame names none.</param>
/// <param name="Unit">The unit the frame names; null when it names none.</param>
/// <param name="Resolution">One step of the last digit sent.</param>
/// <param name="Reason">For the other kinds, the reason.</param>
/// <param name="Why">The reason in words: a constant sentence without anything from the wire.</param>
public readonly record struct FrameEvent(FrameEventKind Kind, Length Value, LengthUnit? Unit, Length Resolution, FrameReason Reason, string? Why)
{
    /// <summary>A value.</summary>
    public static FrameEvent Of(Length value, LengthUnit? unit, Length resolution) => new(FrameEventKind.Value, value, unit, resolution, FrameReason.None, null);

    /// <summary>Not a frame, and why.</summary>
    public static FrameEvent Refused(string why, FrameReason reason = FrameReason.Garbled) => new(FrameEventKind.Refused, default, null, default, reason, why);

    /// <summary>The instrument's own error, and what it means.</summary>
    public static FrameEvent DeviceError(string why, FrameReason reason = FrameReason.Device) => new(FrameEventKind.DeviceError, default, null, default, reason, why);

    /// <summary>A press, and where it came from.</summary>
    public static FrameEvent Press(string why) => new(FrameEventKind.Press, default, null, default, FrameReason.None, why);

    /// <summary>Nothing to use, and why.</summary>
    public static FrameEvent Ignored(string why) => new(FrameEventKind.Ignored, default, null, default, FrameReason.None, why);

    /// <summary>Something noticed, and what.</summary>
    public static FrameEvent Noted(FrameReason reason, string why) => new(FrameEventKind.Noted, default, null, default, reason, why);
}

/// <summary>Takes what a decoder finds. The raw bytes are only valid during the call.</summary>
public interface IFrameSink
{
    /// <summary>One event with the bytes it came from.</summary>
    void Receive(in FrameEvent frameEvent, ReadOnlySpan<byte> raw);
}

/// <summary>A decoder of a stream of bytes. It knows no port, clock or logger; a silence is an input like any other.</summary>
public interface IFrameDecoder
{
    /// <summary>Bytes as they came, in any pieces.</summary>
    void Feed(ReadOnlySpan<byte> bytes, IFrameSink sink);

    /// <summary>Nothing came for so long.</summary>
    void Silence(TimeSpan gap, IFrameSink sink);

    /// <summary>Forgets half a frame without a word: the line was lost or reopened.</summary>
    void Reset();
}
