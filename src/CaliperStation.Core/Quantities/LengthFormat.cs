using System.Globalization;

namespace CaliperStation.Core.Quantities;

/// <summary>Lengths as people read them.</summary>
/// <remarks>
/// Each display has a fixed last place: half a tick, 1/64 in, 0.0001 in, 0.01 mm. A length between two places is rounded
/// to the nearest, a tie to the even one (NIST SP 811 (2008), B.7.1), so what is shown need not be exact and nothing may
/// be judged from it; <see cref="ShowExact"/> loses nothing. What rounds to zero is shown without a sign. The minus is the
/// plain hyphen, which every terminal, spreadsheet and <see cref="LengthText"/> reads.
/// </remarks>
public static class LengthFormat
{
    private const long NanometresPerHalfTick = 396_875;
    private const long NanometresPerTenThousandth = 2_540;
    private const long NanometresPerHundredth = 10_000;

    /// <summary>A length in one display, rounded to its last place.</summary>
    public static string Show(Length length, LengthDisplay display) => Show(ExactLength.From(length), display);

    /// <summary>A length in one display, rounded once, from the exact value, to its last place.</summary>
    public static string Show(ExactLength length, LengthDisplay display)
    {
        Int128 places = Places(length, display);
        return places < 0 ? "-" + Unsigned(-places, display) : Unsigned(places, display);
    }

    /// <summary>A length in one display with millimetres beside it, <c>6 t (4.76 mm)</c>; millimetres stand alone.</summary>
    public static string WithMillimetres(Length length, LengthDisplay display) => display == LengthDisplay.Millimetre
        ? Show(length, display)
        : $"{Show(length, display)} ({Show(length, LengthDisplay.Millimetre)})";

    /// <summary>
    /// The nearest mark of a rule in 64ths, an even one between two, and what is left over, rounded: <c>1/2 in + 0.0031 in</c>; the mark alone
    /// where what is left over rounds to nothing.
    /// </summary>
    public static string ShowNearestMark(Length length)
    {
        Length mark = length.RoundedTo(Length.HalfTick, Rounding.HalfEven);
        Length over = length - mark;
        string rest = Show(over.Abs(), LengthDisplay.Inch);
        return Show(mark, LengthDisplay.Fraction)
            + (rest == Show(Length.Zero, LengthDisplay.Inch) ? "" : $" {(over < Length.Zero ? '-' : '+')} {rest}");
    }

    /// <summary>
    /// Every digit of a length: a fraction of an inch when it is whole in 64ths, else millimetres with up to six digits.
    /// </summary>
    /// <remarks><see cref="LengthText.Parse"/> of it is the same length, up to ±<see cref="LengthText.Largest"/>.</remarks>
    public static string ShowExact(Length length)
    {
        if (length.Nanometres % NanometresPerHalfTick == 0)
        {
            return Show(length, LengthDisplay.Fraction);
        }

        Int128 nanometres = Int128.Abs(length.Nanometres);
        string digits = Decimal(nanometres, 6).TrimEnd('0').TrimEnd('.');
        return (length < Length.Zero ? "-" : "") + digits + " mm";
    }

    /// <summary>One unit of a display's last place.</summary>
    public static Length LastPlace(LengthDisplay display) => Length.FromNanometres(display switch
    {
        LengthDisplay.Ticks or LengthDisplay.Fraction => NanometresPerHalfTick,
        LengthDisplay.Inch => NanometresPerTenThousandth,
        LengthDisplay.Millimetre => NanometresPerHundredth,
    });

    private static Int128 Places(ExactLength length, LengthDisplay display) =>
        WholeNumber.Divide(length.Numerator, length.Denominator * LastPlace(display).Nanometres, Rounding.HalfEven);

    private static string Unsigned(Int128 places, LengthDisplay display) => display switch
    {
        LengthDisplay.Ticks => Halves(places) + " t",
        LengthDisplay.Fraction => SixtyFourths(places) + " in",
        LengthDisplay.Inch => Decimal(places, 4) + " in",
        LengthDisplay.Millimetre => Decimal(places, 2) + " mm",
    };

    private static string Halves(Int128 halves) => (halves / 2, halves % 2 != 0) switch
    {
        (var whole, false) => Digits(whole),
        (var whole, true) => whole == 0 ? "½" : Digits(whole) + "½",
    };

    internal static string SixtyFourths(Int128 count)
    {
        (Int128 whole, Int128 top) = Int128.DivRem(count, 64);
        Int128 bottom = 64;
        while (top != 0 && Int128.IsEvenInteger(top))
        {
            (top, bottom) = (top / 2, bottom / 2);
        }

        if (top == 0)
        {
            return Digits(whole);
        }

        string fraction = Digits(top) + "/" + Digits(bottom);
        return whole == 0 ? fraction : Digits(whole) + " " + fraction;
    }

    private static string Decimal(Int128 places, int decimals)
    {
        string digits = Digits(places).PadLeft(decimals + 1, '0');
        return digits[..^decimals] + "." + digits[^decimals..];
    }

    private static string Digits(Int128 value) => value.ToString(CultureInfo.InvariantCulture);
}

/// <summary>How a length is shown first.</summary>
public enum LengthDisplay
{
    /// <summary>Ticks of 1/32 in with halves, <c>16½ t</c>.</summary>
    Ticks,

    /// <summary>Reduced fraction of an inch, <c>33/64 in</c>.</summary>
    Fraction,

    /// <summary>Decimal inch, <c>0.5156 in</c>.</summary>
    Inch,

    /// <summary>Millimetres, <c>13.10 mm</c>.</summary>
    Millimetre,
}
