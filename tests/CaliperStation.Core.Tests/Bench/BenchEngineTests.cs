using CaliperStation.Core.Bench;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Standards;

namespace CaliperStation.Core.Tests.Bench;

/// <summary>What a person says and presses, with no caliper; figures are of the demonstration's standard.</summary>
public sealed class BenchEngineTests
{
    [Fact]
    public void A_press_held_down_confirms_one_line()
    {
        TestBench bench = TestBench.Open();
        bench.Hold(200, 2_000);

        Assert.IsType<SittingEvent.Confirmed>(Assert.Single(bench.AllWritten));
    }

    [Fact]
    public void An_empty_line_of_a_script_confirms_nothing_and_signs_nothing()
    {
        TestBench bench = TestBench.Open();
        bench.Do(new BenchInput.Press(PressOrigin.Script), 2_000);
        Assert.Contains(bench.Told, said => said is Said.Refused);
        AllWithin(bench.Ready());
        int before = bench.AllWritten.Count;
        bench.Do(new BenchInput.Press(PressOrigin.Script), 2_000);

        Assert.IsType<Prompt.Sign>(bench.State.Want.Prompt);
        Assert.Contains(bench.Told, said => said is Said.Refused);
        Assert.Equal(before, bench.AllWritten.Count);
    }

    [Fact]
    public void A_bare_whole_number_is_ticks_where_ticks_are_shown_and_one_beyond_the_coat_is_asked_about()
    {
        TestBench bench = TestBench.Open().Ready();
        bench.Say("14");
        Assert.Equal(Length.FromTicks(14), Assert.IsType<SittingEvent.Took>(Assert.Single(bench.Written)).Reading.Value);
        bench.Say("400 mm");
        Assert.Empty(bench.Written);
        Assert.Equal(WarningKind.BeyondCoat, bench.State.Warning!.Said.Warning.Kind);
        bench.Say("yes");
        Assert.Equal(Length.Millimetre.Times(400), Assert.IsType<SittingEvent.Took>(Assert.Single(bench.Written)).Reading.Value);
    }

    /// <summary>A keyboard's delay before it repeats is 0.25 to 1 s (from memory): just beyond it a held key is two presses, and never three.</summary>
    [Theory]
    [InlineData(320, 0)]
    [InlineData(500, 0)]
    [InlineData(500, 1)]
    [InlineData(500, 40)]
    [InlineData(660, 0)]
    [InlineData(990, 0)]
    public void A_key_held_for_however_long_never_answers_a_question(int delay, int more)
    {
        TestBench bench = TestBench.Open().Ready();
        bench.Say("400 mm");
        bench.Press();
        bench.Press(delay);
        for (int repeat = 0; repeat < more; repeat++)
        {
            bench.Press(33);
        }

        bench.Wait(2_000);
        Assert.DoesNotContain(bench.AllWritten, happened => happened is SittingEvent.Took);
        Assert.NotNull(bench.State.Warning);
    }

    [Fact]
    public void The_press_that_raised_a_question_is_none_of_the_three_that_answer_it()
    {
        TestBench bench = TestBench.Open().Ready();
        bench.Say("400 mm");
        bench.Press();
        bench.Press(400);
        bench.Wait(500);
        Assert.NotNull(bench.State.Warning);
        bench.Press(400);
        Assert.NotNull(bench.State.Warning);
        bench.Wait(280);
        Assert.NotNull(bench.State.Warning);
        bench.Wait(40);

        Assert.Null(bench.State.Warning);
        Assert.IsType<SittingEvent.Took>(bench.AllWritten[^1]);
    }

    [Fact]
    public void What_could_not_be_written_did_not_happen()
    {
        TestBench bench = TestBench.Open().Ready();
        BenchState before = bench.State;
        bench.Say("14");
        bench.NotWritten(before, 0);

        Assert.Same(before.Work, bench.State.Work);
        Assert.Contains(bench.Told, said => said is Said.Refused);
    }

