namespace CaliperStation.Core.Readings;

/// <summary>Makes one press of a bouncing or nervous one.</summary>
/// <remarks>
/// Measured switches bounce for 1.6 ms in the mean and 6.2 ms at worst (uruvideo.com/how-long-is-switch-debounce), one designer allows 250 ms; a person does
/// not press twice on purpose within 300 ms while moving a caliper.
/// </remarks>
public sealed class PressGate(TimeSpan? lockOut = null)
{
    /// <summary>300 ms.</summary>
    public static readonly TimeSpan LockOut = TimeSpan.FromMilliseconds(300);

    private readonly TimeSpan _lockOut = lockOut ?? LockOut;
    private TimeSpan? _accepted;

    /// <summary>True when this press counts; false within the lock-out after one that did.</summary>
    public bool Accept(TimeSpan at)
    {
        if (_accepted is TimeSpan before && at >= before && at - before < _lockOut)
        {
            return false;
        }

        _accepted = at;
        return true;
    }
}
