using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Devices;

/// <summary>A caliper the bench listens to: a serial port, a capture played back, or the built-in emulator.</summary>
internal interface ICaliper
{
    /// <summary>What to call it on the screen, without control characters: <c>/dev/serial/by-id/…</c>, <c>emulated caliper</c>.</summary>
    string Name { get; }

    /// <summary>The source its readings are filed under.</summary>
    ReadingSource Source { get; }

    /// <summary>
    /// Owns the device until <paramref name="stop"/>; never throws for what the device does. <paramref name="post"/> is
    /// called from this task, must not block, and gets events in the order they happened.
    /// </summary>
    Task RunAsync(Action<CaliperEvent> post, CancellationToken stop);
}

/// <summary>What the caliper's task tells the bench.</summary>
internal abstract record CaliperEvent
{
    private CaliperEvent()
    {
    }

    /// <summary>The device is open; readings may come.</summary>
    internal sealed record Opened : CaliperEvent;

    /// <summary>The device is not there, or was lost; it is tried again by itself. <paramref name="Why"/> says what and what to do.</summary>
    internal sealed record Lost(string Why) : CaliperEvent;

    /// <summary>A value as displayed. <paramref name="Timestamp"/> is of the bench's <see cref="TimeProvider.GetTimestamp"/> when the frame's last byte was read.</summary>
    internal sealed record Value(Length Length, LengthUnit Unit, Length Resolution, string Raw, long Timestamp) : CaliperEvent;

    /// <summary>A frame that was refused, and why; <paramref name="Raw"/> is escaped.</summary>
    internal sealed record Refused(string Why, string Raw) : CaliperEvent;

    /// <summary>The caliper's own button or a pedal.</summary>
    internal sealed record Press(string Why) : CaliperEvent;

    /// <summary>Something worth saying that is neither a reading nor a bad frame.</summary>
    internal sealed record Noted(NoteKind Kind, string Words) : CaliperEvent;
}

/// <summary>What a device noted.</summary>
internal enum NoteKind
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

    /// <summary>The line's rate and format were found.</summary>
    LineFound,
}
