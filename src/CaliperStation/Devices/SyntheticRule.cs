using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Devices;

/// <summary>One rule over a synthetic blouse's gaps: where it wants its value, and how far off that may be.</summary>
internal sealed class SyntheticRule
{
    // How far inside a limit that stands alone: more than a hand's uncertainty of a difference, and plain to see.
    private const double LengthInside = 1_000_000;
    private const double RatioInside = 0.05;
    private const double AngleInside = 20;
    private const double MaxPull = 100_000_000;   // 0.1 m: a ratio of almost nothing has a gradient without bounds

    private readonly RelationValue _value;
    private readonly Func<string, Measured> _reading;
    private readonly double? _lower;
    private readonly double? _upper;
    private readonly double? _nominal;

    internal SyntheticRule(Relation relation, string step, RelationValue value, Func<string, Measured> reading)
    {
        _value = value;
        _reading = reading;
        Steps = relation.JudgesEach ? [step, .. relation.AddSteps] : [.. relation.Needs];
        Limits limits = relation.Limits[0];   // of several, any one will do
        bool isLength = value.Dimension == Dimension.Length;
        _upper = isLength ? limits.Upper?.Nanometres : limits.UpperNumber;
        _nominal = isLength ? limits.Nominal?.Nanometres : limits.NominalNumber;
        _lower = isLength ? limits.Lower?.Nanometres : limits.LowerNumber;
        if (relation.Kind.IsSpread)
        {
            (_lower, _nominal) = (null, 0);   // a spread is never negative: nothing lies below it
        }
    }

    /// <summary>The steps it reads.</summary>
    internal IReadOnlyList<string> Steps { get; }

    /// <summary>The most that its value changes when each of its readings changes by 1 nm.</summary>
    internal double Steepness => _value.Gradient.Sum(term => Math.Abs(term.PerNanometre));

    /// <summary>How much room is left to the nearest limit, drawn in by the guard factor's uncertainties.</summary>
    internal double Slack(double guard)
    {
        double room = Math.Min(_value.Number - _lower ?? double.MaxValue, _upper - _value.Number ?? double.MaxValue);
        return room - (guard * _value.Uncertainty(_reading));
    }

    /// <summary>Pulls the readings, each by its part, to where the rule's value is what it wants; false when they are there.</summary>
    internal bool Pull(Dictionary<string, Length> gaps)
    {
        double square = _value.Gradient.Sum(term => term.PerNanometre * term.PerNanometre);
        double miss = Wanted - _value.Number;
        if (square == 0 || !double.IsFinite(miss / square))
        {
            return false;
        }

        bool moved = false;
        foreach ((string step, double perNanometre) in _value.Gradient)
        {
            double pull = Math.Clamp(perNanometre * miss / square, -MaxPull, MaxPull);
            gaps[step] += Length.FromNanometres(pull, Rounding.HalfEven);
            moved |= Math.Abs(pull) > 1;
        }

        return moved;
    }

    private double Wanted => _nominal ?? (_lower, _upper) switch
    {
        ({ } lower, { } upper) => (lower + upper) / 2,
        ({ } lower, null) => Math.Max(_value.Number, lower + Inside),
        (null, { } upper) => Math.Min(_value.Number, upper - Inside),
        (null, null) => _value.Number,
    };

    private double Inside => _value.Dimension switch
    {
        Dimension.Length => LengthInside,
        Dimension.Angle => AngleInside,
        Dimension.Ratio => RatioInside,
    };
}
