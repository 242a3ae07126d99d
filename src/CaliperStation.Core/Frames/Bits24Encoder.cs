using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>Makes the 24-bit frame an instrument would send.</summary>
public static class Bits24Encoder
{
    /// <summary>The frame of a displayed value.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The value is no whole number of steps or has more than 20 bits of them.</exception>
    public static FrameBits Encode(Length value, LengthUnit unit, Bits24Options? options = null)
    {
        long step = (options ?? Bits24Options.Default).StepIn(unit).Nanometres;
        (long count, long rest) = Math.DivRem(value.Abs().Nanometres, step);
        if (rest != 0 || count >= 1L << Bits24Layout.MagnitudeBits)
        {
            throw new ArgumentOutOfRangeException(nameof(value), "The value is no whole number of steps, or too large for 20 bits.");
        }

        ulong bits = (ulong)count << Bits24Layout.Magnitude
            | (value < Length.Zero ? 1UL << Bits24Layout.Sign : 0)
            | (unit == LengthUnit.Inch ? 1UL << Bits24Layout.Inch : 0);
        return new(bits, Bits24Layout.Length);
    }
}
