namespace CaliperStation.Core.Readings;

/// <summary>When an instrument sends.</summary>
public enum SenderKind
{
    /// <summary>Not known yet.</summary>
    Unknown,

    /// <summary>All the time, several times a second.</summary>
    FreeRunning,

    /// <summary>Once, when its own button is pressed: such a value is a press, and the hand has answered for its steadiness.</summary>
    OnKey,
}

/// <summary>Finds out whether an instrument sends all the time or on its own button, so that the button works as a press. A value.</summary>
/// <remarks>
/// A value is isolated after a silence of <see cref="Quiet"/> or more and before one of <see cref="Wait"/> or more. The first two isolated values are presses
/// <see cref="Wait"/> late; after them the habit is known and each is a press at once. An instrument once seen to run freely never presses until another is opened.
/// </remarks>
public sealed record SendingHabit
{
    /// <summary>The slowest published free-running instrument sends each 330 ms.</summary>
    public static readonly TimeSpan Wait = TimeSpan.FromMilliseconds(400);

    /// <summary>A second without a value is a pause.</summary>
    public static readonly TimeSpan Quiet = TimeSpan.FromSeconds(1);

    private const int IsolatedValuesToKnow = 2;

    /// <summary>Two are a double press or a repeated line; four in a row with short gaps are a stream.</summary>
    private const int StreamToKnow = 4;

    private Reading? Waiting { get; init; }

    private TimeSpan? Last { get; init; }

    private int Isolated { get; init; }

    private int Stream { get; init; }

    /// <summary>What is known.</summary>
    public SenderKind Kind { get; private init; }

    /// <summary>A value came.</summary>
    /// <returns>The habit after it, and whether it is a press at once.</returns>
    public (SendingHabit After, bool IsPress) Push(Reading reading)
    {
        bool isolated = Last is not { } last || reading.Arrived - last >= Quiet;
        int stream = isolated ? 1 : Stream + 1;
        SenderKind kind = stream >= StreamToKnow ? SenderKind.FreeRunning : Kind;
        return (
            this with { Last = reading.Arrived, Stream = stream, Kind = kind, Waiting = kind == SenderKind.Unknown && isolated ? reading : null },
            kind == SenderKind.OnKey && isolated);
    }

    /// <summary>A value that was asked for: it is no press, and what follows within <see cref="Quiet"/> is not isolated.</summary>
    public SendingHabit Answered(Reading reading) => this with { Last = reading.Arrived, Stream = 1, Waiting = null };

    /// <summary>What was pending is over: something else was done since it came.</summary>
    public SendingHabit Forget() => Waiting is null ? this : this with { Waiting = null };

    /// <summary>Time goes on.</summary>
    /// <returns>The habit now, and the value that turned out to be a press, once; else null.</returns>
    public (SendingHabit After, Reading? Pressed) Poll(TimeSpan now) =>
        Waiting is not { } waiting || now - waiting.Arrived < Wait
            ? (this, null)
            : (this with { Waiting = null, Isolated = Isolated + 1, Kind = Isolated + 1 >= IsolatedValuesToKnow ? SenderKind.OnKey : Kind }, waiting);
}
