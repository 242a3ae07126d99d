using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>The 7-nibble BCD frame.</summary>
public static class Bcd7Decoder
{
    internal const string WrongLength = "the frame does not have 28 bits";
    internal const string NoDigit = "a digit of the frame is not 0 to 9";
    internal const string HalfInMillimetres = "the half-digit flag is set in millimetres, which this format does not know";

    /// <summary>The value or why there is none.</summary>
    public static FrameEvent Decode(FrameBits frame)
    {
        if (frame.Count != Bcd7Layout.Bits)
        {
            return FrameEvent.Refused(WrongLength);
        }

        long number = 0;
        for (int i = Bcd7Layout.Digits - 1; i >= 0; i--)
        {
            int digit = frame.Nibble(i);
            if (digit > 9)
            {
                return FrameEvent.Refused(NoDigit);
            }

            number = (number * 10) + digit;
        }

        int flags = frame.Nibble(Bcd7Layout.FlagNibble);
        bool half = (flags & Bcd7Layout.HalfDigit) != 0;
        bool millimetre = (flags & Bcd7Layout.Millimetre) != 0;
        if (half && millimetre)
        {
            return FrameEvent.Refused(HalfInMillimetres);
        }

        Length magnitude = (millimetre ? Bcd7Layout.MillimetreStep : Bcd7Layout.InchStep).Times(number) + (half ? Bcd7Layout.HalfInchStep : Length.Zero);
        return FrameEvent.Of(
            (flags & Bcd7Layout.Negative) != 0 ? -magnitude : magnitude,
            millimetre ? LengthUnit.Millimetre : LengthUnit.Inch,
            millimetre ? Bcd7Layout.MillimetreStep : Bcd7Layout.HalfInchStep);
    }
}
