using System.Numerics;
using CaliperStation.Core.Quantities;
using CsCheck;

namespace CaliperStation.Core.Tests.Quantities;

/// <summary>Arithmetic against fractions of <see cref="BigInteger"/>, compared by cross-multiplication.</summary>
public sealed class ExactLengthArithmeticTests
{
    private static readonly Gen<(long Over, long Under)> Fraction =
        Gen.Select(Gen.Long[-1_000_000_000_000, 1_000_000_000_000], Gen.OneOf(Gen.Long[1, 12], Gen.Long[1, 1_000_000]));

    [Fact]
    public void Sum_difference_half_and_order_are_those_of_fractions() =>
        Gen.Select(Fraction, Fraction).Sample(
            (a, b) =>
            {
                ExactLength left = Of(a);
                ExactLength right = Of(b);
                BigInteger cross = ((BigInteger)a.Over * b.Under) - ((BigInteger)b.Over * a.Under);
                BigInteger under = (BigInteger)a.Under * b.Under;
                return Same(left + right, ((BigInteger)a.Over * b.Under) + ((BigInteger)b.Over * a.Under), under)
                    && Same(left - right, cross, under)
                    && Same(-left, -(BigInteger)a.Over, a.Under)
                    && Same(left.Abs(), BigInteger.Abs(a.Over), a.Under)
                    && Same(left.Half(), a.Over, 2 * (BigInteger)a.Under)
                    && Math.Sign(left.CompareTo(right)) == cross.Sign
                    && left < right == cross < 0 && left > right == cross > 0
                    && left <= right == cross <= 0 && left >= right == cross >= 0
                    && left == right == cross.IsZero;
            },
            iter: 5_000);

    [Fact]
    public void Every_value_is_in_lowest_terms_so_equal_values_are_equal() =>
        Gen.Select(Fraction, Gen.Long[1, 1_000]).Sample(
            (a, times) =>
            {
                ExactLength value = Of(a);
                ExactLength scaled = ExactLength.Ratio(Length.FromNanometres(a.Over * times), a.Under * times);
                return value == scaled && value.GetHashCode() == scaled.GetHashCode() && value.Denominator > 0
                    && BigInteger.GreatestCommonDivisor(value.Numerator, value.Denominator).IsOne;
            },
            iter: 2_000);

    [Fact]
    public void A_mean_is_the_sum_over_the_count_whatever_the_order() =>
        Gen.Long[-1_000_000_000_000, 1_000_000_000_000].Array[1, 20].Sample(
            takes =>
            {
                BigInteger sum = takes.Aggregate(BigInteger.Zero, (total, take) => total + take);
                ExactLength mean = ExactLength.Mean([.. takes.Select(Length.FromNanometres)]);
                return Same(mean, sum, takes.Length) && mean == ExactLength.Mean([.. takes.Reverse().Select(Length.FromNanometres)]);
            },
            iter: 1_000);

    [Fact]
    public void To_whole_nanometres_is_within_the_rounding_asked_for() =>
        Fraction.Sample(
            a =>
            {
                ExactLength value = Of(a);
                ExactLength down = ExactLength.From(value.ToLength(Rounding.Down));
                ExactLength up = ExactLength.From(value.ToLength(Rounding.Up));
                ExactLength near = ExactLength.From(value.ToLength(Rounding.HalfEven));
                ExactLength half = ExactLength.Ratio(Length.FromNanometres(1), 2);
                return down <= value && value <= up && (near - value).Abs() <= half && value.IsWhole == (up == down);
            },
            iter: 2_000);

    [Fact]
    public void Nothing_is_the_default_and_compares_with_whole_lengths()
    {
        Assert.Equal(default, ExactLength.From(Length.Zero));
        Assert.Equal(Int128.One, default(ExactLength).Denominator);
        Assert.True(default(ExactLength).IsWhole);
        Assert.True(ExactLength.Ratio(Length.Inch, 3).CompareTo(Length.FromNanometres(8_466_666)) > 0);
        Assert.True(ExactLength.Ratio(Length.Inch, 3).CompareTo(Length.FromNanometres(8_466_667)) < 0);
        Assert.Equal(0, ExactLength.Ratio(Length.Inch, 2).CompareTo(Length.FromTicks(16)));
        Assert.Equal(12_700_000d, ExactLength.Ratio(Length.Inch, 2).ToDouble());
    }

    [Fact]
    public void Beyond_the_range_it_throws()
    {
        ExactLength fine = ExactLength.Ratio(Length.FromNanometres(long.MaxValue), long.MaxValue - 1);
        ExactLength other = ExactLength.Ratio(Length.FromNanometres(long.MaxValue), long.MaxValue - 4);

        Assert.Throws<OverflowException>(() => fine + other + fine + other);
        Assert.Throws<OverflowException>(() => (ExactLength.From(Length.FromNanometres(long.MaxValue)) + ExactLength.From(Length.Inch)).ToLength(Rounding.Down));
    }

    [Fact]
    public void Misuse_throws()
    {
        Assert.Throws<ArgumentException>(() => ExactLength.Mean([]));
        Assert.Throws<ArgumentOutOfRangeException>(() => ExactLength.Ratio(Length.Inch, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => ExactLength.Ratio(Length.Inch, -1));
    }

    private static ExactLength Of((long Over, long Under) value) => ExactLength.Ratio(Length.FromNanometres(value.Over), value.Under);

    private static bool Same(ExactLength actual, BigInteger over, BigInteger under) => actual.Numerator * under == over * actual.Denominator;
}
