using MathNet.Numerics.Distributions;
using MathNet.Numerics.RootFinding;

namespace CaliperStation.Core.Judging;

/// <summary>Percentage points of the distributions that small studies need, each found from its distribution function.</summary>
/// <remarks>The library's own inverses of t and F look between fixed bounds, which one degree of freedom leaves: t of 0.9999 is 3183 there.</remarks>
public static class Quantiles
{
    private const double Accuracy = 1e-13;   // of the logarithm, so of the point itself in relative terms
    private const int MaxSteps = 200;

    /// <summary>t with P(T ≤ t) = <paramref name="probability"/>; the normal point when the degrees of freedom are infinite.</summary>
    /// <param name="probability">Above 0 and below 1.</param>
    /// <param name="degrees">Degrees of freedom, above 0; need not be whole.</param>
    /// <exception cref="ArgumentOutOfRangeException">Outside these ranges.</exception>
    public static double StudentT(double probability, double degrees)
    {
        Check(probability, degrees);
        return double.IsPositiveInfinity(degrees) ? Normal.InvCDF(0, 1, probability)
            : probability == 0.5 ? 0
            : probability < 0.5 ? -StudentT(1 - probability, degrees)
            : Find(t => StudentTProbability(t, degrees), probability);
    }

    /// <summary>P(T ≤ t); of the normal distribution when the degrees of freedom are infinite.</summary>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="degrees"/> is not above 0.</exception>
    public static double StudentTProbability(double t, double degrees)
    {
        Check(0.5, degrees);
        return double.IsPositiveInfinity(degrees) ? Normal.CDF(0, 1, t) : MathNet.Numerics.Distributions.StudentT.CDF(0, 1, degrees, t);
    }

    /// <summary>x with P(χ² ≤ x) = <paramref name="probability"/>.</summary>
    /// <param name="probability">Above 0 and below 1.</param>
    /// <param name="degrees">Degrees of freedom, above 0; need not be whole.</param>
    /// <exception cref="ArgumentOutOfRangeException">Outside these ranges.</exception>
    public static double ChiSquared(double probability, double degrees)
    {
        Check(probability, degrees);
        return Find(x => MathNet.Numerics.Distributions.ChiSquared.CDF(degrees, x), probability);
    }

    /// <summary>f with P(F ≤ f) = <paramref name="probability"/>.</summary>
    /// <param name="probability">Above 0 and below 1.</param>
    /// <param name="upper">Degrees of freedom of the upper mean square, above 0.</param>
    /// <param name="lower">Of the lower one.</param>
    /// <exception cref="ArgumentOutOfRangeException">Outside these ranges.</exception>
    public static double F(double probability, double upper, double lower)
    {
        Check(probability, upper);
        Check(probability, lower);
        return Find(f => FProbability(f, upper, lower), probability);
    }

    /// <summary>P(F ≤ f) for f of at least 0.</summary>
    public static double FProbability(double f, double upper, double lower) => FisherSnedecor.CDF(upper, lower, f);

    private static void Check(double probability, double degrees)
    {
        if (probability is not (> 0 and < 1))
        {
            throw new ArgumentOutOfRangeException(nameof(probability), probability, "A probability lies above 0 and below 1.");
        }

        if (!(degrees > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(degrees), degrees, "Degrees of freedom are above 0.");
        }
    }

    /// <summary>The positive point where a growing function comes to the probability; in logarithms, for the points span many powers of ten.</summary>
    private static double Find(Func<double, double> cumulative, double probability)
    {
        double Off(double logarithm) => cumulative(Math.Exp(logarithm)) - probability;
        (double low, double high) = (-1, 1);
        for (int step = 0; step < MaxSteps && Off(low) > 0; step++)
        {
            low -= 2;
        }

        for (int step = 0; step < MaxSteps && Off(high) < 0; step++)
        {
            high += 2;
        }

        return Math.Exp(Brent.FindRoot(Off, low, high, Accuracy, MaxSteps));
    }
}
