using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Judging;

namespace CaliperStation.Core.Tests.Studies;

public sealed class CrossedStudyTests
{
    private static readonly string[] _three = ["AB", "CD", "EF"];
    private static readonly string[] _points = ["p1", "p2", "p3", "p4", "p5"];

    /// <summary>
    /// The 10 × 3 × 3 example of measurement systems analysis, copied in many public places; sums of squares, shares and categories as a documentation
    /// quotes them (rows G06 and G07 of worked_examples.csv, a third-party page). One copy in circulation is altered; this one gives the published sums (G11).
    /// Readings have two decimals; a hundredth is a nanometre here, so squares are 10⁴ times the published ones.
    /// </summary>
    [Fact]
    public void The_published_ten_by_three_by_three_study_comes_to_its_published_digits()
    {
        CrossedStudy study = PublishedStudy.Crossed("aiag_grr_10x3x3.csv", "appraiser", 2, StudyOptions.Default with { Tolerance = Length.FromNanometres(800) });

        PublishedRow sums = PublishedRows.Example("G06");
        sums.Agrees("recomputed", "SS_part", Row(study, VariationSource.Points).SumOfSquares / 1e4);
        sums.Agrees("recomputed", "SS_oper", Row(study, VariationSource.Hands).SumOfSquares / 1e4);
        sums.Agrees("recomputed", "SS_int", Row(study, VariationSource.Interaction).SumOfSquares / 1e4);
        sums.Agrees("recomputed", "SS_rep", Row(study, VariationSource.Repeats).SumOfSquares / 1e4);
        sums.Agrees("recomputed", "SS_total", study.TotalSumOfSquares / 1e4);
        Assert.Equal(88.3619, Row(study, VariationSource.Points).SumOfSquares / 1e4, 0.00005);
        Assert.Equal(3.1673, Row(study, VariationSource.Hands).SumOfSquares / 1e4, 0.00005);
        Assert.Equal(0.3590, Row(study, VariationSource.Interaction).SumOfSquares / 1e4, 0.00005);
        Assert.Equal(2.7589, Row(study, VariationSource.Repeats).SumOfSquares / 1e4, 0.00005);
        Assert.Equal(94.6471, study.TotalSumOfSquares / 1e4, 0.00005);

        Assert.True(study.IsPooled);
        PublishedRow shares = PublishedRows.Example("G07");
        shares.Agrees("recomputed", "p_int", Row(study, VariationSource.Interaction).P!.Value);
        shares.Agrees("recomputed", "contrib_GRR", 100 * study.OneReading!.Variance / study.TotalVariance);
        shares.Agrees("recomputed", "contrib_part", 100 * study.PointVariation!.Variance / study.TotalVariance);
        Assert.Equal(27.86, study.PercentOfStudy(study.OneReading)!.Value, 0.005);
        Assert.Equal(22.68, study.PercentOfTolerance(study.OneReading)!.Value, 0.005);
        Assert.Equal(4, study.Categories);
        Assert.Equal(0.039973, study.Repeatability!.Variance / 1e4, 0.0000005);
        Assert.Equal(0.051455, study.Reproducibility!.Variance / 1e4, 0.0000005);
    }