    [Fact]
    public void Of_a_step_of_two_events_the_first_stands_when_only_it_was_written()
    {
        TestBench bench = TestBench.Open().Ready();
        Enter(bench, "14 t", "14 t", "9 t", "12 t");
        BenchState before = bench.State;
        bench.Say("aside worn coat");
        Assert.Equal(["rack-height", "rack-height", "rack-level"], bench.Written.Cast<SittingEvent.SetAside>().Select(aside => aside.Relation));
        bench.NotWritten(before, 2);

        Assert.Equal(["rack-level"], Assert.IsType<Prompt.Decide>(bench.State.Want.Prompt).Outside.Select(outside => outside.Relation.Id));
    }

    [Fact]
    public void A_reading_is_written_before_it_is_told()
    {
        TestBench bench = TestBench.Open().Ready();
        bench.Say("14");
        List<BenchEffect> effects = [.. bench.Effects];

        int append = effects.FindIndex(effect => effect is BenchEffect.Append { Event: SittingEvent.Took });
        int said = effects.FindIndex(effect => effect is BenchEffect.Say { Said: Said.Took });
        Assert.InRange(append, 0, said - 1);
    }

    [Fact]
    public void Another_hand_is_written_down_and_every_reading_keeps_its_own()
    {
        TestBench bench = TestBench.Open().Ready();
        bench.Say("14");
        bench.Say("hand CD");
        Assert.IsType<SittingEvent.HandChanged>(Assert.Single(bench.Written));
        bench.Say("14");

        Assert.Equal("CD", Assert.IsType<SittingEvent.Took>(Assert.Single(bench.Written)).Reading.Hand);
        Assert.Equal(["AB", "CD"], bench.State.Work.View.State.Hands);
    }

    [Fact]
    public void A_hand_that_goes_on_with_another_ones_sitting_is_written_down_at_the_beginning()
    {
        TestBench bench = TestBench.Open(setup: new BenchSetup { Hand = "CD", Resume = new Resume("HL-001", ["AB"], TestBench.At(TimeSpan.Zero).At, 0, false, false) });

        Assert.Equal("CD", Assert.IsType<SittingEvent.HandChanged>(Assert.Single(bench.Written)).Hand);
        Assert.Contains(bench.Told, said => said is Said.HandIs { Hand: "CD" });
        Assert.Contains(bench.Told, said => said is Said.Resumed);
    }

    [Fact]
    public void Pretended_readings_are_told_at_the_beginning()
    {
        Assert.Contains(TestBench.Open(TestBench.Streaming with { Source = ReadingSource.Emulated }).Told, said => said is Said.Practice);
        Assert.Contains(TestBench.Open(TestBench.Streaming with { Source = ReadingSource.Replay }).Told, said => said is Said.Practice);
        Assert.DoesNotContain(TestBench.Open(TestBench.Streaming).Told, said => said is Said.Practice);
        Assert.DoesNotContain(TestBench.Open().Told, said => said is Said.Practice);
    }

    [Fact]
    public void A_sitting_of_an_earlier_day_asks_first_whether_it_is_the_same_coat()
    {
        TestBench bench = TestBench.Open(setup: new BenchSetup { Resume = new Resume("HL-001", ["AB"], TestBench.At(TimeSpan.Zero).At.AddDays(-1), 0, true, false) });
        bench.Say("ok");
        Assert.Empty(bench.Written);
        bench.Press(3_000);
        Assert.Empty(bench.Written);
        bench.Hold(1);
        bench.Wait(1_000);
        Assert.NotNull(bench.State.SameCoat);
        bench.Say("yes");
        Assert.Null(bench.State.SameCoat);
        bench.Say("ok");
        Assert.Single(bench.Written);
    }

