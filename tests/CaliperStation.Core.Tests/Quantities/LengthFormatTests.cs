using CaliperStation.Core.Quantities;
using CsCheck;

namespace CaliperStation.Core.Tests.Quantities;

public sealed class LengthFormatTests
{
    [Theory]
    [InlineData(0, "0 t", "0 in", "0.0000 in", "0.00 mm")]
    [InlineData(13_096_875, "16½ t", "33/64 in", "0.5156 in", "13.10 mm")]
    [InlineData(-13_096_875, "-16½ t", "-33/64 in", "-0.5156 in", "-13.10 mm")]
    [InlineData(34_131_250, "43 t", "1 11/32 in", "1.3438 in", "34.13 mm")]
    [InlineData(-34_131_250, "-43 t", "-1 11/32 in", "-1.3438 in", "-34.13 mm")]
    [InlineData(396_875, "½ t", "1/64 in", "0.0156 in", "0.40 mm")]
    [InlineData(-396_875, "-½ t", "-1/64 in", "-0.0156 in", "-0.40 mm")]
    [InlineData(793_750, "1 t", "1/32 in", "0.0312 in", "0.79 mm")]
    [InlineData(25_400_000, "32 t", "1 in", "1.0000 in", "25.40 mm")]
    [InlineData(12_700_000, "16 t", "1/2 in", "0.5000 in", "12.70 mm")]
    [InlineData(1, "0 t", "0 in", "0.0000 in", "0.00 mm")]
    [InlineData(-1, "0 t", "0 in", "0.0000 in", "0.00 mm")]
    public void A_length_is_shown_in_all_four_displays(long nanometres, string ticks, string fraction, string inch, string millimetre) =>
        Assert.Equal(
            [ticks, fraction, inch, millimetre],
            Enum.GetValues<LengthDisplay>().Select(display => LengthFormat.Show(Length.FromNanometres(nanometres), display)));

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
    [InlineData(12_700_000, "1/2 in")]
    [InlineData(12_778_740, "1/2 in + 0.0031 in")]
    [InlineData(12_621_260, "1/2 in - 0.0031 in")]
    [InlineData(-12_778_740, "-1/2 in - 0.0031 in")]
    [InlineData(12_700_001, "1/2 in")]
    [InlineData(100_000, "0 in + 0.0039 in")]
    [InlineData(198_437, "0 in + 0.0078 in")]       // just below halfway to 1/64 in
    [InlineData(198_438, "1/64 in - 0.0078 in")]    // just above
    public void The_nearest_mark_is_shown_with_what_is_left_over(long nanometres, string shown) =>
        Assert.Equal(shown, LengthFormat.ShowNearestMark(Length.FromNanometres(nanometres)));

    [Theory]
    [InlineData(0, "0 in")]
    [InlineData(34_131_250, "1 11/32 in")]
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
}
