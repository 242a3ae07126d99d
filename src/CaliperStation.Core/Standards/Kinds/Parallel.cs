namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>The angle between two edges: two gaps between them, the difference over the span; aims at 0, in milliradians.</summary>
    public static readonly RelationKind Parallel = Known(new ParallelKind());

    private sealed class ParallelKind() : AngleKind("parallel")
    {
        internal override (int Least, int Most) Readings => (2, 2);

        internal override IReadOnlyList<string> Keys => ["within", "span"];

        internal override bool AimsAtZero => true;
    }
}
