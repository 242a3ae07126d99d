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
        if (relation.HoldsForEach)
        {
            foreach (string step in relation.Of)
            {
                if (reading(step) is not null && relation.AddSteps.All(add => reading(add) is not null))
                {
                    yield return One(standard, relation, [step, .. relation.AddSteps], Known);
                }
            }
        }
        else if (relation.Needs.All(step => reading(step) is not null))
        {
            yield return One(standard, relation, [.. relation.Needs], Known);
        }
    }

    /// <summary>The verdict on a value by one interval (rules of <see cref="DecisionRule"/>); exact for lengths.</summary>
    internal static Verdict Verdict(JudgingSettings settings, RelationValue value, double uncertainty, Limits limits)
    {
        double guard = settings.Rule == DecisionRule.Guarded ? Conformance.GuardFactor(settings.Confidence) * uncertainty : 0;
        if (value.Dimension != Dimension.Length)
        {
            return Sort(
                Fits(value.Number, limits.LowerNumber + guard, limits.UpperNumber - guard),
                Fits(value.Number, limits.LowerNumber - guard, limits.UpperNumber + guard));
        }

        Length band = GuardBand(guard);
        return Sort(
            Fits(value.Exact, limits.Lower + band, limits.Upper - band),
            Fits(value.Exact, limits.Lower - band, limits.Upper + band));
    }

    /// <summary>A guard band as a length: rounded up to the whole nanometre, away from acceptance.</summary>
    internal static Length GuardBand(double nanometres) => Length.FromNanometres(nanometres, Rounding.Up);

    /// <summary>
    /// The limits a value is judged by. A spread is the size of a difference that may have either sign, so it is judged
    /// as that difference between −T and T; by a lower limit of 0 an even pair, where the spread cannot be less, would
    /// never be within, and by none its conformance would be told too high (JCGM 106:2012, 7.4).
    /// </summary>
    internal static Limits Effective(Relation relation, Limits limits) =>
        relation.Kind == RelationKind.Equal && limits.Upper is { } upper && (limits.Lower ?? Length.Zero) <= Length.Zero
            ? limits with { Lower = -upper }
            : limits;

    private static Judgement One(Standard standard, Relation relation, IReadOnlyList<string> steps, Func<string, Measured> reading)
    {
        ExactLength? span = Spans.Of(standard, relation, reading);
        RelationValue value = RelationValue.Of(relation, steps[0], span, reading);
        double uncertainty = value.Uncertainty(reading);
        double? angle = relation.Kind == RelationKind.Level && span is { } over && over.ToDouble() != 0
            ? Math.Atan2(value.Number, over.ToDouble()) * 1000
            : null;
        return relation.Limits
            .Select(limits => One(standard.Judging, relation, steps, value, uncertainty, limits, angle))
            .OrderBy(judgement => judgement.Verdict).ThenByDescending(judgement => judgement.Conformance).ThenByDescending(judgement => judgement.Margin)
            .First();
    }

    private static Judgement One(
        JudgingSettings settings, Relation relation, IReadOnlyList<string> steps, RelationValue value, double uncertainty, Limits limits, double? angle)
    {
        Limits effective = Effective(relation, limits);
        double? lower = Lower(value.Dimension, effective);
        double? upper = Upper(value.Dimension, effective);
        double margin = Math.Min(value.Number - lower ?? double.PositiveInfinity, upper - value.Number ?? double.PositiveInfinity);
        return new Judgement(
            relation, steps, value.Dimension, value.Exact, value.Number, limits, Lower(value.Dimension, limits), upper, uncertainty,
            Conformance.Probability(value.Number, uncertainty, lower, upper), margin,
            Verdict(settings, value, uncertainty, effective), angle);
    }

    private static double? Lower(Dimension dimension, Limits limits) => dimension == Dimension.Length ? limits.Lower?.Nanometres : limits.LowerNumber;

    private static double? Upper(Dimension dimension, Limits limits) => dimension == Dimension.Length ? limits.Upper?.Nanometres : limits.UpperNumber;

    private static Verdict Sort(bool inner, bool outer) => inner ? Judging.Verdict.Within : outer ? Judging.Verdict.Borderline : Judging.Verdict.Outside;

    private static bool Fits(double value, double? lower, double? upper) => (lower is null || value >= lower) && (upper is null || value <= upper);

    private static bool Fits(ExactLength value, Length? lower, Length? upper) =>
        (lower is not { } low || value.CompareTo(low) >= 0) && (upper is not { } high || value.CompareTo(high) <= 0);
}
