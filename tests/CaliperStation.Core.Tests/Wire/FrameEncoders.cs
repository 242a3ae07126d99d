using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;

namespace CaliperStation.Core.Tests.Wire;

/// <summary>Makes the 24-bit frame an instrument would send.</summary>
internal static class Bits24Encoder
{
    /// <summary>The frame of a displayed value.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The value is no whole number of steps or has more than 20 bits of them.</exception>
    public static FrameBits Encode(Length value, LengthUnit unit, Bits24Options? options = null)
    {
        Bits24Options set = options ?? Bits24Options.Default;
        long step = (unit == LengthUnit.Inch ? set.InchStep : set.MillimetreStep).Nanometres;
        (long count, long rest) = Math.DivRem(value.Abs().Nanometres, step);
        if (rest != 0 || count >= 1L << 20)
        {
            throw new ArgumentOutOfRangeException(nameof(value), "The value is no whole number of steps, or too large for 20 bits.");
        }

        ulong bits = (ulong)count
            | (value < Length.Zero ? 1UL << 20 : 0)
            | (unit == LengthUnit.Inch ? 1UL << 23 : 0);
        return new(bits, 24);
    }
}

/// <summary>Makes the two-word frame an instrument would send.</summary>
internal static class TwoWordEncoder
{
    /// <summary>The frame of a displayed value, to the nearest count (half-even), and an absolute word.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A word does not fit 24 bits in two's complement.</exception>
    public static FrameBits Encode(Length value, long absoluteCounts, TwoWordOptions? options = null)
    {
        TwoWordOptions set = options ?? TwoWordOptions.Default;
        long counts = (long)WholeNumber.Divide((Int128)value.Nanometres * 20_480, Length.Inch.Nanometres, Rounding.HalfEven);
        ulong displayed = Word(set.Negated ? -counts : counts, nameof(value));
        ulong absolute = Word(absoluteCounts, nameof(absoluteCounts));
        (ulong first, ulong second) = set.Order switch
        {
            TwoWordOrder.DisplayedSecond => (absolute, displayed),
            TwoWordOrder.DisplayedFirst => (displayed, absolute),
        };
        FrameBits frame = new(first | (second << 24), 48);
        return set.Inverted ? frame.Inverted() : frame;
    }

    private static ulong Word(long counts, string name)
    {
        const long half = 1L << (24 - 1);
        return counts is >= -half and < half
            ? (ulong)(counts < 0 ? counts + (2 * half) : counts)
            : throw new ArgumentOutOfRangeException(name, "The word does not fit 24 bits.");
    }
}

/// <summary>Makes the 7-nibble frame an instrument would send; the flag of unknown meaning is 0.</summary>
internal static class Bcd7Encoder
{
    /// <summary>The frame of a displayed value: whole hundredths of a millimetre, or whole 0.0005 in.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The value is none, or has more than six digits.</exception>
    public static FrameBits Encode(Length value, LengthUnit unit)
    {
        long step = (unit == LengthUnit.Millimetre ? Length.FromMicrometres(10) : Length.FromNanometres(25_400)).Nanometres;
        (long number, long rest) = Math.DivRem(value.Abs().Nanometres, step);
        bool half = unit == LengthUnit.Inch && rest == 12_700;
        if ((rest != 0 && !half) || number > 999_999)
        {
            throw new ArgumentOutOfRangeException(nameof(value), "The value is no whole number of steps, or has more than six digits.");
        }

        FrameBits frame = default;
        for (int i = 0; i < 6; i++)
        {
            frame = frame.AddNibble((int)(number % 10));
            number /= 10;
        }

        return frame.AddNibble((value < Length.Zero ? 1 : 0) | (half ? 2 : 0)
            | (unit == LengthUnit.Millimetre ? 4 : 0));
    }
}

/// <summary>The tolerance verdict that an instrument may put into its unit nibble.</summary>
internal enum Bcd13Verdict
{
    /// <summary>None.</summary>
    None,

    /// <summary>Above the upper limit set in the instrument.</summary>
    High,

    /// <summary>Between its limits.</summary>
    Within,

    /// <summary>Below the lower limit.</summary>
    Low,
}

