using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>The law of propagation of uncertainty (JCGM 100:2008, 5.1.2 and 5.2.2).</summary>
public static class Propagation
{
    private const double Rounding = 1e-12;   // a whole number that arithmetic made a little smaller is not cut to the one below

    /// <summary>The value of a relation from what its steps were read as; see <see cref="RelationKind.Value"/>.</summary>
    public static RelationValue Value(this Relation relation, string each, ExactLength? span, Func<string, Measured> reading) =>
        relation.Kind.Value(relation, each, span, step => reading(step).Value);

    /// <summary>Combined standard uncertainty of a relation's value, readings independent, in the unit of the value.</summary>
    public static double Uncertainty(this RelationValue value, Func<string, Measured> reading)
    {
        Span<double> gradient = stackalloc double[value.Gradient.Count];
        Span<double> uncertainties = stackalloc double[value.Gradient.Count];
        for (int i = 0; i < value.Gradient.Count; i++)
        {
            gradient[i] = value.Gradient[i].PerNanometre;
            uncertainties[i] = reading(value.Gradient[i].Step).Uncertainty;
        }

        return Combine(gradient, uncertainties);
    }

    /// <summary>The Welch–Satterthwaite formula (JCGM 100:2008, G.4.1, equation (G.2b)): u⁴ over the sum of uᵢ⁴/νᵢ. Infinite where nothing in it varies.</summary>
    /// <param name="uncertainty">The combined standard uncertainty u.</param>
    /// <param name="parts">Its parts uᵢ, each with its degrees of freedom νᵢ; parts that are known for sure may be left out.</param>
    public static double EffectiveDegrees(double uncertainty, params ReadOnlySpan<(double Uncertainty, double Degrees)> parts)
    {
        double under = 0;
        foreach ((double part, double degrees) in parts)
        {
            under += Math.Pow(part, 4) / degrees;
        }

        return under > 0 ? Math.Pow(uncertainty, 4) / under : double.PositiveInfinity;
    }

    /// <summary>
    /// Effective degrees of freedom of a relation's uncertainty, cut to the whole number below (JCGM 100:2008, G.4.1), at least 1; infinite where no study's figure is in it. Readings share the study's figures, so those of one kind are one estimate, not many;
    /// where hands have several, the one known by the fewest counts. Everything else counts as known for sure (G.4.3).
    /// </summary>
    /// <param name="value">The value.</param>
    /// <param name="uncertainty">Its combined standard uncertainty.</param>
    /// <param name="reading">What each step was read as.</param>
    public static double Degrees(this RelationValue value, double uncertainty, Func<string, Measured> reading)
    {
        (double Uncertainty, double Degrees) Part(Func<Measured, StudiedVariance> of)
        {
            (double variance, int degrees) = (0, int.MaxValue);
            foreach ((string step, double perNanometre) in value.Gradient)
            {
                StudiedVariance studied = of(reading(step));
                double share = perNanometre * perNanometre * studied.Variance;
                variance += share;
                degrees = share > 0 ? Math.Min(degrees, studied.Degrees) : degrees;
            }

            return (Math.Sqrt(variance), degrees);
        }

        double effective = EffectiveDegrees(uncertainty, Part(measured => measured.Repeats), Part(measured => measured.Between));
        return Math.Max(1, Math.Floor(effective * (1 + Rounding)));
    }

    /// <summary>Combined standard uncertainty of a function with that gradient, inputs independent.</summary>
    /// <exception cref="ArgumentException">The two lists differ in length.</exception>
    public static double Combine(ReadOnlySpan<double> gradient, ReadOnlySpan<double> uncertainties) => Math.Sqrt(SumOfSquares(gradient, uncertainties));

    /// <summary>The same with correlated inputs; <paramref name="correlation"/> gives the coefficient of inputs i and j, −1 to 1.</summary>
    /// <exception cref="ArgumentException">The two lists differ in length.</exception>
    public static double Combine(ReadOnlySpan<double> gradient, ReadOnlySpan<double> uncertainties, Func<int, int, double> correlation)
    {
        double sum = SumOfSquares(gradient, uncertainties);
        for (int i = 0; i < gradient.Length; i++)
        {
            for (int j = i + 1; j < gradient.Length; j++)
            {
                sum += 2 * gradient[i] * uncertainties[i] * (gradient[j] * uncertainties[j]) * correlation(i, j);
            }
        }

        return Math.Sqrt(Math.Max(0, sum));   // rounding may leave −0 where everything cancels
    }

    private static double SumOfSquares(ReadOnlySpan<double> gradient, ReadOnlySpan<double> uncertainties)
    {
        if (gradient.Length != uncertainties.Length)
        {
            throw new ArgumentException("Each input has one sensitivity and one uncertainty.", nameof(uncertainties));
        }

        double sum = 0;
        for (int i = 0; i < gradient.Length; i++)
        {
            double term = gradient[i] * uncertainties[i];
            sum += term * term;
        }

        return sum;
    }
}
