using System.Globalization;

namespace CaliperStation.Core.Quantities;

/// <summary>Reads one number without its unit: whole, decimal, fraction, or a whole number with a fraction.</summary>
/// <remarks>
/// <code>
/// number   = digits | [digits] mark digits | fraction | digits (spaces | hyphen) fraction | digits vulgar
/// fraction = digits slash digits | vulgar
/// </code>
/// Spaces may stand around a slash. A hyphen joins only when nothing stands between it and its neighbours:
/// <c>1 - 1/2</c> may be a difference and is refused.
/// </remarks>
internal static class NumberGrammar
{
    private const int MostDecimals = 12;   // 10⁻¹² of any unit here is far below a nanometre

    /// <param name="cursor">Where the number begins; afterwards, behind it.</param>
    /// <param name="belowOne">True after whole inches: a fraction with a larger top then has no likely meaning to offer.</param>
    /// <param name="number">The number, when there is no fault.</param>
    public static LengthFault? Read(ref TextCursor cursor, bool belowOne, out WrittenNumber number)
    {
        number = default;
        int start = cursor.Position;
        if (WrittenFraction.OfCharacter(cursor.Current) is { } vulgar)
        {
            return Vulgar(ref cursor, start, null, vulgar, out number);
        }

        if (!cursor.AtDigit && !cursor.AtMark)
        {
            return NoNumber(cursor);
        }

        ReadOnlySpan<char> digits = cursor.TakeDigits();
        return cursor.AtMark
            ? Decimals(ref cursor, start, digits, out number)
            : AfterDigits(ref cursor, start, digits, belowOne, out number);
    }

    private static LengthFault? Decimals(ref TextCursor cursor, int start, ReadOnlySpan<char> digits, out WrittenNumber number)
    {
        number = default;
        int mark = cursor.Position;
        cursor.Advance();
        ReadOnlySpan<char> decimals = cursor.TakeDigits();
        if (decimals.IsEmpty)
        {
            return new(cursor.Position, "A digit is missing after the decimal mark: write 1.0 or 1.");
        }

        if (cursor.AtMark)
        {
            return new(mark, "Write the number with one decimal mark and without thousands separators, as in 1234.5.");
        }

        if (cursor.AtSlash)
        {
            return new(cursor.Position, "A fraction has whole numbers above and below its slash: write 1 5/8 or 1.625.");
        }

        int written = decimals.Length;
        decimals = decimals.TrimEnd('0');
        if (decimals.Length > MostDecimals)
        {
            return new(mark, "That is finer than a nanometre: write at most six digits after the decimal mark.");
        }

        Int128 under = 1;
        foreach (char _ in decimals)
        {
            under *= 10;
        }

        Int128 over = (TextCursor.ValueOf(digits) * under) + TextCursor.ValueOf(decimals);
        number = new(over, under, NumberShape.Decimal, start, mark, written);
        return null;
    }

    private static LengthFault? AfterDigits(
        ref TextCursor cursor, int start, ReadOnlySpan<char> digits, bool belowOne, out WrittenNumber number)
    {
        long value = TextCursor.ValueOf(digits);
        number = new(value, 1, NumberShape.Whole, start, start);
        TextCursor ahead = cursor;
        bool spaced = ahead.SkipSpaces();
        if (ahead.AtSlash)
        {
            cursor = ahead;
            return Slash(ref cursor, start, start, null, digits, belowOne, out number);
        }

        bool joined = ahead.AtMinus && !spaced;
        if (joined && char.IsLetter(ahead.Next))
        {
            return null;   // 1-inch: the hyphen belongs to the unit
        }

        int sign = ahead.Position;
        if (joined)
        {
            ahead.Advance();
        }

        if (WrittenFraction.OfCharacter(ahead.Current) is { } vulgar)
        {
            cursor = ahead;
            return Vulgar(ref cursor, start, value, vulgar, out number);
        }

        if (ahead.AtDigit)
        {
            int topAt = ahead.Position;
            ReadOnlySpan<char> top = ahead.TakeDigits();
            ahead.SkipSpaces();
            cursor = ahead;
            return (ahead.AtSlash, joined) switch
            {
                (true, _) => Slash(ref cursor, start, topAt, value, top, belowOne, out number),
                (false, true) => new(sign, "Write one length, not from one to another."),
                (false, false) => new(topAt, "Two numbers stand side by side: write one, without spaces inside, as in 1234.5 or 1 5/8."),
            };
        }

        return joined || ahead.AtSign
            ? new(sign, "A sign stands only before the number: write 1 5/8 with a space between.")
            : null;
    }

    private static LengthFault? Slash(
        ref TextCursor cursor, int start, int topAt, long? whole, ReadOnlySpan<char> top, bool belowOne, out WrittenNumber number)
    {
        number = default;
        cursor.Advance();
        cursor.SkipSpaces();
        int bottomAt = cursor.Position;
        ReadOnlySpan<char> bottomDigits = cursor.TakeDigits();
        if (bottomDigits.IsEmpty)
        {
            return new(bottomAt, "The number below the slash is missing: write 1/8.");
        }

        long bottom = TextCursor.ValueOf(bottomDigits);
        if (WrittenFraction.FaultOfBottom(bottom) is { } bottomFault)
        {
            return new(bottomAt, bottomFault);
        }

        if (whole is null && !belowOne && WrittenFraction.FaultOfTop(top, bottom) is { } topFault)
        {
            return new(topAt, topFault);
        }

        if (TextCursor.ValueOf(top) >= bottom)
        {
            return new(topAt, "After a whole number the fraction must be below one: write 1 5/8.");
        }

        if (cursor.AtSlash || cursor.AtMark)
        {
            return new(cursor.Position, "A fraction has one whole number above and one below its slash: write 1 5/8.");
        }

        number = Fraction(start, topAt, whole, TextCursor.ValueOf(top), bottom);
        return null;
    }

    private static LengthFault? Vulgar(
        ref TextCursor cursor, int start, long? whole, (int Top, int Bottom) vulgar, out WrittenNumber number)
    {
        int at = cursor.Position;
        cursor.Advance();
        number = Fraction(start, at, whole, vulgar.Top, vulgar.Bottom);
        return WrittenFraction.FaultOfBottom(vulgar.Bottom) is { } fault ? new(at, fault) : null;
    }

    private static WrittenNumber Fraction(int start, int at, long? whole, long top, long bottom) => new(
        ((Int128)(whole ?? 0) * bottom) + top, bottom, whole is null ? NumberShape.Fraction : NumberShape.Mixed, start, at);

    private static LengthFault NoNumber(TextCursor cursor)
    {
        string message = cursor switch
        {
            { AtEnd: true } => "The number is missing: write one like 1 5/8 in or 41.275 mm.",
            { AtSign: true } => "Write one sign only, before the number.",
            { AtSlash: true } => "The number above the slash is missing: write 1/8.",
            _ when char.IsLetter(cursor.Current) || cursor.Current is '"' or '″' => "Write the number first, then its unit, as in 5/8 in.",
            _ when char.GetUnicodeCategory(cursor.Current)
                is UnicodeCategory.DecimalDigitNumber or UnicodeCategory.OtherNumber or UnicodeCategory.LetterNumber =>
                "Write the number with the digits 0 to 9.",
            _ => "A length begins with a number: write one like 1 5/8 in or 41.275 mm.",
        };
        return new(cursor.Position, message);
    }
}
