using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

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
