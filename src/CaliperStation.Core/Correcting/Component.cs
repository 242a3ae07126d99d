namespace CaliperStation.Core.Correcting;

/// <summary>Items that hang together by goals, apart from all others: what moves in one changes nothing in another.</summary>
/// <param name="Items">Positions in the plan, ascending.</param>
/// <param name="Goals">Their goals, with columns counted in <paramref name="Items"/>.</param>
internal sealed record Component(int[] Items, IReadOnlyList<Goal> Goals)
{
    /// <summary>The components of goals; goals that no item can change are in none.</summary>
    internal static IReadOnlyList<Component> Of(IReadOnlyList<Goal> goals, int itemCount)
    {
        int[] leader = [.. Enumerable.Range(0, itemCount)];
        int Leader(int item) => leader[item] == item ? item : leader[item] = Leader(leader[item]);
        foreach (Goal goal in goals)
        {
            foreach (int item in goal.Items)
            {
                leader[Leader(item)] = Leader(goal.Columns[0] / 3);
            }
        }

        return [.. goals.Where(goal => goal.Columns.Length > 0)
            .GroupBy(goal => Leader(goal.Columns[0] / 3))
            .Select(group => Renumbered([.. group]))];
    }

    private static Component Renumbered(IReadOnlyList<Goal> goals)
    {
        int[] items = [.. goals.SelectMany(goal => goal.Items).Distinct().Order()];
        return new Component(items, [.. goals.Select(goal => goal with
        {
            Columns = [.. goal.Columns.Select(column => (3 * Array.IndexOf(items, column / 3)) + (column % 3))],
        })]);
    }
}
