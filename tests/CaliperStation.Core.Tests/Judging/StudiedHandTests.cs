using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Judging;

/// <summary>The budget with a hand's uncertainty from a study in place of the standard's figure.</summary>
public sealed class StudiedHandTests
{
    private static readonly Relation Gap = Relation("gap", RelationKind.Gap, [Around(3_000, 500)], "a");

    private static readonly JudgingSettings Studied = new(DecisionRule.Guarded, 0.95, Um(500), Um(100), Um(20)) { Figures = [Figure(null, 60, 40, 80, 3), Figure("AB", 30, 12, 80, 3)] };

    private static HandFigure Figure(string? hand, long repeat, int repeatDegrees, long between, int betweenDegrees) =>
        new(hand, Um(repeat), repeatDegrees, Um(between), betweenDegrees, new DateOnly(2026, 12, 1), "20261201T080000000Z-STUDY");

    [Fact]
    public void A_hand_has_its_own_figure_then_that_of_every_hand_then_the_standards()
    {
        Assert.Equal(30_000, Budget.Of(Studied, Um(10), 1, "ab").Hand);
        Assert.Equal(60_000, Budget.Of(Studied, Um(10), 1, "CD").Hand);
        Assert.Equal(60_000, Budget.Of(Studied, Um(10), 1).Hand);
        Assert.Equal(100_000, Budget.Of(Studied with { Figures = [] }, Um(10), 1, "AB").Hand);
        Assert.Equal(100_000, Budget.Of(Studied with { Figures = [Figure("AB", 30, 12, 80, 3)] }, Um(10), 1, "CD").Hand);
    }

    [Fact]
    public void Takes_shrink_what_a_hand_does_by_chance_and_not_what_hands_differ_by()
    {
        double instrument = Math.Pow(Budget.Rectangular(20_000), 2) + Math.Pow(Budget.DigitalStep(10_000), 2);
        Budget four = Budget.Of(Studied, Um(10), 4, "CD");

        Assert.Equal(Math.Sqrt(instrument + (30_000.0 * 30_000) + (80_000.0 * 80_000)), four.Combined, 1e-6);
    }

    [Fact]
    public void Of_takes_by_several_hands_the_most_uncertain_counts() =>
        Assert.Equal(60_000, Budget.Of(Studied, Um(10), ["AB", "CD", "ab"]).Hand);

    /// <summary>JCGM 100:2008, H.1.6 (row U28): parts 25, 9.7, 2.9 and 16.6 nm with 18, 25.6, 50 and 2 degrees of freedom and u² = 1002 nm² come to 16.7, cut to 16; t99(16) is 2.92.</summary>
    [Fact]
    public void Effective_degrees_of_freedom_are_those_of_the_end_gauge()
    {
        PublishedRow row = PublishedRows.Example("U28");
        double effective = Propagation.EffectiveDegrees(Math.Sqrt(1002), (25, 18), (9.7, 25.6), (2.9, 50), (16.6, 2));

        row.Agrees("recomputed", "nu_eff", effective);
        Assert.Equal(16.7, effective, 0.05);
        row.Agrees("recomputed", "t99(16)", Conformance.GuardFactor(0.995, 16));
        Assert.Equal(double.PositiveInfinity, Propagation.EffectiveDegrees(5, (0, 3)));
    }

    /// <summary>JCGM 100:2008, 7.2.4 (row U23): nine degrees of freedom at 95 % give k = 2.26 and 0.79 mg from 0.35 mg.</summary>
    [Fact]
    public void The_factor_of_few_degrees_of_freedom_is_that_of_the_guide() => Assert.Equal(2.26, Conformance.GuardFactor(0.975, 9), 0.005);

