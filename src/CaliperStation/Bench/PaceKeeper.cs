namespace CaliperStation.Bench;

/// <summary>How often the kit's loop turns: often after a key, seldom while the bench is still.</summary>
/// <remarks>
/// Nothing wakes the kit's loop before its turn, so a reading waits for one turn at most: 4 ms when busy, else 17 ms,
/// both well inside the 50 ms from frame to verdict. Nobody works at a bench that nothing touched for a
/// minute; what comes first then may wait 67 ms. Turning at 250 all day costs about 11 % of a core without drawing anything;
/// at 25, the kit's default, a reading was drawn up to 85 ms late. DEVELOPERS.md has the figures.
/// </remarks>
/// <param name="clock">The clock.</param>
/// <param name="setRate">Sets the turns per second; the kit reads it each turn.</param>
internal sealed class PaceKeeper(TimeProvider clock, Action<ushort> setRate)
{
    /// <summary>Turns per second while keys come.</summary>
    public const ushort Busy = 250;

    /// <summary>Turns per second while no key comes.</summary>
    public const ushort Still = 60;

    /// <summary>Turns per second while nobody is there.</summary>
    public const ushort Asleep = 15;

    /// <summary>How long after the last change somebody is thought to be there.</summary>
    public static readonly TimeSpan StayAwake = TimeSpan.FromMinutes(1);

    /// <summary>How long after the last key the loop stays busy.</summary>
    public static readonly TimeSpan StayBusy = TimeSpan.FromSeconds(1);

    private long _stirred = clock.GetTimestamp();
    private long _woken = clock.GetTimestamp();
    private ushort _rate;

    /// <summary>A key came: what follows is to be seen at once.</summary>
    public void Stir()
    {
        _stirred = clock.GetTimestamp();
        Wake();
        Set(Busy);
    }

    /// <summary>Something is to be drawn; a caliper's last digit may flicker all day, which is no reason to hurry.</summary>
    public void Wake()
    {
        _woken = clock.GetTimestamp();
        Tick();
    }

    /// <summary>One turn of the loop went by.</summary>
    public void Tick()
    {
        Set(clock.GetElapsedTime(_stirred) <= StayBusy ? Busy : clock.GetElapsedTime(_woken) <= StayAwake ? Still : Asleep);
    }

    private void Set(ushort rate)
    {
        if (_rate != rate)
        {
            _rate = rate;
            setRate(rate);
        }
    }
}
