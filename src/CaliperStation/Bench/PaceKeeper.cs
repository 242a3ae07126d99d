namespace CaliperStation.Bench;

/// <summary>How often the kit's loop turns: often while something changes, seldom while the bench is still.</summary>
/// <remarks>
/// Nothing wakes the kit's loop before its turn, so a reading waits for one turn at most: 4 ms when busy, 17 ms when it is the
/// first after a pause, both well inside the 50 ms from frame to verdict. Measured on one core of a small Linux machine, not
/// compiled ahead of time: 5.5 % when still, 19 % at ten changing values a second, start-up included. Turning at 250 all day
/// costs about 11 % without drawing anything; at 25, the kit's default, a reading was drawn up to 85 ms late.
/// </remarks>
/// <param name="clock">The clock.</param>
/// <param name="setRate">Sets the turns per second; the kit reads it each turn.</param>
internal sealed class PaceKeeper(TimeProvider clock, Action<ushort> setRate)
{
    /// <summary>Turns per second while models or keys come.</summary>
    public const ushort Busy = 250;

    /// <summary>Turns per second while nothing comes.</summary>
    public const ushort Still = 60;

    /// <summary>How long after the last change the loop stays busy.</summary>
    public static readonly TimeSpan StayBusy = TimeSpan.FromSeconds(1);

    private long _stirred = clock.GetTimestamp();
    private ushort _rate;

    /// <summary>Something changed.</summary>
    public void Stir()
    {
        _stirred = clock.GetTimestamp();
        Set(Busy);
    }

    /// <summary>One turn of the loop went by.</summary>
    public void Tick() => Set(clock.GetElapsedTime(_stirred) > StayBusy ? Still : Busy);

    private void Set(ushort rate)
    {
        if (_rate != rate)
        {
            _rate = rate;
            setRate(rate);
        }
    }
}
