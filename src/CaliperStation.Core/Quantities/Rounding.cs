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

/// <summary>Division of whole numbers with a named rounding.</summary>
public static class WholeNumber
{
    /// <summary>The quotient as a whole number, rounded as said.</summary>
    /// <exception cref="DivideByZeroException"><paramref name="divisor"/> is 0.</exception>
    /// <exception cref="OverflowException">The quotient does not fit.</exception>
    public static long Divide(long dividend, long divisor, Rounding rounding) => (long)Divide((Int128)dividend, divisor, rounding);

    /// <summary>The quotient as a whole number, rounded as said.</summary>
    /// <exception cref="DivideByZeroException"><paramref name="divisor"/> is 0.</exception>
    /// <exception cref="OverflowException">The divisor is negative and one of the two is <see cref="Int128.MinValue"/>.</exception>
    public static Int128 Divide(Int128 dividend, Int128 divisor, Rounding rounding)
    {
        if (divisor < 0)
        {
            (dividend, divisor) = (-dividend, -divisor);
        }

        (Int128 quotient, Int128 remainder) = Int128.DivRem(dividend, divisor);
        if (remainder < 0)
        {
            (quotient, remainder) = (quotient - 1, remainder + divisor);   // quotient is now the floor, remainder 0..divisor-1
        }

        if (remainder == 0)
        {
            return quotient;
        }

        int toHalf = remainder.CompareTo(divisor - remainder);   // twice the remainder could overflow
        bool up = rounding switch
        {
            Rounding.Down => false,
            Rounding.Up => true,
            Rounding.TowardZero => dividend < 0,
            Rounding.HalfEven => toHalf > 0 || (toHalf == 0 && !Int128.IsEvenInteger(quotient)),
            Rounding.HalfAwayFromZero => toHalf > 0 || (toHalf == 0 && dividend > 0),
        };
        return up ? quotient + 1 : quotient;
    }
}
