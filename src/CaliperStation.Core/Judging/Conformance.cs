using MathNet.Numerics.Distributions;

namespace CaliperStation.Core.Judging;

/// <summary>Probability that a true value conforms, and the factor of a guard band; any one unit.</summary>
public static class Conformance
{
    /// <summary>pc = Φ((TU − y)/u) − Φ((TL − y)/u), a limit that is null counting as far away (JCGM 106:2012, 7.3 and 7.4).</summary>
    /// <param name="value">The measured value y.</param>
    /// <param name="uncertainty">Its standard uncertainty u; 0 gives certainty.</param>
    /// <param name="lower">TL or null.</param>
    /// <param name="upper">TU or null.</param>
    /// <param name="lowerExcluded">True when TL itself does not conform; tells only with certainty, for one value has no probability.</param>
    /// <param name="upperExcluded">The same for TU.</param>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="uncertainty"/> is negative.</exception>
    public static double Probability(double value, double uncertainty, double? lower, double? upper, bool lowerExcluded = false, bool upperExcluded = false)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(uncertainty);
        if (uncertainty == 0)
        {
            return (lower is null || value > lower || (value == lower && !lowerExcluded)) && (upper is null || value < upper || (value == upper && !upperExcluded)) ? 1 : 0;
        }

        double below = upper is { } tu ? Normal.CDF(0, 1, (tu - value) / uncertainty) : 1;
        double under = lower is { } tl ? Normal.CDF(0, 1, (tl - value) / uncertainty) : 0;
        return Math.Clamp(below - under, 0, 1);
    }

    /// <summary>z with Φ(z) = <paramref name="confidence"/>: 1.645 for 0.95 (JCGM 106:2012, Table 1; ISO 14253-1 takes 1.65).</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not from 0.5 to below 1.</exception>
    public static double GuardFactor(double confidence)
    {
        if (confidence is not (>= 0.5 and < 1))
        {
            throw new ArgumentOutOfRangeException(nameof(confidence), confidence, "A one-sided confidence is at least 0.5 and below 1.");
        }

        return Normal.InvCDF(0, 1, confidence);
    }
}
