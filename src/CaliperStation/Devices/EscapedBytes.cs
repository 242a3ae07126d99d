using System.Globalization;

namespace CaliperStation.Devices;

/// <summary>Bytes written as text between quotes: printable ASCII as it is, <c>\r \n \" \\</c> and <c>\xNN</c>.</summary>
internal static class EscapedBytes
{
    internal const string NoQuotes = "the bytes must stand between two quotes";
    internal const string NotInQuotes = "between the quotes stand printable ASCII, \\r, \\n, \\\", \\\\ and \\xNN only";

    /// <summary>Reads a quoted text; null with the reason when it is none.</summary>
    internal static byte[]? Quoted(string text, out string? fault)
    {
        if (text.Length < 2 || text[0] != '"' || text[^1] != '"')
        {
            fault = NoQuotes;
            return null;
        }

        List<byte> bytes = new(text.Length);
        ReadOnlySpan<char> inner = text.AsSpan(1, text.Length - 2);
        while (!inner.IsEmpty)
        {
            (int value, int length) = Next(inner);
            if (length == 0)
            {
                fault = NotInQuotes;
                return null;
            }

            bytes.Add((byte)value);
            inner = inner[length..];
        }

        fault = null;
        return [.. bytes];
    }

    private static (int Value, int Length) Next(ReadOnlySpan<char> text)
    {
        if (text[0] != '\\')
        {
            return text[0] is >= ' ' and <= '~' and not '"' ? (text[0], 1) : (0, 0);
        }

        return text.Length < 2 ? (0, 0) : text[1] switch
        {
            'r' => ('\r', 2),
            'n' => ('\n', 2),
            '"' => ('"', 2),
            '\\' => ('\\', 2),
            'x' when text.Length >= 4 && byte.TryParse(text[2..4], NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out byte value) => (value, 4),
            _ => (0, 0),
        };
    }
}
