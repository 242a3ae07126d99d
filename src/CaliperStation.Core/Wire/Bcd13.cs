using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Wire;

/// <summary>The 13-nibble BCD frame. Every nibble is checked: a frame that slipped by one nibble is refused, not read.</summary>
public static class Bcd13Decoder
{
    internal const string WrongLength = "the frame does not have 52 bits";
    internal const string BadType = "the frame's type nibble is not defined";
    internal const string ExtendedType = "the frame is of the extended type 8, whose published example contradicts itself";
    internal const string BadFiller = "the frame's filler nibbles are not F";
    internal const string BadEntry = "the number of the stored entry is not 1 to 999";
    internal const string BadSign = "the frame's sign nibble is neither 0 nor 8";
    internal const string BadDigit = "a digit of the frame is not 0 to 9";
    internal const string BadPoint = "the frame's point nibble is not 0 to 5";
    internal const string BadUnit = "the frame's unit nibble names no unit";
    internal const string CountOfData = "the frame says how many entries are stored";

    /// <summary>The value or why there is none.</summary>
    public static FrameEvent Decode(FrameBits frame) => Decode(frame, out _);

    /// <summary>The same, and what kind of value; meaningless when refused.</summary>
    public static FrameEvent Decode(FrameBits frame, out Bcd13Type type)
    {
        type = (Bcd13Type)frame.Nibble(Bcd13Layout.Type);
        if (frame.Count != Bcd13Layout.Bits)
        {
            return FrameEvent.Refused(WrongLength);
        }

        string? wrongHead = type switch
        {
            Bcd13Type.StoredEntry => IsNumber(frame, Bcd13Layout.Filler, Bcd13Layout.FillerNibbles, out long entry) && entry > 0 ? null : BadEntry,   // a line stuck at 0 is no entry
            Bcd13Type.NumberOfData or Bcd13Type.Normal or Bcd13Type.Maximum or Bcd13Type.Minimum or Bcd13Type.Mean or Bcd13Type.Sigma
                or Bcd13Type.MaximumHold or Bcd13Type.MinimumHold => AllEmpty(frame, Bcd13Layout.Filler, Bcd13Layout.FillerNibbles) ? null : BadFiller,
            Bcd13Type.Extended => ExtendedType,
            _ => BadType,
        };
        if (wrongHead is not null)
        {
            return FrameEvent.Refused(wrongHead);
        }

        return type == Bcd13Type.NumberOfData ? NumberOfData(frame) : Value(frame);
    }

    private static FrameEvent Value(FrameBits frame)
    {
        int sign = frame.Nibble(Bcd13Layout.Sign);
        int decimals = frame.Nibble(Bcd13Layout.Point);
        int unitNibble = frame.Nibble(Bcd13Layout.Unit);
        string? wrong = sign is not (Bcd13Layout.Plus or Bcd13Layout.Minus) ? BadSign
            : decimals > Bcd13Layout.MaxDecimals ? BadPoint
            : unitNibble > Bcd13Layout.LastUnit ? BadUnit
            : null;
        if (wrong is not null || !IsNumber(frame, Bcd13Layout.Digits, Bcd13Layout.DigitNibbles, out long digits))
        {
            return FrameEvent.Refused(wrong ?? BadDigit);
        }

        LengthUnit unit = unitNibble is 0 or 2 or 3 or 4 ? LengthUnit.Millimetre : LengthUnit.Inch;
        return FrameEvent.Of(ShownNumber.In(unit, sign == Bcd13Layout.Minus ? -digits : digits, decimals), unit, ShownNumber.In(unit, 1, decimals));
    }

    private static FrameEvent NumberOfData(FrameBits frame)
    {
        bool legal = AllEmpty(frame, Bcd13Layout.Sign, Bcd13Layout.Count - Bcd13Layout.Sign)
            && IsNumber(frame, Bcd13Layout.Count, Bcd13Layout.CountNibbles, out _)
            && AllEmpty(frame, Bcd13Layout.Point, 2);
        return legal ? FrameEvent.Ignored(CountOfData) : FrameEvent.Refused(BadFiller);
    }

    private static bool IsNumber(FrameBits frame, int from, int count, out long number)
    {
        number = 0;
        bool legal = true;
        for (int i = from; i < from + count; i++)
        {
            int digit = frame.Nibble(i);
            legal &= digit <= 9;
            number = (number * 10) + digit;
        }

        return legal;
    }

    private static bool AllEmpty(FrameBits frame, int from, int count)
    {
        bool empty = true;
        for (int i = from; i < from + count; i++)
        {
            empty &= frame.Nibble(i) == Bcd13Layout.Empty;
        }

        return empty;
    }
}

/// <summary>The 13-nibble frame d1 to d13, each nibble lowest bit first, as an instrument maker's interface specification gives it.</summary>
internal static class Bcd13Layout
{
    public const int Nibbles = 13;

    public const int Bits = Nibbles * 4;

    /// <summary>d1.</summary>
    public const int Type = 0;

    /// <summary>d2 to d4: F F F, or the number of a stored entry, most significant digit first.</summary>
    public const int Filler = 1;

    public const int FillerNibbles = 3;

    /// <summary>d5: 0 plus, 8 minus.</summary>
    public const int Sign = 4;

    public const int Plus = 0;

    public const int Minus = 8;

    /// <summary>d6 to d11, most significant digit first.</summary>
    public const int Digits = 5;

    public const int DigitNibbles = 6;

    /// <summary>d12: digits after the point, 0 to 5.</summary>
    public const int Point = 11;

    public const int MaxDecimals = 5;

    /// <summary>d13: 0 mm, 1 in; with a verdict 2 to 4 mm (high, ok, low), 5 to 7 in; above, none.</summary>
    public const int Unit = 12;

    public const int LastUnit = 7;

    /// <summary>A nibble with nothing in it.</summary>
    public const int Empty = 15;

    /// <summary>d9 to d11 of a number-of-data frame.</summary>
    public const int Count = 8;

    public const int CountNibbles = 3;
}

/// <summary>The first nibble of the 13-nibble frame: what the number is.</summary>
public enum Bcd13Type
{
    /// <summary>An entry kept in a data processor.</summary>
    StoredEntry = 0,

    /// <summary>How many entries are kept; no length.</summary>
    NumberOfData = 1,

    /// <summary>Largest of the entries.</summary>
    Maximum = 2,

    /// <summary>Smallest of the entries.</summary>
    Minimum = 3,

    /// <summary>Mean of the entries.</summary>
    Mean = 4,

    /// <summary>Their standard deviation.</summary>
    Sigma = 5,

    /// <summary>The largest value held on the display.</summary>
    MaximumHold = 6,

    /// <summary>The smallest value held on the display.</summary>
    MinimumHold = 7,

    /// <summary>A later, extended frame whose printed example contradicts itself; refused.</summary>
    Extended = 8,

    /// <summary>What the display shows now.</summary>
    Normal = 15,
}
