using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Readings;

/// <summary>Where a reading came from.</summary>
public enum ReadingSource
{
    /// <summary>Typed by hand.</summary>
    Typed,

    /// <summary>A caliper on a serial line.</summary>
    Serial,

    /// <summary>A caliper that types as a keyboard.</summary>
    Keyboard,

    /// <summary>A capture file played back.</summary>
    Replay,

    /// <summary>The built-in emulated caliper.</summary>
    Emulated,
}

/// <summary>One length from the caliper or the keyboard.</summary>
/// <param name="Value">The length, exact.</param>
/// <param name="Unit">The unit it was shown or written in.</param>
/// <param name="Resolution">One step of the display or rule it was read on; positive.</param>
/// <param name="Source">Where it came from.</param>
/// <param name="At">When, UTC.</param>
/// <param name="Raw">The text or bytes as they came, with every byte outside printable ASCII escaped as <c>\xNN</c>.</param>
public sealed record Reading(
    Length Value,
    LengthUnit Unit,
    Length Resolution,
    ReadingSource Source,
    DateTimeOffset At,
    string Raw)
{
    /// <summary>Initials of the hand that took it; empty when not said (records of schema 1), or not yet taken.</summary>
    public string Hand { get; init; } = "";

    /// <summary>When its last byte was read, on a clock that only goes forward. Not kept: zero once it is taken.</summary>
    public TimeSpan Arrived { get; init; }

    /// <summary>True for what no person measured: such a reading makes its record a practice record.</summary>
    public bool IsPretended => Source is ReadingSource.Emulated or ReadingSource.Replay;
}
