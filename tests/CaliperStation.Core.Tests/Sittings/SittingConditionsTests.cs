using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Judging;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Sittings;

/// <summary>Steps and rules that apply by a measured value.</summary>
public sealed class SittingConditionsTests
{
    private static readonly Condition Narrow = WhenLength("lapel", Comparison.Less, 20_000);

    /// <summary>A lapel, and a gap that is read only for a rule that holds when the lapel is narrow.</summary>
    private static Sheet Lapel() => new Sheet().Item("rack", "pocket").Item("badge", "rack")
        .Step("g", "rack", "pocket").Step("lapel", "rack", "pocket").Step("badge-gap", "badge", "rack")
        .Rule("lapel", RelationKind.Gap, Between(0, 90_000), "lapel")
        .Rule("badge", RelationKind.Gap, Coat.Usual, "badge-gap")
        .Add(Sheet.Relation("near", RelationKind.Gap, [Coat.Usual], "g") with { When = Narrow });

    [Fact]
    public void What_a_condition_looks_at_is_read_first_and_a_step_whose_rules_do_not_apply_is_not_asked()
    {
        SittingRun run = Coat.Ready(Lapel());
        Assert.Equal("lapel", run.Asked);
        Assert.Equal("badge-gap", run.Take(30_000).Asked);
        Assert.IsType<Prompt.Sign>(run.Take(3000).Prompt);
        Assert.True(run.View.IsVerified);
        Assert.Equal("g", Coat.Ready(Lapel()).Take(10_000).Asked);
    }

    [Fact]
    public void A_step_with_its_own_condition_is_asked_only_when_it_holds()
    {
        Sheet sheet = new Sheet().Item("rack", "pocket").Step("lapel", "rack", "pocket").Step("g", "rack", "pocket", Narrow)
            .Rule("lapel", RelationKind.Gap, Between(0, 90_000), "lapel").Rule("near", RelationKind.Gap, Coat.Usual, "g");
        Assert.Equal("g", Coat.Ready(sheet).Take(10_000).Asked);
        Assert.IsType<Prompt.Sign>(Coat.Ready(sheet).Take(30_000).Prompt);
    }

    [Fact]
    public void A_reading_of_a_step_that_no_longer_applies_is_not_judged()
    {
        Sheet sheet = new Sheet().Item("rack", "pocket").Step("lapel", "rack", "pocket").Step("g", "rack", "pocket", Narrow)
            .Rule("lapel", RelationKind.Gap, Between(0, 90_000), "lapel").Rule("near", RelationKind.Gap, Coat.Usual, "g");
        SittingRun run = Coat.Ready(sheet).Take(10_000, 9000);
        Assert.Equal(["near"], run.Outside);
        run.Retake("lapel").Take(30_000);
        Assert.IsType<Prompt.Sign>(run.Prompt);
        Assert.Equal(["lapel"], run.View.Judgements.Select(judgement => judgement.Relation.Id));
    }

    [Fact]
    public void Until_the_value_is_known_the_step_counts_as_missing_and_the_rule_is_not_judged()
    {
        SittingRun run = Coat.Ready(Lapel()).Take(10_000, 3000).Retake("lapel");
        Assert.Equal(["lapel", "badge-gap"], run.View.Missing.Select(step => step.Id));
        Assert.Empty(run.View.Judgements);
        Assert.Equal("badge-gap", run.Take(10_500).Asked);
        Assert.Equal(["lapel", "near"], run.View.Judgements.Select(judgement => judgement.Relation.Id));
    }

    [Fact]
    public void A_condition_on_a_rule_that_does_not_apply_does_not_hold()
    {
        Sheet sheet = Lapel().Step("h", "rack", "pocket")
            .Add(Sheet.Relation("chained", RelationKind.Gap, [Coat.Usual], "h") with { When = WhenLength("near", Comparison.Less, 9000) });
        Assert.Equal("h", Coat.Ready(sheet).Take(10_000, 3000).Asked);
        Assert.Equal("badge-gap", Coat.Ready(sheet).Take(30_000).Asked);
    }

    [Fact]
    public void A_condition_on_a_rule_that_the_answers_left_out_does_not_hold()
    {
        Sheet sheet = new Sheet().Question("wreath", "no", "yes").Item("rack", "pocket").Step("a", "rack", "pocket").Step("b", "rack", "pocket")
            .Add(Sheet.Relation("a", RelationKind.Gap, [Coat.Usual], "a") with { When = WhenAnswer("wreath", "yes") })
            .Add(Sheet.Relation("always", RelationKind.Gap, [Coat.Usual], "a"))
            .Add(Sheet.Relation("b", RelationKind.Gap, [Coat.Usual], "b") with { When = WhenLength("a", Comparison.Less, 9000) });
        Assert.Equal("b", Coat.Ready(sheet, ("wreath", "yes")).Take(3000).Asked);
        Assert.IsType<Prompt.Sign>(Coat.Ready(sheet, ("wreath", "no")).Take(3000).Prompt);
    }

    [Fact]
    public void A_step_that_only_serves_a_rule_the_answers_left_out_is_not_asked()
    {
        Sheet sheet = new Sheet().Question("wreath", "no", "yes").Item("rack", "pocket").Step("a", "rack", "pocket").Step("b", "rack", "pocket")
            .Rule("a", RelationKind.Gap, Coat.Usual, "a")
            .Add(Sheet.Relation("b", RelationKind.Gap, [Coat.Usual], "b") with { When = WhenAnswer("wreath", "yes") });
        Assert.Equal("b", Coat.Ready(sheet, ("wreath", "yes")).Take(3000).Asked);
        Assert.IsType<Prompt.Sign>(Coat.Ready(sheet, ("wreath", "no")).Take(3000).Prompt);
    }

    [Fact]
    public void Conditions_that_look_at_each_other_come_to_an_end()
    {
        Sheet sheet = new Sheet().Item("rack", "pocket").Step("a", "rack", "pocket").Step("b", "rack", "pocket")
            .Add(Sheet.Relation("a", RelationKind.Gap, [Coat.Usual], "a") with { When = WhenLength("b", Comparison.Less, 9000) })
            .Add(Sheet.Relation("b", RelationKind.Gap, [Coat.Usual], "b") with { When = WhenLength("a", Comparison.Less, 9000) });
        SittingRun run = Coat.Ready(sheet);
        Assert.Empty(run.Take(3000, 3000).View.Judgements);
    }
}