    [Fact]
    public void What_the_line_does_waits_two_seconds_until_a_refusal_was_read()
    {
        TestBench bench = TestBench.Open(TestBench.Streaming).Ready();
        bench.See(new CaliperEvent.Opened());
        bench.Wait(6_000);
        bench.Say("nonsense");
        Said refusal = bench.State.Notice!.Value.Said;
        Assert.IsType<Said.Refused>(refusal);
        bench.See(new CaliperEvent.Lost(LossKind.Gone, "It is gone."));
        Assert.Same(refusal, bench.State.Notice!.Value.Said);
        bench.Wait(1_900);
        Assert.Same(refusal, bench.State.Notice!.Value.Said);
        bench.Wait(100);

        Assert.IsType<Said.Lost>(bench.State.Notice!.Value.Said);
    }

    [Fact]
    public void What_a_move_still_needs_is_read_before_it_and_the_move_foretells_the_readings()
    {
        TestBench bench = TestBench.Open().Ready();
        Enter(bench, "14 t", "14 t", "9 t");
        Assert.Contains(bench.Told, said => said is Said.Judged { Judgement: { Verdict: Verdict.Outside, Relation.Id: "rack-height" } });
        Assert.Equal("rack-low-right", bench.WantedStep);
        Assert.Equal(["rack-height"], bench.State.Want.Outside.Select(outside => outside.Relation.Id));
        Assert.DoesNotContain(bench.Told, said => said is Said.Advised);
        Enter(bench, "9 t");
        Said.Advised advised = Assert.Single(bench.Told.OfType<Said.Advised>());
        Assert.IsType<Prompt.Decide>(bench.State.Want.Prompt);
        Assert.Equal("rack", advised.Move.Item);
        Assert.All(advised.Move.Pins, pin => Assert.Equal((Length.Zero, Length.FromTicks(-3)), (pin.Right, pin.Up)));
        bench.Say("moved");
        Assert.Equal(["rack"], Assert.IsType<SittingEvent.Moved>(Assert.Single(bench.Written)).Items);
        Assert.Equal(["rack-left", "rack-right", "rack-low-left", "rack-low-right"], Assert.Single(bench.Told.OfType<Said.Stale>()).Steps);
        Enter(bench, "14 t", "14 t", "6 t");

        Assert.Equal(Length.FromTicks(6), Assert.Single(bench.Told.OfType<Said.Took>()).ExpectedAfterMove);
    }

    [Fact]
    public void A_press_while_something_is_to_be_decided_decides_nothing()
    {
        TestBench bench = TestBench.Open().Ready();
        Enter(bench, "14 t", "14 t", "9 t", "9 t");
        bench.Hold(20);

        Assert.Empty(bench.Written);
        Assert.IsType<Prompt.Decide>(bench.State.Want.Prompt);
    }

    /// <summary>Left 10.91 mm, right 11.68 mm, heights 4.76 and 4.89 mm: a hand of 0.08 mm does not get them out of the guard band by measuring on.</summary>
    [Fact]
    public void A_borderline_that_more_takes_can_hardly_settle_gets_a_move()
    {
        TestBench bench = TestBench.Open().Ready();
        int takes = 0;
        while (bench.State.Want.Prompt is not Prompt.Decide)
        {
            Assert.InRange(++takes, 1, 20);
            bench.Say(bench.WantedStep switch
            {
                "rack-left" => "10.91 mm",
                "rack-right" => "11.68 mm",
                "rack-low-left" => "4.76 mm",
                "rack-low-right" => "4.89 mm",
                _ => "stop",
            });
        }

        Assert.Contains(bench.Told, said => said is Said.Advised { Move.Item: "rack" });
        Assert.Equal(Verdict.Borderline, Assert.Single(((Prompt.Decide)bench.State.Want.Prompt).Outside).Verdict);
    }

