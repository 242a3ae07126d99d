using System.Globalization;
using System.Text;

namespace CaliperStation.Core.Quantities;

/// <summary>Makes text from a wire, a file or a command line safe to show: no control or format character survives.</summary>
/// <remarks>
/// Escape sequences, bidirectional overrides and line breaks would let a file or an instrument write anywhere on the
/// terminal. Each such character becomes <c>\xNN</c> or <c>\uNNNN</c>; letters of any script stay.
/// </remarks>
public static class PrintableText
{
    /// <summary>The text with everything that is not plainly printable escaped.</summary>
    public static string Escape(string text) => Escape(text, inJson: false);

    /// <summary>JSON with every such character inside its texts as <c>\uNNNN</c>, which a reader of JSON turns back.</summary>
    public static string EscapeJson(string json) => Escape(json, inJson: true);

    private static string Escape(string text, bool inJson)
    {
        int index = 0;
        while (index < text.Length && char.IsBetween(text[index], ' ', '~'))
        {
            index++;
        }

        if (index == text.Length)
        {
            return text;
        }

        StringBuilder escaped = new(text, 0, index, text.Length + 16);
        while (index < text.Length)
        {
            if (Rune.TryGetRuneAt(text, index, out Rune rune) && IsPrintable(rune))
            {
                escaped.Append(rune.ToString());
                index += rune.Utf16SequenceLength;
            }
            else
            {
                AppendEscape(escaped, text[index], inJson);
                index++;
            }
        }

        return escaped.ToString();
    }

    /// <summary>Wire bytes as text: printable ASCII as it is, every other byte as <c>\xNN</c>.</summary>
    public static string Escape(ReadOnlySpan<byte> bytes)
    {
        StringBuilder escaped = new(bytes.Length + 16);
        foreach (byte value in bytes)
        {
            if (value is >= 0x20 and <= 0x7E)
            {
                escaped.Append((char)value);
            }
            else
            {
                AppendEscape(escaped, (char)value, inJson: false);
            }
        }

        return escaped.ToString();
    }

    private static void AppendEscape(StringBuilder escaped, char value, bool inJson)
    {
        bool isShort = value <= 0xFF && !inJson;
        escaped.Append(isShort ? "\\x" : "\\u").Append(((int)value).ToString(isShort ? "X2" : "X4", CultureInfo.InvariantCulture));
    }

    private static bool IsPrintable(Rune rune) => Rune.GetUnicodeCategory(rune) is not (
        UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.Surrogate or UnicodeCategory.PrivateUse or
        UnicodeCategory.OtherNotAssigned or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator);
}
