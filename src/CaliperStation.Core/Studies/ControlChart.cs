namespace CaliperStation.Core.Studies;

/// <summary>Centre and limits of a chart, in the unit of its values.</summary>
public sealed record ControlLimits(double Lower, double Centre, double Upper)
{
    /// <summary>True for a value that lies beyond a limit; on a limit it does not.</summary>
    public bool IsBeyond(double value) => value < Lower || value > Upper;
}

/// <summary>The rules that call points of a chart out; NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2 (the "WECO rules" and the trend rules), www.itl.nist.gov/div898/handbook/pmc/section3/pmc32.htm.</summary>
public enum RunRule
{
    /// <summary>One point beyond three standard deviations.</summary>
    BeyondLimits,

    /// <summary>Two of three points beyond two standard deviations, on one side.</summary>
    TwoOfThree,

    /// <summary>Four of five points beyond one standard deviation, on one side.</summary>
    FourOfFive,

    /// <summary>Eight points in a row on one side of the centre.</summary>
    EightOnOneSide,

    /// <summary>Six points in a row, each higher than the one before, or each lower.</summary>
    SixTrending,

    /// <summary>Fourteen points in a row that go up and down in turn.</summary>
    FourteenAlternating,
}

/// <summary>A rule that holds at a point, with the points it looks at.</summary>
/// <param name="Rule">The rule.</param>
/// <param name="First">The first point it looks at, from 0.</param>
/// <param name="Last">The point at which it holds.</param>
/// <param name="Side">1: high, or rising; −1: low, or falling; 0 for points that go up and down in turn.</param>
public readonly record struct RunSignal(RunRule Rule, int First, int Last, int Side);

/// <summary>Why a chart has no limits.</summary>
public enum NoLimits
{
    /// <summary>There is no value.</summary>
    NoValue,

    /// <summary>There are fewer values than <see cref="ControlChart.LeastValues"/>.</summary>
    TooFew,

    /// <summary>Every value is the same, so that any change at all would be beyond the limits.</summary>
    AllEqual,

    /// <summary>The values are too large to be reckoned with.</summary>
    TooLarge,
}

/// <summary>An individuals chart with its moving range chart: how single values scatter about their mean, and which of them chance alone does not explain.</summary>
/// <remarks>
/// Limits as in the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (www.itl.nist.gov/div898/handbook/pmc/section3/pmc322.htm): mean ± 3·MR/d₂, with the mean MR of the moving ranges
/// of two neighbours and d₂ = 1.128 as printed there. The moving range chart reaches from D₃·MR = 0 to D₄·MR with D₄ = 3.267 (table of factors for n = 2). A moving range follows a slow
/// drift, so the drift does not widen the limits that are to show it.
/// </remarks>
public sealed class ControlChart
{
    /// <summary>Fewer values give no limits: the published example has as many.</summary>
    public const int LeastValues = 10;

    /// <summary>
    /// About every so many points a chart is called out though nothing changed: average run length of the four zone rules on normal values, e-Handbook 6.3.2 after Champ and Woodall (1987), from memory.
    /// The rules for rising, falling and alternating points and the moving average add to that.
    /// </summary>
    public const double FalseAlarmEvery = 91.75;

    /// <summary>Limits from fewer values are provisional: common practice asks 20 to 25, no source.</summary>
    public const int FirmValues = 20;

    /// <summary>Mean of the range of two values of a normal distribution with standard deviation 1, as printed.</summary>
    private const double D2 = 1.128;

    /// <summary>Upper limit of the range of two over its mean, as printed.</summary>
    private const double D4 = 3.267;

    private const double Sigmas = 3;

    private ControlChart(IReadOnlyList<double> values, ControlLimits? limits, double meanRange, NoLimits? why)
    {
        (Values, Limits, MeanMovingRange, Why) = (values, limits, meanRange, why);
        Signals = limits is null ? [] : [.. SignalsOf(values, limits.Centre, Sigma)];
    }

    /// <summary>The values, in their order.</summary>
    public IReadOnlyList<double> Values { get; }

    /// <summary>Mean and limits; null where <see cref="Why"/> says why not.</summary>
    public ControlLimits? Limits { get; }

    /// <summary>Why there are no limits; null when there are.</summary>
    public NoLimits? Why { get; }

    /// <summary>Mean difference of two neighbours, never negative; 0 below two values.</summary>
    public double MeanMovingRange { get; }

    /// <summary>Standard deviation of a single value from the moving ranges, MR/d₂; 0 where all are equal.</summary>
    public double Sigma => MeanMovingRange / D2;

    /// <summary>Limits of the moving range; null where there are none of the values.</summary>
    public ControlLimits? RangeLimits => Limits is null ? null : new(0, MeanMovingRange, D4 * MeanMovingRange);

    /// <summary>True for limits from fewer than <see cref="FirmValues"/> values.</summary>
    public bool IsProvisional => Limits is not null && Values.Count < FirmValues;

    /// <summary>Every rule at every point where it holds, in the order of the points.</summary>
    public IReadOnlyList<RunSignal> Signals { get; }

    /// <summary>The difference of each value to the one before it: one fewer than the values.</summary>
    public IEnumerable<double> MovingRanges => Values.Skip(1).Zip(Values, (value, before) => Math.Abs(value - before));

