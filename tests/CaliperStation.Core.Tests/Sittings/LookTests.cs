using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Judging;
using CaliperStation.Core.Tests.Records;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Core.Tests.Sittings;

/// <summary>What is seen and not measured: where it is asked, what a no does, and what takes its time.</summary>
public sealed class LookTests
{
    private static LookPlace Before(string of) => new(LookWhen.Before, of);

    private static LookPlace After(string of) => new(LookWhen.After, of);

    private static SittingRun Ready(params (string Id, LookPlace Place, TimeSpan? Wait)[] looks) =>
        Coat.Ready(looks.Aggregate(Coat.RackBadgeCord(), (sheet, look) => sheet.Look(look.Id, look.Place, look.Wait)));

    private static string Asked(SittingRun run) => run.Prompt switch
    {
        Prompt.See see => $"look {see.Look.Id}",
        Prompt.Read read => read.Step.Id,
        var other => other.GetType().Name,
    };

    [Fact]
    public void Each_is_asked_in_its_place_in_the_order_of_work()
    {
        SittingRun run = Ready(("clean", LookPlace.AfterAll, null), ("upright", After("badge"), null), ("cord-on", Before("cord"), null), ("left-end", After("rack-left"), null));
        List<string> order = [];
        while (run.Prompt is not Prompt.Sign)
        {
            order.Add(Asked(run));
            _ = run.Prompt is Prompt.See ? run.Confirm() : run.Take(3000);
        }

        Assert.Equal(["rack-left", "look left-end", "rack-right", "badge-gap", "look upright", "look cord-on", "cord-drop", "look clean"], order);
        Assert.True(run.View.IsVerified);
    }

    [Fact]
    public void A_no_holds_up_the_work_until_it_is_so_and_stays_in_the_record()
    {
        SittingRun run = Ready(("flat", After("rack"), null)).Take(3000, 3000).Do(new SittingCommand.NotSo());
        Assert.True(Assert.IsType<Prompt.See>(run.Prompt).IsNot);
        run.Refused(new SittingCommand.Take(SittingRun.Reading(3000)));
        run.Refused(new SittingCommand.NotSo());
        run.Refused(new SittingCommand.Sign("AB"));
        run.Confirm().Take(3000, 3000).Sign();
        Record record = RecordOfSitting.Make(run.View, new ChainPlace("0123456789abcdef", 1, Record.NoPrevious));

        Assert.True(record.IsVerified);
        Assert.Equal(["hands", "pockets", "flat"], record.Confirmed.Select(confirmed => confirmed.Line));
        Assert.Equal(["flat"], record.NotSo.Select(not => not.Line));
        Assert.Equal(record.NotSo, Assert.IsType<Record>(RecordParse.Of(RecordBytes.Write(record)).Record).NotSo);
    }

    [Fact]
    public void A_no_that_is_set_aside_leaves_the_record_unverified()
    {
        SittingRun run = Ready(("flat", After("rack"), null)).Take(3000, 3000);
        run.Refused(new SittingCommand.Aside("told the tailor"));   // nothing is wrong yet
        run.Do(new SittingCommand.NotSo()).Aside().Take(3000, 3000).Sign();

        Assert.Equal("flat", Assert.Single(run.State.Asides).Relation);
        Assert.False(run.View.IsVerified);
    }

    [Fact]
    public void What_was_seen_of_an_item_is_looked_at_again_once_it_is_moved()
    {
        SittingRun run = Ready(("flat", After("rack"), null), ("cord-on", Before("cord"), null), ("clean", LookPlace.AfterAll, null))
            .Take(3000, 3000).Confirm().Take(3000).Confirm().Take(3000).Confirm();
        Assert.IsType<Prompt.Sign>(run.Prompt);
        run.Move("rack");

        Assert.Equal(["hands", "pockets", "cord-on"], run.State.Confirmed.Select(note => note.Line));
        Assert.Equal("rack-left", Asked(run));
        Assert.Equal("look flat", Asked(run.Take(3000, 3000)));
    }

    [Fact]
    public void A_no_is_over_when_its_item_was_moved_and_it_is_asked_anew()
    {
        SittingRun run = Ready(("flat", After("rack"), null)).Take(3000, 3000).Do(new SittingCommand.NotSo()).Move("rack").Take(3000, 3000);

        Assert.False(Assert.IsType<Prompt.See>(run.Prompt).IsNot);
    }

    [Fact]
    public void After_a_no_moved_alone_means_the_item_that_was_looked_at()
    {
        Bench.TestBench bench = Bench.TestBench.Open(Coat.RackBadgeCord().Look("flat", After("rack")).Plan()).Ready();
        foreach (string line in (string[])["3.00 mm", "3.10 mm", "no", "moved"])
        {
            bench.Say(line);
        }

        Assert.Equal(["rack"], Assert.IsType<SittingEvent.Moved>(Assert.Single(bench.Written)).Items);
    }

