using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Readings;

/// <summary>What a typed reading was read on, told from how it was written.</summary>
/// <remarks>
/// A fraction, ticks or whole inches can only come from a rule, and were read to its marks. A decimal was read to its last digit,
/// <c>6.1 mm</c> to 0.1 mm and <c>1.34 in</c> to 0.01 in, but never finer than the caliper's display shows. So was a whole number of
/// millimetres: <c>6 mm</c> to 1 mm.
/// </remarks>
public sealed record TypedRule
{
    /// <summary>The usual bench: a rule in 64ths, a caliper that shows 0.01 mm and 0.0005 in.</summary>
    public static TypedRule Default { get; } = new();

    /// <summary>Distance between two marks of the rule; positive. Unless said, 1/64 in.</summary>
    public Length FractionStep { get; init => field = Positive(value); } = Length.HalfTick;

    /// <summary>One step of the caliper's display in millimetres; positive. Unless said, 0.01 mm.</summary>
    public Length DecimalMillimetre { get; init => field = Positive(value); } = Length.FromMicrometres(10);

    /// <summary>One step of the caliper's display in inches; positive. Unless said, 0.0005 in.</summary>
    public Length DecimalInch { get; init => field = Positive(value); } = Length.FromNanometres(12_700);

    /// <summary>The resolution that a typed reading carries.</summary>
    public Length ResolutionOf(ParsedLength typed) => (typed.Notation, typed.Unit) switch
    {
        (LengthNotation.Fraction or LengthNotation.Ticks, _) => FractionStep,
        (LengthNotation.Decimal, LengthUnit.Millimetre) => Length.Max(typed.LastPlace, DecimalMillimetre),
        (LengthNotation.Decimal, LengthUnit.Inch) when typed.Decimals == 0 => FractionStep,
        (LengthNotation.Decimal, LengthUnit.Inch) => Length.Max(typed.LastPlace, DecimalInch),
    };

    private static Length Positive(Length step)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(step.Nanometres, nameof(step));
        return step;
    }
}
