using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Studies;

/// <summary>One reading of a study.</summary>
/// <param name="Hand">Who took it, by initials as the study names them.</param>
/// <param name="Point">What was read.</param>
/// <param name="Value">The reading.</param>
public readonly record struct StudyReading(string Hand, string Point, Length Value);

/// <summary>How a study is analysed.</summary>
public sealed record StudyOptions
{
    /// <summary>Five in a hundred for the interaction, 95 % for intervals.</summary>
    public static StudyOptions Default { get; } = new();

    /// <summary>
    /// An interaction with a p-value above it is pooled with the repeats. 0.05 is a choice, no law: a larger one, such as 0.25, pools less easily
    /// (T. A. Bancroft, Biometrics 20 (1964) 427–442). Above 0, below 1.
    /// </summary>
    public double PoolAbove { get; init; } = 0.05;

    /// <summary>Of the intervals, two-sided; above 0, below 1.</summary>
    public double Confidence { get; init; } = 0.95;

    /// <summary>The whole width between the limits that these readings are to tell apart; null where there is none. Positive.</summary>
    public Length? Tolerance { get; init; }
}

/// <summary>Where variation comes from.</summary>
public enum VariationSource
{
    /// <summary>Between points.</summary>
    Points,

    /// <summary>Between hands.</summary>
    Hands,

    /// <summary>Hands that read some points otherwise than others.</summary>
    Interaction,

    /// <summary>Between repeats of one hand on one point.</summary>
    Repeats,
}

/// <summary>One row of the analysis of variance.</summary>
/// <param name="Source">Where its variation comes from.</param>
/// <param name="SumOfSquares">In nm².</param>
/// <param name="Square">Its mean square.</param>
/// <param name="F">Over the row it is tested against; null where that does not vary, or there is none.</param>
/// <param name="P">How likely so large a one is by chance, 0 to 1; null like <paramref name="F"/>.</param>
public sealed record VarianceRow(VariationSource Source, double SumOfSquares, MeanSquare Square, double? F, double? P);

/// <summary>A share of the variation.</summary>
/// <param name="Variance">In nm²; an estimate below nothing counts as none.</param>
/// <param name="IsNegative">True when the estimate was below nothing.</param>
/// <param name="Degrees">Degrees of freedom, by Satterthwaite where it is a sum of mean squares; infinite when nothing varies.</param>
/// <param name="Interval">Of its standard deviation, in nanometres.</param>
public sealed record VariationShare(double Variance, bool IsNegative, double Degrees, DeviationInterval Interval)
{
    /// <summary>Standard deviation in nanometres.</summary>
    public double Deviation => Math.Sqrt(Variance);

    internal static VariationShare Of(IReadOnlyList<MeanSquareTerm> terms, double confidence)
    {
        double variance = terms.Sum(term => term.Factor * term.Square.Value);
        return new VariationShare(Math.Max(0, variance), variance < 0, DeviationInterval.Degrees(terms), DeviationInterval.Of(terms, confidence));
    }
}

/// <summary>What is known of one hand.</summary>
/// <param name="Hand">Its initials.</param>
/// <param name="AboveMean">How much more than all hands together it reads on the mean, in nanometres.</param>
/// <param name="Repeatability">Of its own repeats.</param>
public sealed record HandShare(string Hand, double AboveMean, VariationShare Repeatability);

/// <summary>Repeats that are not there.</summary>
/// <param name="Hand">Whose.</param>
/// <param name="Point">Of what.</param>
/// <param name="Count">How many.</param>
public sealed record MissingReadings(string Hand, string Point, int Count);

/// <summary>Hands × points × repeats, analysed as a two-way crossed design with hands and points drawn at random.</summary>
/// <remarks>
/// Sums of squares: NIST/SEMATECH e-Handbook of Statistical Methods, 7.4.2, the two-way ANOVA (https://www.itl.nist.gov/div898/handbook/prc/section4/prc427.htm). Expected mean squares and estimates:
/// Burdick, Borror and Montgomery (2005), chapter 3, as the SAS/STAT user's guide has them (The VARCOMP Procedure, Gauge Repeatability and Reproducibility Analysis, table of the analysis of variance,
/// https://support.sas.com/documentation/cdl/en/statug/68162/HTML/default/statug_varcomp_details10.htm). Sums are exact until a mean square is made. What is missing is said and nothing is put in its place.
/// </remarks>
public sealed class CrossedStudy
{
    private CrossedStudy(IReadOnlyList<MissingReadings> missing) => Missing = missing;

