using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Tests.Quantities;

/// <summary>Rounding against published examples; a number of the source stands for centimetres, so that seven decimals are whole in nanometres.</summary>
public sealed class RoundingTests
{
    /// <remarks>
    /// NIST SP 811 (2008), B.7.1, https://nvlpubs.nist.gov/nistpubs/Legacy/SP/nistspecialpublication811e2008.pdf: 6.9749515 to 3, 2
    /// and 5 digits is 6.97, 7.0 and 6.9750; 6.9749505 to 7 digits is 6.974950.
    /// </remarks>
    [Theory]
    [InlineData(69_749_515, 100_000, 69_700_000)]
    [InlineData(69_749_515, 1_000_000, 70_000_000)]
    [InlineData(69_749_515, 1_000, 69_750_000)]
    [InlineData(69_749_505, 10, 69_749_500)]
    public void Half_even_is_the_rounding_of_NIST_SP_811_B_7_1(long nanometres, long place, long rounded) =>
        Assert.Equal(rounded, Length.FromNanometres(nanometres).RoundedTo(Length.FromNanometres(place), Rounding.HalfEven).Nanometres);

    /// <remarks>The same source's 6.9749505 under the other rule, worked out by hand: 6.974951.</remarks>
    [Fact]
    public void Half_away_from_zero_differs_on_the_published_tie() =>
        Assert.Equal(
            69_749_510,
            Length.FromNanometres(69_749_505).RoundedTo(Length.FromNanometres(10), Rounding.HalfAwayFromZero).Nanometres);

    /// <remarks>NIST SP 811 (2008), B.7.2: 36 ft is 10.9728 m, to three digits 11.0 m.</remarks>
    [Fact]
    public void A_conversion_is_rounded_last()
    {
        Length length = LengthText.Parse("432 in", LengthUnit.Inch).Value.Value;

        Assert.Equal(10_972_800_000, length.Nanometres);
        Assert.Equal(11_000_000_000, length.RoundedTo(Length.FromNanometres(100_000_000), Rounding.HalfEven).Nanometres);
    }

    /// <remarks>
    /// NIST Voluntary Product Standard PS 20-20, table 3 and appendix B: 2.5 in is 64 mm and 7.5 in, a tie, is 190 mm,
    /// https://www.nist.gov/document/doc-ps-20-20-american-softwood-lumber-standard.
    /// </remarks>
    [Theory]
    [InlineData("2.5 in", 64)]
    [InlineData("7.5 in", 190)]
    public void Dressed_sizes_in_whole_millimetres_are_half_even(string text, long millimetres) =>
        Assert.Equal(
            Length.Millimetre.Times(millimetres),
            LengthText.Parse(text, LengthUnit.Inch).Value.Value.RoundedTo(Length.Millimetre, Rounding.HalfEven));

    /// <remarks>A public teaching page prints 3.4 for 3.458 to two digits, which is wrong under every rule to the nearest; it is 3.5.</remarks>
    [Fact]
    public void To_the_nearest_looks_at_all_digits_not_at_the_next_alone()
    {
        Length length = Length.FromMicrometres(3_458);

        Assert.Equal(3_500, length.RoundedTo(Length.FromMicrometres(100), Rounding.HalfEven).Nanometres / 1_000);
        Assert.Equal(3_400, length.RoundedTo(Length.FromMicrometres(100), Rounding.TowardZero).Nanometres / 1_000);
    }

    [Theory]
    [InlineData(2.5, 2L, 3L, 2L, 2L, 3L)]
    [InlineData(3.5, 4L, 4L, 3L, 3L, 4L)]
    [InlineData(-2.5, -2L, -3L, -2L, -3L, -2L)]
    [InlineData(-0.5, 0L, -1L, 0L, -1L, 0L)]
    [InlineData(7, 7L, 7L, 7L, 7L, 7L)]
    public void Computed_nanometres_are_rounded_as_said(double nanometres, params long[] inOrderOfTheRoundings) =>
        Assert.Equal(
            inOrderOfTheRoundings,
            Enum.GetValues<Rounding>().Select(rounding => Length.FromNanometres(nanometres, rounding).Nanometres));

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    [InlineData(9.3e18)]
    [InlineData(-9.3e18)]
    public void A_computed_value_that_is_no_length_throws(double nanometres) =>
        Assert.Throws<OverflowException>(() => Length.FromNanometres(nanometres, Rounding.HalfEven));
}
