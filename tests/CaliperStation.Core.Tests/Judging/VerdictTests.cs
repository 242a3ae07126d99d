using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CsCheck;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Judging;

/// <summary>Verdicts on exact values: JCGM 106:2012, 8.2 (plain) and ISO 14253-1 (guarded).</summary>
public sealed class VerdictTests
{
    private static readonly Relation Gap = Sheet.Relation("gap", RelationKind.Gap, [Around(3000, 500)], "a");

    /// <summary>10 µm of standard uncertainty at 95 %: z = 1.6448536… draws 16 448.536… nm in, rounded up, away from acceptance.</summary>
    private const long Band = 16_449;

    [Theory]
    [InlineData(2_500_000 - 1, Verdict.Outside)]
    [InlineData(2_500_000, Verdict.Within)]
    [InlineData(3_500_000, Verdict.Within)]
    [InlineData(3_500_000 + 1, Verdict.Outside)]
    public void Plain_turns_on_the_nanometre(long nanometres, Verdict expected) =>
        Assert.Equal(expected, Gap1(Sheet.Plain, nanometres).Verdict);

    [Theory]
    [InlineData(2_500_000 - Band - 1, Verdict.Outside)]
    [InlineData(2_500_000 - Band, Verdict.Borderline)]
    [InlineData(2_500_000 + Band - 1, Verdict.Borderline)]
    [InlineData(2_500_000 + Band, Verdict.Within)]
    [InlineData(3_500_000 - Band, Verdict.Within)]
    [InlineData(3_500_000 - Band + 1, Verdict.Borderline)]
    [InlineData(3_500_000 + Band, Verdict.Borderline)]
    [InlineData(3_500_000 + Band + 1, Verdict.Outside)]
    public void Guarded_turns_on_the_nanometre_with_its_band_rounded_away_from_acceptance(long nanometres, Verdict expected)
    {
        Judgement judgement = Gap1(new Sheet().Settings, nanometres);
        Assert.Equal(expected, judgement.Verdict);
        Assert.Equal(Math.Min(nanometres - 2_500_000, 3_500_000 - nanometres), judgement.Margin);
        Assert.Equal((2_500_000.0, 3_500_000.0), (judgement.Lower, judgement.Upper));
    }

    /// <summary>More than 2.5 mm and less than 3.5 mm, plain: the limits themselves are outside, and so is their conformance where it is certain.</summary>
    [Theory]
    [InlineData(2_500_000, Verdict.Outside)]
    [InlineData(2_500_001, Verdict.Within)]
    [InlineData(3_499_999, Verdict.Within)]
    [InlineData(3_500_000, Verdict.Outside)]
    public void An_excluded_limit_is_outside(long nanometres, Verdict expected)
    {
        Relation open = Gap with { Limits = [Around(3000, 500) with { LowerExcluded = true, UpperExcluded = true }] };
        Judgement judgement = Assert.Single(Judge.Relation(new Sheet { Settings = Sheet.Plain }.Build(), open, _ => new Measured(ExactLength.From(Nm(nanometres)), 0)));
        Assert.Equal((expected, expected == Verdict.Within ? 1.0 : 0.0), (judgement.Verdict, judgement.Conformance));
    }

    [Theory]
    [InlineData(2_500_000 - Band, Verdict.Outside)]
    [InlineData(2_500_000 - Band + 1, Verdict.Borderline)]
    [InlineData(2_500_000 + Band, Verdict.Borderline)]
    [InlineData(2_500_000 + Band + 1, Verdict.Within)]
    [InlineData(3_500_000 - Band, Verdict.Within)]
    public void An_excluded_limit_excludes_its_acceptance_limit_too(long nanometres, Verdict expected)
    {
        Relation open = Gap with { Limits = [Around(3000, 500) with { LowerExcluded = true }] };
        Assert.Equal(expected, Assert.Single(Judge.Relation(new Sheet().Build(), open, _ => new Measured(ExactLength.From(Nm(nanometres)), 10_000))).Verdict);
    }

