using CaliperStation.Core.Judging;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Judging;

namespace CaliperStation.Core.Tests.Sittings;

/// <summary>What is borderline is read again only while that can help.</summary>
public sealed class BorderlineTests
{
    private static readonly Plan Demonstration = Plan.For(
        StandardText.Load(File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Documentation", "examples", "harbour-lantern.toml"))).Standard!,
        new Dictionary<string, string>());

    /// <summary>A pair 0.77 mm apart, limit 0.79 mm: the caliper's own error and display draw the limit in by 0.03 mm, however often it is read.</summary>
    [Fact]
    public void A_pair_that_the_caliper_cannot_tell_is_to_be_decided_after_a_few_takes_not_read_for_ever()
    {
        SittingRun run = new(Demonstration);
        while (run.Prompt is Prompt.See)
        {
            run.Confirm();
        }

        Dictionary<string, long> gaps = new() { ["rack-left"] = 10_910, ["rack-right"] = 11_680, ["rack-low-left"] = 4760, ["rack-low-right"] = 4890 };
        int takes = 0;
        while (run.Asked is { } step && gaps.TryGetValue(step, out long gap))
        {
            run.Take(gap);
            Assert.True(++takes < 20);
        }

        Prompt.Decide decide = Assert.IsType<Prompt.Decide>(run.Prompt);
        Assert.Equal([("rack-centred", Verdict.Borderline)], decide.Outside.Select(judgement => (judgement.Relation.Id, judgement.Verdict)));
        Assert.Equal(4, takes);
        Assert.Equal(["rack-centred"], run.View.Open.Select(judgement => judgement.Relation.Id));
    }

    /// <summary>0.5 mm and a hand of 0.1 mm: one take draws in by 0.17 mm, six by 0.07 mm, none by less than 0.02 mm.</summary>
    [Theory]
    [InlineData(3380, true)]
    [InlineData(3420, true)]
    [InlineData(3480, false)]
    [InlineData(3500, false)]
    [InlineData(3530, false)]
    [InlineData(3600, true)]
    public void A_further_take_is_wanted_only_while_six_could_tell(long micrometres, bool again)
    {
        SittingRun run = Coat.Ready(One()).Take(micrometres);
        Assert.Equal(again ? "gap" : null, run.AskedAgainFor);
        Assert.Equal(again ? [] : ["gap"], run.Outside);
    }

    [Fact]
    public void At_the_floor_it_can_be_moved_set_aside_or_taken_again_and_not_taken_once_more()
    {
        SittingRun run = Coat.Ready(One()).Take(3500);
        run.Refused(new SittingCommand.Take(SittingRun.Reading(3500)));
        Assert.IsType<Prompt.Sign>(Coat.Ready(One()).Take(3500).Aside().Prompt);
        Assert.Equal("g", Coat.Ready(One()).Take(3500).Move("rack").Asked);
        Assert.IsType<Prompt.Sign>(Coat.Ready(One()).Take(3500).Retake().Take(3000).Prompt);
    }

    [Fact]
    public void Takes_without_end_are_never_wanted()
    {
        for (long micrometres = 3300; micrometres <= 3700; micrometres += 10)
        {
            SittingRun run = Coat.Ready(One()).Take(micrometres);
            while (run.AskedAgainFor is not null)
            {
                run.Take(micrometres);
                Assert.True(run.State.Readings["g"].Takes.Length <= FurtherTakes.MaxOfOneStep, $"{micrometres}");
            }
        }
    }

    [Fact]
    public void What_can_be_told_by_a_further_take_comes_before_what_cannot()
    {
        Sheet two = One().Item("badge", "pocket").Step("h", "badge", "pocket").Rule("other", RelationKind.Gap, Coat.Usual, "h");
        SittingRun run = Coat.Ready(two).Take(3500);
        Assert.Equal("h", run.Asked);
        Assert.Equal("other", run.Take(3400).AskedAgainFor);
        while (run.AskedAgainFor == "other")
        {
            run.Take(3400);
        }

        Assert.Equal(["gap"], run.Outside);
    }

    private static Sheet One() => new Sheet().Item("rack", "pocket").Step("g", "rack", "pocket").Rule("gap", RelationKind.Gap, Coat.Usual, "g");
}
