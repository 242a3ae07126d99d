using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>Largest minus smallest of two or more readings.</summary>
    public static readonly RelationKind Equal = Known(new EqualKind());

    private sealed class EqualKind() : RelationKind("equal")
    {
        public override bool IsSpread => true;

        internal override (int Least, int Most) Readings => (2, int.MaxValue);

        internal override IReadOnlyList<string> Keys => ["within", "mixed"];

        internal override bool AimsAtZero => true;

        internal override int Rank => 2;

        public override RelationValue Value(Relation relation, string each, ExactLength? span, Func<string, ExactLength> reading)
        {
            string largest = relation.Of[0];
            string smallest = relation.Of[^1];
            foreach (string step in relation.Of)
            {
                largest = reading(step) > reading(largest) ? step : largest;
                smallest = reading(step) < reading(smallest) ? step : smallest;
            }

            return RelationValue.Sum(reading, (largest, 1), (smallest, -1));   // all equal: first and last, which still differ as readings
        }

        /// <summary>
        /// A spread is the size of a difference that may have either sign, so it is judged as that difference between −T and T; by a lower limit of 0 an
        /// even pair, where the spread cannot be less, would never be within, and by none its conformance would be told too high (JCGM 106:2012, 7.4).
        /// </summary>
        public override Limits Effective(Limits limits) => limits.Upper is { } upper && (limits.Lower ?? Length.Zero) <= Length.Zero
            ? limits with { Lower = -upper, LowerExcluded = limits.UpperExcluded }
            : limits;

        /// <summary>Largest minus smallest stays below a limit exactly when every difference of two does.</summary>
        internal override IEnumerable<(RelationValue Value, IReadOnlyList<Limits> Limits)> Linear(Relation relation, string each, ExactLength? span, Func<string, ExactLength> reading)
        {
            Limits[] limits = [.. relation.Limits.Select(one => new Limits(-one.Upper, one.Upper, Length.Zero) { LowerExcluded = one.UpperExcluded, UpperExcluded = one.UpperExcluded })];
            for (int i = 0; i < relation.Of.Count; i++)
            {
                for (int j = i + 1; j < relation.Of.Count; j++)
                {
                    yield return (RelationValue.Sum(reading, (relation.Of[i], 1), (relation.Of[j], -1)), limits);
                }
            }
        }

        /// <summary>At most: every difference of two is. At least: that of one pair is, whichever it is.</summary>
        internal override IEnumerable<LinearBound[]> Ways(Relation relation, double low, double high)
        {
            (string, string)[] pairs = [.. relation.Of.SelectMany(one => relation.Of.Where(other => other != one).Select(other => (one, other)))];
            LinearBound[] all = [.. pairs.Select(pair => Difference(pair, double.NegativeInfinity, high))];
            return low <= 0 ? [all] : pairs.Select(pair => (LinearBound[])[.. all, Difference(pair, low, high)]);

            static LinearBound Difference((string More, string Less) pair, double low, double high) => new([(pair.More, 1), (pair.Less, -1)], low, high);
        }

        internal override IEnumerable<ReadingEquation> Equations(Relation relation, ExactLength? span, Func<string, ExactLength?> reading) =>
            relation.Of.Skip(1).Select(step => new ReadingEquation(0, (relation.Of[0], 1), (step, -1)));
    }
}
