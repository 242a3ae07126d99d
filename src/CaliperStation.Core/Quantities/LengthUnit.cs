namespace CaliperStation.Core.Quantities;

/// <summary>The unit a number is in.</summary>
public enum LengthUnit
{
    /// <summary>Millimetre.</summary>
    Millimetre,

    /// <summary>Inch, 25.4 mm exactly.</summary>
    Inch,
}

/// <summary>How a length is shown first.</summary>
public enum LengthDisplay
{
    /// <summary>Ticks of 1/32 in with halves, <c>16½ t</c>.</summary>
    Ticks,

    /// <summary>Reduced fraction of an inch, <c>33/64 in</c>.</summary>
    Fraction,

    /// <summary>Decimal inch, <c>0.5156 in</c>.</summary>
    Inch,

    /// <summary>Millimetres, <c>13.10 mm</c>.</summary>
    Millimetre,
}
