
namespace CaliperStation.Screen;

/// <summary>Rings the terminal's bell a few times, far enough apart to be counted, without holding the UI thread.</summary>
/// <remarks>UI thread only. A bell asked for while another rings is rung after it, with a longer pause between.</remarks>
/// <param name="ring">Rings once.</param>
/// <param name="later">Calls back on the UI thread after a time.</param>
internal sealed class BellRinger(Action ring, Action<TimeSpan, Action> later)
{
    /// <summary>Between two strokes: terminals swallow bells that come faster than they can sound.</summary>
    public static readonly TimeSpan Stroke = TimeSpan.FromMilliseconds(180);

    /// <summary>Between two bells.</summary>
    public static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(450);

    private const int MaxWaiting = 4; // queued bells; older ones are obsolete

    private readonly Queue<int> _waiting = new();
    private int _left;

    /// <summary>Rings <paramref name="count"/> times; the first stroke at once when nothing rings.</summary>
    public void Ring(int count)
    {
        if (count < 1)
        {
            return;
        }

        if (_left == 0)
        {
            _left = count;
            Strike();
        }
        else if (_waiting.Count < MaxWaiting)
        {
            _waiting.Enqueue(count);
        }
    }

    private void Strike()
    {
        if (_left > 0)
        {
            ring();
            later(_left > 1 ? Stroke : Pause, Next);
        }
    }

    private void Next()
    {
        _left--;
        if (_left == 0 && _waiting.TryDequeue(out int count))
        {
            _left = count;
        }

        Strike();
    }
}
