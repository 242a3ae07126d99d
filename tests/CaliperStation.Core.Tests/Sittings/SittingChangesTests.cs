using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Judging;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Sittings;

/// <summary>Retaking, moving and setting aside.</summary>
public sealed class SittingChangesTests
{
    [Fact]
    public void Retake_takes_the_last_reading_again_and_repeated_goes_further_back()
    {
        SittingRun run = Coat.Ready().Take(3000, 3010, 3020);
        Assert.Equal("badge-gap", run.Retake().Asked);
        Assert.Equal("rack-right", run.Retake().Asked);
        Assert.Equal("rack-left", run.Retake().Asked);
        Assert.Equal(RefusalKind.NothingToRetake, run.Refused(new SittingCommand.Retake()).Kind);
    }

    [Fact]
    public void Retake_of_a_named_step_asks_that_one_and_then_goes_on_where_it_was()
    {
        SittingRun run = Coat.Ready().Take(3000, 3010, 3020);
        Assert.Equal("rack-left", run.Retake("rack-left").Asked);
        Assert.Equal("cord-drop", run.Take(3005).Asked);
        Assert.Equal("rack-left", run.Retake().Asked);
    }

    [Theory]
    [InlineData("cord-drop")]
    [InlineData("nobody")]
    public void Retake_of_a_step_without_a_reading_is_refused_and_says_what_was_read(string step)
    {
        SittingRun run = Coat.Ready().Take(3000, 3010);
        Refusal refusal = run.Refused(new SittingCommand.Retake(step));

        Assert.Equal(RefusalKind.NotRead, refusal.Kind);
        Assert.Equal(2, run.State.History.Count);
        Assert.All(run.State.History, read => Assert.Contains(run.State.Plan.Standard.StepName(read), refusal.Words, StringComparison.Ordinal));
    }

    [Fact]
    public void What_a_person_typed_comes_back_escaped()
    {
        SittingRun run = Coat.Ready().Take(3000);
        Assert.DoesNotContain('\u001b', run.Refused(new SittingCommand.Retake("\u001b[2J")).Words);
        Assert.DoesNotContain('\u001b', run.Refused(new SittingCommand.Move(["\u001b[2J"])).Words);
    }

    [Fact]
    public void Retake_withdraws_every_take_of_a_step()
    {
        SittingRun run = Coat.Ready().Take(3400, 3200, 3400).Retake("rack-left");
        Assert.False(run.State.Readings.ContainsKey("rack-left"));
        Assert.Single(run.Take(3000).State.Readings["rack-left"].Takes);
    }

    [Fact]
    public void A_move_makes_what_hangs_on_the_item_stale_to_be_asked_again_in_order_and_leaves_the_rest()
    {
        SittingRun run = Coat.Ready().Take(3000, 3010, 3020, 3030);
        Assert.IsType<Prompt.Sign>(run.Prompt);
        run.Move("rack");
        Assert.Equal(["rack-left", "rack-right", "badge-gap"], run.View.Missing.Select(step => step.Id));
        Assert.Equal(["cord-drop"], run.State.History);
        Assert.Equal(["cord-drop"], run.View.Judgements.Select(judgement => judgement.Relation.Id));
        foreach (string step in new[] { "rack-left", "rack-right", "badge-gap" })
        {
            Assert.Equal(step, run.Asked);
            Assert.True(run.State.Readings[step].IsStale);
            run.Take(3100);
            Assert.Equal(SittingRun.Reading(3100) with { Hand = "AB" }, Assert.Single(run.State.Readings[step].Takes));
        }

        Assert.IsType<Prompt.Sign>(run.Prompt);
        Assert.Equal<string>(["rack"], Assert.Single(run.State.Moves).Items);
    }

    [Fact]
    public void A_move_of_the_upper_item_leaves_the_lower_ones_readings()
    {
        SittingRun run = Coat.Ready().Take(3000, 3010, 3020).Move("badge");
        Assert.Equal("badge-gap", run.Asked);
        Assert.False(run.State.Readings["rack-left"].IsStale);
    }

    [Fact]
    public void A_stale_reading_is_not_there_to_be_retaken()
    {
        SittingRun run = Coat.Ready().Take(3000, 3010).Move("rack");
        run.Refused(new SittingCommand.Retake("rack-left"));
        run.Refused(new SittingCommand.Retake());
    }

    [Fact]
    public void A_move_needs_items_that_are_on_the_blouse_and_counts_each_once()
    {
        SittingRun run = Coat.Ready().Take(3000);
        Assert.Equal(RefusalKind.NoItem, run.Refused(new SittingCommand.Move([])).Kind);
        Refusal unknown = run.Refused(new SittingCommand.Move(["rack", "pocket"]));
        Assert.Equal(RefusalKind.UnknownItem, unknown.Kind);
        Assert.Contains("\"pocket\"", unknown.Words, StringComparison.Ordinal);
        Assert.Equal(["rack", "badge"], Assert.IsType<SittingEvent.Moved>(run.Move("rack", "badge", "rack").Events[^1]).Items);
    }

