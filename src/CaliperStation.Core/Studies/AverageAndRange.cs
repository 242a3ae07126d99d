using System.Diagnostics;
using MathNet.Numerics.Distributions;

namespace CaliperStation.Core.Studies;

/// <summary>The same study by averages and ranges: what can be done with a pencil, beside the analysis of variance. All in nanometres.</summary>
/// <remarks>
/// Factors are 1/d₂* of the ranges: the mean range of a repeat is one of many (1/d₂), hands and points have one range each. They are computed from the
/// range of normal readings and agree with the published study forms to the digits those print.
/// </remarks>
/// <param name="MeanRange">The mean range of the repeats, R̿.</param>
/// <param name="RangeOfHands">Largest less smallest mean of a hand.</param>
/// <param name="RangeOfPoints">Largest less smallest mean of a point.</param>
/// <param name="Repeatability">Standard deviation of one hand on one point.</param>
/// <param name="Reproducibility">Between hands; null with one hand.</param>
/// <param name="PointVariation">Between points; null with one point.</param>
public sealed record AverageAndRange(double MeanRange, double RangeOfHands, double RangeOfPoints, double Repeatability, double? Reproducibility, double? PointVariation)
{
    /// <summary>Standard deviation of one reading by any hand.</summary>
    public double OneReading => Root(Repeatability, Reproducibility ?? 0);

    /// <summary>Where a hand's repeats of a point lie further apart than chance lets them: their range is beyond <see cref="RangeLimit"/>. Largest first.</summary>
    public IReadOnlyList<WideRepeats> Wide { get; private init; } = [];

    /// <summary>D₄ R̿, what a range of repeats stays below but for one in some hundreds.</summary>
    public double RangeLimit { get; private init; }

    /// <summary>All together.</summary>
    public double Total => Root(OneReading, PointVariation ?? 0);

    /// <summary>Of a complete study; null where something is missing or nothing was repeated.</summary>
    public static AverageAndRange? Of(IReadOnlyList<string> hands, IReadOnlyList<string> points, int repeats, IReadOnlyList<StudyReading> readings)
    {
        ILookup<(string, string), long> cells = readings.ToLookup(reading => (reading.Hand, reading.Point), reading => reading.Value.Nanometres);
        if (repeats < 2 || hands.Any(hand => points.Any(point => cells[(hand, point)].Count() != repeats)))
        {
            return null;
        }

        WideRepeats[] each = [.. hands.SelectMany(hand => points.Select(point => new WideRepeats(hand, point, cells[(hand, point)].Max() - cells[(hand, point)].Min())))];
        double ranges = each.Average(cell => cell.Range);
        double limit = ranges * RangeLimitFactor(repeats);
        double ofHands = Range([.. hands.Select(hand => points.SelectMany(point => cells[(hand, point)]).Average(value => (double)value))]);
        double ofPoints = Range([.. points.Select(point => hands.SelectMany(hand => cells[(hand, point)]).Average(value => (double)value))]);
        double repeatability = ranges / ExpectedRange(repeats).Mean;
        return new AverageAndRange(
            ranges, ofHands, ofPoints, repeatability,
            hands.Count > 1 ? Math.Sqrt(Math.Max(0, Square(ofHands * OneRangeFactor(hands.Count)) - (Square(repeatability) / (points.Count * repeats)))) : null,
            points.Count > 1 ? ofPoints * OneRangeFactor(points.Count) : null)
        {
            RangeLimit = limit,
            Wide = [.. each.Where(cell => cell.Range > limit).OrderByDescending(cell => cell.Range)],
        };
    }

    /// <summary>1/d₂ for the mean of many ranges of so many readings: 0.8862 for 2, 0.5908 for 3.</summary>
    /// <param name="count">At least 2.</param>
    public static double MeanRangeFactor(int count) => 1 / ExpectedRange(count).Mean;

    /// <summary>1/d₂* for one range of so many readings, d₂* being the root of its mean square: 0.7071 for 2, 0.5231 for 3.</summary>
    /// <param name="count">At least 2.</param>
    public static double OneRangeFactor(int count) => 1 / Math.Sqrt(ExpectedRange(count).MeanSquare);

    /// <summary>D₄ of the range chart: the mean range and three of its standard deviations, over the mean range; 3.267 for 2, 2.575 for 3.</summary>
    /// <param name="count">At least 2.</param>
    public static double RangeLimitFactor(int count) => ExpectedRange(count) is var (mean, square) ? 1 + (3 * Math.Sqrt(square - (mean * mean)) / mean) : throw new UnreachableException();

    /// <summary>
    /// Mean and mean square of the range of normal readings with standard deviation 1, from P(range ≤ w) = n ∫ φ(x) (Φ(x + w) − Φ(x))ⁿ⁻¹ dx
    /// (L. H. C. Tippett, Biometrika 17 (1925) 364–387), by sums that reach 10⁻⁶.
    /// </summary>
    private static (double Mean, double MeanSquare) ExpectedRange(int count)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 2);
        const double Step = 0.05;
        const int Half = 160;   // ±8
        double[] below = [.. Enumerable.Range(-Half, (4 * Half) + 1).Select(i => Normal.CDF(0, 1, i * Step))];
        double[] density = [.. Enumerable.Range(-Half, (2 * Half) + 1).Select(i => Normal.PDF(0, 1, i * Step))];
        (double mean, double square) = (0, 0);
        for (int w = 0; w <= 2 * Half; w++)
        {
            double within = 0;
            for (int x = 0; x < density.Length; x++)
            {
                within += density[x] * Math.Pow(below[x + w] - below[x], count - 1);
            }

            double beyond = Math.Max(0, 1 - (count * within * Step));
            double weight = (w == 0 || w == 2 * Half ? 1 : w % 2 == 1 ? 4 : 2) * Step / 3;   // Simpson
            mean += weight * beyond;
            square += weight * 2 * w * Step * beyond;
        }

        return (mean, square);
    }

    private static double Range(IReadOnlyCollection<double> values) => values.Max() - values.Min();

    private static double Square(double value) => value * value;

    private static double Root(double one, double other) => Math.Sqrt(Square(one) + Square(other));
}

/// <summary>The repeats of one hand on one point.</summary>
/// <param name="Hand">The hand.</param>
/// <param name="Point">The point.</param>
/// <param name="Range">Largest less smallest, in nanometres.</param>
public sealed record WideRepeats(string Hand, string Point, double Range);
