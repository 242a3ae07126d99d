namespace CaliperStation.Core.Correcting;

/// <summary>Items that hang together by constraints, apart from all others: what moves in one changes nothing in another.</summary>
/// <param name="Items">Positions in the plan, ascending.</param>
/// <param name="Constraints">Their constraints, with columns counted in <paramref name="Items"/>.</param>
internal sealed record Component(int[] Items, IReadOnlyList<Constraint> Constraints)
{
    /// <summary>The components of constraints; constraints that no item can change are in none.</summary>
    internal static IReadOnlyList<Component> Of(IReadOnlyList<Constraint> constraints, int itemCount)
    {
        int[] leader = [.. Enumerable.Range(0, itemCount)];
        int Leader(int item) => leader[item] == item ? item : leader[item] = Leader(leader[item]);
        foreach (Constraint constraint in constraints)
        {
            foreach (int item in constraint.Items)
            {
                leader[Leader(item)] = Leader(constraint.Columns[0] / 3);
            }
        }

        return [.. constraints.Where(constraint => constraint.Columns.Length > 0)
            .GroupBy(constraint => Leader(constraint.Columns[0] / 3))
            .Select(group => Renumbered([.. group]))];
    }

    private static Component Renumbered(IReadOnlyList<Constraint> constraints)
    {
        int[] items = [.. constraints.SelectMany(constraint => constraint.Items).Distinct().Order()];
        return new Component(items, [.. constraints.Select(constraint => constraint with
        {
            Columns = [.. constraint.Columns.Select(column => (3 * Array.IndexOf(items, column / 3)) + (column % 3))],
        })]);
    }
}
