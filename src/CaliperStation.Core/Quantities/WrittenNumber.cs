namespace CaliperStation.Core.Quantities;

/// <summary>How a number was written.</summary>
internal enum NumberShape
{
    /// <summary>Digits only.</summary>
    Whole,

    /// <summary>With a decimal mark.</summary>
    Decimal,

    /// <summary>A fraction below one.</summary>
    Fraction,

    /// <summary>A whole number and a fraction.</summary>
    Mixed,
}

/// <summary>A number as written, exact: <paramref name="Over"/> by <paramref name="Under"/>, of a unit still to come.</summary>
/// <param name="Over">Numerator, not negative; below 10²⁵.</param>
/// <param name="Under">Denominator: a power of ten up to 10¹², or a power of two up to 64.</param>
/// <param name="Shape">How it was written.</param>
/// <param name="Start">Index of its first character.</param>
/// <param name="PartAt">Index of the decimal mark or of the fraction's first character; <paramref name="Start"/> when whole.</param>
/// <param name="Decimals">Digits written after the decimal mark, zeros at the end too.</param>
internal readonly record struct WrittenNumber(Int128 Over, Int128 Under, NumberShape Shape, int Start, int PartAt, int Decimals = 0)
{
    /// <summary>True for a fraction with or without a whole part.</summary>
    public bool HasFraction => Shape is NumberShape.Fraction or NumberShape.Mixed;
}
