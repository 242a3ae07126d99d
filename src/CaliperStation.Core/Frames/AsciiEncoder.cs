using System.Globalization;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>Writes the line an ASCII instrument would send, without its terminator.</summary>
public static class AsciiEncoder
{
    /// <summary>The line of a displayed value.</summary>
    /// <param name="grammar">One of the value grammars.</param>
    /// <param name="value">A whole number of steps of the last digit.</param>
    /// <param name="unit">The displayed unit; grammars without a unit leave it out.</param>
    /// <param name="decimals">1 to 5 (for <see cref="AsciiGrammar.Coded"/> and <see cref="AsciiGrammar.Box"/> at most 4 and 5; they always send 4 and 6).</param>
    /// <exception cref="ArgumentOutOfRangeException">The value does not fit the grammar.</exception>
    public static string Encode(AsciiGrammar grammar, Length value, LengthUnit unit, int decimals)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(decimals, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(decimals, 5);
        string sign = value < Length.Zero ? "-" : "+";
        string name = unit == LengthUnit.Millimetre ? "mm" : "in";
        string number = Number(value, unit, decimals);
        return grammar switch
        {
            AsciiGrammar.BareNumber => sign + number,
            AsciiGrammar.NumberUnit => $"{sign}{number} {name}",
            AsciiGrammar.Padded => $"{new string(' ', 13)}{(sign == "-" ? "-" : " ")}{Fit(number, 7, ' ')} {name}",
            AsciiGrammar.CommaUnit => $"{sign}{Fit(number, 8, ' ')}, {name.ToUpperInvariant()}",
            AsciiGrammar.UnitFirst => $"{name} {sign}{number}",
            AsciiGrammar.ChannelLetter => $"01A{sign}{Fit(number, 8, '0')}",
            AsciiGrammar.ChannelType => $"1 MW{sign}{Fit(number, 8, '0')} {name}",
            AsciiGrammar.Box => $"V1: {name}       {sign}{Fit(number.PadRight(number.Length + 6 - decimals, '0'), 12, '0')}",
            AsciiGrammar.Coded => $"GN01,{sign}{Fit(number.PadRight(number.Length + 4 - decimals, '0'), 9, '0')}",
            AsciiGrammar.Lettered => $"A1N {name} OK {sign}{number}",
            AsciiGrammar.None or AsciiGrammar.Error or AsciiGrammar.Pedal or AsciiGrammar.Words =>
                throw new ArgumentOutOfRangeException(nameof(grammar), "The grammar carries no value."),
        };
    }

    private static string Number(Length value, LengthUnit unit, int decimals)
    {
        long step = ShownNumber.In(unit, 1, decimals).Nanometres;
        (long digits, long rest) = Math.DivRem(value.Abs().Nanometres, step);
        if (rest != 0)
        {
            throw new ArgumentOutOfRangeException(nameof(value), "The value is no whole number of steps.");
        }

        string text = digits.ToString(CultureInfo.InvariantCulture).PadLeft(decimals + 1, '0');
        return text.Insert(text.Length - decimals, ".");
    }

    private static string Fit(string number, int width, char padding) => number.Length <= width
        ? number.PadLeft(width, padding)
        : throw new ArgumentOutOfRangeException(nameof(number), "The number is wider than the grammar's field.");
}
