using CaliperStation.Core.Judging;

namespace CaliperStation.Core.Studies;

/// <summary>A mean square: a variance estimated from squares, with the degrees of freedom it is known by.</summary>
/// <param name="Value">In nm²; not negative.</param>
/// <param name="Degrees">Degrees of freedom; at least 1.</param>
public readonly record struct MeanSquare(double Value, int Degrees);

/// <summary>A mean square with its factor in a sum; the factor may be negative.</summary>
public readonly record struct MeanSquareTerm(double Factor, MeanSquare Square);

/// <summary>Between which standard deviations the true one lies, with the confidence it was asked for; in nanometres.</summary>
/// <param name="Lower">Not negative.</param>
/// <param name="Upper">Not below <paramref name="Lower"/>.</param>
public readonly record struct DeviationInterval(double Lower, double Upper)
{
    /// <summary>The two-sided interval of a variance that is a sum of mean squares.</summary>
    /// <remarks>
    /// One mean square: chi-square, exact for normal readings. Positive factors only: modified large sample, F. A. Graybill and C.-M. Wang, Confidence
    /// intervals on nonnegative linear combinations of variances, J. Amer. Statist. Assoc. 75 (1980) 869–873. Some negative: N. Ting, R. K. Burdick,
    /// F. A. Graybill, S. Jeyaratnam and T.-F. C. Lu, Confidence intervals on linear combinations of variance components that are unrestricted in sign,
    /// J. Statist. Comput. Simul. 35 (1990) 135–143. Both for gauges in R. K. Burdick, C. M. Borror and D. C. Montgomery, Design and Analysis of Gauge R&amp;R
    /// Studies, SIAM 2005, doi 10.1137/1.9780898718379. With one mean square either comes to the chi-square interval. That of a difference is
    /// tested against the textbook M. H. Kutner and others, Applied Linear Statistical Models, 5th ed. 2005, chapter 25, as a public library has it; which of the formulas goes with which share also says
    /// the SAS/STAT user's guide, The VARCOMP Procedure, MLS Confidence Limits (https://support.sas.com/documentation/cdl/en/statug/67523/HTML/default/statug_varcomp_details11.htm). The term between two
    /// positive ones beside a negative one is from memory. How often all of them cover is tested by simulation. Bounds below nothing are nothing.
    /// </remarks>
    /// <param name="terms">At least one, with at least one positive factor; at most one negative.</param>
    /// <param name="confidence">Two-sided, above 0 and below 1.</param>
    public static DeviationInterval Of(IReadOnlyList<MeanSquareTerm> terms, double confidence)
    {
        ArgumentNullException.ThrowIfNull(terms);
        double tail = (1 - confidence) / 2;
        Part[] up = [.. terms.Where(term => term.Factor > 0).Select(term => new Part(term, tail))];
        Part[] down = [.. terms.Where(term => term.Factor < 0).Select(term => new Part(term, tail))];
        if (up.Length == 0 || down.Length > 1)
        {
            throw new ArgumentException("One or more positive factors and at most one negative.", nameof(terms));
        }

        double estimate = up.Sum(part => part.Size) - down.Sum(part => part.Size);
        double below = up.Sum(part => Square(part.G * part.Size)) + down.Sum(part => Square(part.H * part.Size));
        double above = up.Sum(part => Square(part.H * part.Size)) + down.Sum(part => Square(part.G * part.Size));
        foreach (Part minus in down)
        {
            foreach (Part plus in up)
            {
                double high = Quantiles.F(1 - tail, plus.Degrees, minus.Degrees);
                double low = Quantiles.F(tail, plus.Degrees, minus.Degrees);
                below += (Square(high - 1) - Square(plus.G * high) - Square(minus.H)) / high * plus.Size * minus.Size;
                above += (Square(1 - low) - Square(plus.H * low) - Square(minus.G)) / low * plus.Size * minus.Size;
            }

            for (int i = 0; i < up.Length; i++)
            {
                for (int j = i + 1; j < up.Length; j++)
                {
                    (Part one, Part other) = (up[i], up[j]);
                    double both = one.Degrees + other.Degrees;
                    double g = 1 - (both / Quantiles.ChiSquared(1 - tail, both));
                    double cross = (Square(g) * both * both / (one.Degrees * other.Degrees)) - (Square(one.G) * one.Degrees / other.Degrees) - (Square(other.G) * other.Degrees / one.Degrees);
                    below += cross / (up.Length - 1) * one.Size * other.Size;
                }
            }
        }

        double lower = Math.Max(0, estimate - Math.Sqrt(Math.Max(0, below)));
        double upper = Math.Max(lower, estimate + Math.Sqrt(Math.Max(0, above)));
        return new DeviationInterval(Math.Sqrt(lower), Math.Sqrt(upper));
    }

    /// <summary>
    /// Degrees of freedom of a sum of mean squares: F. E. Satterthwaite, An approximate distribution of estimates of variance components, Biometrics
    /// Bulletin 2 (1946) 110–114; the same as JCGM 100:2008, G.4.1, equation (G.2b). Infinite when nothing varies.
    /// </summary>
    public static double Degrees(IReadOnlyList<MeanSquareTerm> terms)
    {
        ArgumentNullException.ThrowIfNull(terms);
        double sum = terms.Sum(term => term.Factor * term.Square.Value);
        double under = terms.Sum(term => Square(term.Factor * term.Square.Value) / term.Square.Degrees);
        return under > 0 ? sum * sum / under : double.PositiveInfinity;
    }

    private static double Square(double value) => value * value;

    /// <summary>A term with the distances of its own chi-square bounds, in parts of it.</summary>
    private readonly struct Part
    {
        internal Part(MeanSquareTerm term, double tail)
        {
            Size = Math.Abs(term.Factor) * term.Square.Value;
            Degrees = term.Square.Degrees;
            G = 1 - (Degrees / Quantiles.ChiSquared(1 - tail, Degrees));
            H = (Degrees / Quantiles.ChiSquared(tail, Degrees)) - 1;
        }

        internal double Size { get; }

        internal double Degrees { get; }

        internal double G { get; }

        internal double H { get; }
    }
}
