using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>First minus second of two heights; also shown as an angle over the span.</summary>
    public static readonly RelationKind Level = Known(new LevelKind());

    private sealed class LevelKind() : SumKind("level")
    {
        internal override (int Least, int Most) Readings => (2, 2);

        internal override IReadOnlyList<string> Keys => ["within", "span"];

        internal override ReadingsOf ReadingsOf => ReadingsOf.Gaps;

        internal override bool AimsAtZero => true;

        internal override int Rank => 1;

        public override double? AlsoAngle(double value, ExactLength? span) => span is { } over && over.ToDouble() != 0 ? Math.Atan2(value, over.ToDouble()) * 1000 : null;

        protected override (string Step, int Factor)[] Terms(Relation relation) => [(relation.Of[0], 1), (relation.Of[1], -1)];
    }
}
