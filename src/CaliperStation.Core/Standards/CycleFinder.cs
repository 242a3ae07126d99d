namespace CaliperStation.Core.Standards;

/// <summary>Finds what rests on itself.</summary>
internal static class CycleFinder
{
    /// <summary>Cycles among the keys, each as its path from the first met; every key is in at most one. Names that are no keys are passed over.</summary>
    internal static List<List<string>> In(Dictionary<string, HashSet<string>> edges)
    {
        List<List<string>> cycles = [];
        HashSet<string> done = [];
        foreach (string start in edges.Keys)
        {
            Walk(start, edges, done, [], cycles);
        }

        return cycles;
    }

    // As deep as the file has entries of a kind, which StandardFormat bounds.
    private static void Walk(string at, Dictionary<string, HashSet<string>> edges, HashSet<string> done, List<string> path, List<List<string>> cycles)
    {
        int seen = path.IndexOf(at);
        if (seen >= 0)
        {
            List<string> cycle = path[seen..];
            if (!cycles.Exists(other => other.Intersect(cycle).Any()))
            {
                cycles.Add(cycle);
            }

            return;
        }

        if (!done.Add(at))
        {
            return;
        }

        path.Add(at);
        foreach (string next in edges[at].Where(edges.ContainsKey))
        {
            Walk(next, edges, done, path, cycles);
        }

        path.RemoveAt(path.Count - 1);
    }
}