    /// <summary>Exactly a half, and exactly a third of means that are not whole, do not pass more than a half or a third.</summary>
    [Theory]
    [InlineData(new long[] { 10_000_000 }, new long[] { 20_000_000 }, 0.5, Verdict.Outside)]
    [InlineData(new long[] { 10_000_001 }, new long[] { 20_000_000 }, 0.5, Verdict.Within)]
    [InlineData(new long[] { 1_000_001, 1_000_001, 1_000_002 }, new long[] { 3_000_004 }, 1.0 / 3, Verdict.Outside)]
    [InlineData(new long[] { 1_000_001, 1_000_002, 1_000_002 }, new long[] { 3_000_004 }, 1.0 / 3, Verdict.Within)]
    public void A_share_of_exactly_the_limit_is_not_more_than_it(long[] part, long[] whole, double limit, Verdict expected)
    {
        Relation share = Sheet.Relation("s", RelationKind.Share, [Numbers(limit, null) with { LowerExcluded = true }], "a", "b");
        Measured Read(string step) => new(ExactLength.Mean([.. (step == "a" ? part : whole).Select(Nm)]), 1);
        Assert.Equal(expected, Assert.Single(Judge.Relation(new Sheet { Settings = Sheet.Plain }.Build(), share, step => Read(step))).Verdict);
    }

    /// <summary>Three takes of 0.1 mm steps whose mean is a third of a nanometre beyond the limit, or on this side of it.</summary>
    [Theory]
    [InlineData(1, Verdict.Outside)]
    [InlineData(0, Verdict.Within)]
    [InlineData(-1, Verdict.Within)]
    public void A_mean_that_is_not_whole_is_decided_exactly(long more, Verdict expected)
    {
        ExactLength mean = ExactLength.Mean([Nm(3_400_000), Nm(3_500_000), Nm(3_600_000 + more)]);
        Judgement judgement = Assert.Single(Judge.Relation(new Sheet { Settings = Sheet.Plain }.Build(), Gap, _ => new Measured(mean, 10_000)));
        Assert.Equal(expected, judgement.Verdict);
        Assert.Equal(mean, judgement.Exact);
    }

    [Theory]
    [InlineData(0, Verdict.Within, 0)]
    [InlineData(100, Verdict.Within, 0)]
    [InlineData(101, Verdict.Outside, 0)]
    [InlineData(1000, Verdict.Outside, 0)]
    [InlineData(2899, Verdict.Outside, 3000)]
    [InlineData(2900, Verdict.Within, 3000)]
    [InlineData(3100, Verdict.Within, 3000)]
    public void Of_several_nominals_any_will_do_and_nothing_between(long micrometres, Verdict expected, long nominal)
    {
        Relation relation = Gap with { Limits = [Around(0, 100), Around(3000, 100)] };
        Judgement judgement = new Sheet { Settings = Sheet.Plain }.Verdict(relation, 1, ("a", micrometres));
        Assert.Equal(expected, judgement.Verdict);
        Assert.Equal(Um(nominal), judgement.Limits.Nominal);
    }

    [Theory]
    [InlineData(-51, Verdict.Outside)]
    [InlineData(-50, Verdict.Within)]
    [InlineData(50, Verdict.Within)]
    [InlineData(51, Verdict.Outside)]
    public void Contact_is_judged_on_both_sides_overlap_is_a_fault_too(long micrometres, Verdict expected) =>
        Assert.Equal(expected, new Sheet { Settings = Sheet.Plain }.Verdict(Gap with { Limits = [Around(0, 50)] }, 1, ("a", micrometres)).Verdict);