    /// <summary>
    /// Houf and Burman (1988), thermal resistance of ten modules, data as a documentation quotes them; mean squares 437.33, 19.63, 2.70, 0.51 from memory there
    /// (row G18). Here the interaction is significant and stays.
    /// </summary>
    [Fact]
    public void A_published_study_with_an_interaction_keeps_it()
    {
        CrossedStudy study = PublishedStudy.Crossed("houf_burman_grr_10x3x3.csv", "operator", 0, StudyOptions.Default with { Tolerance = Length.FromNanometres(40) });

        Assert.False(study.IsPooled);
        PublishedRow published = PublishedRows.Example("G18");
        published.Agrees("recomputed", "MSp", Row(study, VariationSource.Points).Square.Value);
        published.Agrees("recomputed", "MSo", Row(study, VariationSource.Hands).Square.Value);
        published.Agrees("recomputed", "MSi", Row(study, VariationSource.Interaction).Square.Value);
        published.Agrees("recomputed", "MSe", Row(study, VariationSource.Repeats).Square.Value);
        Assert.Equal(48.2926, study.PointVariation!.Variance, 0.00005);
        Assert.Equal(0.7280, study.InteractionVariance!.Value, 0.00005);
        Assert.Equal(0.5646 + 0.7280, study.Reproducibility!.Variance, 0.0001);
        Assert.Equal(1.8037, study.OneReading!.Variance, 0.00005);
        Assert.Equal(20.15, study.PercentOfTolerance(study.OneReading)!.Value, 0.005);
        Assert.Equal(5.2729, Row(study, VariationSource.Interaction).F!.Value, 0.00005);
        Assert.Equal(5.06e-7, Row(study, VariationSource.Interaction).P!.Value, 0.005e-7);
    }

    /// <summary>
    /// χ² with 60 degrees of freedom: 40.482 and 83.298 for 2.5 and 97.5 % (NIST/SEMATECH e-Handbook, 1.3.6.7.4, critical values of the chi-square distribution;
    /// digits from memory), so 60 · 0.51111/83.298 and 60 · 0.51111/40.482 for the published study above.
    /// </summary>
    [Fact]
    public void Repeatability_has_the_interval_of_the_chi_square_table()
    {
        CrossedStudy study = PublishedStudy.Crossed("houf_burman_grr_10x3x3.csv", "operator", 0, StudyOptions.Default);

        Assert.Equal(Math.Sqrt(60 * 0.511111 / 83.298), study.Repeatability!.Interval.Lower, 0.00002);
        Assert.Equal(Math.Sqrt(60 * 0.511111 / 40.482), study.Repeatability.Interval.Upper, 0.00002);
        Assert.Equal(60, study.Repeatability.Degrees, 1e-9);
    }

    /// <summary>Recomputed values of two of the three published studies (grr_recomputed.csv); the readings of the third are not at hand.</summary>
    [Theory]
    [InlineData("aiag_grr_10x3x3", "appraiser", 2)]
    [InlineData("houf_burman_grr_10x3x3", "operator", 0)]
    public void Every_recomputed_figure_of_the_table_is_met(string name, string hand, int decimals)
    {
        CrossedStudy study = PublishedStudy.Crossed(name + ".csv", hand, decimals, StudyOptions.Default);
        double scale = Math.Pow(10, 2 * decimals);
        int seen = 0;
        foreach (PublishedRow row in PublishedStudy.Rows("grr_recomputed.csv").Where(row => row["dataset"] == name))
        {
            string quantity = row["quantity"];
            VarianceRow of = quantity[^1] switch
            {
                'p' => Row(study, VariationSource.Points),
                'o' => Row(study, VariationSource.Hands),
                'i' => Row(study, VariationSource.Interaction),
                _ => Row(study, VariationSource.Repeats),
            };
            PublishedRow.Agrees(row["recomputed_value"], quantity[..^1] switch
            {
                "SS" when quantity[^1] == 't' => study.TotalSumOfSquares / scale,
                "SS" => of.SumOfSquares / scale,
                "df" => of.Square.Degrees,
                "MS" => of.Square.Value / scale,
                "F" => of.F!.Value,
                _ => of.P!.Value,
            });
            seen++;
        }

        Assert.Equal(15, seen);
    }

    [Fact]
    public void What_is_missing_is_said_and_nothing_is_analysed()
    {
        StudyReading[] readings = [.. Simulated(_three, _points, 3, 7, 0.1, 0.05, 0).Where((_, at) => at is not (4 or 5 or 20))];

        CrossedStudy study = CrossedStudy.Of(_three, _points, 3, readings, StudyOptions.Default);

        Assert.Equal([new("AB", "p2", 2), new("CD", "p2", 1)], study.Missing);
        Assert.Null(study.OneReading);
        Assert.Empty(study.Rows);
        Assert.Null(AverageAndRange.Of(_three, _points, 3, readings));
    }

