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

/// <summary>What a press finds, with the latest value; the value is meaningless for <see cref="SteadyState.Nothing"/>.</summary>
public readonly record struct SteadyValue(SteadyState State, Sample Latest);

/// <summary>Tells whether a caliper is held still. It keeps the last values only and never allocates after it was made.</summary>
/// <remarks>Time comes with the values; one thread uses it.</remarks>
public sealed class Steadiness
{
    /// <summary>A port is looked at each 8 ms and what came by then has one instant: 2 s of looks fit, however many values each brings.</summary>
    private const int Kept = 256;

    private readonly SteadinessOptions _options;
    private readonly Look[] _ring = new Look[Kept];
    private int _count;
    private int _newest = -1;
    private Length? _taken;

    /// <summary>A filter that has seen nothing.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Fewer than two values are asked for, or more than are kept.</exception>
    public Steadiness(SteadinessOptions? options = null)
    {
        _options = options ?? SteadinessOptions.Default;
        ArgumentOutOfRangeException.ThrowIfLessThan(_options.Values, 2, nameof(options));
        ArgumentOutOfRangeException.ThrowIfGreaterThan(_options.Values, Kept, nameof(options));
    }

    /// <summary>True once a value lay away from the one last taken by more than the band: the caliper has been moved.</summary>
    public bool MovedSinceTaken { get; private set; }

    /// <summary>One more value. A change of unit or resolution, a pause, or a clock that went back begins anew.</summary>
    public void Push(in Sample sample)
    {
        if (_count > 0)
        {
            Sample before = _ring[_newest].Latest;
            bool follows = sample.Unit == before.Unit && sample.Resolution == before.Resolution
                && sample.At >= before.At && sample.At - before.At < _options.BreakAfter;
            _count = follows ? _count : 0;
        }

        if (_count > 0 && _ring[_newest].Latest.At == sample.At)
        {
            Look same = _ring[_newest];
            _ring[_newest] = new(sample, Length.Min(same.Low, sample.Value), Length.Max(same.High, sample.Value), Math.Min(same.Values + 1, Kept));
        }
        else
        {
            _newest = (_newest + 1) % Kept;
            _ring[_newest] = new(sample, sample.Value, sample.Value, 1);
            _count = Math.Min(_count + 1, Kept);
        }

        MovedSinceTaken |= _taken is Length taken && (sample.Value - taken).Abs() > Band(sample);
    }

    /// <summary>What a press at this moment finds.</summary>
    public SteadyValue At(TimeSpan now)
    {
        if (_count == 0)
        {
            return new(SteadyState.Nothing, default);
        }

        Sample latest = _ring[_newest].Latest;
        SteadyState state = now - latest.At > _options.OldAfter ? SteadyState.Old : IsSteady(latest) ? SteadyState.Steady : SteadyState.Moving;
        return new(state, latest);
    }

    /// <summary>The value was taken for a step; from now on a move is watched for.</summary>
    public void Taken(Length value)
    {
        _taken = value;
        MovedSinceTaken = false;
    }

    /// <summary>The caliper was lost or another one opened: nothing from before counts.</summary>
    public void Clear()
    {
        _count = 0;
        _newest = -1;
        _taken = null;
        MovedSinceTaken = false;
    }

    private bool IsSteady(in Sample latest)
    {
        Length low = latest.Value;
        Length high = latest.Value;
        Length band = Band(latest);
        int values = 0;
        for (int back = 0; back < _count; back++)
        {
            Look one = _ring[(_newest - back + Kept) % Kept];
            low = Length.Min(low, one.Low);
            high = Length.Max(high, one.High);
            values += one.Values;
            if (high - low > band)
            {
                return false;
            }

            if (values >= _options.Values && latest.At - one.Latest.At >= _options.Span)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>The values of one instant.</summary>
    private readonly record struct Look(Sample Latest, Length Low, Length High, int Values);

    private Length Band(in Sample sample) => Length.Max(_options.Band, sample.Resolution.Times(2));
}
