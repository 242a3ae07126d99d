using System.Globalization;

namespace CaliperStation.Core.Wire;

/// <summary>Reads a frame that a person wrote down: bits, hex nibbles, or escaped text.</summary>
public static class FrameText
{
    internal const string Empty = "the line is empty";
    internal const string NotBits = "the line is neither bits (0 and 1) nor hex digits";
    internal const string WrongNibbles = "the line has not as many hex digits as a frame of this format has nibbles";
    internal const string TooManyBits = "the line has more bits than any frame";
    internal const string BadEscape = "a backslash is followed by none of r, n, t, \\ or x with two hex digits";
    internal const string NotBytes = "the line has characters that are no bytes";

    /// <summary>
    /// Bits in arrival order, or hex digits one a nibble with the lowest bit sent first. Blanks between them are nothing. When the line
    /// has as many characters as the frame has nibbles it is hex, else a line of 0 and 1 only is bits, however many.
    /// </summary>
    /// <returns>True with the bits; false with the reason.</returns>
    public static bool TryBits(string line, FrameFormat format, out FrameBits bits, out string refusal)
    {
        Span<int> digits = stackalloc int[FrameBits.Most];
        int count = 0;
        bool onlyBits = true;
        bits = default;
        foreach (char here in line)
        {
            if (here is ' ' or '\t' or '\r' or '\n')
            {
                continue;
            }

            if (!char.IsAsciiHexDigit(here))
            {
                refusal = NotBits;
                return false;
            }

            if (count == FrameBits.Most)
            {
                refusal = TooManyBits;
                return false;
            }

            digits[count] = HexValue(here);
            onlyBits &= digits[count] <= 1;
            count++;
        }

        bool nibbles = count == FrameFormats.BitsOf(format) / 4;
        refusal = count == 0 ? Empty : !nibbles && !onlyBits ? WrongNibbles : string.Empty;
        for (int i = 0; i < count && refusal.Length == 0; i++)
        {
            bits = nibbles ? bits.AddNibble(digits[i]) : bits.AddBit(digits[i] == 1);
        }

        return refusal.Length == 0;
    }

    /// <summary>Text with <c>\r</c>, <c>\n</c>, <c>\t</c>, <c>\\</c> and <c>\xNN</c> as bytes.</summary>
    /// <returns>True with the bytes; false with the reason.</returns>
    public static bool TryBytes(string line, out byte[] bytes, out string refusal)
    {
        List<byte> found = new(line.Length);
        bytes = [];
        for (int i = 0; i < line.Length; i++)
        {
            char here = line[i];
            if (here > 0xFF)
            {
                refusal = NotBytes;
                return false;
            }

            if (here != '\\')
            {
                found.Add((byte)here);
                continue;
            }

            if (!TryEscape(line, ref i, out byte escaped))
            {
                refusal = BadEscape;
                return false;
            }

            found.Add(escaped);
        }

        bytes = [.. found];
        refusal = string.Empty;
        return true;
    }

    private static bool TryEscape(string line, ref int at, out byte value)
    {
        at++;
        char kind = at < line.Length ? line[at] : '\0';
        value = kind switch
        {
            'r' => (byte)'\r',
            'n' => (byte)'\n',
            't' => (byte)'\t',
            '\\' => (byte)'\\',
            _ => 0,
        };
        if (kind != 'x')
        {
            return value != 0;
        }

        bool hex = at + 2 < line.Length && byte.TryParse(line.AsSpan(at + 1, 2), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out value);
        at += 2;
        return hex;
    }

    private static int HexValue(char digit) => digit <= '9' ? digit - '0' : (digit | 0x20) - 'a' + 10;
}
