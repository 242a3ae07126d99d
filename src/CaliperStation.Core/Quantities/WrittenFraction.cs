using System.Globalization;

namespace CaliperStation.Core.Quantities;

/// <summary>Which fractions a rule has: halves down to 64ths, the finest that are whole in nanometres (1/128 in is 198 437.5 nm).</summary>
internal static class WrittenFraction
{
    /// <summary>One character of Unicode's Number Forms and Latin-1, or null when it is none of them.</summary>
    public static (int Top, int Bottom)? OfCharacter(char value) => value switch
    {
        '½' => (1, 2),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅓' or '↉' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        _ => null,
    };

    /// <summary>Why no rule has such marks, or null.</summary>
    public static string? FaultOfBottom(long bottom) => bottom switch
    {
        0 => "A fraction cannot have 0 below the slash: write halves, quarters, eighths, 16ths, 32nds or 64ths.",
        2 or 4 or 8 or 16 or 32 or 64 => null,
        > 64 when long.IsPow2(bottom) => "The finest fraction is 1/64: write the nearest 64th, or a decimal.",
        _ => "A rule has halves, quarters, eighths, 16ths, 32nds and 64ths only: write one of these, or a decimal.",
    };

    /// <summary>Why a fraction that stands alone is not below one, with what was likely meant; null when it is below one.</summary>
    /// <remarks>
    /// Published texts lose the space of <c>1 1/4</c>; read as eleven quarters it is 69.85 mm instead of 31.75, so every
    /// reading of the digits is offered and none is taken.
    /// </remarks>
    public static string? FaultOfTop(ReadOnlySpan<char> topDigits, long bottom)
    {
        long top = TextCursor.ValueOf(topDigits);
        if (top < bottom)
        {
            return null;
        }

        if (top > 999)
        {
            return "The top of the fraction is not smaller than its bottom: write the whole number, a space and the rest, as in 1 1/4.";
        }

        string meant = Whole(top / bottom, top % bottom, bottom);
        List<string> lost = WithSpaceLost(topDigits, bottom);
        return lost.Count == 0
            ? $"The top of the fraction is not smaller than its bottom: write {meant}."
            : $"The top of the fraction is not smaller than its bottom: write {string.Join(" or ", lost)} if a space was lost, {meant} if that was meant.";
    }

    private static List<string> WithSpaceLost(ReadOnlySpan<char> digits, long bottom)
    {
        List<string> readings = [];
        for (int cut = 1; cut < digits.Length; cut++)
        {
            long top = TextCursor.ValueOf(digits[cut..]);
            if (digits[0] != '0' && digits[cut] != '0' && top < bottom)
            {
                readings.Add(string.Create(CultureInfo.InvariantCulture, $"{digits[..cut]} {top}/{bottom}"));
            }
        }

        return readings;
    }

    private static string Whole(long whole, long top, long bottom)
    {
        while (top != 0 && long.IsEvenInteger(top))
        {
            (top, bottom) = (top / 2, bottom / 2);
        }

        return top == 0
            ? whole.ToString(CultureInfo.InvariantCulture)
            : string.Create(CultureInfo.InvariantCulture, $"{whole} {top}/{bottom}");
    }
}
