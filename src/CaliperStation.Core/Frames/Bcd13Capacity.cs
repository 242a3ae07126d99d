using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>Tells before the first reading whether an instrument can show more digits than the 13-nibble frame carries.</summary>
/// <remarks>The frame has six digits: 123.4565 arrives as 23.4565, with nothing to show it (an indicator's manual, easymanua.ls/mitutoyo/id-h0530).</remarks>
public static class Bcd13Capacity
{
    /// <summary>True when every value up to the range arrives whole.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The resolution is not positive, or the range is negative.</exception>
    public static bool Carries(Length range, Length resolution)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(resolution.Nanometres, nameof(resolution));
        ArgumentOutOfRangeException.ThrowIfNegative(range.Nanometres, nameof(range));
        return range.Nanometres / resolution.Nanometres <= 999_999;
    }
}
