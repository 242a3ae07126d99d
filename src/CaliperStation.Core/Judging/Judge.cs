using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>Gives verdicts by a standard's own settings.</summary>
public static class Judge
{
    /// <summary>
    /// Every judgement a relation can give from the readings at hand: one for each reading where it holds for each,
    /// else one when all are there. Conditions are the caller's business.
    /// </summary>
    /// <param name="standard">The standard with its judging settings.</param>
    /// <param name="relation">One of its relations.</param>
    /// <param name="reading">What a step was read as, or null when it was not or is stale.</param>
    public static IEnumerable<Judgement> Relation(Standard standard, Relation relation, Func<string, Measured?> reading)
    {
        Measured Known(string step) => reading(step) ?? throw new InvalidOperationException($"Step {step} has no reading.");
        if (!relation.JudgesEach)
        {
            string[] needs = [.. relation.Needs];
            if (Array.TrueForAll(needs, step => reading(step) is not null))
            {
                yield return One(standard, relation, needs, Known);
            }

            yield break;
        }

        foreach (string step in relation.Of)
        {
            if (reading(step) is not null && relation.AddSteps.All(add => reading(add) is not null))
            {
                yield return One(standard, relation, [step, .. relation.AddSteps], Known);
            }
        }
    }

    /// <summary>How many standard uncertainties the settings' rule draws limits in by: none for the plain one; more where the uncertainty has few degrees of freedom.</summary>
    public static double GuardFactor(JudgingSettings settings, double degrees = double.PositiveInfinity) => settings.Rule switch
    {
        DecisionRule.Plain => 0,
        DecisionRule.Guarded => Conformance.GuardFactor(settings.Confidence, degrees),
    };

    /// <summary>
    /// The verdict on a value by one interval (rules of <see cref="DecisionRule"/>); exact for lengths. Where a limit is excluded, so is
    /// its acceptance limit, and a value on the limit pushed out is outside: without uncertainty the limit itself is outside, not borderline.
    /// </summary>
    private static Verdict Verdict(RelationValue value, double guard, Limits limits)
    {
        if (value.Dimension != Dimension.Length)
        {
            return Sort(
                Fits(value.Number, limits.LowerNumber + guard, limits.UpperNumber - guard, limits),
                Fits(value.Number, limits.LowerNumber - guard, limits.UpperNumber + guard, limits));
        }

        Length band = GuardBand(guard);
        return Sort(
            Fits(value.Exact, limits.Lower + band, limits.Upper - band, limits),
            Fits(value.Exact, limits.Lower - band, limits.Upper + band, limits));
    }

    /// <summary>A guard band as a length: rounded up to the whole nanometre, away from acceptance.</summary>
    internal static Length GuardBand(double nanometres) => Length.FromNanometres(nanometres, Rounding.Up);

    private static Judgement One(Standard standard, Relation relation, string[] steps, Func<string, Measured> reading)
    {
        ExactLength? span = Spans.Of(standard, relation, reading);
        RelationValue value = relation.Value(steps[0], span, reading);
        double uncertainty = value.Uncertainty(reading);
        double degrees = value.Degrees(uncertainty, reading);
        double guardFactor = GuardFactor(standard.Judging, degrees);
        double? angle = relation.Kind.AlsoAngle(value.Number, span);
        Judgement best = One(relation, steps, value, uncertainty, degrees, guardFactor, relation.Limits[0], angle);
        for (int i = 1; i < relation.Limits.Count; i++)
        {
            Judgement other = One(relation, steps, value, uncertainty, degrees, guardFactor, relation.Limits[i], angle);
            best = IsBetter(other, best) ? other : best;
        }

        return double.IsInfinity(degrees) ? best
            : best with { Degrees = degrees, Studies = [.. value.Gradient.Select(term => reading(term.Step).Study).OfType<string>().Distinct()] };
    }

    /// <summary>If any one of several limits suffices: the best verdict wins; ties by conformance probability, then margin.</summary>
    private static bool IsBetter(Judgement one, Judgement other) =>
        (other.Verdict, one.Conformance, one.Margin).CompareTo((one.Verdict, other.Conformance, other.Margin)) > 0;

    private static Judgement One(
        Relation relation, IReadOnlyList<string> steps, RelationValue value, double uncertainty, double degrees, double guardFactor, Limits limits, double? angle)
    {
        Limits effective = relation.Kind.Effective(limits);
        double? lower = Lower(value.Dimension, effective);
        double? upper = Upper(value.Dimension, effective);
        double margin = Math.Min(value.Number - lower ?? double.PositiveInfinity, upper - value.Number ?? double.PositiveInfinity);
        return new Judgement(
            relation, steps, value.Dimension, value.Exact, value.Number, limits, Lower(value.Dimension, limits), upper, uncertainty,
            Conformance.Probability(value.Number, uncertainty, lower, upper, effective.LowerExcluded, effective.UpperExcluded, degrees), margin,
            Verdict(value, guardFactor * uncertainty, effective), angle);
    }

    private static double? Lower(Dimension dimension, Limits limits) => dimension == Dimension.Length ? limits.Lower?.Nanometres : limits.LowerNumber;

    private static double? Upper(Dimension dimension, Limits limits) => dimension == Dimension.Length ? limits.Upper?.Nanometres : limits.UpperNumber;

    private static Verdict Sort(bool inner, bool outer) => inner ? Judging.Verdict.Within : outer ? Judging.Verdict.Borderline : Judging.Verdict.Outside;

    private static bool Fits(double value, double? lower, double? upper, Limits limits) =>
        (lower is not { } low || Clears(value.CompareTo(low), limits.LowerExcluded)) && (upper is not { } high || Clears(high.CompareTo(value), limits.UpperExcluded));

    private static bool Fits(ExactLength value, Length? lower, Length? upper, Limits limits) =>
        (lower is not { } low || Clears(value.Numerator.CompareTo(Times(low, value.Denominator)), limits.LowerExcluded))
        && (upper is not { } high || Clears(Times(high, value.Denominator).CompareTo(value.Numerator), limits.UpperExcluded));

    private static bool Clears(int order, bool isExcluded) => isExcluded ? order > 0 : order >= 0;

    private static Int128 Times(Length limit, Int128 denominator) => limit.Nanometres * denominator;
}
