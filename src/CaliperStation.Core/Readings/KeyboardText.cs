using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Readings;

/// <summary>What a caliper typed, or why it is no reading.</summary>
/// <param name="Value">The length.</param>
/// <param name="Unit">The unit typed, or the bare one.</param>
/// <param name="Resolution">One step of its display, from its decimals.</param>
/// <param name="Refusal">Why there is none, or null; constant text without anything from the keyboard.</param>
public readonly record struct KeyboardValue(Length Value, LengthUnit Unit, Length Resolution, string? Refusal);

/// <summary>Reads what a keyboard-type caliper typed. Stricter than what a person may write: a lost or doubled key must not become a value.</summary>
/// <remarks>
/// Digits and letters are the same on all layouts, punctuation is not: a minus typed for one layout came as an apostrophe on another
/// (www.morovia.com/kb/PRB-Scanned-Data-Incorrectly-Displayed-Computer-10604.html). That one is taken for the minus, since nothing else has a mark before its
/// digits; a comma is taken for the point; every other mark in their place is refused with what to set.
/// </remarks>
public static class KeyboardText
{
    private const int MaxDigits = 8;   // 9999.9999
    internal const string Layout = "the sign or the point came as another character: the caliper types for another keyboard layout than this computer is set to; set both alike";
    internal const string NoPoint = "it has no decimal point, and calipers send one: a key was lost; press the caliper's button again";
    internal const string TwoPoints = "it has two decimal points: a key came twice, or two values ran together; press the caliper's button again";
    internal const string Digits = "it has another number of digits than a caliper shows: a key was lost or came twice; let the device type more slowly (10 to 20 ms a key) and press its button again";
    internal const string UnitWord = "what follows the number is no unit; set the caliper to send mm, in or nothing";

    /// <summary>True when an instrument may have typed this, damaged or not: there is a digit, and no letter before it, no fraction bar and no ticks, which only persons write.</summary>
    public static bool CouldBe(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        ReadOnlySpan<char> typed = text.AsSpan().Trim();
        int digit = typed.IndexOfAnyInRange('0', '9');
        return digit >= 0 && !typed.Contains('/') && typed[^1] is not ('t' or 'T') && !typed[..digit].ContainsAnyInRange('A', 'Z') && !typed[..digit].ContainsAnyInRange('a', 'z');
    }

    /// <summary>Reads one value.</summary>
    /// <param name="text">Everything the device typed, without the key that ended it.</param>
    /// <param name="bareUnit">The unit of a value that names none.</param>
    public static KeyboardValue Read(string text, LengthUnit bareUnit)
    {
        ArgumentNullException.ThrowIfNull(text);
        ReadOnlySpan<char> rest = text.AsSpan().Trim();
        bool negative = rest.Length > 0 && rest[0] is '-' or '\u2212' or '\'' or '\u2019';
        rest = negative || rest is ['+', ..] ? rest[1..].TrimStart() : rest;
        int whole = DigitsOf(rest);
        ReadOnlySpan<char> afterWhole = rest[whole..];
        if (whole == 0 && afterWhole is not ['.' or ',', ..])
        {
            return Refused(rest.IsEmpty || char.IsAsciiLetter(rest[0]) ? Digits : Layout);
        }

        if (afterWhole.IsEmpty || afterWhole[0] is not ('.' or ','))
        {
            bool turned = !afterWhole.IsEmpty && !char.IsAsciiLetter(afterWhole[0]) && afterWhole[0] is not (' ' or '"');
            return Refused(turned ? Layout : NoPoint);
        }

        ReadOnlySpan<char> decimals = afterWhole[1..];
        int count = DigitsOf(decimals);
        ReadOnlySpan<char> ending = decimals[count..].Trim();
        if (ending.ContainsAny('.', ','))
        {
            return Refused(TwoPoints);
        }

        if (UnitOf(ending, bareUnit) is not { } unit)
        {
            return Refused(UnitWord);
        }

        return whole + count > MaxDigits || StepOf(unit, count) is not { } step
            ? Refused(Digits)
            : new KeyboardValue(Of(rest[..whole], decimals[..count], unit, negative), unit, step, null);
    }

    private static KeyboardValue Refused(string why) => new(default, default, default, why);

    private static int DigitsOf(ReadOnlySpan<char> text)
    {
        int other = text.IndexOfAnyExceptInRange('0', '9');
        return other < 0 ? text.Length : other;
    }

    private static LengthUnit? UnitOf(ReadOnlySpan<char> text, LengthUnit bareUnit) =>
        text.IsEmpty ? bareUnit
        : text.Equals("mm", StringComparison.OrdinalIgnoreCase) ? LengthUnit.Millimetre
        : text.Equals("in", StringComparison.OrdinalIgnoreCase) || text.Equals("inch", StringComparison.OrdinalIgnoreCase) || text is "\"" ? LengthUnit.Inch
        : null;

    /// <summary>One step of a display with so many decimals; in inches the last digit goes by fives, as on displays of 0.0005 in.</summary>
    private static Length? StepOf(LengthUnit unit, int decimals) => (unit, decimals) switch
    {
        (LengthUnit.Millimetre, 1) => Length.FromMicrometres(100),
        (LengthUnit.Millimetre, 2) => Length.FromMicrometres(10),
        (LengthUnit.Millimetre, 3) => Length.FromMicrometres(1),
        (LengthUnit.Inch, 3) => Length.FromNanometres(25_400),
        (LengthUnit.Inch, 4) => Length.FromNanometres(12_700),
        (LengthUnit.Inch, 5) => Length.FromNanometres(1_270),
        _ => null,
    };

    private static Length Of(ReadOnlySpan<char> whole, ReadOnlySpan<char> decimals, LengthUnit unit, bool negative)
    {
        long number = 0;
        long parts = 1;
        foreach (char digit in whole)
        {
            number = (number * 10) + (digit - '0');
        }

        foreach (char digit in decimals)
        {
            number = (number * 10) + (digit - '0');
            parts *= 10;
        }

        Length one = unit switch
        {
            LengthUnit.Millimetre => Length.Millimetre,
            LengthUnit.Inch => Length.Inch,
        };
        Length value = one.DividedBy(parts, Rounding.HalfEven).Times(number);   // whole: at most three decimals of a millimetre, five of an inch
        return negative ? -value : value;
    }
}
