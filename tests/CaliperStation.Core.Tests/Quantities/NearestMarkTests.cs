using CaliperStation.Core.Quantities;
using CsCheck;

namespace CaliperStation.Core.Tests.Quantities;

public sealed class NearestMarkTests
{
    [Theory]
    [InlineData(12_700_000, LengthDisplay.Fraction, "1/2 in")]
    [InlineData(12_700_000, LengthDisplay.Ticks, "16 t")]
    [InlineData(12_778_740, LengthDisplay.Fraction, "≈ 1/2 in + 0.0031 in")]
    [InlineData(12_778_740, LengthDisplay.Inch, "≈ 1/2 in + 0.0031 in")]
    [InlineData(12_778_740, LengthDisplay.Ticks, "≈ 16 t + 0.0031 in")]
    [InlineData(12_778_740, LengthDisplay.Millimetre, "≈ 1/2 in + 0.08 mm")]
    [InlineData(12_621_260, LengthDisplay.Fraction, "≈ 1/2 in - 0.0031 in")]
    [InlineData(-12_778_740, LengthDisplay.Fraction, "≈ -1/2 in - 0.0031 in")]
    [InlineData(12_700_001, LengthDisplay.Fraction, "≈ 1/2 in")]
    [InlineData(100_000, LengthDisplay.Fraction, "≈ 0 in + 0.0039 in")]
    public void The_nearest_mark_and_what_is_left_over_in_words(long nanometres, LengthDisplay display, string words) =>
        Assert.Equal(words, NearestMark.Of(Length.FromNanometres(nanometres)).Words(display));

    [Fact]
    public void Mark_and_left_over_make_the_length_and_the_rest_is_at_most_half_a_mark() =>
        Gen.Select(Gen.Long[-100_000_000_000, 100_000_000_000], Gen.Long[1, 50]).Sample(
            (nanometres, parts) =>
            {
                ExactLength length = ExactLength.Ratio(Length.FromNanometres(nanometres), parts);
                NearestMark nearest = NearestMark.Of(length);
                return ExactLength.From(nearest.Mark) + nearest.LeftOver == length
                    && nearest.Mark.Nanometres % 396_875 == 0
                    && nearest.LeftOver.Abs() <= ExactLength.From(Length.HalfTick).Half();
            },
            iter: 2_000);

    [Fact]
    public void Halfway_between_two_marks_the_even_one_is_taken()
    {
        Assert.Equal(Length.Zero, NearestMark.Of(ExactLength.From(Length.HalfTick).Half()).Mark);
        Assert.Equal(Length.Tick, NearestMark.Of(ExactLength.Ratio(Length.HalfTick.Times(3), 2)).Mark);
    }
}