    [Fact]
    public void One_repeat_is_refused_in_words()
    {
        CrossedStudy study = CrossedStudy.Of(_three, _points, 1, Simulated(_three, _points, 1, 7, 0.1, 0.05, 0), StudyOptions.Default);

        Assert.NotNull(study.WhyNot);
        Assert.Null(study.OneReading);
    }

    [Fact]
    public void One_hand_has_a_repeatability_and_no_difference_between_hands()
    {
        CrossedStudy study = CrossedStudy.Of(["AB"], _points, 3, Simulated(["AB"], _points, 3, 7, 0.1, 0.05, 0), StudyOptions.Default);

        Assert.Null(study.Reproducibility);
        Assert.Equal(study.Repeatability!.Variance, study.OneReading!.Variance);
        Assert.Equal(10, study.Repeatability.Degrees, 1e-9);
        Assert.NotNull(study.PointVariation);
        Assert.NotEmpty(study.Remarks);
        Finite(study);
    }

    [Fact]
    public void One_point_has_hands_and_no_point_variation()
    {
        CrossedStudy study = CrossedStudy.Of(_three, ["p1"], 4, Simulated(_three, ["p1"], 4, 7, 0.1, 0.05, 0), StudyOptions.Default);

        Assert.NotNull(study.Reproducibility);
        Assert.Null(study.PointVariation);
        Assert.Null(study.Categories);
        Assert.NotEmpty(study.Remarks);
        Finite(study);
    }

    /// <summary>A caliper that shows one value for all, one whose repeats are all equal, and hands that only differ by a constant.</summary>
    [Theory]
    [InlineData(0, 0)]
    [InlineData(1, 0)]
    [InlineData(0, 1)]
    [InlineData(1, 1)]
    public void Equal_values_give_words_and_no_number_that_is_none(int byPoint, int byHand)
    {
        StudyReading[] readings = [.. from hand in Enumerable.Range(0, 3)
                                      from point in Enumerable.Range(0, 5)
                                      from repeat in Enumerable.Range(0, 2)
                                      select new StudyReading(_three[hand], _points[point], Length.FromMicrometres(5_000 + (100 * byPoint * point) + (10 * byHand * hand)))];

        CrossedStudy study = CrossedStudy.Of(_three, _points, 2, readings, StudyOptions.Default with { Tolerance = Length.Millimetre });

        Assert.NotEmpty(study.Remarks);
        Assert.Equal(0, study.Repeatability!.Variance);
        Assert.Equal(byHand == 1, study.Reproducibility!.Variance > 0);
        Assert.Equal(byPoint == 1, study.PointVariation!.Variance > 0);
        Assert.All(study.Rows, row => Assert.Null(row.F));
        Finite(study);
    }

    [Fact]
    public void The_same_readings_far_from_zero_give_the_same_analysis()
    {
        StudyReading[] near = Simulated(_three, _points, 3, 11, 0.1, 0.05, 0.02);
        StudyReading[] far = [.. near.Select(reading => reading with { Value = reading.Value + Length.FromNanometres(4_000_000_000_000_001) })];

        CrossedStudy one = CrossedStudy.Of(_three, _points, 3, near, StudyOptions.Default);
        CrossedStudy other = CrossedStudy.Of(_three, _points, 3, far, StudyOptions.Default);

        Assert.Equal(one.Rows, other.Rows);
        Assert.Equal(one.OneReading, other.OneReading);
    }

    [Fact]
    public void One_hand_on_one_point_has_a_repeatability_and_nothing_else()
    {
        CrossedStudy study = CrossedStudy.Of(["AB"], ["p1"], 5, Simulated(["AB"], ["p1"], 5, 7, 0.1, 0.05, 0), StudyOptions.Default);

        Assert.Equal(VariationSource.Repeats, Assert.Single(study.Rows).Source);
        Assert.Equal((null, null), (study.Reproducibility, study.PointVariation));
        Assert.Equal(4, study.OneReading!.Degrees, 1e-9);
        Finite(study);
    }

