using CaliperStation.Core.Quantities;
using CsCheck;

namespace CaliperStation.Core.Tests.Quantities;

public sealed class LengthFormatTests
{
    [Theory]
    [InlineData(0, "0 t", "0 in", "0.0000 in", "0.00 mm")]
    [InlineData(13_096_875, "16½ t", "33/64 in", "0.5156 in", "13.10 mm")]
    [InlineData(-13_096_875, "-16½ t", "-33/64 in", "-0.5156 in", "-13.10 mm")]
    [InlineData(41_275_000, "52 t", "1 5/8 in", "1.6250 in", "41.28 mm")]
    [InlineData(-41_275_000, "-52 t", "-1 5/8 in", "-1.6250 in", "-41.28 mm")]
    [InlineData(396_875, "½ t", "1/64 in", "0.0156 in", "0.40 mm")]
    [InlineData(-396_875, "-½ t", "-1/64 in", "-0.0156 in", "-0.40 mm")]
    [InlineData(793_750, "1 t", "1/32 in", "0.0312 in", "0.79 mm")]
    [InlineData(25_400_000, "32 t", "1 in", "1.0000 in", "25.40 mm")]
    [InlineData(12_700_000, "16 t", "1/2 in", "0.5000 in", "12.70 mm")]
    [InlineData(1, "0 t", "0 in", "0.0000 in", "0.00 mm")]
    [InlineData(-1, "0 t", "0 in", "0.0000 in", "0.00 mm")]
    public void A_length_is_shown_in_all_four_displays(long nanometres, string ticks, string fraction, string inch, string millimetre) =>
        Assert.Equal(new ShownLength(ticks, fraction, inch, millimetre), LengthFormat.All(Length.FromNanometres(nanometres)));

    [Theory]
    [InlineData(5_000, LengthDisplay.Millimetre, "0.00 mm")]     // halfway between 0.00 and 0.01
    [InlineData(15_000, LengthDisplay.Millimetre, "0.02 mm")]    // halfway between 0.01 and 0.02
    [InlineData(25_000, LengthDisplay.Millimetre, "0.02 mm")]
    [InlineData(-15_000, LengthDisplay.Millimetre, "-0.02 mm")]
    [InlineData(-25_000, LengthDisplay.Millimetre, "-0.02 mm")]
    [InlineData(1_270, LengthDisplay.Inch, "0.0000 in")]         // halfway between 0.0000 and 0.0001
    [InlineData(3_810, LengthDisplay.Inch, "0.0002 in")]
    public void A_tie_is_shown_as_the_even_one(long nanometres, LengthDisplay display, string shown) =>
        Assert.Equal(shown, LengthFormat.Show(Length.FromNanometres(nanometres), display));

    [Fact]
    public void A_length_between_nanometres_is_rounded_once_only()
    {
        // 15 000.5 nm is above the tie of 0.01 and 0.02 mm, 24 999.5 nm is below the next; by way of whole nanometres both would tie.
        Assert.Equal("0.02 mm", LengthFormat.Show(ExactLength.Ratio(Length.FromNanometres(30_001), 2), LengthDisplay.Millimetre));
        Assert.Equal("0.01 mm", LengthFormat.Show(ExactLength.Ratio(Length.FromNanometres(29_999), 2), LengthDisplay.Millimetre));
        Assert.Equal("-0.01 mm", LengthFormat.Show(ExactLength.Ratio(Length.FromNanometres(-29_999), 2), LengthDisplay.Millimetre));
    }

    [Theory]
    [InlineData(1_190_625, "+1½ t", "+3/64 in", "+0.0469 in", "+1.19 mm")]
    [InlineData(-1_190_625, "-1½ t", "-3/64 in", "-0.0469 in", "-1.19 mm")]
    [InlineData(0, "0 t", "0 in", "0.0000 in", "0.00 mm")]
    [InlineData(1, "0 t", "0 in", "0.0000 in", "0.00 mm")]
    public void A_move_carries_its_sign_and_no_move_carries_none(long nanometres, params string[] shown)
    {
        Length move = Length.FromNanometres(nanometres);

        Assert.Equal(shown, Enum.GetValues<LengthDisplay>().Select(display => LengthFormat.ShowSigned(move, display)));
        Assert.Equal(shown, Enum.GetValues<LengthDisplay>().Select(display => LengthFormat.ShowSigned(ExactLength.From(move), display)));
    }

    [Theory]
    [InlineData(0, "0 in")]
    [InlineData(41_275_000, "1 5/8 in")]
    [InlineData(-396_875, "-1/64 in")]
    [InlineData(12_345_678, "12.345678 mm")]
    [InlineData(-1, "-0.000001 mm")]
    [InlineData(45_000_000, "45 mm")]
    [InlineData(100_000, "0.1 mm")]
    [InlineData(long.MaxValue, "9223372036854.775807 mm")]
    [InlineData(long.MinValue, "-9223372036854.775808 mm")]
    public void An_exact_form_keeps_every_digit(long nanometres, string shown) =>
        Assert.Equal(shown, LengthFormat.ShowExact(Length.FromNanometres(nanometres)));

    [Fact]
    public void What_is_shown_is_never_further_than_half_a_last_place() =>
        Gen.Select(Gen.Enum<LengthDisplay>(), Gen.Long[-10_000_000_000, 10_000_000_000], Gen.Long[1, 97]).Sample(
            (display, nanometres, parts) =>
            {
                ExactLength length = ExactLength.Ratio(Length.FromNanometres(nanometres), parts);
                Length read = LengthText.Parse(LengthFormat.Show(length, display), LengthUnit.Inch).Value.Value;
                return (ExactLength.From(read) - length).Abs() <= ExactLength.From(LengthFormat.LastPlace(display)).Half();
            },
            iter: 2_000);

    [Fact]
    public void One_display_out_of_four_is_the_one_asked_for()
    {
        ShownLength shown = LengthFormat.All(Length.FromNanometres(13_096_875));

        Assert.Equal(
            ["16½ t", "33/64 in", "0.5156 in", "13.10 mm"],
            Enum.GetValues<LengthDisplay>().Select(shown.In));
    }
}