    /// <summary>With 37.7 and 38.7 t beside it the badge is hardly told to be centred; the spark above it is read no further before that is decided.</summary>
    [Fact]
    public void What_is_borderline_below_is_decided_before_what_is_borderline_above_is_read_further()
    {
        Plan plan = Plan.For(StandardFiles.Loaded(StandardFiles.Text("harbour-lantern.toml")), new Dictionary<string, string> { ["spark"] = "yes" });
        TestBench bench = TestBench.Open(plan).Ready();
        Enter(bench, "14 t", "14 t", "6 t", "6 t", "10 t", "10 t", "30.160 mm", "30.160 mm", "5.664 mm", "14 t", "14 t", "12 t", "12 t");
        bench.Say("retake lantern-left");
        Enter(bench, "30.922 mm");

        Assert.Equal(["lantern-centred"], Assert.IsType<Prompt.Decide>(bench.State.Want.Prompt).Outside.Select(judgement => judgement.Relation.Id));
    }

    [Fact]
    public void A_tag_is_corrected_and_a_sitting_given_up_with_a_reason()
    {
        TestBench bench = TestBench.Open().Ready();
        bench.Say("tag HL-002 misread");
        Assert.Equal("HL-002", Assert.IsType<SittingEvent.TagCorrected>(Assert.Single(bench.Written)).Tag);
        Assert.Contains(bench.Told, said => said is Said.TagIs { Tag: "HL-002" });
        bench.Say("abandon");
        Assert.Null(bench.State.End);
        bench.Say("abandon torn seam");

        Assert.Equal("torn seam", Assert.IsType<SittingEvent.Abandoned>(Assert.Single(bench.Written)).Reason);
        Assert.Equal(BenchEnd.Abandoned, bench.State.End);
    }

    [Fact]
    public void A_check_of_the_caliper_is_a_sitting_that_writes_no_events_and_ends_with_what_it_found()
    {
        CaliperCheck asked = new(
            Length.Millimetre.Times(150), new(new PermissibleError(Length.FromMicrometres(20))), [.. new long[] { 0, 10, 25, 50, 100, 140 }.Select(block => CheckPoint.Asked(Length.Millimetre.Times(block)))]);
        TestBench bench = TestBench.Open(Work.Checking.Begin(asked, TestBench.At(TimeSpan.Zero).At));
        Enter(bench, "0.00 mm", "10.00 mm", "25.01 mm", "50.03 mm");
        Assert.False(Assert.Single(bench.Told.OfType<Said.Checked>()).IsWithin);
        Enter(bench, "100.00 mm", "140.02 mm");
        Assert.Contains(bench.Effects, effect => effect is BenchEffect.File);
        bench.Do(new BenchInput.Filed(null, null), 20);

        Assert.Empty(bench.AllWritten);
        Assert.Contains(bench.Told, said => said is Said.CheckDone { Check: { IsWithin: false, Points.Count: 6 } });
        Assert.Equal(BenchEnd.NotGood, bench.State.End);
    }

    [Fact]
    public void The_key_that_signs_held_down_does_not_leave_the_bench()
    {
        TestBench bench = AllWithin(TestBench.Open().Ready());
        bench.Press(2_000);
        Assert.IsType<SittingEvent.Signed>(Assert.Single(bench.Written));
        bench.Do(new BenchInput.Filed(RecordOfSitting.Make(bench.State.Work.View, new ChainPlace("c", 1, Core.Records.Record.NoPrevious)), null), 20);
        bench.Press(480);
        for (int repeat = 0; repeat < 150; repeat++)
        {
            bench.Press(33);
        }

        Assert.Null(bench.State.End);
        Assert.Equal("HL-001", bench.State.Closed!.Record.Tag);
        bench.Press(800);
        Assert.Equal(BenchEnd.Good, bench.State.End);
    }

    private static TestBench AllWithin(TestBench bench)
    {
        Enter(bench, [.. new[] { 14, 14, 6, 6, 10, 10, 38, 38, 14, 14, 12, 12 }.Select(ticks => $"{ticks} t")]);
        return bench;
    }

    private static void Enter(TestBench bench, params string[] lengths)
    {
        foreach (string length in lengths)
        {
            bench.Say(length);
            bench.Look();
        }
    }
}
