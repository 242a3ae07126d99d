namespace CaliperStation.Screen;

/// <summary>Rings the terminal's bell in groups of strokes, far enough apart to be counted, without holding the UI thread.</summary>
/// <remarks>UI thread only. Of several bells asked for while one rings the newest is rung after it: the others are obsolete.</remarks>
/// <param name="ring">Rings once.</param>
/// <param name="later">Calls back on the UI thread after a time.</param>
internal sealed class BellRinger(Action ring, Action<TimeSpan, Action> later)
{
    /// <summary>Between two strokes of a group: terminals swallow bells that come faster than they can sound.</summary>
    public static readonly TimeSpan Stroke = TimeSpan.FromMilliseconds(180);

    /// <summary>Between two groups.</summary>
    public static readonly TimeSpan Group = TimeSpan.FromMilliseconds(450);

    /// <summary>Between two bells.</summary>
    public static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(900);

    private readonly Queue<TimeSpan> _after = new();   // the pause after each stroke that is still to come
    private IReadOnlyList<int>? _next;
    private bool _rings;

    /// <summary>Rings these groups of strokes; the first stroke at once when nothing rings.</summary>
    public void Ring(IReadOnlyList<int> groups)
    {
        if (_rings)
        {
            _next = groups;
            return;
        }

        foreach (TimeSpan pause in Pauses(groups))
        {
            _after.Enqueue(pause);
        }

        Strike();
    }

    /// <summary>The pause after each stroke of these groups.</summary>
    public static IEnumerable<TimeSpan> Pauses(IReadOnlyList<int> groups) => groups.SelectMany((strokes, group) =>
        Enumerable.Range(1, strokes).Select(stroke => stroke < strokes ? Stroke : group < groups.Count - 1 ? Group : Pause));

    private void Strike()
    {
        if (_after.TryDequeue(out TimeSpan pause))
        {
            _rings = true;
            ring();
            later(pause, Strike);
            return;
        }

        _rings = false;
        if (_next is { } next)
        {
            _next = null;
            Ring(next);
        }
    }
}
