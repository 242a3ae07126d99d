using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>Makes the 7-nibble frame an instrument would send; the flag of unknown meaning is 0.</summary>
public static class Bcd7Encoder
{
    /// <summary>The frame of a displayed value: whole hundredths of a millimetre, or whole 0.0005 in.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The value is none, or has more than six digits.</exception>
    public static FrameBits Encode(Length value, LengthUnit unit)
    {
        long step = (unit == LengthUnit.Millimetre ? Bcd7Layout.MillimetreStep : Bcd7Layout.InchStep).Nanometres;
        (long number, long rest) = Math.DivRem(value.Abs().Nanometres, step);
        bool half = unit == LengthUnit.Inch && rest == Bcd7Layout.HalfInchStep.Nanometres;
        if ((rest != 0 && !half) || number > 999_999)
        {
            throw new ArgumentOutOfRangeException(nameof(value), "The value is no whole number of steps, or has more than six digits.");
        }

        FrameBits frame = default;
        for (int i = 0; i < Bcd7Layout.Digits; i++)
        {
            frame = frame.AddNibble((int)(number % 10));
            number /= 10;
        }

        return frame.AddNibble((value < Length.Zero ? Bcd7Layout.Negative : 0) | (half ? Bcd7Layout.HalfDigit : 0)
            | (unit == LengthUnit.Millimetre ? Bcd7Layout.Millimetre : 0));
    }
}
