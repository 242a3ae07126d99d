namespace CaliperStation.Core.Judging;

/// <summary>Probability that a true value conforms, and the factor of a guard band; any one unit.</summary>
public static class Conformance
{
    /// <summary>pc = Φ((TU − y)/u) − Φ((TL − y)/u), a limit that is null counting as far away (JCGM 106:2012, 7.3 and 7.4).</summary>
    /// <param name="value">The measured value y.</param>
    /// <param name="uncertainty">Its standard uncertainty u; 0 gives certainty.</param>
    /// <param name="lower">TL or null.</param>
    /// <param name="upper">TU or null.</param>
    /// <param name="lowerExcluded">True when TL itself does not conform; counts only with certainty, for one value has no probability.</param>
    /// <param name="upperExcluded">The same for TU.</param>
    /// <param name="degrees">
    /// Degrees of freedom of the uncertainty; infinite for the normal distribution, else t of them stands in its place (JCGM 101:2008, 6.4.9.4).
    /// </param>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="uncertainty"/> is negative.</exception>
    public static double Probability(
        double value, double uncertainty, double? lower, double? upper, bool lowerExcluded = false, bool upperExcluded = false, double degrees = double.PositiveInfinity)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(uncertainty);
        if (uncertainty == 0)
        {
            return (lower is null || value > lower || (value == lower && !lowerExcluded)) && (upper is null || value < upper || (value == upper && !upperExcluded)) ? 1 : 0;
        }

        double below = upper is { } tu ? Quantiles.StudentTProbability((tu - value) / uncertainty, degrees) : 1;
        double under = lower is { } tl ? Quantiles.StudentTProbability((tl - value) / uncertainty, degrees) : 0;
        return Math.Clamp(below - under, 0, 1);
    }

    /// <summary>
    /// z with Φ(z) = <paramref name="confidence"/>: 1.645 for 0.95 (JCGM 106:2012, Table 1; ISO 14253-1 takes 1.65). Of an uncertainty with few degrees of
    /// freedom it is t in its place (JCGM 100:2008, G.3.2 and Table G.2).
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">Not from 0.5 to below 1.</exception>
    public static double GuardFactor(double confidence, double degrees = double.PositiveInfinity)
    {
        if (confidence is not (>= 0.5 and < 1))
        {
            throw new ArgumentOutOfRangeException(nameof(confidence), confidence, "A one-sided confidence is at least 0.5 and below 1.");
        }

        return Quantiles.StudentT(confidence, degrees);
    }
}
