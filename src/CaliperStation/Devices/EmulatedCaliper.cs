using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Devices;

/// <summary>The built-in caliper: it shows the gap it is told, as a hand would find it.</summary>
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

    /// <summary>A caliper with its jaws closed.</summary>
    /// <param name="unit">What it displays: 0.01 mm or 0.0005 in steps.</param>
    /// <param name="seed">The same seed and gaps give the same values.</param>
    /// <param name="time">The bench's time.</param>
    internal EmulatedCaliper(LengthUnit unit, ulong seed, TimeProvider time)
    {
        _unit = unit;
        _hand = new HandEmulation(seed, SpokenValue.ResolutionOf(unit));
        _time = time;
        _began = time.GetTimestamp();
    }

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

    /// <inheritdoc />
    public async Task RunAsync(Action<CaliperEvent> post, CancellationToken stop)
    {
        post(new CaliperEvent.Opened());

        // A bare timer: a periodic wait wakes the pool twice for each value.
        ITimer timer = _time.CreateTimer(_ => post(Now()), null, ShowEvery, ShowEvery);
        await Task.Delay(Timeout.InfiniteTimeSpan, _time, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        await timer.DisposeAsync().ConfigureAwait(false);   // waits for a value that is just being told
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

    private CaliperEvent.Value Say(Length shown) =>
        new(shown, _unit, Resolution, SpokenValue.Text(shown, _unit), _time.GetTimestamp());
}