    [Theory]
    [InlineData(null, 3500L, -1_000_000, Verdict.Within)]
    [InlineData(null, 3500L, 3501, Verdict.Outside)]
    [InlineData(2500L, null, 1_000_000, Verdict.Within)]
    [InlineData(2500L, null, 2499, Verdict.Outside)]
    public void One_limit_leaves_the_other_side_free(long? lower, long? upper, long micrometres, Verdict expected)
    {
        Judgement judgement = new Sheet { Settings = Sheet.Plain }.Verdict(Gap with { Limits = [Between(lower, upper)] }, 1, ("a", micrometres));
        Assert.Equal(expected, judgement.Verdict);
        Assert.Equal(Math.Abs(micrometres - (lower ?? upper)!.Value) * 1000.0 * (expected == Verdict.Within ? 1 : -1), judgement.Margin);
    }

    [Fact]
    public void A_relation_that_holds_for_each_is_judged_reading_by_reading()
    {
        Relation relation = Gap with { Of = ["a", "b", "c"] };
        List<Judgement> judgements = [.. Judge.Relation(new Sheet { Settings = Sheet.Plain }.Build(), relation, Read(1, ("a", 3000), ("c", 9000)))];
        Assert.Equal([("a", Verdict.Within), ("c", Verdict.Outside)], judgements.Select(judgement => (Assert.Single(judgement.Steps), judgement.Verdict)));
    }

    [Fact]
    public void A_pitch_waits_for_its_measured_sizes()
    {
        Relation relation = Gap with { Kind = RelationKind.Pitch, AddSteps = ["w"] };
        Assert.Empty(Judge.Relation(new Sheet().Build(), relation, Read(1, ("a", 3000))));
        Assert.Equal(["a", "w"], new Sheet().Verdict(relation, 1, ("a", 2000), ("w", 2000)).Steps);
    }

    [Fact]
    public void A_comparison_waits_for_all_its_readings_and_its_span()
    {
        Relation level = Sheet.Relation("level", RelationKind.Level, [Around(0, 500)], "a", "b") with { SpanStep = "s" };
        Assert.Empty(Judge.Relation(new Sheet().Build(), level, Read(1, ("a", 3000), ("b", 3000))));
        Assert.Equal(["a", "b", "s"], new Sheet().Verdict(level, 1, ("a", 3100), ("b", 3000), ("s", 50_000)).Steps);
    }

    [Fact]
    public void A_level_is_judged_as_a_length_and_shown_as_an_angle_too()
    {
        Relation level = Sheet.Relation("level", RelationKind.Level, [Around(0, 500)], "a", "b");
        Sheet sheet = new Sheet { Settings = Sheet.Plain }.Item("x", "pocket").Step("a", "x", "pocket", right: -30_000).Step("b", "x", "pocket", right: 30_000);

        Judgement stated = sheet.Verdict(level with { Span = Um(50_000) }, 1, ("a", 3500), ("b", 3000));
        Assert.Equal((Dimension.Length, 500_000.0, Verdict.Within), (stated.Dimension, stated.Value, stated.Verdict));
        Assert.Equal(Math.Atan(0.5 / 50) * 1000, stated.AngleMilliradians!.Value, 1e-9);
        Assert.Equal(Math.Atan(-0.5 / 60) * 1000, sheet.Verdict(level, 1, ("a", 3000), ("b", 3500)).AngleMilliradians!.Value, 1e-9);
        Assert.Equal(Math.Atan(0.5 / 40) * 1000, sheet.Verdict(level with { SpanStep = "s" }, 1, ("a", 3500), ("b", 3000), ("s", 40_000)).AngleMilliradians!.Value, 1e-9);
        Assert.Null(new Sheet().Verdict(level, 1, ("a", 3000), ("b", 3000)).AngleMilliradians);
    }

    [Theory]
    [InlineData(0.3333, Verdict.Outside)]
    [InlineData(0.3335, Verdict.Within)]
    public void A_share_is_judged_as_a_ratio(double lower, Verdict expected)
    {
        // 0.33341 of a whole, by the plain rule
        Judgement judgement = new Sheet { Settings = Sheet.Plain }.Verdict(Sheet.Relation("share", RelationKind.Share, [Numbers(null, lower)], "a", "b"), 1, ("a", 33_341), ("b", 100_000));
        Assert.Equal((Dimension.Ratio, expected), (judgement.Dimension, judgement.Verdict));
        Assert.Equal((0.33341, null, lower), (judgement.Value, judgement.Lower, judgement.Upper));
    }

