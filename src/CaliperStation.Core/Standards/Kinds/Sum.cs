namespace CaliperStation.Core.Standards;

public abstract partial class RelationKind
{
    /// <summary>Sum of all readings.</summary>
    public static readonly RelationKind Sum = Known(new SumOfAllKind());

    private sealed class SumOfAllKind() : SumKind("sum")
    {
        internal override (int Least, int Most) Readings => (2, int.MaxValue);

        internal override IReadOnlyList<string> Keys => [.. LimitKeys, "mixed"];

        protected override (string Step, int Factor)[] Terms(Relation relation) => [.. relation.Of.Select(step => (step, 1))];
    }
}