    /// <summary>The chart of some values.</summary>
    /// <exception cref="ArgumentException">A value is not finite.</exception>
    public static ControlChart Of(IReadOnlyList<double> values)
    {
        ArgumentNullException.ThrowIfNull(values);
        if (values.Any(value => !double.IsFinite(value)))
        {
            throw new ArgumentException("A chart is of finite values.", nameof(values));
        }

        if (values.Count == 0)
        {
            return new(values, null, 0, NoLimits.NoValue);
        }

        double mean = values.Average();
        double range = values.Count < 2 ? 0 : values.Skip(1).Zip(values, (value, before) => Math.Abs(value - before)).Average();
        ControlLimits limits = new(mean - (Sigmas * range / D2), mean, mean + (Sigmas * range / D2));
        return !double.IsFinite(limits.Lower) || !double.IsFinite(limits.Upper) ? new(values, null, 0, NoLimits.TooLarge)
            : values.Count < LeastValues ? new(values, null, range, NoLimits.TooFew)
            : range == 0 ? new(values, null, 0, NoLimits.AllEqual)
            : new(values, limits, range, null);
    }

    private static IEnumerable<RunSignal> SignalsOf(IReadOnlyList<double> values, double centre, double sigma)
    {
        for (int last = 0; last < values.Count; last++)
        {
            foreach ((RunRule rule, int points) in _lengths)
            {
                int first = last - points + 1;
                if (first >= 0 && SideOf(rule, values, first, last, centre, sigma) is { } side)
                {
                    yield return new RunSignal(rule, first, last, side);
                }
            }
        }
    }

    private static readonly (RunRule Rule, int Points)[] _lengths =
    [
        (RunRule.BeyondLimits, 1), (RunRule.TwoOfThree, 3), (RunRule.FourOfFive, 5), (RunRule.EightOnOneSide, 8), (RunRule.SixTrending, 6), (RunRule.FourteenAlternating, 14),
    ];

    /// <summary>On which side the rule holds for these points; null when it does not. The last of "two of three" and "four of five" is one of those beyond, so that what came back is not called out once more.</summary>
    private static int? SideOf(RunRule rule, IReadOnlyList<double> values, int first, int last, double centre, double sigma)
    {
        int Step(int at) => Math.Sign(values[at] - values[at - 1]);
        int? Beyond(int wanted, double sigmas)
        {
            int side = Math.Sign(values[last] - centre);
            int beyond = 0;
            for (int at = first; at <= last; at++)
            {
                beyond += side * (values[at] - centre) > sigmas * sigma ? 1 : 0;
            }

            return side != 0 && beyond >= wanted && side * (values[last] - centre) > sigmas * sigma ? side : null;
        }

        switch (rule)
        {
            case RunRule.BeyondLimits:
                return Beyond(1, Sigmas);
            case RunRule.TwoOfThree:
                return Beyond(2, 2);
            case RunRule.FourOfFive:
                return Beyond(4, 1);
            case RunRule.EightOnOneSide:
                return Beyond(last - first + 1, 0);
            case RunRule.SixTrending:
                int rising = Step(last);
                return rising != 0 && Enumerable.Range(first + 1, last - first).All(at => Step(at) == rising) ? rising : null;
            case RunRule.FourteenAlternating:
                return Step(last) != 0 && Enumerable.Range(first + 2, last - first - 1).All(at => Step(at) == -Step(at - 1)) ? 0 : null;
            default:
                throw new System.Diagnostics.UnreachableException();
        }
    }
}

/// <summary>An exponentially weighted moving average chart: it shows a small lasting shift sooner than single values do.</summary>
/// <remarks>
/// NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4 (www.itl.nist.gov/div898/handbook/pmc/section3/pmc324.htm): EWMA₀ is the target, EWMAₜ = λ·yₜ + (1 − λ)·EWMAₜ₋₁; limits are target ± k·s·√(λ/(2 − λ)),
/// those of a long series, which are a little wide for the first points.
/// </remarks>
public sealed class EwmaChart
{
    /// <summary>The weight of the newest value in the published example, where 0.2 to 0.3 is called usual.</summary>
    public const double UsualWeight = 0.3;

    private const double Sigmas = 3;

    private EwmaChart(IReadOnlyList<double> averages, ControlLimits limits) => (Averages, Limits) = (averages, limits);

    /// <summary>The average after each value; as many as there are values.</summary>
    public IReadOnlyList<double> Averages { get; }

    /// <summary>Target and limits.</summary>
    public ControlLimits Limits { get; }

    /// <summary>True when the newest average lies beyond a limit.</summary>
    public bool IsOut => Averages.Count > 0 && Limits.IsBeyond(Averages[^1]);

    /// <summary>The chart of some values.</summary>
    /// <param name="values">The values, in their order.</param>
    /// <param name="target">What they should be on average.</param>
    /// <param name="sigma">Standard deviation of one value; positive.</param>
    /// <param name="weight">λ, above 0 and at most 1.</param>
    /// <exception cref="ArgumentOutOfRangeException">Sigma or weight is out of range.</exception>
    public static EwmaChart Of(IReadOnlyList<double> values, double target, double sigma, double weight = UsualWeight)
    {
        ArgumentNullException.ThrowIfNull(values);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sigma);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(weight);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(weight, 1);
        List<double> averages = new(values.Count);
        double average = target;
        foreach (double value in values)
        {
            average = (weight * value) + ((1 - weight) * average);
            averages.Add(average);
        }

        double reach = Sigmas * sigma * Math.Sqrt(weight / (2 - weight));
        return new EwmaChart(averages, new(target - reach, target, target + reach));
    }
}
