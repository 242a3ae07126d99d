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

    /// <summary>The same by the rules that apply to one blouse.</summary>
    public static Length Of(Plan plan, string step) => Known(plan.Relations, step) ?? Length.Inch;

    /// <summary>The same, or null where the rules only compare.</summary>
    public static Length? Known(Standard standard, string step) => Known(standard.Relations, step);

    /// <summary>What the reading of a rule that holds for each should be by each of its limits that names a value; none where they name none.</summary>
    public static IEnumerable<Length> Named(Plan plan, Relation relation) => relation.Limits.Select(limits => limits.Nominal).OfType<Length>().Select(nominal => nominal - Halves(plan.Relations, relation));

    /// <summary>The value aimed at: the nominal, the middle of a range, or the one limit there is.</summary>
    public static Length? Aim(Limits limits) => limits.Nominal
        ?? (limits is { Lower: { } lower, Upper: { } upper } ? (lower + upper).DividedBy(2, Rounding.HalfEven) : limits.Lower ?? limits.Upper);

    private static Length? Known(IReadOnlyList<Relation> relations, string step) => relations
        .Where(relation => relation.JudgesEach && relation.Of.Contains(step))
        .Select(relation => Aim(relation.Limits[0]) - Halves(relations, relation))
        .FirstOrDefault(aim => aim is not null);

    /// <summary>What a pitch adds to its reading: half of each size, a measured one at its nominal; 0 for any other relation.</summary>
    internal static Length Halves(IReadOnlyList<Relation> relations, Relation relation)
    {
        Length whole = relation.Add.Aggregate(Length.Zero, (sum, size) => sum + size);
        foreach (string step in relation.AddSteps)
        {
            whole += OwnSize(relations, step);
        }

        return whole.DividedBy(2, Rounding.HalfEven);
    }

    /// <summary>A size added to a pitch has its nominal from a rule of its own; pitches are not followed, they could name each other.</summary>
    private static Length OwnSize(IReadOnlyList<Relation> relations, string step) => relations
        .Where(relation => relation.JudgesEach && relation.Add.Count + relation.AddSteps.Count == 0 && relation.Of.Contains(step))
        .Select(relation => Aim(relation.Limits[0]))
        .FirstOrDefault(aim => aim is not null) ?? Length.Inch;
}