    [Fact]
    public void What_takes_its_time_runs_while_what_does_not_stand_on_it_is_measured()
    {
        // each command of this run comes a second after the one before
        SittingRun run = Ready(("glue", After("rack"), TimeSpan.FromSeconds(8)), ("set", After("cord"), null)).Take(3000, 3000);
        Assert.Null(Assert.IsType<Prompt.See>(run.Prompt).Begun);
        run.Confirm();
        Prompt.See waits = Assert.IsType<Prompt.See>(run.Prompt);   // the badge stands on the rack
        Assert.Equal(run.Events[^1].At.AddSeconds(8), waits.Until);
        run.Refused(new SittingCommand.Confirm());

        SittingRun apart = Ready(("glue", After("badge"), TimeSpan.FromSeconds(3))).Take(3000, 3000, 3000).Confirm();
        Assert.Equal("cord-drop", Asked(apart));   // nothing of the cord stands on the badge
        apart.Take(3000);
        Assert.Equal("look glue", Asked(apart));
        apart.Refused(new SittingCommand.Confirm());
        apart.Do(new SittingCommand.TakeOver("CD")).Do(new SittingCommand.TakeOver("AB")).Confirm();   // time goes on
        Assert.IsType<Prompt.Sign>(apart.Prompt);
    }

    [Fact]
    public void What_takes_its_time_before_an_item_holds_that_item_up()
    {
        SittingRun run = Ready(("glue", Before("badge"), TimeSpan.FromSeconds(2))).Take(3000, 3000).Confirm();
        Assert.Equal("look glue", Asked(run));
        run.Do(new SittingCommand.TakeOver("CD")).Confirm();

        Assert.Equal("badge-gap", Asked(run));
    }

    [Fact]
    public void A_no_to_what_takes_its_time_lets_it_begin_again()
    {
        SittingRun run = Ready(("glue", After("rack"), TimeSpan.FromMinutes(5))).Take(3000, 3000).Confirm().Do(new SittingCommand.NotSo());

        Assert.Null(Assert.IsType<Prompt.See>(run.Prompt).Begun);
        Assert.Null(run.State.BegunAt("glue"));
    }

    [Fact]
    public void One_of_an_item_that_is_not_worn_is_not_asked()
    {
        Sheet sheet = Coat.RackBadgeCord().Question("star", "no", "yes");
        sheet.Item("star", "badge", new Condition([new ConditionPart.AnswerIs("star", ["yes"])])).Step("star-gap", "star", "badge")
            .Rule("star-height", RelationKind.Gap, Coat.Usual, "star-gap").Look("points", After("star"));

        Assert.Empty(sheet.Plan(("star", "no")).Looks);
        Assert.Equal(["points"], sheet.Plan(("star", "yes")).Looks.Select(look => look.Id));
    }

    [Fact]
    public void Those_of_a_touch_up_are_asked_at_a_recheck_alone_before_its_readings_and_are_kept()
    {
        Plan plan = Coat.RackBadgeCord().Look("cool", LookPlace.TouchUp).Plan();
        SittingRun first = new(plan);
        first.Confirm().Confirm().Take(3000, 3000, 3000, 3000).Sign();
        Record record = RecordOfSitting.Make(first.View, new ChainPlace("0123456789abcdef", 1, Record.NoPrevious));
        Remeasurement Begun(RecordKind kind) => Remeasurement.Begin(plan, new RemeasurementStarted(
            "s-2", kind, record.Id, record.Tag, "CD", record.Standard.Sha256, record.Answers, null, null, [new ChosenStep("rack-left", "chosen")], RemeasurementSample.At));

        Assert.IsType<Prompt.Read>(Begun(RecordKind.Countersign).Prompt);
        Remeasurement again = Begun(RecordKind.Recheck);
        Assert.Equal("cool", Assert.IsType<Prompt.See>(again.Prompt).Look.Id);
        again = RemeasurementSample.Do(again, new SittingCommand.NotSo());
        again = RemeasurementSample.Do(again, new SittingCommand.Confirm());
        again = RemeasurementSample.Do(again, new SittingCommand.Take(SittingRun.Reading(3000)));
        again = RemeasurementSample.Do(again, new SittingCommand.Sign("CD"));
        Record filed = RemeasurementSample.Filed(again, record);

        Assert.Equal(["cool"], filed.Confirmed.Select(confirmed => confirmed.Line));
        Assert.Equal(["cool"], filed.NotSo.Select(not => not.Line));
    }
}
