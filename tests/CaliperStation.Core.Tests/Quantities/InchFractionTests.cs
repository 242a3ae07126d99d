using System.Globalization;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Tests.Quantities;

/// <summary>The inch is 25.4 mm exactly: NIST SP 811 (2008), appendix B.6.</summary>
public sealed class InchFractionTests
{
    public static TheoryData<int> SixtyFourths => [.. Enumerable.Range(1, 64)];

    /// <remarks>
    /// 1/64 to 6/64 in with six decimals as three public tables print them: rebab.net conversion table; chestofbooks.com table LXIII;
    /// machinecalcs.com/decimal-to-fraction-chart.
    /// </remarks>
    [Theory]
    [InlineData(1, "0.396875 mm")]
    [InlineData(2, "0.79375 mm")]
    [InlineData(3, "1.190625 mm")]
    [InlineData(4, "1.5875 mm")]
    [InlineData(5, "1.984375 mm")]
    [InlineData(6, "2.38125 mm")]
    public void The_first_64ths_are_what_fraction_tables_print(int count, string millimetres) =>
        Assert.Equal(Length.FromSixtyFourths(count), LengthText.Parse(millimetres, LengthUnit.Inch).Value.Value);

    [Theory]
    [MemberData(nameof(SixtyFourths))]
    public void All_64_fractions_are_exact_and_read_back(int count)
    {
        Length length = Length.FromSixtyFourths(count);

        Assert.Equal(25_400_000L * count, length.Nanometres * 64);
        Assert.Equal(length, LengthText.Parse(LengthFormat.Show(length, LengthDisplay.Fraction), LengthUnit.Millimetre).Value.Value);
        Assert.Equal(length, LengthText.Parse(LengthFormat.Show(length, LengthDisplay.Ticks), LengthUnit.Millimetre).Value.Value);
        if (count < 64)
        {
            string asWritten = string.Create(CultureInfo.InvariantCulture, $"{count}/64 in");
            Assert.Equal(length, LengthText.Parse(asWritten, LengthUnit.Inch).Value.Value);
        }
    }

    /// <remarks>
    /// 15/32 in = 11.90625 mm, a tie: machinecalcs.com/decimal-to-fraction-chart prints 11.9062 (half to even),
    /// utilitiesbunker.com/kb/fraction-to-decimal-chart prints 11.9063 (half up).
    /// </remarks>
    [Fact]
    public void Two_charts_disagree_on_15_32_and_each_has_its_rounding()
    {
        Length length = LengthText.Parse("15/32 in", LengthUnit.Inch).Value.Value;
        Length place = Length.FromNanometres(100);

        Assert.Equal(11_906_200, length.RoundedTo(place, Rounding.HalfEven).Nanometres);
        Assert.Equal(11_906_300, length.RoundedTo(place, Rounding.HalfAwayFromZero).Nanometres);
    }

    /// <remarks>Derived from 25.4 mm exactly; no table prints which fractions tie.</remarks>
    [Fact]
    public void The_two_roundings_differ_to_four_decimals_at_eight_fractions_only()
    {
        Length place = Length.FromNanometres(100);
        IEnumerable<string> differing = Enumerable.Range(1, 64)
            .Select(count => Length.FromSixtyFourths(count))
            .Where(length => length.RoundedTo(place, Rounding.HalfEven) != length.RoundedTo(place, Rounding.HalfAwayFromZero))
            .Select(length => LengthFormat.Show(length, LengthDisplay.Fraction));

        Assert.Equal(["3/32 in", "7/32 in", "11/32 in", "15/32 in", "19/32 in", "23/32 in", "27/32 in", "31/32 in"], differing);
    }
}