    [Fact]
    public void A_gap_has_the_degrees_of_its_hand()
    {
        Measured measured = Budget.Of(Studied, Um(10), 1, "CD").Measure(ExactLength.From(Um(3_000)));
        Judgement judgement = Assert.Single(Judge.Relation(new Sheet { Settings = Studied }.Build(), Gap, _ => measured));

        // by hand: u⁴ / (60⁴/40 + 80⁴/3) in µm, u² = 60² + 80² + 20²/3 + 10²/12
        double square = (60 * 60) + (80 * 80) + (400.0 / 3) + (100.0 / 12);
        Assert.Equal(Math.Floor(square * square / ((Math.Pow(60, 4) / 40) + (Math.Pow(80, 4) / 3))), judgement.Degrees);
        Assert.Equal(["20261201T080000000Z-STUDY"], judgement.Studies);
        Assert.Equal(Math.Sqrt(square) * 1000, judgement.Uncertainty, 1e-6);
    }

    /// <summary>Two readings share one study: they are one estimate, so the sum of two is known no better than one.</summary>
    [Fact]
    public void Readings_of_one_study_are_not_two_studies()
    {
        JudgingSettings settings = Studied with { Caliper = Length.Zero, Figures = [Figure(null, 60, 5, 0, 1)] };
        Measured measured = Budget.Of(settings, Length.FromNanometres(1), 1, "CD").Measure(ExactLength.From(Um(3_000)));
        Judgement sum = Assert.Single(Judge.Relation(new Sheet { Settings = settings }.Build(), Relation("s", RelationKind.Sum, [Between(null, 6_500)], "a", "b"), _ => measured));

        Assert.Equal(5, sum.Degrees);
    }

    [Fact]
    public void The_standards_own_figure_is_known_for_sure()
    {
        Measured measured = Budget.Of(Studied with { Figures = [] }, Um(10), 1, "CD").Measure(ExactLength.From(Um(3_000)));
        Judgement judgement = Assert.Single(Judge.Relation(new Sheet().Build(), Gap, _ => measured));

        Assert.Equal(double.PositiveInfinity, judgement.Degrees);
        Assert.Empty(judgement.Studies);
    }

    /// <summary>The same uncertainty known by few readings draws the limits in further: at the acceptance limit the probability is the confidence, by t as by the normal distribution.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(4)]
    [InlineData(1_000_000)]
    public void A_verdict_within_means_the_confidence_it_says(int degrees)
    {
        JudgingSettings settings = Studied with { Caliper = Length.Zero, Figures = [Figure(null, 20, degrees, 0, 1)] };
        Relation upper = Relation("u", RelationKind.Gap, [Between(null, 3_500)], "a");
        Verdict At(double nanometres, out double conformance)
        {
            Measured measured = Budget.Of(settings, Length.FromNanometres(1), 1, "CD").Measure(ExactLength.From(Length.FromNanometres(nanometres, Rounding.HalfEven)));
            Judgement judgement = Assert.Single(Judge.Relation(new Sheet { Settings = settings }.Build(), upper, _ => measured));
            conformance = judgement.Conformance;
            return judgement.Verdict;
        }

        double guard = Conformance.GuardFactor(0.95, degrees) * 20_000;
        Assert.Equal(Verdict.Within, At(3_500_000 - guard - 2, out double inside));
        Assert.Equal(Verdict.Borderline, At(3_500_000 - guard + 2, out double edge));
        Assert.Equal(0.95, inside, 1e-4);
        Assert.Equal(0.95, edge, 1e-4);
    }

    [Theory]
    [InlineData(-1, 5, 0, 5, "s")]
    [InlineData(1, 0, 0, 5, "s")]
    [InlineData(1, 5, 0, 0, "s")]
    [InlineData(26_000, 5, 0, 5, "s")]
    [InlineData(1, 5, 0, 5, "")]
    [InlineData(1, 5, 0, 5, "a b")]
    public void What_no_study_can_find_is_no_figure(long repeat, int repeatDegrees, long between, int betweenDegrees, string study) =>
        Assert.NotNull((Figure(null, repeat, repeatDegrees, between, betweenDegrees) with { Study = study }).Fault);
}
