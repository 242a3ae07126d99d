namespace CaliperStation.Core.Quantities;

/// <summary>Lengths as people write them.</summary>
/// <remarks>
/// Taken, with an optional sign (<c>+</c>, <c>-</c> or the minus U+2212) before all of it:
/// <list type="bullet">
/// <item><c>41.275 mm</c>, <c>41,275 mm</c>, <c>2.5 cm</c>, <c>1.625 in</c>, <c>.5in</c>: a comma is a decimal mark when it is the only mark;</item>
/// <item><c>5/8</c>, <c>1 5/8 in</c>, <c>1-5/8"</c>, <c>1⅝ in</c>: halves to 64ths, below one;</item>
/// <item><c>20t</c>, <c>16½ t</c>, <c>16.5 ticks</c>: ticks of 1/32 in, to the half;</item>
/// <item><c>1 in 20/32</c>, <c>1in 20t</c>: whole inches, then less than an inch.</item>
/// </list>
/// A number without a unit takes the bare unit. A fraction without a unit is a fraction of an inch where inches are the
/// bare unit; where millimetres are, it is refused: nobody's rule has fractions of a millimetre, and taking it for an inch
/// would turn a slip into a length 25.4 times too large. Centimetres are reported as <see cref="LengthUnit.Millimetre"/>,
/// ticks as <see cref="LengthUnit.Inch"/>. Everything else is refused with the place of the fault; no text makes this throw.
/// </remarks>
public static class LengthText
{
    /// <summary>Most characters that are looked at; the longest sensible text has about 30.</summary>
    public const int LongestText = 64;

    /// <summary>The largest length taken, without its sign: 100 m, beyond any coat and any slip of a decimal mark.</summary>
    public static Length Largest => Length.FromNanometres(100_000_000_000);

    /// <summary>Reads a length.</summary>
    /// <param name="text">What was written; any text.</param>
    /// <param name="bareUnit">The unit of a number without one.</param>
    /// <returns>The length, or the place of the first fault and what to write instead.</returns>
    public static LengthParse Parse(string text, LengthUnit bareUnit) => ParseIn(text, bareUnit switch
    {
        LengthUnit.Millimetre => UnitMark.Millimetre,
        LengthUnit.Inch => UnitMark.Inch,
    });

    /// <summary>The same with a bare unit that may also be ticks.</summary>
    internal static LengthParse ParseIn(string text, UnitMark bareUnit)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (text.Length > LongestText)
        {
            return LengthParse.Refused(LongestText, "That is too long for a length: write one like 1 5/8 in or 41.275 mm.");
        }

        LengthFault? fault = new LengthGrammar(text, bareUnit).Read(out ParsedLength length);
        return fault is null ? LengthParse.Of(length) : LengthParse.Refused(fault.Position, fault.Message);
    }
}
