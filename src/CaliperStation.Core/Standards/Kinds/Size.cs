using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>A reading of the item itself.</summary>
    public static readonly RelationKind Size = Known(new SizeKind());

    private sealed class SizeKind() : EachKind("size")
    {
        internal override IReadOnlyList<string> Keys => LimitKeys;

        internal override ReadingsOf ReadingsOf => ReadingsOf.Sizes;

        /// <summary>None: a size is as it is read, wherever the item lies.</summary>
        internal override IEnumerable<ReadingEquation> Equations(Relation relation, ExactLength? span, Func<string, ExactLength?> reading) => [];
    }
}