    /// <summary>A typed reading may be anything: what cannot be of one study is said, and no arithmetic breaks.</summary>
    [Fact]
    public void Readings_at_the_ends_of_what_a_length_can_be_are_said_to_be_too_far_apart()
    {
        StudyReading[] readings = [new("AB", "p1", Length.FromNanometres(long.MaxValue)), new("AB", "p1", Length.FromNanometres(long.MinValue))];

        Assert.NotNull(CrossedStudy.Of(["AB"], ["p1"], 2, readings, StudyOptions.Default).WhyNot);
        Assert.Null(NestedStudy.Of([[[[readings[0].Value], [readings[1].Value]]]], out string? why));
        Assert.NotNull(why);
    }

    [Fact]
    public void Readings_of_nobody_or_too_many_are_misuse()
    {
        StudyReading[] readings = Simulated(_three, _points, 2, 3, 0.1, 0.1, 0);
        Assert.Throws<ArgumentException>(() => CrossedStudy.Of(_three, _points, 2, [.. readings, readings[0]], StudyOptions.Default));
        Assert.Throws<ArgumentException>(() => CrossedStudy.Of(["AB", "CD"], _points, 2, readings, StudyOptions.Default));
    }

    /// <summary>
    /// The modified large sample interval of a difference of two mean squares: M. H. Kutner, C. J. Nachtsheim, J. Neter, W. Li, Applied Linear Statistical Models, 5th ed. 2005, chapter 25, with its
    /// F quantiles as a public library has it (R package ALSM, file 25_MLS.R, https://rdrr.io/cran/ALSM/src/R/25_MLS.R), written out anew here: an F with infinite degrees below is a chi-square over
    /// its degrees, one with infinite degrees above is its inverse in the other tail.
    /// </summary>
    [Theory]
    [InlineData(394.925, 4, 73.283, 15, 0.9)]
    [InlineData(19.63, 2, 2.70, 18, 0.95)]
    [InlineData(437.33, 9, 2.70, 18, 0.95)]
    [InlineData(5, 1, 4.9, 3, 0.99)]
    [InlineData(0.5, 7, 1, 40, 0.8)]
    public void The_interval_of_a_difference_is_that_of_the_textbook(double first, int firstDegrees, double second, int secondDegrees, double confidence)
    {
        double tail = (1 - confidence) / 2;
        double f1 = Core.Judging.Quantiles.ChiSquared(1 - tail, firstDegrees) / firstDegrees, f2 = Core.Judging.Quantiles.ChiSquared(1 - tail, secondDegrees) / secondDegrees;
        double f3 = firstDegrees / Core.Judging.Quantiles.ChiSquared(tail, firstDegrees), f4 = secondDegrees / Core.Judging.Quantiles.ChiSquared(tail, secondDegrees);
        double f5 = Core.Judging.Quantiles.F(1 - tail, firstDegrees, secondDegrees), f6 = Core.Judging.Quantiles.F(1 - tail, secondDegrees, firstDegrees);
        double g1 = 1 - (1 / f1), g2 = 1 - (1 / f2);
        double g3 = (Math.Pow(f5 - 1, 2) - Math.Pow(g1 * f5, 2) - Math.Pow(f4 - 1, 2)) / f5;
        double g4 = f6 * (Math.Pow((f6 - 1) / f6, 2) - Math.Pow((f3 - 1) / f6, 2) - Math.Pow(g2, 2));
        const double factor = 0.2;   // of the second one it is negative, so the products below change their sign
        double below = Math.Pow(g1 * factor * first, 2) + Math.Pow((f4 - 1) * factor * second, 2) + (g3 * factor * factor * first * second);
        double above = Math.Pow((f3 - 1) * factor * first, 2) + Math.Pow(g2 * factor * second, 2) + (g4 * factor * factor * first * second);
        double estimate = factor * (first - second);

        DeviationInterval interval = DeviationInterval.Of([new(factor, new(first, firstDegrees)), new(-factor, new(second, secondDegrees))], confidence);

        Assert.Equal(Math.Max(0, estimate - Math.Sqrt(Math.Max(0, below))), interval.Lower * interval.Lower, 1e-9 * first);
        Assert.Equal(Math.Max(0, estimate + Math.Sqrt(Math.Max(0, above))), interval.Upper * interval.Upper, 1e-9 * first);
        Assert.True(interval.Upper > 0 || first < second);
    }