    [Fact]
    public void Aside_needs_a_reason_goes_on_and_leaves_the_record_unverified()
    {
        SittingRun run = Coat.Ready().Take(5000);
        Assert.Equal(RefusalKind.NoReason, run.Refused(new SittingCommand.Aside("  ")).Kind);
        Assert.Equal(RefusalKind.LongReason, run.Refused(new SittingCommand.Aside(new string('x', 201))).Kind);
        run.Aside(" flap is torn ");
        Assert.Equal(new AsideNote("rack-height", "rack-left", "flap is torn", run.Events[^1].At), Assert.Single(run.State.Asides));
        run.Take(5000);
        Assert.Equal(["rack-height"], run.Outside);
        run.Aside("the same").Take(3000, 3000);
        Assert.IsType<Prompt.Sign>(run.Prompt);
        Assert.False(run.Sign().View.IsVerified);
    }

    [Fact]
    public void Aside_answers_everything_that_is_outside_at_once_with_one_note_each()
    {
        SittingRun run = Coat.Ready().Take(3000, 4500).Aside();
        Assert.Equal([("rack-height", "rack-right"), ("rack-level", null)], run.State.Asides.Select(aside => (aside.Relation, aside.Step)));
        Assert.Equal("badge-gap", run.Asked);
    }

    [Fact]
    public void An_aside_lapses_when_the_reading_it_was_for_changes_and_not_when_another_does()
    {
        SittingRun run = Coat.Ready().Take(5000).Aside().Take(5000).Aside();
        Assert.Equal(["rack-left", "rack-right"], run.State.Asides.Select(aside => aside.Step));
        run.Retake("rack-right");
        Assert.Equal(["rack-left"], run.State.Asides.Select(aside => aside.Step));
        Assert.Empty(run.Move("rack").State.Asides);
    }

    [Fact]
    public void An_aside_of_a_comparison_lapses_with_any_of_its_readings()
    {
        SittingRun run = Coat.Ready().Take(3320, 2520).Aside();
        Assert.Contains(run.State.Asides, aside => aside is { Relation: "rack-level", Step: null });
        Assert.DoesNotContain(run.Retake("rack-left").State.Asides, aside => aside.Relation == "rack-level");
    }

    [Fact]
    public void An_aside_of_a_pitch_lapses_with_a_size_it_was_computed_from()
    {
        Sheet sheet = new Sheet().Item("rack", "pocket").Step("w", "rack", "rack", size: true).Step("g", "rack", "pocket")
            .Rule("size", RelationKind.Size, Around(10_000, 500), "w")
            .Add(Sheet.Relation("pitch", RelationKind.Pitch, [Around(8000, 500)], "g") with { AddSteps = ["w"] });
        SittingRun run = Coat.Ready(sheet).Take(10_000, 6000);
        Assert.Equal(["pitch"], run.Outside);
        Assert.Single(run.Aside().State.Asides);
        Assert.Empty(run.Retake("w").State.Asides);
    }

    [Fact]
    public void An_aside_lapses_when_the_value_its_rule_hangs_on_changes()
    {
        Sheet sheet = new Sheet().Item("rack", "pocket").Step("lapel", "rack", "pocket").Step("g", "rack", "pocket")
            .Rule("lapel", RelationKind.Gap, Between(0, 90_000), "lapel")
            .Add(Sheet.Relation("near", RelationKind.Gap, [Coat.Usual], "g") with { When = WhenLength("lapel", Comparison.Less, 20_000) })
            .Add(Sheet.Relation("far", RelationKind.Gap, [Around(6000, 500)], "g") with { When = WhenLength("lapel", Comparison.AtLeast, 20_000) });
        SittingRun run = Coat.Ready(sheet).Take(10_000, 6000);
        Assert.Equal(["near"], run.Outside);
        Assert.Equal("near", Assert.Single(run.Aside().State.Asides).Relation);
        run.Retake("lapel").Take(30_000);
        Assert.Empty(run.State.Asides);
        Assert.True(run.View.IsVerified);
    }

    [Fact]
    public void A_borderline_judgement_can_be_set_aside_and_lapses_with_a_further_take()
    {
        SittingRun run = Coat.Ready().Take(3000, 3000, 3000, 3400);
        Assert.Equal("cord-drop", run.AskedAgainFor);
        Assert.IsType<Prompt.Sign>(run.Aside("enough").Prompt);
        Assert.False(run.View.IsVerified);
        Assert.Equal("cord-drop", run.Retake().Asked);
        Assert.True(run.Take(3000).View.IsVerified);
    }

    [Fact]
    public void A_share_of_nothing_is_refused_whether_by_one_take_or_by_the_mean_of_several()
    {
        Sheet sheet = new Sheet().Item("rack", "pocket").Step("part", "rack", "pocket").Step("whole", "rack", "pocket")
            .Add(Sheet.Relation("share", RelationKind.Share, [Numbers(0.2, 0.4)], "part", "whole"));
        SittingRun run = Coat.Ready(sheet).Take(300);
        Assert.Equal(RefusalKind.DivisorIsZero, run.Refused(new SittingCommand.Take(SittingRun.Reading(0))).Kind);
        Assert.Equal(("whole", "share"), (run.Take(1000).Asked, run.AskedAgainFor));
        Assert.Equal(RefusalKind.DivisorIsZero, run.Refused(new SittingCommand.Take(SittingRun.Reading(-1000))).Kind);
    }
}
