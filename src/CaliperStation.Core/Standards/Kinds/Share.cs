using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>First reading over second; a ratio.</summary>
    public static readonly RelationKind Share = Known(new ShareKind());

    private sealed class ShareKind() : RelationKind("share")
    {
        public override Dimension Dimension => Dimension.Ratio;

        internal override (int Least, int Most) Readings => (2, 2);

        internal override IReadOnlyList<string> Keys => [.. LimitKeys, "mixed"];

        internal override int Rank => 3;

        public override RelationValue Value(Relation relation, string each, ExactLength? span, Func<string, ExactLength> reading)
        {
            (string part, string whole) = (relation.Of[0], relation.Of[1]);
            double over = reading(whole).ToDouble();
            double ratio = reading(part).Over(reading(whole));
            return RelationValue.Of(Dimension.Ratio, ratio, [(part, 1 / over), (whole, -ratio / over)]);
        }

        internal override string? Divisor(Relation relation) => relation.Of[1];

        internal override IEnumerable<LinearBound[]> Ways(Relation relation, double low, double high)
        {
            (string part, string whole) = (relation.Of[0], relation.Of[1]);
            List<LinearBound> bounds = [new([(whole, 1)], 1_000_000, double.PositiveInfinity)];   // of a thing that is there: 1 mm
            if (double.IsFinite(low))
            {
                bounds.Add(new([(part, 1), (whole, -low)], 0, double.PositiveInfinity));
            }

            if (double.IsFinite(high))
            {
                bounds.Add(new([(part, 1), (whole, -high)], double.NegativeInfinity, 0));
            }

            return [[.. bounds]];
        }

        internal override IEnumerable<ReadingEquation> Equations(Relation relation, ExactLength? span, Func<string, ExactLength?> reading) =>
            Aim(relation, relation.Of[0], span, reading) is { } share ? [new ReadingEquation(0, (relation.Of[0], 1), (relation.Of[1], -share))] : [];
    }
}