    /// <summary>
    /// What an interval is for: over a thousand studies with known shares it holds the true one as often as it says. 95 % of a thousand has a standard
    /// deviation of 0.7 %; modified large sample intervals are known to be a little wide (Burdick, Borror and Montgomery (2005), chapter 3: 95 to 98 %).
    /// Without an interaction most studies pool it.
    /// </summary>
    [Theory]
    [InlineData(0.08, 0.06, 0.05)]
    [InlineData(0.08, 0.06, 0)]
    public void Intervals_hold_the_true_shares_as_often_as_they_say(double repeat, double hand, double both)
    {
        int[] held = new int[4];
        for (int seed = 0; seed < 1_000; seed++)
        {
            CrossedStudy study = CrossedStudy.Of(_three, _points, 3, Simulated(_three, _points, 3, seed, repeat, hand, both), StudyOptions.Default);
            held[0] += Holds(study.Hands[0].Repeatability, repeat);
            held[1] += Holds(study.Reproducibility!, Math.Sqrt((hand * hand) + (both * both)));
            held[2] += Holds(study.OneReading!, Math.Sqrt((repeat * repeat) + (hand * hand) + (both * both)));
            held[3] += Holds(study.PointVariation!, 0.3);
        }

        Assert.All(held, count => Assert.InRange(count, 930, 990));
        Assert.InRange(held[0], 930, 970);
    }

    private static int Holds(VariationShare share, double millimetres) => share.Interval.Lower <= millimetres * 1e6 && millimetres * 1e6 <= share.Interval.Upper ? 1 : 0;

    /// <summary>A study with known standard deviations, in millimetres; points vary by 0.3.</summary>
    internal static StudyReading[] Simulated(IReadOnlyList<string> hands, IReadOnlyList<string> points, int repeats, int seed, double repeat, double hand, double both)
    {
        SplitMix64 numbers = new(seed);
        double Normal() => Math.Sqrt(-2 * Math.Log(1 - (numbers.Next() / 18446744073709551616.0))) * Math.Cos(2 * Math.PI * (numbers.Next() / 18446744073709551616.0));
        double[] ofPoint = [.. points.Select(_ => 11 + (0.3 * Normal()))];
        List<StudyReading> readings = [];
        foreach (string who in hands)
        {
            double ofHand = hand * Normal();
            for (int at = 0; at < points.Count; at++)
            {
                double ofBoth = both * Normal();
                for (int i = 0; i < repeats; i++)
                {
                    readings.Add(new StudyReading(who, points[at], Length.FromNanometres((ofPoint[at] + ofHand + ofBoth + (repeat * Normal())) * 1e6, Rounding.HalfEven)));
                }
            }
        }

        return [.. readings];
    }

    private static VarianceRow Row(CrossedStudy study, VariationSource source) => study.Rows.Single(row => row.Source == source);

    private static void Finite(CrossedStudy study)
    {
        foreach (VariationShare share in new[] { study.Repeatability, study.Reproducibility, study.OneReading, study.PointVariation }.OfType<VariationShare>())
        {
            Assert.True(double.IsFinite(share.Deviation) && double.IsFinite(share.Interval.Lower) && double.IsFinite(share.Interval.Upper) && share.Degrees > 0);
            Assert.True(study.PercentOfStudy(share) is null or (>= 0 and <= 100.000001));
            Assert.True(study.PercentOfTolerance(share) is null or >= 0);
        }

        Assert.All(study.Rows, row => Assert.True(row.P is null or (>= 0 and <= 1)));
        Assert.All(study.Hands, hand => Assert.True(double.IsFinite(hand.AboveMean) && double.IsFinite(hand.Repeatability.Deviation)));
    }
}
