using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>The law of propagation of uncertainty (JCGM 100:2008, 5.1.2 and 5.2.2).</summary>
public static class Propagation
{
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
