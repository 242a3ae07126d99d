using System.Numerics;
using CaliperStation.Core.Quantities;
using CsCheck;

namespace CaliperStation.Core.Tests.Quantities;

/// <summary>Division checked by what each rounding means, in <see cref="BigInteger"/>, not by another way of computing it.</summary>
public sealed class WholeNumberTests
{
    private static readonly Gen<long> AnyLong = Gen.OneOf(
        Gen.Long, Gen.Long[-20, 20], Gen.OneOf(long.MinValue, long.MinValue + 1, -1L, 0L, 1L, long.MaxValue - 1, long.MaxValue));

    private static readonly Gen<Int128> AnyWide = Gen.OneOf(
        Gen.Select(Gen.ULong, Gen.ULong, (upper, lower) => new Int128(upper, lower)),
        AnyLong.Select(value => (Int128)value),
        Gen.OneOf(Int128.MaxValue, Int128.MinValue, Int128.MinValue + 1, Int128.MaxValue - 1));

    [Fact]
    public void Every_rounding_of_64_bit_division_is_what_it_says() =>
        Gen.Select(AnyLong, AnyLong.Where(divisor => divisor != 0), Gen.Enum<Rounding>()).Sample(
            (dividend, divisor, rounding) =>
            {
                if (dividend == long.MinValue && divisor == -1)
                {
                    Assert.Throws<OverflowException>(() => WholeNumber.Divide(dividend, divisor, rounding));
                    return true;
                }

                return Holds(dividend, divisor, rounding, WholeNumber.Divide(dividend, divisor, rounding));
            },
            iter: 10_000);

    [Fact]
    public void Every_rounding_of_128_bit_division_is_what_it_says() =>
        Gen.Select(AnyWide, AnyWide.Where(divisor => divisor != 0), Gen.Enum<Rounding>()).Sample(
            (dividend, divisor, rounding) =>
            {
                if (divisor < 0 && (dividend == Int128.MinValue || divisor == Int128.MinValue))
                {
                    Assert.Throws<OverflowException>(() => WholeNumber.Divide(dividend, divisor, rounding));
                    return true;
                }

                return Holds(dividend, divisor, rounding, WholeNumber.Divide(dividend, divisor, rounding));
            },
            iter: 10_000);

    [Theory]
    [InlineData(7, 2, 4L, 4L, 3L, 3L, 4L)]
    [InlineData(5, 2, 2L, 3L, 2L, 2L, 3L)]
    [InlineData(-5, 2, -2L, -3L, -2L, -3L, -2L)]
    [InlineData(5, -2, -2L, -3L, -2L, -3L, -2L)]
    [InlineData(-5, -2, 2L, 3L, 2L, 2L, 3L)]
    [InlineData(6, 3, 2L, 2L, 2L, 2L, 2L)]
    [InlineData(1, 3, 0L, 0L, 0L, 0L, 1L)]
    [InlineData(-1, 3, 0L, 0L, 0L, -1L, 0L)]
    public void Small_cases_by_hand(long dividend, long divisor, params long[] inOrderOfTheRoundings) =>
        Assert.Equal(
            inOrderOfTheRoundings,
            Enum.GetValues<Rounding>().Select(rounding => WholeNumber.Divide(dividend, divisor, rounding)));

    [Fact]
    public void Division_by_nothing_throws()
    {
        Assert.Throws<DivideByZeroException>(() => WholeNumber.Divide(1L, 0L, Rounding.HalfEven));
        Assert.Throws<DivideByZeroException>(() => WholeNumber.Divide(Int128.One, Int128.Zero, Rounding.Down));
    }

    private static bool Holds(BigInteger dividend, BigInteger divisor, Rounding rounding, BigInteger quotient)
    {
        if (divisor < 0)
        {
            (dividend, divisor) = (-dividend, -divisor);
        }

        BigInteger left = dividend - (quotient * divisor);   // exact value less quotient, in divisors
        BigInteger twice = 2 * BigInteger.Abs(left);
        return BigInteger.Abs(left) < divisor && rounding switch
        {
            Rounding.Down => left >= 0,
            Rounding.Up => left <= 0,
            Rounding.TowardZero => left == 0 || left.Sign == dividend.Sign,
            Rounding.HalfEven => twice < divisor || (twice == divisor && quotient.IsEven),
            Rounding.HalfAwayFromZero => twice < divisor || (twice == divisor && left.Sign == -dividend.Sign),
        };
    }
}
