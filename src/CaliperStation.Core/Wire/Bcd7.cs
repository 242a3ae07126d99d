using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Wire;

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

/// <summary>The 7-nibble frame: six digits, lowest first, then flags; each nibble lowest bit first.</summary>
/// <remarks>Published by robotroom.com, Caliper-Digital-Data-Port-3: digits 1,0,8,9,0,0 with H set in inches are 9.8015 in.</remarks>
internal static class Bcd7Layout
{
    public const int Nibbles = 7;

    public const int Bits = Nibbles * 4;

    public const int Digits = 6;

    public const int FlagNibble = 6;

    /// <summary>Of the flag nibble, first bit: negative.</summary>
    public const int Negative = 1;

    /// <summary>Second bit: half a digit more, 0.0005 in.</summary>
    public const int HalfDigit = 2;

    /// <summary>Third bit: millimetres. The fourth bit's meaning is not published; both values are legal.</summary>
    public const int Millimetre = 4;

    /// <summary>One unit of the last digit in millimetres: two decimals.</summary>
    public static Length MillimetreStep => Length.FromMicrometres(10);

    /// <summary>One unit of the last digit in inches: three decimals.</summary>
    public static Length InchStep => Length.FromNanometres(25_400);

    /// <summary>Half of it.</summary>
    public static Length HalfInchStep => Length.FromNanometres(12_700);
}
