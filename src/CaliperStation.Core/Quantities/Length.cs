using System.Numerics;

namespace CaliperStation.Core.Quantities;

/// <summary>A signed length, held as a whole number of nanometres.</summary>
/// <remarks>
/// Range: about ±9.2 million km; arithmetic beyond it throws <see cref="OverflowException"/>. Granularity 1 nm, so
/// 25.4 mm, 1/64 in (396 875 nm), 0.0005 in (12 700 nm) and 0.01 mm are exact, and equality means equality.
/// Ordered from negative to positive; <c>default</c> is <see cref="Zero"/>. The inch is 25.4 mm exactly
/// (NIST SP 811 (2008), appendix B.6).
/// </remarks>
public readonly record struct Length :
    IComparable<Length>,
    IAdditionOperators<Length, Length, Length>,
    ISubtractionOperators<Length, Length, Length>,
    IUnaryNegationOperators<Length, Length>,
    IComparisonOperators<Length, Length, bool>
{
    private Length(long nanometres) => Nanometres = nanometres;

    /// <summary>The length in nanometres.</summary>
    public long Nanometres { get; }

    /// <summary>No length; contact.</summary>
    public static Length Zero => default;

    /// <summary>25.4 mm.</summary>
    public static Length Inch => new(25_400_000);

    /// <summary>1/32 in, common practice at such benches, no source.</summary>
    public static Length Tick => new(793_750);

    /// <summary>1/64 in, the finest binary fraction of an inch that is whole in nanometres.</summary>
    public static Length HalfTick => new(396_875);

    /// <summary>1 mm.</summary>
    public static Length Millimetre => new(1_000_000);

    /// <summary>A length of whole nanometres.</summary>
    public static Length FromNanometres(long nanometres) => new(nanometres);

    /// <summary>A length of whole micrometres.</summary>
    public static Length FromMicrometres(long micrometres) => new(micrometres * 1_000);

    /// <summary>A length of whole 64ths of an inch (half ticks).</summary>
    public static Length FromSixtyFourths(long count) => new(count * 396_875);

    /// <summary>A length of whole ticks, 32nds of an inch.</summary>
    public static Length FromTicks(long count) => new(count * 793_750);

    /// <summary>The whole length nearest to a computed one in nanometres, rounded as said.</summary>
    /// <exception cref="OverflowException">The value is not finite or out of range.</exception>
    public static Length FromNanometres(double nanometres, Rounding rounding) => new(checked((long)Round(nanometres, rounding)));

    /// <summary>The larger of two.</summary>
    public static Length Max(Length a, Length b) => a >= b ? a : b;

    /// <summary>The smaller of two.</summary>
    public static Length Min(Length a, Length b) => a <= b ? a : b;

    /// <summary>The length without its sign.</summary>
    public Length Abs() => new(Math.Abs(Nanometres));

    /// <summary>This length taken <paramref name="count"/> times.</summary>
    public Length Times(long count) => new(Nanometres * count);

    /// <summary>This length in <paramref name="parts"/> equal parts, to the whole nanometre as said.</summary>
    /// <exception cref="DivideByZeroException"><paramref name="parts"/> is 0.</exception>
    public Length DividedBy(long parts, Rounding rounding) => new(WholeNumber.Divide(Nanometres, parts, rounding));

    /// <summary>This length to the nearest multiple of <paramref name="step"/>.</summary>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="step"/> is not positive.</exception>
    public Length RoundedTo(Length step, Rounding rounding)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(step.Nanometres, nameof(step));
        return new(WholeNumber.Divide(Nanometres, step.Nanometres, rounding) * step.Nanometres);
    }

    /// <inheritdoc />
    public int CompareTo(Length other) => Nanometres.CompareTo(other.Nanometres);

    /// <summary>Adds.</summary>
    public static Length operator +(Length left, Length right) => new(left.Nanometres + right.Nanometres);

    /// <summary>Subtracts.</summary>
    public static Length operator -(Length left, Length right) => new(left.Nanometres - right.Nanometres);

    /// <summary>Changes the sign.</summary>
    public static Length operator -(Length value) => new(-value.Nanometres);

    /// <summary>Compares.</summary>
    public static bool operator <(Length left, Length right) => left.Nanometres < right.Nanometres;

    /// <summary>Compares.</summary>
    public static bool operator >(Length left, Length right) => left.Nanometres > right.Nanometres;

    /// <summary>Compares.</summary>
    public static bool operator <=(Length left, Length right) => left.Nanometres <= right.Nanometres;

    /// <summary>Compares.</summary>
    public static bool operator >=(Length left, Length right) => left.Nanometres >= right.Nanometres;

    /// <summary>Nanometres, for logs and test failures; people are shown <c>LengthFormat</c>.</summary>
    public override string ToString() => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Nanometres} nm");

    private static double Round(double value, Rounding rounding) => rounding switch
    {
        Rounding.HalfEven => Math.Round(value, MidpointRounding.ToEven),
        Rounding.HalfAwayFromZero => Math.Round(value, MidpointRounding.AwayFromZero),
        Rounding.TowardZero => Math.Truncate(value),
        Rounding.Down => Math.Floor(value),
        Rounding.Up => Math.Ceiling(value),
    };
}

/// <summary>The unit a number is in.</summary>
public enum LengthUnit
{
    /// <summary>Millimetre.</summary>
    Millimetre,

    /// <summary>Inch, 25.4 mm exactly.</summary>
    Inch,
}

/// <summary>A place or an offset on the front of the blouse, as the viewer faces it.</summary>
/// <param name="Right">To the viewer's right.</param>
/// <param name="Up">Upwards.</param>
public readonly record struct PlanePoint(Length Right, Length Up)
{
    /// <summary>One offset after the other.</summary>
    public static PlanePoint operator +(PlanePoint left, PlanePoint right) => new(left.Right + right.Right, left.Up + right.Up);

    /// <summary>The offset from the second to the first.</summary>
    public static PlanePoint operator -(PlanePoint left, PlanePoint right) => new(left.Right - right.Right, left.Up - right.Up);
}
