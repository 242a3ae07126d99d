using System.Collections.Immutable;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Readings;

/// <summary>What a press finds.</summary>
public enum SteadyState
{
    /// <summary>No value has come since the caliper was opened.</summary>
    Nothing,

    /// <summary>The last value is too old: the caliper sleeps, or its line is silent.</summary>
    Old,

    /// <summary>Values come but differ, or have not been equal for long enough: hold still.</summary>
    Moving,

    /// <summary>The last value stands for its neighbours and may be taken.</summary>
    Steady,
}

/// <summary>Tells whether a caliper is held still. A value; time comes with the readings.</summary>
public sealed class Steadiness
{
    /// <summary>A port is looked at each 8 ms and what came by then has one instant: 2 s of looks fit, however many values each brings.</summary>
    private const int Kept = 256;

    private readonly SteadinessOptions _options;
    private readonly ImmutableQueue<Look> _looks = [];   // the older first
    private readonly int _count;
    private readonly Look? _newest;
    private readonly Length? _taken;
    private readonly bool _steady;

    /// <summary>A filter that has seen nothing.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Fewer than two values are asked for, or more than are kept.</exception>
    public Steadiness(SteadinessOptions? options = null)
    {
        _options = options ?? SteadinessOptions.Default;
        ArgumentOutOfRangeException.ThrowIfLessThan(_options.Values, 2, nameof(options));
        ArgumentOutOfRangeException.ThrowIfGreaterThan(_options.Values, Kept, nameof(options));
    }

    private Steadiness(SteadinessOptions options, ImmutableQueue<Look> looks, int count, Look? newest, Length? taken, bool moved)
    {
        (_options, _looks, _count, _newest, _taken, MovedSinceTaken) = (options, looks, count, newest, taken, moved);
        _steady = newest is { } latest && IsSteady(latest);
    }

    /// <summary>The latest value, or null before the first.</summary>
    public Reading? Latest => _newest?.Latest;

    /// <summary>True once a value lay away from the one last taken by more than the band: the caliper has been moved.</summary>
    public bool MovedSinceTaken { get; }

    /// <summary>With one more value. A change of unit or resolution, a pause, or a clock that went back starts again.</summary>
    public Steadiness Push(Reading reading)
    {
        bool follows = _newest is { Latest: var before } && reading.Unit == before.Unit && reading.Resolution == before.Resolution
            && reading.Arrived >= before.Arrived && reading.Arrived - before.Arrived < _options.BreakAfter;
        bool moved = MovedSinceTaken || (_taken is { } taken && (reading.Value - taken).Abs() > Band(reading));
        if (!follows)
        {
            return new Steadiness(_options, [], 0, new Look(reading, reading.Value, reading.Value, 1), _taken, moved);
        }

        Look newest = _newest!.Value;
        if (newest.Latest.Arrived == reading.Arrived)
        {
            Look same = new(reading, Length.Min(newest.Low, reading.Value), Length.Max(newest.High, reading.Value), Math.Min(newest.Values + 1, Kept));
            return new Steadiness(_options, _looks, _count, same, _taken, moved);
        }

        ImmutableQueue<Look> looks = _looks.Enqueue(newest);
        return new Steadiness(_options, _count + 1 > Kept ? looks.Dequeue() : looks, Math.Min(_count + 1, Kept), new Look(reading, reading.Value, reading.Value, 1), _taken, moved);
    }

    /// <summary>What a press at this moment finds.</summary>
    public SteadyState At(TimeSpan now) => _newest is not { } newest ? SteadyState.Nothing
        : now - newest.Latest.Arrived > _options.OldAfter ? SteadyState.Old
        : _steady ? SteadyState.Steady : SteadyState.Moving;

    /// <summary>True when a value was taken and the caliper was not seen to move since.</summary>
    public bool IsWhereTaken => _taken is not null && !MovedSinceTaken;

    /// <summary>What was taken does not matter any more.</summary>
    public Steadiness Forget() => new(_options, _looks, _count, _newest, null, false);

    /// <summary>The value was taken for a step; from now on a move is watched for.</summary>
    public Steadiness Taken(Length value) => new(_options, _looks, _count, _newest, value, false);

    private bool IsSteady(Look newest)
    {
        // The run's first look is the latest one from which on all values lie within the band; it must reach far enough back.
        (Length low, Length high, int values, TimeSpan from) = (newest.Low, newest.High, newest.Values, newest.Latest.Arrived);
        Length band = Band(newest.Latest);
        bool Enough() => high - low <= band && values >= _options.Values && newest.Latest.Arrived - from >= _options.Span;
        foreach (Look look in _looks.Reverse())
        {
            if (Enough() || high - low > band)
            {
                break;
            }

            (low, high, values, from) = (Length.Min(low, look.Low), Length.Max(high, look.High), values + look.Values, look.Latest.Arrived);
        }

        return Enough();
    }

    /// <summary>The values of one instant.</summary>
    private readonly record struct Look(Reading Latest, Length Low, Length High, int Values);

    private Length Band(Reading reading) => Length.Max(_options.Band, reading.Resolution.Times(2));
}

/// <summary>When a stream of values counts as steady.</summary>
/// <param name="Values">At least so many values in a row; 2 or more.</param>
/// <param name="Span">Over at least so long.</param>
/// <param name="Band">Largest minus smallest at most this; never taken as less than two steps of the display.</param>
/// <param name="OldAfter">A value older than this at the press is not taken.</param>
/// <param name="BreakAfter">A pause this long between two values ends a run: the hand may have moved meanwhile.</param>
public sealed record SteadinessOptions(int Values, TimeSpan Span, Length Band, TimeSpan OldAfter, TimeSpan BreakAfter)
{
    /// <summary>Three values over 100 ms within 0.05 mm, not older than 500 ms, with no pause of a second.</summary>
    /// <remarks>
    /// A hand at rest on the jaws lets the last digits of a 0.01 mm display run over about ±0.02 mm (common practice, no source), a spread of
    /// 0.04 mm; 0.05 mm lets that pass and is a sixteenth of a tick, so that no gap is judged wrongly for it. Two steps keep a coarse display (0.0005 in
    /// and more) from never being steady. Three values because a wrong single frame is then never taken; the slowest free-running instruments published
    /// send each 330 ms, so a second without a value is a pause.
    /// </remarks>
    public static SteadinessOptions Default { get; } = new(
        3, TimeSpan.FromMilliseconds(100), Length.FromMicrometres(50), TimeSpan.FromMilliseconds(500), TimeSpan.FromSeconds(1));
}
