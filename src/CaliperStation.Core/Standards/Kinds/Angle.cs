using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>Angle whose tangent is (first minus second) over the span, or the one reading over the span; in milliradians.</summary>
    public static readonly RelationKind Angle = Known(new AngleKind("angle"));

    private class AngleKind(string word) : RelationKind(word)
    {
        public override Dimension Dimension => Dimension.Angle;

        internal override (int Least, int Most) Readings => (1, 2);   // one reading: the rise over the span itself

        internal override IReadOnlyList<string> Keys => [.. LimitKeys, "span"];

        internal override ReadingsOf ReadingsOf => ReadingsOf.Gaps;

        internal override bool NeedsSpan => true;

        internal override int Rank => 1;

        public override RelationValue Value(Relation relation, string each, ExactLength? span, Func<string, ExactLength> reading)
        {
            double over = (span ?? throw new ArgumentException("An angle is taken over a span.", nameof(span))).ToDouble();
            double rise = Rise(relation).Sum(term => term.Factor * reading(term.Step).ToDouble());
            double milli = 1000 / ((over * over) + (rise * rise));   // d atan(r/s) = (s dr − r ds)/(s² + r²), in milliradians
            IEnumerable<(string Step, double PerNanometre)> gradient = Rise(relation).Select(term => (term.Step, term.Factor * over * milli));
            return RelationValue.Of(
                Dimension.Angle, Math.Atan2(rise, over) * 1000, relation.SpanStep is { } spanStep ? gradient.Append((spanStep, -rise * milli)) : gradient);
        }

        internal override string? Divisor(Relation relation) => relation.SpanStep;

        internal override IEnumerable<ReadingEquation> Equations(Relation relation, ExactLength? span, Func<string, ExactLength?> reading) =>
            span is { } over && Aim(relation, relation.Of[0], span, reading) is { } milliradians
                ? [new ReadingEquation(over.ToDouble() * Math.Tan(milliradians / 1000), Rise(relation))]
                : [];

        internal override IEnumerable<LinearBound[]> Ways(Relation relation, double low, double high)
        {
            List<LinearBound> bounds = [];
            foreach ((double limit, bool isLow) in (ReadOnlySpan<(double, bool)>)[(low, true), (high, false)])
            {
                if (Math.Abs(limit) >= Math.PI / 2 * 1000)
                {
                    continue;   // steeper than upright is no slant over a span
                }

                double tangent = Math.Tan(limit / 1000), rise = tangent * (relation.Span?.Nanometres ?? 0);
                (string, double)[] terms = relation.SpanStep is { } span ? [.. Rise(relation), (span, -tangent)] : Rise(relation);
                bounds.Add(new LinearBound(terms, isLow ? rise : double.NegativeInfinity, isLow ? double.PositiveInfinity : rise));
            }

            return [[.. bounds]];
        }

        private static (string Step, double Factor)[] Rise(Relation relation) => relation.Of.Count > 1 ? [(relation.Of[0], 1), (relation.Of[1], -1)] : [(relation.Of[0], 1)];
    }
}
