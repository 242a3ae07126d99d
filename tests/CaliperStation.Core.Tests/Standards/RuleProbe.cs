using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Standards;

/// <summary>Makes readings that give a relation a wanted value, and tells how they are judged.</summary>
internal static class RuleProbe
{
    private static readonly Length Base = Length.Inch.Times(2);

    /// <summary>At the value aimed at, and just inside and just outside of each limit: what should be said and what is.</summary>
    internal static IEnumerable<(string Where, Verdict Should, Verdict Is)> Around(Standard standard, Relation relation)
    {
        foreach (Limits limits in relation.Limits)
        {
            if (relation.Kind.Word is "angle" or "share")
            {
                double little = relation.Kind == RelationKind.Angle ? 0.01 : 1e-6;   // rounding of readings to nanometres stays far below
                foreach ((string where, Verdict should, double value) in Points(limits.LowerNumber, limits.UpperNumber, limits.NominalNumber, little))
                {
                    yield return (where, should, Said(standard, relation, value));
                }
            }
            else
            {
                double? lower = relation.Kind == RelationKind.Equal ? null : limits.Lower?.Nanometres;   // a largest minus a smallest is never negative
                foreach ((string where, Verdict should, double value) in Points(lower, limits.Upper?.Nanometres, limits.Nominal?.Nanometres, 1))
                {
                    yield return (where, should, Said(standard, relation, value));
                }
            }
        }
    }

    private static IEnumerable<(string, Verdict, double)> Points(double? lower, double? upper, double? nominal, double little)
    {
        yield return ("nominal", Verdict.Within, nominal ?? ((lower ?? upper) + (upper ?? lower)) / 2 ?? 0);
        if (upper is { } high)
        {
            yield return ("just below the upper limit", Verdict.Within, high - little);
            yield return ("just above the upper limit", Verdict.Outside, high + little);
        }

        if (lower is { } low)
        {
            yield return ("just above the lower limit", Verdict.Within, low + little);
            yield return ("just below the lower limit", Verdict.Outside, low - little);
        }
    }

    private static Verdict Said(Standard standard, Relation relation, double value)
    {
        Dictionary<string, Length> readings = Readings(relation, value);
        return Judge.Relation(standard, relation, step => readings.TryGetValue(step, out Length length) ? new Measured(ExactLength.From(length), 0) : null)
            .Select(judgement => judgement.Verdict).Distinct().Single();
    }

    private static Dictionary<string, Length> Readings(Relation relation, double value)
    {
        Dictionary<string, Length> readings = relation.Needs.ToDictionary(step => step, _ => Base);
        Length whole = Length.FromNanometres(value, Rounding.HalfEven);
        switch (relation.Kind.Word)
        {
            case "gap" or "flush" or "size" or "pitch":
                Length halves = (relation.Add.Aggregate(Length.Zero, (sum, size) => sum + size) + Base.Times(relation.AddSteps.Count)).DividedBy(2, Rounding.HalfEven);
                foreach (string step in relation.Of)
                {
                    readings[step] = whole - halves;
                }

                break;
            case "equal" or "level" or "not-more-than":
                readings[relation.Of[0]] = Base + whole;
                break;
            case "sum":
                readings[relation.Of[0]] = whole - Base.Times(relation.Of.Count - 1);
                break;
            case "share":
                readings[relation.Of[0]] = Length.FromNanometres(Base.Nanometres * value, Rounding.HalfEven);
                break;
            case "angle":
                Length rise = Length.FromNanometres((relation.Span ?? Base).Nanometres * Math.Tan(value / 1000), Rounding.HalfEven);
                readings[relation.Of[0]] = relation.Of.Count == 1 ? rise : Base + rise;
                break;
            default:
                throw new System.Diagnostics.UnreachableException();
        }

        return readings;
    }
}
