namespace CaliperStation.Screen;

/// <summary>How long the kit's loop rests before a turn: until something is to be shown, not long while keys come, longer while the bench is still.</summary>
/// <remarks>
/// Of itself the kit looks again after a pause that nothing ends, by a timer, a pool thread and a waiting thread each time: at 60 turns a second
/// a still bench cost 4 to 5 % of a core (two cores of a small virtual Linux machine, compiled ahead of time), and a reading waited for the next
/// turn. Here the loop itself waits, and what is posted or typed (<see cref="WatchedKeys"/>) ends the wait. The keyboard's thread keeps to the
/// same pace: 4 ms keep the times between keys true enough to know a caliper that types.
/// </remarks>
/// <param name="clock">The clock.</param>
internal sealed class PaceKeeper(TimeProvider clock)
{
    /// <summary>Longest rest while keys come.</summary>
    public static readonly TimeSpan Busy = TimeSpan.FromMilliseconds(4);

    /// <summary>Longest rest while no key comes.</summary>
    public static readonly TimeSpan Still = TimeSpan.FromMilliseconds(33);

    /// <summary>How long after the last key the next one is looked for often.</summary>
    public static readonly TimeSpan StayBusy = TimeSpan.FromSeconds(1);

    private readonly object _gate = new();   // waited on, which a Lock cannot be
    private bool _posted;
    private long _stirred = clock.GetTimestamp();

    /// <summary>How long a rest lasts at most.</summary>
    public TimeSpan Longest => clock.GetElapsedTime(_stirred) > StayBusy ? Still : Busy;

    /// <summary>A key came; on the screen's thread.</summary>
    public void Stir() => _stirred = clock.GetTimestamp();

    /// <summary>Something waits for the next turn; from any thread. It ends the rest that is, or else the next one.</summary>
    public void Wake()
    {
        lock (_gate)
        {
            _posted = true;
            Monitor.Pulse(_gate);
        }
    }

    /// <summary>Rests before a turn of the loop, on the screen's thread; true when <see cref="Wake"/> ended it.</summary>
    public bool Rest()
    {
        lock (_gate)
        {
            bool ended = _posted || Monitor.Wait(_gate, Longest);
            _posted = false;
            return ended;
        }
    }
}
