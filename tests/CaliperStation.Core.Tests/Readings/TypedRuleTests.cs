using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Core.Tests.Readings;

public sealed class TypedRuleTests
{
    [Theory]
    [InlineData("1 11/32 in", 396_875)]
    [InlineData("11t", 396_875)]
    [InlineData("1 in 11t", 396_875)]
    [InlineData("1 in 11/32", 396_875)]
    [InlineData("34.13 mm", 10_000)]
    [InlineData("3.413 cm", 10_000)]
    [InlineData("1.3440 in", 12_700)]
    [InlineData("1.3440", 12_700)]
    [InlineData("6 mm", 1_000_000)]
    [InlineData("6.1 mm", 100_000)]
    [InlineData("6.10 mm", 10_000)]
    [InlineData("6.100 mm", 10_000)]
    [InlineData("6,1 mm", 100_000)]
    [InlineData("4.1 cm", 1_000_000)]
    [InlineData("1.34 in", 254_000)]
    [InlineData("1.340 in", 25_400)]
    [InlineData("2 in", 396_875)]
    public void A_typed_reading_carries_the_resolution_of_what_it_was_read_on(string text, long nanometres) =>
        Assert.Equal(nanometres, TypedRule.Default.ResolutionOf(LengthText.Parse(text, LengthUnit.Inch).Value).Nanometres);

    [Fact]
    public void A_coarser_rule_gives_a_coarser_reading()
    {
        TypedRule rule = TypedRule.Default with { FractionStep = Length.FromSixtyFourths(4), DecimalMillimetre = Length.FromMicrometres(20) };

        Assert.Equal(Length.FromSixtyFourths(4), rule.ResolutionOf(LengthText.Parse("11/32 in", LengthUnit.Inch).Value));
        Assert.Equal(Length.FromMicrometres(20), rule.ResolutionOf(LengthText.Parse("5.00 mm", LengthUnit.Inch).Value));
    }

    [Fact]
    public void A_step_that_is_not_positive_is_misuse()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new TypedRule { FractionStep = Length.Zero });
        Assert.Throws<ArgumentOutOfRangeException>(() => new TypedRule { DecimalInch = -Length.Tick });
        Assert.Throws<ArgumentOutOfRangeException>(() => new TypedRule { DecimalMillimetre = Length.Zero });
    }
}
