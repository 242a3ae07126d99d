using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>Each reading plus half of the size of each of the two items: centre to centre, or a datum at a centre.</summary>
    public static readonly RelationKind Pitch = Known(new PitchKind());

    private sealed class PitchKind() : EachKind("pitch")
    {
        internal override IReadOnlyList<string> Keys => [.. LimitKeys, "add"];

        public override RelationValue Value(Relation relation, string each, ExactLength? span, Func<string, ExactLength> reading)
        {
            ExactLength value = reading(each);
            foreach (Length size in relation.Add)
            {
                value += ExactLength.From(size).Half();
            }

            foreach (string step in relation.AddSteps)
            {
                value += reading(step).Half();
            }

            return RelationValue.Of(value, [(each, 1), .. relation.AddSteps.Select(step => (step, 0.5))]);
        }

        internal override IEnumerable<ReadingEquation> Equations(Relation relation, ExactLength? span, Func<string, ExactLength?> reading)
        {
            if (!relation.AddSteps.All(step => reading(step) is not null))
            {
                yield break;
            }

            double halves = (relation.Add.Sum(size => (double)size.Nanometres) + relation.AddSteps.Sum(step => reading(step)!.Value.ToDouble())) / 2;
            foreach (ReadingEquation equation in base.Equations(relation, span, reading))
            {
                yield return equation with { Total = equation.Total - halves };
            }
        }
    }
}
