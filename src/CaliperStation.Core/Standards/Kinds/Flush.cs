
namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>A gap whose nominal is 0.</summary>
    public static readonly RelationKind Flush = Known(new FlushKind());

    private sealed class FlushKind() : EachKind("flush")
    {
        internal override IReadOnlyList<string> Keys => ["within", "above", "below"];

        internal override bool AimsAtZero => true;
    }
}
