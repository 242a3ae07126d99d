using System.Globalization;

namespace CaliperStation.Core.Records;

/// <summary>The one text of a floating number, as RFC 8785, 3.2.2.3 wants it: the shortest digits that give the number back, in ECMAScript's layout.</summary>
internal static class CanonicalNumber
{
    /// <summary>The text.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The number is not finite.</exception>
    public static string Of(double number)
    {
        if (!double.IsFinite(number))
        {
            throw new ArgumentOutOfRangeException(nameof(number), "A record holds finite numbers only.");
        }

        if (number == 0)
        {
            return "0";   // minus zero too
        }

        // "E16" and its like round; "R" gives the shortest digits that round-trip, in either layout, so take only its digits.
        string text = Math.Abs(number).ToString("R", CultureInfo.InvariantCulture);
        int e = text.IndexOf('E', StringComparison.Ordinal);
        int exponent = e < 0 ? 0 : int.Parse(text.AsSpan(e + 1), NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture);
        string mantissa = e < 0 ? text : text[..e];
        int point = mantissa.IndexOf('.', StringComparison.Ordinal);
        string digits = mantissa.Replace(".", "", StringComparison.Ordinal);
        int n = (point < 0 ? mantissa.Length : point) + exponent;   // the value is 0.digits × 10^n, as in ECMA-262, Number::toString
        int leading = digits.Length - digits.TrimStart('0').Length;
        digits = digits[leading..].TrimEnd('0');
        n -= leading;
        string sign = number < 0 ? "-" : "";
        int k = digits.Length;
        return sign + n switch
        {
            _ when n >= k && n <= 21 => digits + new string('0', n - k),
            _ when n > 0 && n <= 21 => $"{digits[..n]}.{digits[n..]}",
            _ when n > -6 && n <= 0 => $"0.{new string('0', -n)}{digits}",
            _ => Scientific(digits, n - 1),
        };
    }

    private static string Scientific(string digits, int exponent) =>
        string.Create(CultureInfo.InvariantCulture, $"{digits[0]}{(digits.Length > 1 ? "." : "")}{digits.AsSpan(1)}e{(exponent < 0 ? '-' : '+')}{Math.Abs(exponent)}");
}
