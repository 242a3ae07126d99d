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

/// <summary>Finds out whether an instrument sends all the time or on its own button, so that the button works as a press.</summary>
/// <remarks>
/// A value is lone when none came for <see cref="Quiet"/> before it and none for <see cref="Wait"/> after it. The first two lone values are presses
/// <see cref="Wait"/> late; after them the habit is known and each is a press at once. An instrument once seen to run freely never presses until it is cleared.
/// </remarks>
public sealed class SendingHabit
{
    /// <summary>The slowest published free-running instrument sends each 330 ms.</summary>
    public static readonly TimeSpan Wait = TimeSpan.FromMilliseconds(400);

    /// <summary>A second without a value is a pause.</summary>
    public static readonly TimeSpan Quiet = TimeSpan.FromSeconds(1);

    private const int LoneValuesToKnow = 2;

    /// <summary>Two are a double press or a repeated line; four in a row with short gaps are a stream.</summary>
    private const int StreamToKnow = 4;

    private readonly bool _isSet;
    private Sample? _waiting;
    private TimeSpan? _last;
    private int _lone;
    private int _stream;

    /// <summary>Learns, unless the habit is set.</summary>
    public SendingHabit(SenderKind set = SenderKind.Unknown)
    {
        _isSet = set != SenderKind.Unknown;
        Kind = set;
    }

    /// <summary>What is known.</summary>
    public SenderKind Kind { get; private set; }

    /// <summary>A value came. True when it is a press at once.</summary>
    public bool Push(in Sample sample)
    {
        TimeSpan? gap = _last is TimeSpan last ? sample.At - last : null;
        _last = sample.At;
        if (_isSet)
        {
            return Kind == SenderKind.OnKey;
        }

        bool lone = gap is null || gap >= Quiet;
        _stream = lone ? 1 : _stream + 1;
        if (_stream >= StreamToKnow)
        {
            Kind = SenderKind.FreeRunning;
        }

        bool known = Kind == SenderKind.OnKey && lone;
        _waiting = Kind == SenderKind.Unknown && lone ? sample : null;
        return known;
    }

    /// <summary>Time goes on. The value that turned out to be a press, once; else null.</summary>
    public Sample? Poll(TimeSpan now)
    {
        if (_waiting is not Sample waiting || now - waiting.At < Wait)
        {
            return null;
        }

        _waiting = null;
        _lone++;
        if (_lone >= LoneValuesToKnow)
        {
            Kind = SenderKind.OnKey;
        }

        return waiting;
    }

    /// <summary>Another instrument, or the same one opened again: nothing is pending; what was set stays, what was learnt is forgotten.</summary>
    public void Clear()
    {
        _waiting = null;
        _last = null;
        _lone = 0;
        _stream = 0;
        Kind = _isSet ? Kind : SenderKind.Unknown;
    }
}
