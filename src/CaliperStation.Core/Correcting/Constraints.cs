using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>Turns relations into constraints for moves. The unit of a move is half a tick; a turn counts times the item's half width.</summary>
internal sealed class Constraints
{
    /// <summary>Half a tick: near to what moves are, so that the equations are well scaled.</summary>
    internal const double MoveUnitNanometres = 396_875;

    private readonly Plan _plan;
    private readonly IReadOnlyList<SensitivityRow> _sensitivities;
    private readonly IReadOnlyDictionary<string, Measured> _readings;
    private readonly IReadOnlySet<string> _alsoWanted;
    private readonly HashSet<(string Relation, string? Step)> _within;
    private readonly List<Constraint> _constraints = [];

    private Constraints(Plan plan, RelationEvaluation evaluation, IReadOnlyList<SensitivityRow> sensitivities, IReadOnlySet<string> alsoWanted)
    {
        _alsoWanted = alsoWanted;
        _plan = plan;
        _sensitivities = sensitivities;
        _readings = evaluation.Readings;
        _within = [.. evaluation.All.Where(judgement => judgement.Verdict == Verdict.Within).Select(judgement => (judgement.Relation.Id, judgement.Relation.JudgesEach ? judgement.Steps[0] : null))];
    }

    /// <summary>The constraints of every relation whose readings are there, in the order of the file.</summary>
    /// <remarks>What is borderline is only to get no worse, unless it is among <paramref name="alsoWanted"/>.</remarks>
    internal static IReadOnlyList<Constraint> Of(Plan plan, RelationEvaluation evaluation, IReadOnlyList<SensitivityRow> sensitivities, IReadOnlySet<string> alsoWanted)
    {
        Constraints constraints = new(plan, evaluation, sensitivities, alsoWanted);
        foreach (Relation relation in evaluation.Relations)
        {
            constraints.Add(relation);
        }

        return constraints._constraints;
    }

    private void Add(Relation relation)
    {
        if (relation.JudgesEach)
        {
            foreach (string step in relation.Of.Where(step => _readings.ContainsKey(step) && relation.AddSteps.All(_readings.ContainsKey)))
            {
                Add(relation, step, relation.Limits, relation.Value(step, null, Reading));
            }
        }
        else if (relation.Needs.All(_readings.ContainsKey))
        {
            ExactLength? span = Spans.Of(_plan.Standard, relation, Reading);
            foreach ((RelationValue value, IReadOnlyList<Limits> limits) in relation.Kind.Linear(relation, relation.Of[0], span, step => Reading(step).Value))
            {
                Add(relation, null, limits, value);
            }
        }
    }

    private void Add(Relation relation, string? each, IReadOnlyList<Limits> allowed, RelationValue value)
    {
        double uncertainty = value.Uncertainty(Reading);
        double guard = Judge.GuardFactor(_plan.Standard.Judging, value.Degrees(uncertainty, Reading)) * uncertainty;
        double half = allowed.Max(limits => HalfTolerance(value.Dimension, limits, uncertainty));
        SortedDictionary<int, double> factors = [];
        foreach ((string step, double perNanometre) in value.Gradient)
        {
            SensitivityRow sensitivity = _sensitivities[_plan.PositionOf(step)];
            AddFactors(factors, sensitivity.Of, sensitivity, sensitivity.OfLever, perNanometre * MoveUnitNanometres / half);
            AddFactors(factors, sensitivity.From, sensitivity, sensitivity.FromLever, -perNanometre * MoveUnitNanometres / half);
        }

        (int Column, double Factor)[] telling = [.. factors.Where(pair => Math.Abs(pair.Value) > 1e-9).Select(pair => (pair.Key, pair.Value))];
        Interval[] intervals = [.. allowed.Select(limits => IntervalOf(value.Dimension, limits, guard, half))];
        Constraint constraint = new(relation.Id, value.Number / half, [.. telling.Select(pair => pair.Column)], [.. telling.Select(pair => pair.Factor)], intervals);
        bool outside = allowed.All(limits => IsOutside(value, limits, guard));
        _constraints.Add(_within.Contains((relation.Id, each)) ? constraint.Holding() : outside || constraint.Holds || _alsoWanted.Contains(relation.Id) ? constraint : constraint.NoWorse(aims: true));
    }

    private void AddFactors(SortedDictionary<int, double> factors, int item, SensitivityRow sensitivity, double lever, double each)
    {
        if (item >= 0)
        {
            factors[3 * item] = factors.GetValueOrDefault(3 * item) + (each * sensitivity.Right);
            factors[(3 * item) + 1] = factors.GetValueOrDefault((3 * item) + 1) + (each * sensitivity.Up);
            factors[(3 * item) + 2] = factors.GetValueOrDefault((3 * item) + 2) + (each * lever / LinearModel.TurnScale(_plan.Items[item]));
        }
    }

    private double HalfTolerance(Dimension dimension, Limits limits, double uncertainty)
    {
        (double low, double high) = Ends(dimension, limits);
        double half = double.IsFinite(high - low) ? (high - low) / 2 : dimension == Dimension.Length ? _plan.Standard.Judging.Within.Nanometres : 0;
        return Math.Max(half, Math.Max(uncertainty, dimension == Dimension.Length ? 1 : 1e-9));
    }

    /// <summary>The acceptance interval; where the guard bands leave none, the tolerance itself: no bench can do better there.</summary>
    private static Interval IntervalOf(Dimension dimension, Limits limits, double drawnIn, double half)
    {
        (double low, double high) = Ends(dimension, limits);
        double guard = Guard(dimension, drawnIn) + (dimension == Dimension.Length && drawnIn > 0 ? 1 : 0);   // 1 nm: predictions are floating numbers
        (low, high) = low + guard <= high - guard ? (low + guard, high - guard) : (low, high);
        double? aim = dimension == Dimension.Length ? limits.Nominal?.Nanometres : limits.NominalNumber;
        if (aim is { } nominal && double.IsFinite(high - low))
        {
            double quarter = (high - low) / 4;   // a nominal at a limit is aimed at from inside
            aim = Math.Clamp(nominal, low + quarter, high - quarter);
        }

        const double Clear = 4 * Constraint.Tolerance;   // an excluded limit is not reached, arithmetic and all
        return new Interval((low / half) + (limits.LowerExcluded ? Clear : 0), (high / half) - (limits.UpperExcluded ? Clear : 0), aim / half);
    }

    /// <summary>Beyond the limits pushed out, as <see cref="Judge"/> pushes them.</summary>
    private static bool IsOutside(RelationValue value, Limits limits, double pushedOut)
    {
        (double low, double high) = Ends(value.Dimension, limits);
        double guard = Guard(value.Dimension, pushedOut);
        return value.Number < low - guard || value.Number > high + guard;
    }

    private static double Guard(Dimension dimension, double guard) => dimension == Dimension.Length ? Judge.GuardBand(guard).Nanometres : guard;

    private static (double Low, double High) Ends(Dimension dimension, Limits limits) => dimension == Dimension.Length
        ? (limits.Lower?.Nanometres ?? double.NegativeInfinity, limits.Upper?.Nanometres ?? double.PositiveInfinity)
        : (limits.LowerNumber ?? double.NegativeInfinity, limits.UpperNumber ?? double.PositiveInfinity);

    private Measured Reading(string step) => _readings[step];
}
