namespace CaliperStation.Core.Frames;

/// <summary>What the bridge knows of the caliper's supply.</summary>
public enum BridgePower
{
    /// <summary>Level as it should be.</summary>
    Good,

    /// <summary>Level low: change the cell.</summary>
    Low,

    /// <summary>Not measured.</summary>
    Unknown,
}

/// <summary>One line of a bridge board: one frame of a bit format.</summary>
/// <remarks>
/// <c>B1 ssss fff nn h… ttttttt p w cccc</c>: version, sequence number (hex), format, number of bits, the bits as hex nibbles in arrival
/// order (first bit lowest), silence before in microseconds, polarity, power, CRC-16. <c>firmware-notes/bridge-line.md</c> defines it.
/// </remarks>
/// <param name="Sequence">One more for each line, 65535 is followed by 0.</param>
/// <param name="Format">One of the bit formats.</param>
/// <param name="Bits">As they arrived.</param>
/// <param name="SilenceMicroseconds">From the end of the burst before to the start of this one; 9999999 is that or more.</param>
/// <param name="Inverted">True when the bits came through an inverting stage and were not turned back.</param>
/// <param name="Power">Of the caliper.</param>
public readonly record struct BridgeLine(
    int Sequence, FrameFormat Format, FrameBits Bits, int SilenceMicroseconds, bool Inverted, BridgePower Power)
{
    /// <summary>The longest line, without terminator: 16 nibbles.</summary>
    public const int Longest = 49;

    /// <summary>The most that the silence field can say.</summary>
    public const int MostSilence = 9_999_999;

    internal const string NotABridgeLine = "the line is not a bridge line";
    internal const string BadCrc = "the bridge line was damaged on its way (its CRC does not fit)";

    /// <summary>Reads one whole line without its terminator.</summary>
    /// <returns>True with the line; false with the reason.</returns>
    public static bool TryRead(ReadOnlySpan<byte> text, out BridgeLine line, out string refusal)
    {
        line = default;
        refusal = NotABridgeLine;
        AsciiCursor cursor = new(text);
        if (!cursor.Take("B1 "u8) || !TakeHex(ref cursor, 4, out int sequence) || !cursor.Take((byte)' ')
            || !TakeFormat(ref cursor, out FrameFormat format) || !cursor.Take((byte)' ')
            || !TakeDecimal(ref cursor, 2, out int count) || !cursor.Take((byte)' ') || count is < 1 or > FrameBits.Most)
        {
            return false;
        }

        FrameBits bits = default;
        for (int i = 0; i < (count + 3) / 4; i++)
        {
            if (!TakeHex(ref cursor, 1, out int nibble))
            {
                return false;
            }

            bits = bits.AddNibble(nibble);
        }

        bool spareBits = count < FrameBits.Most && bits.Bits >> count != 0;   // the last nibble may be wider than the frame
        bits = new(bits.Bits, count);
        if (spareBits || !cursor.Take((byte)' ')
            || !TakeDecimal(ref cursor, 7, out int silence) || !cursor.Take((byte)' ')
            || !TakeFlag(ref cursor, "DI"u8, out int polarity) || !cursor.Take((byte)' ')
            || !TakeFlag(ref cursor, "GLU"u8, out int power))
        {
            return false;
        }

        int covered = cursor.At;
        if (!cursor.Take((byte)' ') || !TakeHex(ref cursor, 4, out int crc) || !cursor.AtEnd)
        {
            return false;
        }

        if (crc != Crc16.Of(text[..covered]))
        {
            refusal = BadCrc;
            return false;
        }

        refusal = string.Empty;
        line = new(sequence, format, bits, silence, polarity == 1, (BridgePower)power);
        return true;
    }

    private static bool TakeFormat(ref AsciiCursor cursor, out FrameFormat format)
    {
        format = cursor.Take("S24"u8) ? FrameFormat.Bits24
            : cursor.Take("W48"u8) ? FrameFormat.TwoWord
            : cursor.Take("D28"u8) ? FrameFormat.Bcd7
            : cursor.Take("D52"u8) ? FrameFormat.Bcd13
            : FrameFormat.Ascii;
        return format != FrameFormat.Ascii;
    }

    private static bool TakeHex(ref AsciiCursor cursor, int digits, out int value)
    {
        value = 0;
        for (int i = 0; i < digits; i++)
        {
            int digit = cursor.Here switch
            {
                >= (byte)'0' and <= (byte)'9' => cursor.Here - '0',
                >= (byte)'A' and <= (byte)'F' => cursor.Here - 'A' + 10,
                _ => -1,
            };
            if (digit < 0)
            {
                return false;
            }

            value = (value << 4) | digit;
            cursor.Skip(1);
        }

        return true;
    }

    private static bool TakeDecimal(ref AsciiCursor cursor, int digits, out int value)
    {
        value = 0;
        for (int i = 0; i < digits; i++)
        {
            if (!cursor.HereIsDigit)
            {
                return false;
            }

            value = (value * 10) + (cursor.Here - '0');
            cursor.Skip(1);
        }

        return true;
    }

    private static bool TakeFlag(ref AsciiCursor cursor, ReadOnlySpan<byte> flags, out int index)
    {
        index = cursor.AtEnd ? -1 : flags.IndexOf(cursor.Here);
        cursor.Skip(index < 0 ? 0 : 1);
        return index >= 0;
    }
}