/// <summary>Makes the 13-nibble frame an instrument would send.</summary>
internal static class Bcd13Encoder
{
    /// <summary>The frame of a displayed value with so many decimals.</summary>
    /// <param name="value">A whole number of steps of the last digit, at most six digits.</param>
    /// <param name="unit">The displayed unit.</param>
    /// <param name="decimals">0 to 5.</param>
    /// <param name="type">Any type that carries a value.</param>
    /// <param name="entry">The number of a stored entry, 1 to 999.</param>
    /// <param name="verdict">The instrument's own verdict.</param>
    /// <exception cref="ArgumentOutOfRangeException">A value the format cannot carry.</exception>
    public static FrameBits Encode(
        Length value, LengthUnit unit, int decimals, Bcd13Type type = Bcd13Type.Normal, int entry = 1, Bcd13Verdict verdict = Bcd13Verdict.None)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(decimals);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(decimals, 5);
        ArgumentOutOfRangeException.ThrowIfEqual((int)type, (int)Bcd13Type.NumberOfData, nameof(type));
        ArgumentOutOfRangeException.ThrowIfEqual((int)type, (int)Bcd13Type.Extended, nameof(type));
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(entry);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(entry, 999);
        (long digits, long rest) = Math.DivRem(value.Abs().Nanometres, DisplayStep.Of(unit, decimals));
        if (rest != 0 || digits > 999_999)
        {
            throw new ArgumentOutOfRangeException(nameof(value), "The value is no whole number of steps, or has more than six digits.");
        }

        FrameBits frame = default(FrameBits).AddNibble((int)type);
        frame = type == Bcd13Type.StoredEntry ? AddDigits(frame, entry, 3) : AddEmpty(frame, 3);
        frame = frame.AddNibble(value < Length.Zero ? 8 : 0);
        return AddDigits(frame, digits, 6).AddNibble(decimals).AddNibble(UnitNibble(unit, verdict));
    }

    /// <summary>The frame that tells how many entries are stored, 0 to 999.</summary>
    /// <exception cref="ArgumentOutOfRangeException">More than three digits.</exception>
    public static FrameBits EncodeCount(int count)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(count);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count, 999);
        FrameBits head = AddEmpty(default(FrameBits).AddNibble((int)Bcd13Type.NumberOfData), 7);
        return AddEmpty(AddDigits(head, count, 3), 2);
    }

    private static int UnitNibble(LengthUnit unit, Bcd13Verdict verdict)
    {
        int inch = unit == LengthUnit.Inch ? 1 : 0;
        return verdict switch
        {
            Bcd13Verdict.None => inch,
            Bcd13Verdict.High => 2 + (3 * inch),
            Bcd13Verdict.Within => 3 + (3 * inch),
            Bcd13Verdict.Low => 4 + (3 * inch),
        };
    }

    private static FrameBits AddDigits(FrameBits frame, long number, int count)
    {
        for (int i = count - 1; i >= 0; i--)
        {
            long place = 1;
            for (int j = 0; j < i; j++)
            {
                place *= 10;
            }

            frame = frame.AddNibble((int)(number / place % 10));
        }

        return frame;
    }

    private static FrameBits AddEmpty(FrameBits frame, int count)
    {
        for (int i = 0; i < count; i++)
        {
            frame = frame.AddNibble(15);
        }

        return frame;
    }
}

/// <summary>Writes the line a bridge would send; for the emulator and the tests.</summary>
internal static class BridgeLineEncoder
{
    /// <summary>The line without its terminator.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A field does not fit its width, or the format is not one of bits.</exception>
    public static string Encode(in BridgeLine line)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan((uint)line.Sequence, 0xFFFFu, nameof(line));
        ArgumentOutOfRangeException.ThrowIfGreaterThan((uint)line.SilenceMicroseconds, (uint)9_999_999, nameof(line));
        ArgumentOutOfRangeException.ThrowIfGreaterThan((uint)(line.Bits.Count - 1), (uint)(FrameBits.Most - 1), nameof(line));
        StringBuilder hex = new();
        for (int i = 0; i < (line.Bits.Count + 3) / 4; i++)
        {
            hex.Append("0123456789ABCDEF"[line.Bits.Nibble(i)]);
        }

