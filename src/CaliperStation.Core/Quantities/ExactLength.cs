using System.Globalization;
using System.Numerics;

namespace CaliperStation.Core.Quantities;

/// <summary>A length that need not be whole in nanometres, but is exact: a mean of takes, half of an odd size.</summary>
/// <remarks>
/// Numerator over denominator in nanometres, in lowest terms, denominator positive; <c>default</c> is zero. Verdicts
/// compare this with whole limits by cross-multiplication, never a rounded value. Beyond the range of
/// <see cref="Int128"/> arithmetic throws <see cref="OverflowException"/>.
/// </remarks>
public readonly record struct ExactLength :
    IComparable<ExactLength>,
    IAdditionOperators<ExactLength, ExactLength, ExactLength>,
    ISubtractionOperators<ExactLength, ExactLength, ExactLength>,
    IUnaryNegationOperators<ExactLength, ExactLength>
{
    private readonly Int128 _over;
    private readonly Int128 _underLessOne;   // so that default is 0/1

    private ExactLength(Int128 over, Int128 under)
    {
        Int128 divisor = GreatestCommonDivisor(Int128.Abs(over), under);
        _over = over / divisor;
        _underLessOne = (under / divisor) - 1;
    }

    /// <summary>The numerator, in nanometres.</summary>
    public Int128 Numerator => _over;

    /// <summary>The denominator, positive.</summary>
    public Int128 Denominator => _underLessOne + 1;

    /// <summary>True when the length is whole in nanometres.</summary>
    public bool IsWhole => _underLessOne == 0;

    /// <summary>The same length, exactly.</summary>
    public static ExactLength From(Length length) => new(length.Nanometres, 1);

    /// <summary>A length divided exactly.</summary>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="parts"/> is not positive.</exception>
    public static ExactLength Ratio(Length length, long parts)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(parts);
        return new(length.Nanometres, parts);
    }

    /// <summary>The exact mean of one or more lengths.</summary>
    /// <exception cref="ArgumentException">There are none.</exception>
    public static ExactLength Mean(IReadOnlyList<Length> lengths)
    {
        if (lengths.Count == 0)
        {
            throw new ArgumentException("The mean of nothing is not a length.", nameof(lengths));
        }

        Int128 sum = 0;
        foreach (Length length in lengths)
        {
            sum += length.Nanometres;
        }

        return new(sum, lengths.Count);
    }

    /// <summary>Without its sign.</summary>
    public ExactLength Abs() => new(Int128.Abs(_over), Denominator);

    /// <summary>Half of it, exactly.</summary>
    public ExactLength Half() => new(_over, Denominator * 2);

    /// <summary>In nanometres, as a floating number for probabilities and pictures.</summary>
    public double ToDouble() => (double)_over / (double)Denominator;

    /// <summary>This length over another, rounded once, so that a half is a half and a third the floating number nearest to it.</summary>
    /// <exception cref="DivideByZeroException">The other is 0.</exception>
    public double Over(ExactLength other)
    {
        Int128 over = _over * other.Denominator, under = other._over * Denominator;
        Int128 divisor = under == 0 ? throw new DivideByZeroException() : GreatestCommonDivisor(Int128.Abs(over), Int128.Abs(under));
        return (double)(over / divisor) / (double)(under / divisor);
    }

    /// <summary>The nearest whole length, rounded as said; for showing only.</summary>
    public Length ToLength(Rounding rounding) => Length.FromNanometres((long)WholeNumber.Divide(_over, Denominator, rounding));

    /// <inheritdoc />
    public int CompareTo(ExactLength other) => (_over * other.Denominator).CompareTo(other._over * Denominator);

    /// <summary>Compares with a whole length, exactly.</summary>
    public int CompareTo(Length other) => CompareTo(From(other));

    /// <summary>Adds exactly.</summary>
    public static ExactLength operator +(ExactLength left, ExactLength right) =>
        new((left._over * right.Denominator) + (right._over * left.Denominator), left.Denominator * right.Denominator);

    /// <summary>Subtracts exactly.</summary>
    public static ExactLength operator -(ExactLength left, ExactLength right) => left + -right;

    /// <summary>Changes the sign.</summary>
    public static ExactLength operator -(ExactLength value) => new(-value._over, value.Denominator);

    /// <summary>Compares.</summary>
    public static bool operator <(ExactLength left, ExactLength right) => left.CompareTo(right) < 0;

    /// <summary>Compares.</summary>
    public static bool operator >(ExactLength left, ExactLength right) => left.CompareTo(right) > 0;

    /// <summary>Compares.</summary>
    public static bool operator <=(ExactLength left, ExactLength right) => left.CompareTo(right) <= 0;

    /// <summary>Compares.</summary>
    public static bool operator >=(ExactLength left, ExactLength right) => left.CompareTo(right) >= 0;

    /// <summary>Numerator over denominator in nanometres, for logs and test failures.</summary>
    public override string ToString() => IsWhole
        ? string.Create(CultureInfo.InvariantCulture, $"{_over} nm")
        : string.Create(CultureInfo.InvariantCulture, $"{_over}/{Denominator} nm");

    private static Int128 GreatestCommonDivisor(Int128 a, Int128 b)
    {
        while (b != 0)
        {
            (a, b) = (b, a % b);
        }

        return a == 0 ? 1 : a;
    }
}
