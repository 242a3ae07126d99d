using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>What a step should read when everything is in its place, where the standard says so.</summary>
public static class Nominals
{
    /// <summary>
    /// The nominal of the step's own gap, flush or size; half the limits where only a range is given; the pitch less the
    /// halves of the sizes; else 1 in, for rules that only compare readings say nothing of the single one.
    /// </summary>
    public static Length Of(Standard standard, string step) => Known(standard, step) ?? Length.Inch;

    /// <summary>The same, or null where the rules only compare.</summary>
    public static Length? Known(Standard standard, string step) => standard.Relations
        .Where(relation => relation.HoldsForEach && relation.Of.Contains(step))
        .Select(relation => Aim(relation.Limits[0]) - Halves(standard, relation))
        .FirstOrDefault(aim => aim is not null);

    /// <summary>The value aimed at: the nominal, the middle of a range, or the one limit there is.</summary>
    public static Length? Aim(Limits limits) => limits.Nominal
        ?? (limits is { Lower: { } lower, Upper: { } upper } ? (lower + upper).DividedBy(2, Rounding.HalfEven) : limits.Lower ?? limits.Upper);

    private static Length Halves(Standard standard, Relation relation)
    {
        Length whole = relation.Add.Aggregate(Length.Zero, (sum, size) => sum + size);
        foreach (string step in relation.AddSteps)
        {
            whole += Of(standard, step);
        }

        return whole.DividedBy(2, Rounding.HalfEven);
    }
}
