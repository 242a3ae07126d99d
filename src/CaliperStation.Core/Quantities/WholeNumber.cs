namespace CaliperStation.Core.Quantities;

/// <summary>Division of whole numbers with a named rounding.</summary>
public static class WholeNumber
{
    /// <summary>The quotient as a whole number, rounded as said.</summary>
    /// <exception cref="DivideByZeroException"><paramref name="divisor"/> is 0.</exception>
    /// <exception cref="OverflowException">The quotient does not fit.</exception>
    public static long Divide(long dividend, long divisor, Rounding rounding) => (long)Divide((Int128)dividend, divisor, rounding);

    /// <summary>The quotient as a whole number, rounded as said.</summary>
    /// <exception cref="DivideByZeroException"><paramref name="divisor"/> is 0.</exception>
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

        Int128 twice = 2 * remainder;
        bool up = rounding switch
        {
            Rounding.Down => false,
            Rounding.Up => true,
            Rounding.TowardZero => dividend < 0,
            Rounding.HalfEven => twice > divisor || (twice == divisor && !Int128.IsEvenInteger(quotient)),
            Rounding.HalfAwayFromZero => twice > divisor || (twice == divisor && dividend > 0),
        };
        return up ? quotient + 1 : quotient;
    }
}
