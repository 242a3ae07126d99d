using System.Numerics;
using CaliperStation.Core.Quantities;
using CsCheck;

namespace CaliperStation.Core.Tests.Quantities;

public sealed class LengthArithmeticTests
{
    private static readonly Gen<long> AnyLong = Gen.OneOf(
        Gen.Long, Gen.Long[-1_000, 1_000], Gen.OneOf(long.MinValue, long.MinValue + 1, -1L, 0L, 1L, long.MaxValue - 1, long.MaxValue));

    [Fact]
    public void Sum_difference_and_multiple_are_exact_or_throw() =>
        Gen.Select(AnyLong, AnyLong).Sample(
            (a, b) =>
            {
                Length left = Length.FromNanometres(a);
                Length right = Length.FromNanometres(b);
                return SameOrThrows((BigInteger)a + b, () => left + right)
                    && SameOrThrows((BigInteger)a - b, () => left - right)
                    && SameOrThrows((BigInteger)a * b, () => left.Times(b))
                    && SameOrThrows(-(BigInteger)a, () => -left)
                    && SameOrThrows(BigInteger.Abs(a), left.Abs)
                    && SameOrThrows((BigInteger)a * 396_875, () => Length.FromSixtyFourths(a))
                    && SameOrThrows((BigInteger)a * 793_750, () => Length.FromTicks(a))
                    && SameOrThrows((BigInteger)a * 1_000, () => Length.FromMicrometres(a));
            },
            iter: 5_000);

    [Fact]
    public void Order_and_equality_are_those_of_the_nanometres() =>
        Gen.Select(AnyLong, AnyLong).Sample(
            (a, b) =>
            {
                Length left = Length.FromNanometres(a);
                Length right = Length.FromNanometres(b);
                return left < right == a < b && left <= right == a <= b && left > right == a > b && left >= right == a >= b
                    && left == right == (a == b) && left.CompareTo(right) == a.CompareTo(b)
                    && Length.Max(left, right).Nanometres == Math.Max(a, b) && Length.Min(left, right).Nanometres == Math.Min(a, b)
                    && (a != b || left.GetHashCode() == right.GetHashCode());
            },
            iter: 2_000);

    [Fact]
    public void A_length_to_a_step_is_a_multiple_of_it_and_within_half_of_it() =>
        Gen.Select(Gen.Long[-1_000_000_000_000, 1_000_000_000_000], Gen.Long[1, 30_000_000]).Sample(
            (nanometres, step) =>
            {
                long rounded = Length.FromNanometres(nanometres).RoundedTo(Length.FromNanometres(step), Rounding.HalfEven).Nanometres;
                return rounded % step == 0 && 2 * Math.Abs(rounded - nanometres) <= step;
            },
            iter: 2_000);

    [Fact]
    public void Named_lengths_are_exact()
    {
        Assert.Equal(default, Length.Zero);
        Assert.Equal(25_400_000, Length.Inch.Nanometres);
        Assert.Equal(Length.Inch, Length.FromTicks(32));
        Assert.Equal(Length.Inch, Length.FromSixtyFourths(64));
        Assert.Equal(Length.Inch, Length.Tick.Times(32));
        Assert.Equal(Length.Inch, Length.HalfTick.Times(64));
        Assert.Equal(Length.Inch, Length.Millimetre.Times(254).DividedBy(10, Rounding.Down));
    }

    [Fact]
    public void Misuse_throws()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Length.Inch.RoundedTo(Length.Zero, Rounding.Down));
        Assert.Throws<ArgumentOutOfRangeException>(() => Length.Inch.RoundedTo(-Length.Inch, Rounding.Down));
        Assert.Throws<DivideByZeroException>(() => Length.Inch.DividedBy(0, Rounding.Down));
    }

    private static bool SameOrThrows(BigInteger expected, Func<Length> actual)
    {
        if (expected >= long.MinValue && expected <= long.MaxValue)
        {
            return actual().Nanometres == expected;
        }

        Assert.Throws<OverflowException>(() => actual());
        return true;
    }
}
