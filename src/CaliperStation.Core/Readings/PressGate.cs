namespace CaliperStation.Core.Readings;

/// <summary>Makes one press of a bouncing, nervous or held one. A value: hearing a press gives the next gate.</summary>
/// <remarks>
/// Measured switches bounce for 1.6 ms in the mean and 6.2 ms at worst (uruvideo.com/how-long-is-switch-debounce), one designer allows 250 ms; a person does
/// not press twice on purpose within 300 ms while moving a caliper. A key held down repeats each 30 to 50 ms after 250 to 700 ms (from memory): each repeat is heard,
/// so the press goes on for as long as it lasts, and its first repeat comes too soon for what wants <see cref="Calm"/>. A key held just beyond that delay gives two
/// presses that look like two of a person; it never gives three, for the next repeat is too close. So three presses answer a question, and two do not.
/// </remarks>
/// <param name="Heard">When a press was heard last; null for never.</param>
public readonly record struct PressGate(TimeSpan? Heard)
{
    /// <summary>300 ms: closer presses are the same one.</summary>
    public static readonly TimeSpan LockOut = TimeSpan.FromMilliseconds(300);

    /// <summary>0.8 s of quiet before a press that confirms or signs.</summary>
    public static readonly TimeSpan Calm = TimeSpan.FromMilliseconds(800);

    /// <summary>1.4 s: a press of its own within it follows the one before, also of a slow foot; three in a row answer a question. Our own choice, no source.</summary>
    public static readonly TimeSpan Following = TimeSpan.FromSeconds(1.4);

    /// <summary>Three presses in a row answer a question.</summary>
    public const int ToAnswer = 3;

    /// <summary>The gate after a press at this instant.</summary>
    public static PressGate Hear(TimeSpan now) => new(now);

    /// <summary>True when a press now is a press of its own.</summary>
    public bool IsNew(TimeSpan now) => Quiet(now) >= LockOut;

    /// <summary>True when a press now has enough quiet before it to confirm or sign.</summary>
    public bool IsCalm(TimeSpan now) => Quiet(now) >= Calm;

    /// <summary>True when a press now is a press of its own and follows the one before.</summary>
    public bool Follows(TimeSpan now) => IsNew(now) && Quiet(now) <= Following;

    private TimeSpan Quiet(TimeSpan now) => Heard is { } heard && now >= heard ? now - heard : TimeSpan.MaxValue;
}
