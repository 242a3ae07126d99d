using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Devices;

/// <summary>The built-in caliper: it shows the gap it is given, as a hand would find it.</summary>
/// <remarks>May be told a new gap from any thread.</remarks>
internal sealed class EmulatedCaliper : ICaliper
{
    internal static readonly TimeSpan ShowEvery = TimeSpan.FromMilliseconds(80);

    private readonly Lock _gate = new();
    private readonly HandEmulation _hand;
    private readonly LengthUnit _unit;
    private readonly TimeProvider _time;
    private Length _from;
    private Length _to;
    private long _motion;
    private long _began;
    private long _shown;
    private Action<CaliperEvent>? _post;

    /// <summary>A caliper with its jaws closed.</summary>
    /// <param name="unit">What it displays: 0.01 mm or 0.0005 in steps.</param>
    /// <param name="seed">The same seed and gaps give the same values.</param>
    /// <param name="time">The bench's time.</param>
    internal EmulatedCaliper(LengthUnit unit, ulong seed, TimeProvider time)
    {
        _unit = unit;
        _hand = new HandEmulation(seed, TransmittedValue.ResolutionOf(unit));
        _time = time;
        _began = time.GetTimestamp();
    }

    /// <inheritdoc />
    public bool Asks => true;

    /// <inheritdoc />
    public string Name => "emulated caliper";

    /// <inheritdoc />
    public ReadingSource Source => ReadingSource.Emulated;

    /// <summary>One count of its display.</summary>
    internal Length Resolution => _hand.Resolution;

    /// <summary>Lets the jaws drift from where they are to a new gap.</summary>
    internal void SetTarget(Length gap)
    {
        lock (_gate)
        {
            Move(_hand.At(_from, _to, _motion, _time.GetElapsedTime(_began)), gap);
        }
    }

    /// <summary>Brings the jaws to a gap at once and gives the steady value: for a bench that does not wait.</summary>
    internal CaliperEvent.Value Settle(Length gap)
    {
        lock (_gate)
        {
            Move(gap, gap);
            _began -= _time.TimestampFrequency;   // one second ago: the hand rests by now
            return Say(_hand.Steady(gap));
        }
    }

    /// <summary>Brings the jaws to rest at their target and posts the steady value before it returns, from the caller's thread.</summary>
    public bool Request()
    {
        lock (_gate)
        {
            _post?.Invoke(Settle(_to));
            return _post is not null;
        }
    }

    /// <inheritdoc />
    public TimeSpan Step(Action<CaliperEvent> post)
    {
        lock (_gate)   // a value of before a request must not come after its answer
        {
            if (_post is null)
            {
                post(new CaliperEvent.Opened());
                (_post, _shown) = (post, _time.GetTimestamp());
                return ShowEvery;
            }

            TimeSpan left = ShowEvery - _time.GetElapsedTime(_shown);
            if (left > TimeSpan.Zero)
            {
                return left;
            }

            _shown = _time.GetTimestamp();
            post(Now() with { IsOfItself = true });
            return ShowEvery;
        }
    }

    /// <inheritdoc />
    public void Close()
    {
        lock (_gate)
        {
            _post = null;
        }
    }

    /// <summary>What the display shows now.</summary>
    internal CaliperEvent.Value Now()
    {
        lock (_gate)
        {
            return Say(_hand.At(_from, _to, _motion, _time.GetElapsedTime(_began)));
        }
    }

    private void Move(Length from, Length to)
    {
        (_from, _to, _motion, _began) = (from, to, _motion + 1, _time.GetTimestamp());
    }

    private CaliperEvent.Value Say(Length shown)
    {
        (TimeSpan arrived, DateTimeOffset at) = CaliperSink.Moment(_time);
        return new(new Reading(shown, _unit, Resolution, Source, at, TransmittedValue.Text(shown, _unit)) { Arrived = arrived });
    }
}
