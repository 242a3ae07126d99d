using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Judging;

public sealed class UnverifiableToleranceTests
{
    private static readonly double Single = Budget.Of(new Sheet().Settings, Um(10), 1).Combined;

    private static readonly double Z = Conformance.GuardFactor(0.95);

    [Fact]
    public void A_tolerance_is_told_exactly_when_its_acceptance_zone_is_empty()
    {
        long band = (long)Math.Ceiling(Z * Single);
        Assert.Empty(Told(RelationKind.Gap, new Limits(Nm(0), Nm(2 * band), null), "a"));
        UnverifiableTolerance told = Assert.Single(Told(RelationKind.Gap, new Limits(Nm(0), Nm((2 * band) - 1), null), "a"));
        Assert.Equal((Single, Dimension.Length), (told.Uncertainty, told.Dimension));
        Assert.Equal(((2 * band) - 1) / (2 * Z), told.Needed, 1e-6);
    }

    [Fact]
    public void A_bench_with_the_uncertainty_that_was_told_as_needed_would_do()
    {
        Limits limits = Around(3000, 100);
        UnverifiableTolerance told = Assert.Single(Told(RelationKind.Gap, limits, "a"));
        Relation relation = Sheet.Relation("r", RelationKind.Gap, [limits], "a");
        Assert.Equal(Verdict.Within, new Sheet().Verdict(relation, (told.Needed / 1000) - 0.001, ("a", 3000)).Verdict);
        Assert.NotEqual(Verdict.Within, new Sheet().Verdict(relation, (told.Needed / 1000) + 0.001, ("a", 3000)).Verdict);
    }

    [Fact]
    public void Two_readings_need_a_wider_tolerance_than_one()
    {
        long band = (long)Math.Ceiling(Z * Single);
        Limits forOne = new(Nm(-band), Nm(band), null);
        Assert.Empty(Told(RelationKind.Gap, forOne, "a"));
        Assert.Equal(Single * Math.Sqrt(2), Assert.Single(Told(RelationKind.Level, forOne, "a", "b")).Uncertainty, 1e-6);
    }

    [Fact]
    public void An_even_pair_closer_than_the_bench_can_tell_is_told()
    {
        long band = (long)Math.Ceiling(Z * Single * Math.Sqrt(2));
        Assert.Empty(Told(RelationKind.Equal, new Limits(null, Nm(band), null), "a", "b"));
        UnverifiableTolerance told = Assert.Single(Told(RelationKind.Equal, new Limits(null, Nm(band - 1), Nm(0)), "a", "b"));
        Assert.Equal((band - 1) / Z, told.Needed, 1e-6);
    }

    [Fact]
    public void A_limit_on_one_side_only_is_never_too_narrow()
    {
        Assert.Empty(Told(RelationKind.Gap, new Limits(null, Nm(1), null), "a"));
        Assert.Empty(Told(RelationKind.NotMoreThan, new Limits(null, Nm(0), null), "a", "b"));
    }

    [Fact]
    public void One_wide_nominal_of_several_is_enough()
    {
        Assert.Empty(Told(RelationKind.Gap, [Around(0, 1), Around(3000, 500)], "a"));
        Assert.Single(Told(RelationKind.Gap, [Around(0, 1), Around(3000, 1)], "a"));
    }

    [Fact]
    public void Shares_and_angles_are_told_in_their_own_unit()
    {
        Assert.Equal(Dimension.Ratio, Assert.Single(Told(RelationKind.Share, Numbers(0.333, 0.334), "a", "b")).Dimension);
        Assert.Empty(Told(RelationKind.Share, Numbers(0.2, 0.4), "a", "b"));
    }

    [Fact]
    public void The_plain_rule_draws_nothing_in() => Assert.Empty(UnverifiableTolerance.In(
        new Sheet { Settings = Sheet.Plain }.Item("x", "pocket").Step("a", "x", "pocket").Rule("r", RelationKind.Gap, Around(3000, 0), "a").Plan(), Um(10)));

    [Fact]
    public void More_takes_are_not_counted_on_but_a_finer_display_is()
    {
        Sheet sheet = new Sheet { Settings = new Sheet().Settings with { Hand = Length.Zero } }.Item("x", "pocket").Step("a", "x", "pocket").Rule("r", RelationKind.Gap, Around(3000, 25), "a");
        Assert.Empty(UnverifiableTolerance.In(sheet.Plan(), Um(10)));
        Assert.Single(UnverifiableTolerance.In(sheet.Plan(), Length.HalfTick));
    }

    private static IReadOnlyList<UnverifiableTolerance> Told(RelationKind kind, Limits limits, params string[] of) => Told(kind, [limits], of);

    private static IReadOnlyList<UnverifiableTolerance> Told(RelationKind kind, Limits[] limits, params string[] of) => UnverifiableTolerance.In(
        new Sheet().Item("x", "pocket").Step("a", "x", "pocket").Step("b", "x", "pocket").Add(Sheet.Relation("r", kind, limits, of)).Plan(), Um(10));
}