        char power = line.Power switch
        {
            BridgePower.Good => 'G',
            BridgePower.Low => 'L',
            BridgePower.Unknown => 'U',
        };
        string covered = string.Create(CultureInfo.InvariantCulture,
            $"B1 {line.Sequence:X4} {FormatName(line.Format)} {line.Bits.Count:D2} {hex} {line.SilenceMicroseconds:D7} {(line.Inverted ? 'I' : 'D')} {power}");
        return string.Create(CultureInfo.InvariantCulture, $"{covered} {Crc(covered):X4}");
    }

    /// <summary>CRC-16/IBM-SDLC bit by bit, apart from the table that the station reads with.</summary>
    private static int Crc(string text)
    {
        int crc = 0xFFFF;
        foreach (char one in text)
        {
            crc ^= one;
            for (int bit = 0; bit < 8; bit++)
            {
                crc = (crc & 1) != 0 ? (crc >> 1) ^ 0x8408 : crc >> 1;
            }
        }

        return crc ^ 0xFFFF;
    }

    private static string FormatName(FrameFormat format) => format switch
    {
        FrameFormat.Bits24 => "S24",
        FrameFormat.TwoWord => "W48",
        FrameFormat.Bcd7 => "D28",
        FrameFormat.Bcd13 => "D52",
        FrameFormat.Ascii => throw new ArgumentOutOfRangeException(nameof(format), "A bridge sends bits."),
    };
}

/// <summary>Writes the line an ASCII instrument would send, without its terminator.</summary>
internal static class AsciiEncoder
{
    /// <summary>The line of a displayed value.</summary>
    /// <param name="grammar">One of the value grammars.</param>
    /// <param name="value">A whole number of steps of the last digit.</param>
    /// <param name="unit">The displayed unit; grammars without a unit leave it out.</param>
    /// <param name="decimals">1 to 5 (for <see cref="AsciiGrammar.Coded"/> and <see cref="AsciiGrammar.Box"/> at most 4 and 5; they always send 4 and 6).</param>
    /// <exception cref="ArgumentOutOfRangeException">The value does not fit the grammar.</exception>
    public static string Encode(AsciiGrammar grammar, Length value, LengthUnit unit, int decimals)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(decimals, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(decimals, 5);
        string sign = value < Length.Zero ? "-" : "+";
        string name = unit == LengthUnit.Millimetre ? "mm" : "in";
        string number = Number(value, unit, decimals);
        return grammar switch
        {
            AsciiGrammar.BareNumber => sign + number,
            AsciiGrammar.NumberUnit => $"{sign}{number} {name}",
            AsciiGrammar.Padded => $"{new string(' ', 13)}{(sign == "-" ? "-" : " ")}{Fit(number, 7, ' ')} {name}",
            AsciiGrammar.CommaUnit => $"{sign}{Fit(number, 8, ' ')}, {name.ToUpperInvariant()}",
            AsciiGrammar.UnitFirst => $"{name} {sign}{number}",
            AsciiGrammar.ChannelLetter => $"01A{sign}{Fit(number, 8, '0')}",
            AsciiGrammar.ChannelType => $"1 MW{sign}{Fit(number, 8, '0')} {name}",
            AsciiGrammar.Box => $"V1: {name}       {sign}{Fit(number.PadRight(number.Length + 6 - decimals, '0'), 12, '0')}",
            AsciiGrammar.Coded => $"GN01,{sign}{Fit(number.PadRight(number.Length + 4 - decimals, '0'), 9, '0')}",
            AsciiGrammar.Lettered => $"A1N {name} OK {sign}{number}",
            AsciiGrammar.None or AsciiGrammar.Error or AsciiGrammar.Pedal or AsciiGrammar.Words =>
                throw new ArgumentOutOfRangeException(nameof(grammar), "The grammar carries no value."),
        };
    }

    private static string Number(Length value, LengthUnit unit, int decimals)
    {
        long step = DisplayStep.Of(unit, decimals);
        (long digits, long rest) = Math.DivRem(value.Abs().Nanometres, step);
        if (rest != 0)
        {
            throw new ArgumentOutOfRangeException(nameof(value), "The value is no whole number of steps.");
        }

        string text = digits.ToString(CultureInfo.InvariantCulture).PadLeft(decimals + 1, '0');
        return text.Insert(text.Length - decimals, ".");
    }

    private static string Fit(string number, int width, char padding) => number.Length <= width
        ? number.PadLeft(width, padding)
        : throw new ArgumentOutOfRangeException(nameof(number), "The number is wider than the grammar's field.");
}

/// <summary>One step of a display's last digit.</summary>
internal static class DisplayStep
{
    /// <summary>Nanometres, for decimals that make it a whole number of them.</summary>
    public static long Of(LengthUnit unit, int decimals)
    {
        long step = unit == LengthUnit.Millimetre ? 1_000_000 : 25_400_000;
        for (int i = 0; i < decimals; i++)
        {
            step /= 10;
        }

        return step;
    }
}
