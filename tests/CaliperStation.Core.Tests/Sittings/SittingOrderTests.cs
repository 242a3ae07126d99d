using CaliperStation.Core.Judging;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Judging;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Sittings;

/// <summary>What is asked, and when; what holds the work up.</summary>
public sealed class SittingOrderTests
{
    [Fact]
    public void Readiness_comes_first_then_each_item_after_what_it_stands_on_and_the_signature_last()
    {
        SittingRun run = new(Coat.RackBadgeCord().Plan());
        Assert.Equal("hands", Assert.IsType<Prompt.See>(run.Prompt).Look.Id);
        run.Confirm();
        Assert.Equal("pockets", Assert.IsType<Prompt.See>(run.Prompt).Look.Id);
        run.Confirm();
        foreach (string step in new[] { "rack-left", "rack-right", "badge-gap", "cord-drop" })
        {
            Assert.Equal(step, run.Asked);
            run.Take(3000);
        }

        Assert.IsType<Prompt.Sign>(run.Prompt);
        Assert.True(run.View.IsVerified);
        run.Sign();
        Assert.IsType<Prompt.Closed>(run.Prompt);
        Assert.Equal("AB", run.State.Signed!.Initials);
    }

    [Fact]
    public void A_verdict_is_given_as_soon_as_a_relation_has_all_its_readings()
    {
        SittingRun run = Coat.Ready().Take(3000);
        Assert.Equal(["rack-height"], run.View.Judgements.Select(judgement => judgement.Relation.Id));
        run.Take(3010);
        Assert.Equal(["rack-height", "rack-height", "rack-level"], run.View.Judgements.Select(judgement => judgement.Relation.Id));
    }

    [Fact]
    public void Nothing_more_is_measured_while_something_is_outside()
    {
        SittingRun run = Coat.Ready().Take(5000);
        Assert.Equal(["rack-height"], run.Outside);
        Assert.Equal("rack-left", Assert.IsType<Prompt.Decide>(run.Prompt).Last.Id);
        Refusal refusal = run.Refused(new SittingCommand.Take(SittingRun.Reading(3000)));
        Assert.Equal(RefusalKind.NoReadingNow, refusal.Kind);
        Assert.Equal(("rack-height", Verdict.Outside), Assert.IsType<Prompt.Decide>(refusal.Wanted).Outside.Select(judgement => (judgement.Relation.Id, judgement.Verdict)).Single());
        Assert.Equal("rack-left", run.Retake().Asked);
        Assert.Equal("rack-right", run.Take(3000).Asked);
    }

    [Fact]
    public void A_wrong_rack_is_flagged_before_the_badge_may_be_measured()
    {
        SittingRun run = Coat.Ready().Take(3000, 4500);
        Assert.Equal(["rack-height", "rack-level"], run.Outside);
        run.Refused(new SittingCommand.Take(SittingRun.Reading(3000)));
        Assert.Equal("rack-left", run.Move("rack").Asked);
        Assert.Equal("badge-gap", run.Take(3000, 3000).Asked);
    }

    [Fact]
    public void Borderline_holds_up_the_items_above_but_not_the_same_item()
    {
        SittingRun run = Coat.Ready().Take(3400);
        Assert.Equal(Verdict.Borderline, Assert.Single(run.View.Judgements).Verdict);
        Assert.Equal(("rack-right", null), (run.Asked, run.AskedAgainFor));
        run.Take(3200);
        Assert.Equal(("rack-left", "rack-height"), (run.Asked, run.AskedAgainFor));
        Refusal refusal = run.Refused(new SittingCommand.Confirm());
        Assert.Equal(RefusalKind.NothingToConfirm, refusal.Kind);
        Assert.Equal("rack-height", Assert.IsType<Prompt.Read>(refusal.Wanted).Again?.Relation.Id);
    }

    [Fact]
    public void Borderline_above_holds_up_nothing_below_or_beside_only_the_signature()
    {
        SittingRun run = Coat.Ready().Take(3000, 3000, 3400);
        Assert.Equal(("cord-drop", null), (run.Asked, run.AskedAgainFor));
        run.Take(3000);
        Assert.Equal(("badge-gap", "badge-height"), (run.Asked, run.AskedAgainFor));
        run.Refused(new SittingCommand.Sign("AB"));
        Assert.False(run.View.IsVerified);
    }

    [Fact]
    public void A_further_take_narrows_a_borderline_judgement_until_it_can_be_told()
    {
        SittingRun run = Coat.Ready().Take(3400, 3200);
        double first = run.View.Judgements[0].Uncertainty;
        int takes = 1;
        while (run.AskedAgainFor is not null)
        {
            run.Take(3400);
            takes++;
            Assert.True(takes < 10);
        }

        Assert.True(run.View.Judgements[0].Uncertainty < first);
        Assert.Equal(takes, run.State.Readings["rack-left"].Takes.Length);
        Assert.Equal((Verdict.Within, "badge-gap"), (run.View.Judgements[0].Verdict, run.Asked));
    }

    [Fact]
    public void Further_takes_of_one_judgement_go_round_its_steps()
    {
        Sheet sheet = new Sheet().Item("rack", "pocket").Step("l", "rack", "pocket").Step("r", "rack", "pocket").Rule("level", RelationKind.Level, Around(0, 500), "l", "r");
        SittingRun run = Coat.Ready(sheet).Take(3400, 3000);
        Assert.Equal("r", run.Asked);
        Assert.Equal("l", run.Take(3000).Asked);
        Assert.Equal("r", run.Take(3400).Asked);
    }

    [Fact]
    public void Of_an_even_row_only_the_readings_that_decide_are_taken_again()
    {
        Sheet sheet = new Sheet().Item("rack", "pocket");
        foreach (string step in new[] { "a", "b", "c", "d" })
        {
            sheet.Step(step, "rack", "pocket");
        }

        SittingRun run = Coat.Ready(sheet.Rule("even", RelationKind.Equal, Between(null, 500), "a", "b", "c", "d")).Take(3000, 3400, 3200, 3200);
        Assert.Equal(("b", "even"), (run.Asked, run.AskedAgainFor));
        Assert.Equal("a", run.Take(3400).Asked);
    }

    [Fact]
    public void An_item_read_from_a_borderline_one_waits_though_it_stands_on_another()
    {
        Sheet sheet = new Sheet().Item("rack", "pocket").Item("plate", "pocket-right")
            .Step("r", "rack", "pocket").Step("p", "plate", "rack")
            .Rule("rack", RelationKind.Gap, Coat.Usual, "r").Rule("plate", RelationKind.Gap, Coat.Usual, "p");
        SittingRun run = Coat.Ready(sheet).Take(3400);
        Assert.Equal(("r", "rack"), (run.Asked, run.AskedAgainFor));
    }

    [Fact]
    public void The_signature_wants_initials_and_no_name()
    {
        SittingRun run = Coat.Ready().Take(3000, 3000, 3000, 3000);
        foreach (string bad in new[] { "", "ABCDE", "A B", "A\u001b", "A." })
        {
            Assert.Equal(RefusalKind.NoInitials, run.Refused(new SittingCommand.Sign(bad)).Kind);
        }

        run.Sign("X1");
    }

    [Fact]
    public void A_standard_without_steps_goes_straight_to_the_signature() =>
        Assert.IsType<Prompt.Sign>(Coat.Ready(new Sheet().Ready("hands")).Prompt);
}
