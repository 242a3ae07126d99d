namespace CaliperStation.Core.Toml;

/// <summary>Finds the known name that an unknown one was most likely meant to be.</summary>
public static class NearestName
{
    private const int Longest = 100;   // no name that the loader takes is longer

    /// <summary>The nearest of the known names, or null when none is near enough to be a slip of the fingers.</summary>
    public static string? To(string name, IEnumerable<string> known) => known
        .Where(candidate => candidate != name)
        .Select(candidate => (candidate, distance: Distance(name, candidate)))
        .Where(pair => pair.distance <= Reach(name, pair.candidate))
        .OrderBy(pair => pair.distance).ThenBy(pair => pair.candidate, StringComparer.Ordinal)
        .Select(pair => pair.candidate).FirstOrDefault();

    /// <summary>True when one is a slip of the fingers away from the other: at most two edits, one in a short name.</summary>
    public static bool IsNear(string name, string known) => name != known && Distance(name, known) <= Reach(name, known);

    // Two edits turn "cap" into "bar": in a short name one edit is a slip, two are another word.
    private static int Reach(string name, string known) => Math.Min(name.Length, known.Length) <= 4 ? 1 : 2;

    /// <summary>Fewest insertions, deletions and replacements between two texts, and swaps of neighbours; cut off at 3.</summary>
    public static int Distance(string a, string b)
    {
        if (Math.Abs(a.Length - b.Length) > 2 || a.Length > Longest)
        {
            return 3;
        }

        int[] before = new int[b.Length + 1], last = [.. Enumerable.Range(0, b.Length + 1)], now = new int[b.Length + 1];
        for (int i = 1; i <= a.Length; i++)
        {
            Array.Fill(now, 3);   // three edits or more are all alike, and lie outside a band of two about the diagonal
            now[0] = i;
            for (int j = Math.Max(1, i - 2); j <= Math.Min(b.Length, i + 2); j++)
            {
                int cost = a[i - 1] == b[j - 1] ? 0 : 1;
                now[j] = Math.Min(Math.Min(now[j - 1], last[j]) + 1, last[j - 1] + cost);
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                {
                    now[j] = Math.Min(now[j], before[j - 2] + 1);
                }
            }

            (before, last, now) = (last, now, before);
        }

        return Math.Min(last[b.Length], 3);
    }
}