    /// <summary>What keeps it from being analysed; empty when it is complete.</summary>
    public IReadOnlyList<MissingReadings> Missing { get; }

    /// <summary>Why there is no analysis though nothing is missing, or null.</summary>
    public string? WhyNot { get; private init; }

    /// <summary>What is to be said about it: what this design cannot tell, what is odd.</summary>
    public IReadOnlyList<string> Remarks { get; private init; } = [];

    /// <summary>The analysis of variance in the order of <see cref="VariationSource"/>; rows that this design does not have are left out. Empty where there is no analysis.</summary>
    public IReadOnlyList<VarianceRow> Rows { get; private init; } = [];

    /// <summary>All squares about the mean of all, in nm².</summary>
    public double TotalSumOfSquares { get; private init; }

    /// <summary>True when the interaction was pooled with the repeats.</summary>
    public bool IsPooled { get; private init; }

    /// <summary>One hand on one point; null where there is no analysis.</summary>
    public VariationShare? Repeatability { get; private init; }

    /// <summary>Between hands, the interaction among it; null with one hand.</summary>
    public VariationShare? Reproducibility { get; private init; }

    /// <summary>One reading by any hand: repeatability and reproducibility; null where there is no analysis.</summary>
    public VariationShare? OneReading { get; private init; }

    /// <summary>Between points; null with one point.</summary>
    public VariationShare? PointVariation { get; private init; }

    /// <summary>The part of the reproducibility that is the interaction's, in nm²; null where it is not told apart.</summary>
    public double? InteractionVariance { get; private init; }

    /// <summary>Each hand by itself, in the order of the study.</summary>
    public IReadOnlyList<HandShare> Hands { get; private init; } = [];

    /// <summary>All shares together, in nm².</summary>
    public double TotalVariance => (OneReading?.Variance ?? 0) + (PointVariation?.Variance ?? 0);

    /// <summary>The whole width between limits that shares are compared with, or null.</summary>
    public Length? Tolerance { get; private init; }

    /// <summary>
    /// How many groups of points one reading can tell apart: √2 · point variation over one reading, the whole part of it; at least 1
    /// (factor 1.41 of the published study forms). Null where nothing varies between readings, or there is one point.
    /// </summary>
    public long? Categories => PointVariation is { } points && OneReading is { Variance: > 0 } one ? (long)Math.Clamp(1.41 * points.Deviation / one.Deviation, 1, 1e9) : null;

    /// <summary>A share of the whole study variation: its standard deviation over that of all, in per cent; null when nothing varies.</summary>
    public double? PercentOfStudy(VariationShare share) => TotalVariance > 0 ? 100 * share.Deviation / Math.Sqrt(TotalVariance) : null;

    /// <summary>A share of the tolerance: six of its standard deviations, in per cent; null where no tolerance is known.</summary>
    public double? PercentOfTolerance(VariationShare share) => Tolerance is { } width ? 100 * 6 * share.Deviation / width.Nanometres : null;

    /// <summary>Analyses readings.</summary>
    /// <param name="hands">Who takes part; each once.</param>
    /// <param name="points">What is read; each once.</param>
    /// <param name="repeats">How often each hand reads each point; at least 1.</param>
    /// <param name="readings">In any order; of a hand and a point that are in the study, at most <paramref name="repeats"/>.</param>
    /// <param name="options">How.</param>
    /// <exception cref="ArgumentException">A reading is of nobody or of nothing in the study, or there are too many.</exception>
    public static CrossedStudy Of(IReadOnlyList<string> hands, IReadOnlyList<string> points, int repeats, IReadOnlyList<StudyReading> readings, StudyOptions options)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(repeats, 1);
        ArgumentOutOfRangeException.ThrowIfZero(hands.Count);
        ArgumentOutOfRangeException.ThrowIfZero(points.Count);
        ILookup<(string Hand, string Point), Length> cells = readings.ToLookup(reading => (reading.Hand, reading.Point), reading => reading.Value);
        (string Hand, string Point)[] all = [.. hands.SelectMany(hand => points.Select(point => (hand, point)))];
        if (cells.Any(cell => !all.Contains(cell.Key) || cell.Count() > repeats) || all.Distinct().Count() < all.Length)
        {
            throw new ArgumentException("A reading is not of this study, or there are too many of one.", nameof(readings));
        }

