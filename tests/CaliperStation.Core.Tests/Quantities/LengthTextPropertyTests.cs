using System.Numerics;
using CaliperStation.Core.Quantities;
using CsCheck;

namespace CaliperStation.Core.Tests.Quantities;

public sealed class LengthTextPropertyTests
{
    private static readonly Gen<LengthUnit> Unit = Gen.OneOf(LengthUnit.Inch, LengthUnit.Millimetre);

    private static readonly Gen<string> Fragment = Gen.OneOf(
        Gen.OneOf("1", "5", "8", "0", "64", "128", "11", "99999999999999999999", "/", "⁄", " ", "\u00A0", "\u2009", "\t", ".", ","),
        Gen.OneOf("-", "+", "−", "–", "in", "in.", "inch", "\"", "″", "''", "'", "mm", "cm", "t", "ticks", "e", "½", "⅛", "⅓"),
        Gen.Char.Select(char.ToString));

    /// <summary>Texts that get past the first character, and texts of anything at all, lone surrogates too.</summary>
    private static readonly Gen<string> AnyText = Gen.OneOf(
        Fragment.Array[0, 12].Select(string.Concat),
        Gen.Char.Array[0, 80].Select(chars => new string(chars)));

    [Fact]
    public void Every_text_is_a_length_in_range_or_a_fault_inside_the_text() =>
        Gen.Select(AnyText, Unit).Sample(
            (text, unit) =>
            {
                LengthParse parse = LengthText.Parse(text, unit);
                return parse.IsLength
                    ? parse.Value.Value.Abs() <= LengthText.Largest
                    : parse.Fault.Position >= 0 && parse.Fault.Position <= text.Length
                        && parse.Fault.Message == PrintableText.Escape(parse.Fault.Message);
            },
            iter: 20_000);

    [Fact]
    public void Fractions_in_every_spelling_are_what_rational_arithmetic_says() =>
        Gen.Select(Gen.Int[0, 400], Gen.Int[1, 6], Gen.Int[0, 63], Gen.Bool, Gen.Int[0, 3], Gen.OneOf(" in", "\"", "in.", " inches", "″"))
            .Sample(
                (whole, power, seed, negative, spelling, unit) =>
                {
                    int bottom = 1 << power;
                    int top = seed % bottom;
                    string number = (spelling, whole) switch
                    {
                        (0, _) => $"{whole} {top}/{bottom}",
                        (1, _) => $"{whole}-{top}/{bottom}",
                        (2, _) => $"{whole}\u2009{top}⁄{bottom}",
                        (_, _) => $"{whole}   {top} / {bottom}",
                    };
                    BigInteger expected = ((whole * (BigInteger)25_400_000) + (top * (BigInteger)25_400_000 / bottom)) * (negative ? -1 : 1);

                    LengthParse parse = LengthText.Parse((negative ? "-" : "") + number + unit, LengthUnit.Millimetre);

                    return parse.IsLength && parse.Value.Value.Nanometres == expected;
                },
                iter: 2_000);

    [Fact]
    public void Reading_what_was_shown_exactly_gives_the_same_length() =>
        Gen.Select(Gen.OneOf(Gen.Long[-100_000_000_000, 100_000_000_000], Gen.Long[-251_968, 251_968].Select(n => n * 396_875)), Unit).Sample(
            (nanometres, unit) =>
            {
                Length length = Length.FromNanometres(nanometres);
                return LengthText.Parse(LengthFormat.ShowExact(length), unit).Value.Value == length;
            },
            iter: 5_000);

    [Fact]
    public void Reading_what_was_shown_gives_the_same_length_when_it_is_whole_in_the_last_place() =>
        Gen.Select(Gen.Enum<LengthDisplay>(), Gen.Long[-200_000, 200_000], Unit).Sample(
            (display, places, unit) =>
            {
                Length length = LengthFormat.LastPlace(display).Times(places);
                return LengthText.Parse(LengthFormat.Show(length, display), unit).Value.Value == length;
            },
            iter: 5_000);
}
