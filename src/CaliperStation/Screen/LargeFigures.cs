using System.Text;

namespace CaliperStation.Screen;

/// <summary>Draws a value as large as a region allows.</summary>
/// <remarks>
/// A digit cut off at the edge would read as another value, so a font is used only when the whole text fits: the double font
/// (10 rows), the large (5), the large with the unit in plain letters, the small (3), the same with a plain unit, then one
/// plain line. When even that does not fit there is <c>…</c> and no digit at all.
/// </remarks>
internal static class LargeFigures
{
    private const int DoubleRows = 10;
    private const int LargeRows = 5;
    private const int LargeGap = 2; // as wide as a stroke, or neighbours run together
    private const int SmallRows = 3;
    private const int SmallGap = 1;

    /// <summary>The value in rows of equal meaning, each at most <paramref name="width"/> columns, at most <paramref name="height"/> rows.</summary>
    public static IReadOnlyList<string> Render(string text, int width, int height)
    {
        if (text.Length == 0 || width < 1 || height < 1)
        {
            return [];
        }

        int unitAt = UnitStart(text);
        string digits = text[..unitAt].TrimEnd();
        string unit = text[unitAt..];
        (int Rows, Func<string[]?> Draw)[] fonts =
        [
            (DoubleRows, () => Twice(Compose(text, FigureGlyphs.Large, LargeRows, LargeGap))),
            (LargeRows, () => Compose(text, FigureGlyphs.Large, LargeRows, LargeGap)),
            (LargeRows, () => WithUnit(Compose(digits, FigureGlyphs.Large, LargeRows, LargeGap), unit)),
            (SmallRows, () => Compose(text, FigureGlyphs.Small, SmallRows, SmallGap)),
            (SmallRows, () => WithUnit(Compose(digits, FigureGlyphs.Small, SmallRows, SmallGap), unit)),
            (1, () => [text]),
        ];
        foreach ((int rows, Func<string[]?> draw) in fonts)
        {
            string[]? font = height >= rows ? draw() : null;
            if (font is not null && Array.TrueForAll(font, row => TextCells.Columns(row) <= width))
            {
                return font;
            }
        }

        return ["…"];
    }

    /// <summary>Words in capitals three rows high; null where they do not fit, or hold a sign that has no such glyph.</summary>
    public static IReadOnlyList<string>? Words(string text, int width) =>
        Compose(text.ToUpperInvariant(), FigureGlyphs.Small, SmallRows, SmallGap) is { } rows && Array.TrueForAll(rows, row => TextCells.Columns(row) <= width) ? rows : null;

    /// <summary>Where the letters at the end begin; the length of the text when there are none.</summary>
    private static int UnitStart(string text)
    {
        int start = text.Length;
        while (start > 0 && char.IsLetter(text[start - 1]))
        {
            start--;
        }

        return start;
    }

    private static string[]? Compose(string text, Func<char, string[]?> glyphOf, int rows, int gap)
    {
        StringBuilder[] lines = new StringBuilder[rows];
        for (int row = 0; row < rows; row++)
        {
            lines[row] = new StringBuilder();
        }

        foreach (char character in text)
        {
            if (glyphOf(character) is not { } glyph)
            {
                return null;
            }

            for (int row = 0; row < rows; row++)
            {
                lines[row].Append(' ', lines[row].Length > 0 ? gap : 0).Append(glyph[row]);
            }
        }

        return text.Length == 0 ? null : Array.ConvertAll(lines, line => line.ToString());
    }

    private static string[]? WithUnit(string[]? font, string unit)
    {
        if (font is null || unit.Length == 0)
        {
            return null;
        }

        font[^1] += " " + unit;
        return font;
    }

    private static string[]? Twice(string[]? font)
    {
        if (font is null)
        {
            return null;
        }

        string[] doubled = new string[font.Length * 2];
        for (int row = 0; row < font.Length; row++)
        {
            StringBuilder upper = new();
            StringBuilder lower = new();
            foreach (char block in font[row])
            {
                upper.Append(block is '█' or '▀' ? '█' : ' ', 2);
                lower.Append(block is '█' or '▄' ? '█' : ' ', 2);
            }

            doubled[row * 2] = upper.ToString();
            doubled[(row * 2) + 1] = lower.ToString();
        }

        return doubled;
    }
}

