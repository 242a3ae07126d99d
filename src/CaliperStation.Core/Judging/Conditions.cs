using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>Whether a condition on measured values holds.</summary>
public static class Conditions
{
    /// <summary>
    /// True or false; null when it looks at a value that is not there yet. Parts on answers and rows were settled by
    /// <see cref="Plan.For"/> and count as holding.
    /// </summary>
    /// <param name="condition">The condition, or null for none.</param>
    /// <param name="valueOf">The value of a relation, or null when it is not known yet.</param>
    public static bool? Holds(Condition? condition, Func<string, RelationValue?> valueOf)
    {
        bool known = true;
        foreach (ConditionPart.ValueIs part in condition?.Parts.OfType<ConditionPart.ValueIs>() ?? [])
        {
            switch (valueOf(part.Relation))
            {
                case null:
                    known = false;
                    break;
                case { } value when !Compare(value, part):
                    return false;
            }
        }

        return known ? true : null;
    }

    private static bool Compare(RelationValue value, ConditionPart.ValueIs part) => value.Dimension == Dimension.Length && part.Length is { } length
        ? Plan.Compare(value.Exact, part.Comparison, ExactLength.From(length))
        : Plan.Compare(value.Number, part.Comparison, part.Number);
}
