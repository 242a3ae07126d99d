using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>First reading minus second: must not exceed 0, or the given maximum.</summary>
    public static readonly RelationKind NotMoreThan = Known(new NotMoreThanKind());

    private sealed class NotMoreThanKind() : SumKind("not-more-than")
    {
        internal override (int Least, int Most) Readings => (2, 2);

        internal override IReadOnlyList<string> Keys => ["max", "mixed"];

        internal override Length? ImpliedUpper => Length.Zero;

        protected override (string Step, int Factor)[] Terms(Relation relation) => [(relation.Of[0], 1), (relation.Of[1], -1)];
    }
}