/// <summary>The digit fonts, drawn for this bench from half blocks, which are in code page 437 and so in every console font.</summary>
internal static class FigureGlyphs
{
    /// <summary>The glyph five rows high, strokes two columns wide; null for a character without one.</summary>
    public static string[]? Large(char character) => character switch
    {
        '0' => ["▄████▄", "██  ██", "██  ██", "██  ██", "▀████▀"],
        '1' => [" ▄██  ", "▀▀██  ", "  ██  ", "  ██  ", "██████"],
        '2' => ["▄████▄", "▀▀  ██", "  ▄██▀", "▄██▀  ", "██████"],
        '3' => ["▄████▄", "▀▀  ██", "  ███▄", "▄▄  ██", "▀████▀"],
        '4' => ["██  ██", "██  ██", "██████", "    ██", "    ██"],
        '5' => ["██████", "██    ", "█████▄", "    ██", "█████▀"],
        '6' => ["▄████▄", "██    ", "█████▄", "██  ██", "▀████▀"],
        '7' => ["██████", "   ▄██", "  ▄██▀", "  ██  ", "  ██  "],
        '8' => ["▄████▄", "██  ██", " ████ ", "██  ██", "▀████▀"],
        '9' => ["▄████▄", "██  ██", "▀█████", "    ██", "▀████▀"],
        '.' => ["  ", "  ", "  ", "  ", "██"],
        '+' => ["      ", "  ██  ", "██████", "  ██  ", "      "],
        '-' => ["     ", "     ", "█████", "     ", "     "],
        '/' => ["    ██", "   ██ ", "  ██  ", " ██   ", "██    "],
        '½' => ["▄█    ██  ", " █  ▄█▀   ", " █ ██ ▄▀▀▄", " ▄█▀   ▄▄▀", "██    █▄▄▄"],
        ' ' => ["  ", "  ", "  ", "  ", "  "],
        '↑' => ["  ██  ", "▄████▄", "▀ ██ ▀", "  ██  ", "  ██  "],
        '↓' => ["  ██  ", "  ██  ", "▄ ██ ▄", "▀████▀", "  ██  "],
        '←' => ["  ▄█    ", "▄██▄▄▄▄▄", "▀██▀▀▀▀▀", "  ▀█    ", "        "],
        '→' => ["    █▄  ", "▄▄▄▄▄██▄", "▀▀▀▀▀██▀", "    █▀  ", "        "],
        't' => [" ██  ", "█████", " ██  ", " ██  ", " ▀███"],
        'i' => ["██", "  ", "██", "██", "██"],
        'n' => ["      ", "█████▄", "██  ██", "██  ██", "██  ██"],
        'm' => ["          ", "█████████▄", "██  ██  ██", "██  ██  ██", "██  ██  ██"],
        _ => null,
    };

    /// <summary>The glyph three rows high, strokes one column wide; null for a character without one.</summary>
    public static string[]? Small(char character) => character switch
    {
        '0' => ["█▀█", "█ █", "▀▀▀"],
        '1' => ["▄█ ", " █ ", "▀▀▀"],
        '2' => ["▀▀█", "█▀▀", "▀▀▀"],
        '3' => ["▀▀█", " ▀█", "▀▀▀"],
        '4' => ["█ █", "▀▀█", "  ▀"],
        '5' => ["█▀▀", "▀▀█", "▀▀▀"],
        '6' => ["█▀▀", "█▀█", "▀▀▀"],
        '7' => ["▀▀█", "  █", "  ▀"],
        '8' => ["█▀█", "█▀█", "▀▀▀"],
        '9' => ["█▀█", "▀▀█", "▀▀▀"],
        '.' => [" ", " ", "▀"],
        '+' => [" ▄ ", "▀█▀", "   "],
        '-' => ["   ", "▀▀▀", "   "],
        '/' => ["  █", "▄▀ ", "▀  "],
        '½' => ["█  ▄▀  ", "▀▄▀ ▀▀▄", "▀   ▄█▄"],
        ' ' => [" ", " ", " "],
        '↑' => ["▄█▄", " █ ", " █ "],
        '↓' => [" █ ", " █ ", "▀█▀"],
        '←' => [" ▄  ", "▀█▀▀", "    "],
        '→' => ["  ▄ ", "▀▀█▀", "    "],
        'A' => ["▄▀▄", "█▀█", "▀ ▀"],
        'B' => ["█▀▄", "█▀▄", "▀▀ "],
        'C' => ["▄▀▀", "█  ", " ▀▀"],
        'D' => ["█▀▄", "█ █", "▀▀ "],
        'E' => ["█▀▀", "█▀ ", "▀▀▀"],
        'F' => ["█▀▀", "█▀ ", "▀  "],
        'G' => ["▄▀▀ ", "█ ▀█", " ▀▀▀"],
        'H' => ["█ █", "█▀█", "▀ ▀"],
        'I' => ["▀█▀", " █ ", "▀▀▀"],
        'J' => ["  █", "▄ █", " ▀ "],
        'K' => ["█ █", "█▀▄", "▀ ▀"],
        'L' => ["█  ", "█  ", "▀▀▀"],
        'M' => ["█▄ ▄█", "█ ▀ █", "▀   ▀"],
        'N' => ["█▄ █", "█ ▀█", "▀  ▀"],
        'O' => ["▄▀▄", "█ █", " ▀ "],
        'P' => ["█▀▄", "█▀ ", "▀  "],
        'Q' => ["▄▀▄ ", "█ █ ", " ▀▀▄"],
        'R' => ["█▀▄", "█▀▄", "▀ ▀"],
        'S' => ["▄▀▀", " ▀▄", "▀▀ "],
        'T' => ["▀█▀", " █ ", " ▀ "],
        'U' => ["█ █", "█ █", "▀▀▀"],
        'V' => ["█ █", "▀▄▀", " ▀ "],
        'W' => ["█   █", "█ █ █", " ▀ ▀ "],
        'X' => ["█ █", " █ ", "▀ ▀"],
        'Y' => ["█ █", " █ ", " ▀ "],
        'Z' => ["▀▀█", " █ ", "▀▀▀"],
        ',' => ["  ", "  ", "▀▄"],
        '?' => ["▀▀█", " ▀ ", " ▀ "],
        't' => ["▄█▄", " █ ", " ▀▀"],
        'i' => ["▀", "█", "▀"],
        'n' => ["   ", "█▀█", "▀ ▀"],
        'm' => ["     ", "█▀█▀█", "▀ ▀ ▀"],
        _ => null,
    };
}
