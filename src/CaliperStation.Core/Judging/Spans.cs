using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>The distance over which a level or an angle is taken.</summary>
public static class Spans
{
    /// <summary>
    /// The stated span, the measured one, or, for two readings of one item, the distance of their places across the
    /// direction they are read in; null where none of these is there.
    /// </summary>
    public static ExactLength? Of(Standard standard, Relation relation, Func<string, Measured> reading) =>
        relation.Span is { } stated ? ExactLength.From(stated)
        : relation.SpanStep is { } step ? reading(step).Value
        : relation.Kind.TakesSpan && relation.Of.Count == 2 ? Between(standard.FindStep(relation.Of[0]), standard.FindStep(relation.Of[1]))
        : null;

    private static ExactLength? Between(Step? first, Step? second)
    {
        if (first is null || second is null || first.Of != second.Of || first.Grows is not { } grows)
        {
            return null;
        }

        bool upright = Math.Abs(grows.Up) > Math.Abs(grows.Right);
        Length across = (upright ? first.At.Right - second.At.Right : first.At.Up - second.At.Up).Abs();
        return across > Length.Zero ? ExactLength.From(across) : null;
    }
}
