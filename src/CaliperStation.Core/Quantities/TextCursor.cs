using System.Globalization;

namespace CaliperStation.Core.Quantities;

/// <summary>A place in a text that only moves forward; a copy of it is a look ahead.</summary>
internal struct TextCursor(string text)
{
    /// <summary>A whole number of 13 digits or more is taken as this one: it is out of every range, whatever its unit.</summary>
    public const long TooLarge = 1_000_000_000_000;

    private const int MostDigits = 12;

    /// <summary>Index of the next character; the text's length at the end.</summary>
    public int Position { get; private set; }

    public readonly bool AtEnd => Position == text.Length;

    /// <summary>The next character, or NUL at the end; nothing accepts a NUL, so the two need no telling apart.</summary>
    public readonly char Current => Ahead(0);

    public readonly char Next => Ahead(1);

    public readonly bool AtDigit => char.IsAsciiDigit(Current);

    /// <summary>A decimal mark: a point, or a comma where the writer's country has one.</summary>
    public readonly bool AtMark => Current is '.' or ',';

    /// <summary>Where a number without its sign begins.</summary>
    public readonly bool AtNumber => AtDigit || (AtMark && char.IsAsciiDigit(Next)) || WrittenFraction.OfCharacter(Current) is not null;

    /// <summary>A slash, the fraction slash U+2044 or the division slash U+2215.</summary>
    public readonly bool AtSlash => Current is '/' or '\u2044' or '\u2215';

    public readonly bool AtMinus => IsMinus(Current);

    public readonly bool AtSign => AtMinus || Current == '+';

    public void Advance() => Position++;

    /// <summary>Skips spaces of every width, the no-break ones too, and tabs.</summary>
    /// <returns>True when there was one.</returns>
    public bool SkipSpaces()
    {
        int start = Position;
        while (!AtEnd && (Current == '\t' || char.GetUnicodeCategory(Current) == UnicodeCategory.SpaceSeparator))
        {
            Position++;
        }

        return Position > start;
    }

    /// <summary>Takes the digits 0 to 9 that stand here; none is an empty span.</summary>
    public ReadOnlySpan<char> TakeDigits()
    {
        int start = Position;
        while (AtDigit)
        {
            Position++;
        }

        return text.AsSpan(start, Position - start);
    }

    /// <summary>Takes the letters that stand here.</summary>
    public ReadOnlySpan<char> TakeLetters()
    {
        int start = Position;
        while (!AtEnd && char.IsLetter(Current))
        {
            Position++;
        }

        return text.AsSpan(start, Position - start);
    }

    /// <summary>The value of digits, or <see cref="TooLarge"/>.</summary>
    public static long ValueOf(ReadOnlySpan<char> digits)
    {
        ReadOnlySpan<char> significant = digits.TrimStart('0');
        return significant.Length switch
        {
            0 => 0,
            > MostDigits => TooLarge,
            _ => long.Parse(significant, NumberStyles.None, CultureInfo.InvariantCulture),
        };
    }

    /// <summary>Hyphen-minus, hyphen, no-break hyphen, figure dash, en dash and the minus sign U+2212: word processors swap them.</summary>
    private static bool IsMinus(char value) => value is '-' or (>= '\u2010' and <= '\u2013') or '\u2212';

    private readonly char Ahead(int count) => Position + count < text.Length ? text[Position + count] : '\0';
}
