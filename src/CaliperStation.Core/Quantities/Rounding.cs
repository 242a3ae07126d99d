namespace CaliperStation.Core.Quantities;

/// <summary>What to do with the part that does not fit.</summary>
public enum Rounding
{
    /// <summary>To the nearest, a tie to the even one (NIST SP 811 (2008), B.7.1); for everything shown.</summary>
    HalfEven,

    /// <summary>To the nearest, a tie away from zero.</summary>
    HalfAwayFromZero,

    /// <summary>Cut off.</summary>
    TowardZero,

    /// <summary>To the lower one.</summary>
    Down,

    /// <summary>To the higher one.</summary>
    Up,
}