        MissingReadings[] missing = [.. all.Select(cell => new MissingReadings(cell.Hand, cell.Point, repeats - cells[cell].Count())).Where(gap => gap.Count > 0)];
        string? why = missing.Length > 0 ? null
            : readings.Count > Scatter.Most ? "there are too many readings"
            : !Scatter.AreNear(readings.Max(reading => reading.Value), readings.Min(reading => reading.Value), Scatter.Widest.Nanometres) ? "its readings lie more than 10 m apart"
            : repeats < 2 ? "each hand read each point once: what a hand does by chance cannot be told from what it does to a point; two repeats or more are needed"
            : null;
        return missing.Length > 0 || why is not null
            ? new CrossedStudy(missing) { WhyNot = why, Tolerance = options.Tolerance }
            : Complete(hands, points, repeats, cells, options);
    }

    private static CrossedStudy Complete(IReadOnlyList<string> hands, IReadOnlyList<string> points, int repeats, ILookup<(string Hand, string Point), Length> cells, StudyOptions options)
    {
        (int h, int p, int r) = (hands.Count, points.Count, repeats);
        int n = h * p * r;
        Length origin = cells[(hands[0], points[0])].First();
        Scatter whole = Scatter.Of([.. cells.SelectMany(cell => cell)], origin);
        Int128[,] sums = new Int128[h, p];
        for (int i = 0; i < h; i++)
        {
            for (int j = 0; j < p; j++)
            {
                sums[i, j] = Scatter.Of([.. cells[(hands[i], points[j])]], origin).Sum;
            }
        }

        Int128[] ofHand = [.. Enumerable.Range(0, h).Select(i => Total(Enumerable.Range(0, p).Select(j => sums[i, j])))];
        Int128[] ofPoint = [.. Enumerable.Range(0, p).Select(j => Total(Enumerable.Range(0, h).Select(i => sums[i, j])))];
        Int128 square = whole.Sum * whole.Sum;

        // n times each sum of squares, exact
        Int128 handSquares = (h * Total(ofHand.Select(sum => sum * sum))) - square;
        Int128 pointSquares = (p * Total(ofPoint.Select(sum => sum * sum))) - square;
        Int128 cellSquares = ((Int128)h * p * Total(sums.Cast<Int128>().Select(sum => sum * sum))) - square;
        Int128 interactionSquares = cellSquares - handSquares - pointSquares;
        Int128 repeatSquares = whole.ScaledSquares - cellSquares;

        MeanSquare Mean(Int128 scaled, int degrees) => new((double)scaled / n / degrees, degrees);
        MeanSquare repeat = Mean(repeatSquares, h * p * (r - 1));
        MeanSquare? hand = h > 1 ? Mean(handSquares, h - 1) : null;
        MeanSquare? point = p > 1 ? Mean(pointSquares, p - 1) : null;
        MeanSquare? both = h > 1 && p > 1 ? Mean(interactionSquares, (h - 1) * (p - 1)) : null;
        (double F, double P)? together = both is { } seen ? Test(seen, repeat) : null;
        bool isPooled = both is not null && (interactionSquares == 0 || together?.P > options.PoolAbove);
        MeanSquare error = isPooled ? Mean(interactionSquares + repeatSquares, both!.Value.Degrees + repeat.Degrees) : repeat;
        MeanSquare? kept = isPooled ? null : both;
        MeanSquare under = kept ?? error;

        List<VarianceRow> rows = [];
        void Row(VariationSource source, MeanSquare? square, Int128 scaled, (double F, double P)? test)
        {
            if (square is { } mean)
            {
                rows.Add(new VarianceRow(source, (double)scaled / n, mean, test?.F, test?.P));
            }
        }

        Row(VariationSource.Points, point, pointSquares, point is { } points1 ? Test(points1, under) : null);
        Row(VariationSource.Hands, hand, handSquares, hand is { } hands1 ? Test(hands1, under) : null);
        Row(VariationSource.Interaction, both, interactionSquares, together);
        Row(VariationSource.Repeats, repeat, repeatSquares, null);

        double pr = p * r;
        MeanSquareTerm[] ofHands = hand is not { } handSquare ? []
            : kept is { } interaction ? [new(1 / pr, handSquare), new((p - 1) / pr, interaction), new(-1.0 / r, error)]
            : [new(1 / pr, handSquare), new(-1 / pr, error)];
        MeanSquareTerm[] ofOne = hand is not { } handSquare2 ? [new(1, error)]
            : kept is { } interaction2 ? [new(1 / pr, handSquare2), new((p - 1) / pr, interaction2), new((r - 1.0) / r, error)]
            : [new(1 / pr, handSquare2), new((pr - 1) / pr, error)];
        VariationShare repeatability = VariationShare.Of([new(1, error)], options.Confidence);
        VariationShare? reproducibility = null;
        double? interactionVariance = both is null ? null : kept is { } k ? Math.Max(0, (k.Value - error.Value) / r) : 0;
        if (hand is { } handMean)
        {
            // hands and interaction are each at least nothing, as the study forms have it; together they may be more than their sum
            reproducibility = VariationShare.Of(ofHands, options.Confidence);
            double handVariance = Math.Max(0, (handMean.Value - under.Value) / pr);
            reproducibility = reproducibility with { Variance = handVariance + (interactionVariance ?? 0), IsNegative = handMean.Value < under.Value };
        }

        VariationShare one = VariationShare.Of(ofOne, options.Confidence) with { Variance = repeatability.Variance + (reproducibility?.Variance ?? 0) };
        return new CrossedStudy([])
        {
            Rows = rows,
            TotalSumOfSquares = whole.SumOfSquares,
            IsPooled = isPooled,
            Repeatability = repeatability,
            Reproducibility = reproducibility,
            OneReading = one,
            PointVariation = point is { } pointSquare ? VariationShare.Of([new(1.0 / (h * r), pointSquare), new(-1.0 / (h * r), under)], options.Confidence) : null,
            InteractionVariance = interactionVariance,
            Tolerance = options.Tolerance,
            Hands = [.. hands.Select((name, i) => HandOf(name, (double)ofHand[i] / (p * r) - ((double)whole.Sum / n), [.. points.Select(at => Scatter.Of([.. cells[(name, at)]]))], r, options))],
            Remarks = [.. RemarksOn(h, p, whole, repeatSquares, handSquares, hand, under)],
        };
    }

    private static Int128 Total(IEnumerable<Int128> numbers) => numbers.Aggregate((Int128)0, (sum, number) => sum + number);

    private static (double F, double P)? Test(MeanSquare square, MeanSquare against)
    {
        if (against.Value <= 0)
        {
            return null;
        }

        double f = square.Value / against.Value;
        return (f, 1 - Judging.Quantiles.FProbability(f, square.Degrees, against.Degrees));
    }

    private static HandShare HandOf(string hand, double above, IReadOnlyList<Scatter> points, int repeats, StudyOptions options)
    {
        int degrees = points.Count * (repeats - 1);
        double squares = (double)Total(points.Select(point => point.ScaledSquares)) / repeats;
        return new HandShare(hand, above, VariationShare.Of([new(1, new MeanSquare(squares / degrees, degrees))], options.Confidence));
    }

    private static IEnumerable<string> RemarksOn(int hands, int points, Scatter whole, Int128 repeatSquares, Int128 handSquares, MeanSquare? hand, MeanSquare under)
    {
        if (whole.ScaledSquares == 0)
        {
            yield return "every reading is the same: the display is too coarse for what varies here, or the caliper was not moved; nothing can be said about hands";
        }
        else if (repeatSquares == 0)
        {
            yield return "every repeat gave the same value: the display is too coarse to show what a hand does by chance, so no F can be formed against it";
        }

        if (hands == 1)
        {
            yield return "one hand took part: how hands differ cannot be told, and its figure holds for this hand alone";
        }
        else if (hand is { } square && square.Value < under.Value)
        {
            yield return "the means of hands differ less than chance alone would make them: that part counts as none, and the interval of the reproducibility says how large it may be";
        }

        if (hands == 2)
        {
            yield return "two hands took part: how hands differ is known by one degree of freedom, so its interval is wide";
        }

        if (points == 1)
        {
            yield return "one point was read: how hands differ from point to point cannot be told";
        }

        if (hands > 1 && handSquares == 0 && whole.ScaledSquares != 0)
        {
            yield return "all hands read the same on the mean";
        }
    }
}
