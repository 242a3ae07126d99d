namespace CaliperStation.Core.Quantities;

/// <summary>One length in all four displays.</summary>
/// <param name="Ticks">Ticks with halves, <c>16½ t</c>.</param>
/// <param name="Fraction">Reduced fraction, <c>33/64 in</c>.</param>
/// <param name="Inch">Decimal inch, <c>0.5156 in</c>.</param>
/// <param name="Millimetre">Millimetres, <c>13.10 mm</c>.</param>
public sealed record ShownLength(string Ticks, string Fraction, string Inch, string Millimetre)
{
    /// <summary>The text of one display.</summary>
    public string In(LengthDisplay display) => display switch
    {
        LengthDisplay.Ticks => Ticks,
        LengthDisplay.Fraction => Fraction,
        LengthDisplay.Inch => Inch,
        LengthDisplay.Millimetre => Millimetre,
    };
}
