using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>A tolerance that this bench cannot confirm with one take: its acceptance zone is empty.</summary>
/// <param name="Relation">The relation.</param>
/// <param name="Uncertainty">The standard uncertainty expected of its value, in nanometres, milliradians or plain.</param>
/// <param name="Needed">The largest standard uncertainty that would leave any acceptance zone.</param>
/// <param name="Dimension">The unit of the two numbers.</param>
public sealed record UnverifiableTolerance(Relation Relation, double Uncertainty, double Needed, Dimension Dimension)
{
    /// <summary>
    /// The relations of a plan that cannot be confirmed, told before the first reading. The uncertainty is that of single
    /// takes of nominal readings at the display's step given; the plain rule draws nothing in, so it has none. A hand that is known may have a figure of its own.
    /// </summary>
    public static IReadOnlyList<UnverifiableTolerance> In(Plan plan, Length resolution, string hand = "")
    {
        JudgingSettings settings = plan.Standard.Judging;
        if (settings.Rule == DecisionRule.Plain)
        {
            return [];
        }

        Budget single = Budget.Of(settings, resolution, 1, hand);
        List<UnverifiableTolerance> found = [];
        foreach (Relation relation in plan.Relations)
        {
            Measured Expected(string step) => single.Measure(ExactLength.From(Nominals.Of(plan, step)));
            RelationValue value = relation.Value(relation.Of[0], Spans.Of(plan.Standard, relation, Expected), Expected);
            double uncertainty = value.Uncertainty(Expected);
            double z = Judge.GuardFactor(settings, value.Degrees(uncertainty, Expected));
            List<Limits> limits = [.. relation.Limits.Select(limits => relation.Kind.Effective(limits))];
            if (limits.All(one => IsEmpty(value.Dimension, one, z * uncertainty)))
            {
                found.Add(new UnverifiableTolerance(relation, uncertainty, limits.Max(one => Width(value.Dimension, one))!.Value / (2 * z), value.Dimension));
            }
        }

        return found;
    }

    /// <summary>True when nothing is left between limits drawn in by the guard, as <see cref="Judge"/> draws them; false where one limit is missing.</summary>
    private static bool IsEmpty(Dimension dimension, Limits limits, double guard)
    {
        double drawnIn = dimension == Dimension.Length ? 2.0 * Judge.GuardBand(guard).Nanometres : 2 * guard;
        return Width(dimension, limits) is { } width && (limits.LowerExcluded || limits.UpperExcluded ? width <= drawnIn : width < drawnIn);
    }

    private static double? Width(Dimension dimension, Limits limits) =>
        dimension == Dimension.Length ? (limits.Upper - limits.Lower)?.Nanometres : limits.UpperNumber - limits.LowerNumber;
}