    [Theory]
    [InlineData(60_000, Verdict.Within)]
    [InlineData(60_900, Verdict.Within)]
    [InlineData(61_100, Verdict.Borderline)]
    [InlineData(61_400, Verdict.Borderline)]
    [InlineData(61_500, Verdict.Outside)]
    public void An_angle_is_judged_in_milliradians_with_its_guard(long rise, Verdict expected)
    {
        // 45° ± 10 mrad; each reading 100 µm, so u = 1.18 mrad and the guard 1.94 mrad; 1 mrad is 120 µm of rise
        double quarter = Math.PI / 4 * 1000;
        Relation relation = Sheet.Relation("angle", RelationKind.Angle, [Numbers(quarter - 10, quarter + 10)], "a", "b") with { Span = Um(60_000) };
        Judgement judgement = new Sheet().Verdict(relation, 100, ("a", rise), ("b", 0));
        Assert.Equal((Dimension.Angle, expected), (judgement.Dimension, judgement.Verdict));
        Assert.Equal(10 - Math.Abs(judgement.Value - quarter), judgement.Margin, 1e-9);
    }

    [Fact]
    public void An_even_pair_is_within_whether_or_not_its_rule_writes_the_lower_limit_that_no_spread_can_pass()
    {
        foreach (long? lower in new long?[] { null, 0 })
        {
            Relation relation = Sheet.Relation("even", RelationKind.Equal, [Between(lower, 500)], "a", "b");
            Assert.Equal(Verdict.Within, new Sheet().Verdict(relation, 50, ("a", 3000), ("b", 3000)).Verdict);
        }
    }

    /// <summary>A spread of two is the size of a difference that may have either sign: JCGM 106:2012, 7.4 with limits ±T.</summary>
    [Fact]
    public void The_probability_of_an_even_pair_counts_both_directions()
    {
        Relation even = Sheet.Relation("even", RelationKind.Equal, [Between(null, 500)], "a", "b");
        Relation level = Sheet.Relation("level", RelationKind.Level, [Around(0, 500)], "a", "b");
        Gen.Select(Gen.Long[1000, 2000], Gen.Long[1000, 2000]).Sample((a, b) => Assert.Equal(
            new Sheet().Verdict(level, 300, ("a", a), ("b", b)).Conformance,
            new Sheet().Verdict(even, 300, ("a", a), ("b", b)).Conformance, 1e-12), iter: 50);
    }

    [Fact]
    public void Within_is_never_said_with_less_than_the_confidence_and_outside_never_with_more_than_its_rest() =>
        Gen.Select(Gen.Long[2_000_000, 4_000_000], Gen.Long[1, 150_000]).Sample((nanometres, uncertainty) =>
        {
            Relation oneSided = Gap with { Limits = [Between(null, 3500)] };
            Judgement judgement = Assert.Single(Judge.Relation(new Sheet().Build(), oneSided, _ => new Measured(ExactLength.From(Nm(nanometres)), uncertainty)));
            Assert.True(judgement.Verdict switch
            {
                Verdict.Within => judgement.Conformance >= 0.95 - 1e-9,
                Verdict.Borderline => judgement.Conformance is > 0.05 - 1e-4 and < 0.95 + 1e-4,
                Verdict.Outside => judgement.Conformance <= 0.05 + 1e-9,
            });
        }, iter: 200, print: null);

    private static Judgement Gap1(JudgingSettings settings, long nanometres) =>
        Assert.Single(Judge.Relation(new Sheet { Settings = settings }.Build(), Gap, _ => new Measured(ExactLength.From(Nm(nanometres)), 10_000)));
}
