namespace CaliperStation.Core.Correcting;

/// <summary>Where a rule has several nominals, each way to choose among them makes a problem of its own that is convex.</summary>
internal static class ZoneChoices
{
    /// <summary>Up to this many ways are each searched; beyond, every rule goes by whichever interval is nearest on the way.</summary>
    internal const int Most = 64;

    /// <summary>True when each way is searched, so that nothing is missed.</summary>
    internal static bool AllSearched(IReadOnlyList<Goal> goals)
    {
        long ways = 1;
        foreach (Goal goal in goals)
        {
            ways = Math.Min(ways * goal.Zones.Length, Most + 1);
        }

        return ways <= Most;
    }

    /// <summary>The ways, the one nearest to the present values first; the goals as they are when there are too many.</summary>
    internal static IEnumerable<IReadOnlyList<Goal>> Of(IReadOnlyList<Goal> goals)
    {
        if (!AllSearched(goals))
        {
            return [goals];
        }

        IEnumerable<Goal[]> ways = [[]];
        foreach (Goal goal in goals)
        {
            Zone[] zones = [.. goal.Zones.OrderBy(zone => Math.Abs(zone.Excess(goal.Now)))];
            ways = ways.SelectMany(way => zones.Select(zone => (Goal[])[.. way, goal with { Zones = [zone] }]));
        }

        return ways;
    }
}
