namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>Each reading itself; negative when it overlaps, 0 is contact. Over several readings it holds for each.</summary>
    public static readonly RelationKind Gap = Known(new GapKind());

    private sealed class GapKind() : EachKind("gap")
    {
        internal override IReadOnlyList<string> Keys => LimitKeys;
    }
}
