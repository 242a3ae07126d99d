using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Wire;

namespace CaliperStation.Core.Tests.Bench;

/// <summary>A caliper on the line: what a press takes of it, and what it never takes. Figures are of the demonstration's standard.</summary>
public sealed class LiveBenchTests
{
    private static readonly CaliperEvent.Lost _gone = new(LossKind.Gone, "It is gone.");

    [Fact]
    public void A_press_held_down_takes_one_reading_though_the_hand_goes_on()
    {
        TestBench bench = Streaming();
        bench.Stream(11.11);
        bench.Press(20);
        for (int repeat = 0; repeat < 240; repeat++)
        {
            bench.Press(repeat == 0 ? 500 : 33);
            bench.Value(11_110_000 + (repeat < 30 ? 0 : 350_000), 0);
        }

        Assert.Equal(["rack-left"], Taken(bench).Select(took => took.Step));
    }

    [Fact]
    public void A_caliper_that_only_flickers_was_not_moved_and_its_value_is_asked_about()
    {
        TestBench bench = Streaming();
        bench.Read(11.11);
        for (int value = 0; value < 15; value++)
        {
            bench.Value(11_110_000 + (value % 3 == 0 ? 10_000 : 0), 100);
        }

        bench.Press(20);

        Assert.Equal(WarningKind.SameAsBefore, bench.State.Warning!.Said.Warning.Kind);
        Assert.Single(Taken(bench));
    }

    [Fact]
    public void A_doubt_goes_when_the_caliper_moves_and_the_next_press_takes_what_it_shows_then()
    {
        TestBench bench = Streaming();
        bench.Read(11.11);
        bench.Stream(11.11);
        bench.Press(20);
        Assert.NotNull(bench.State.Warning);
        bench.Stream(11.2);
        Assert.Null(bench.State.Warning);
        bench.Press(20);

        Assert.Equal([11_110_000, 11_200_000], Taken(bench).Select(took => took.Reading.Value.Nanometres));
    }

    [Fact]
    public void Three_presses_take_a_value_that_is_asked_about()
    {
        TestBench bench = Streaming();
        bench.Read(11.11);
        bench.Stream(11.11);
        bench.Press(20);
        for (int press = 0; press < 3; press++)
        {
            bench.Value(11_110_000, 250);
            bench.Press(250);
        }

        Assert.Single(Taken(bench));
        bench.Wait(320);
        Assert.Equal(["rack-left", "rack-right"], Taken(bench).Select(took => took.Step));
    }

    [Theory]
    [InlineData(500)]
    [InlineData(1_300)]
    public void Three_presses_of_a_quick_or_a_slow_foot_answer_and_a_fourth_takes_nothing_back(int apart)
    {
        TestBench bench = TestBench.Open().Ready();
        bench.Say("999 t");
        Assert.NotNull(bench.State.Warning);
        for (int press = 0; press < 4; press++)
        {
            bench.Do(new BenchInput.Press(PressOrigin.Person), apart - 400);
            bench.Wait(400);
        }

        Assert.Equal("rack-left", Assert.Single(Taken(bench)).Step);
        Assert.Empty(bench.AllWritten.OfType<SittingEvent.Withdrew>());
    }

    /// <summary>A study ends with its last reading, and so does a slip in it, unless there is a moment to take it back.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_last_reading_of_a_study_may_be_taken_back_before_it_ends(bool back)
    {
        TestBench bench = TestBench.Open(
            new Work.Studying(StudySitting.Begin(new StudyPlan("s", "free points", "", LengthUnit.Millimetre, LengthDisplay.Millimetre, ["AB"], StudyPlan.FreePoints(2), 2, 5, null, TestBench.At(TimeSpan.Zero).At))),
            TestBench.Streaming, new BenchSetup { Hand = "AB" });
        foreach (double reading in (double[])[11.11, 9.52, 11.13, 9.55])
        {
            bench.Read(reading);
            Assert.DoesNotContain(bench.Effects, effect => effect is BenchEffect.File);
            bench.Wait(reading == 9.55 ? 0 : 1_000);
        }

        if (back)
        {
            bench.Press(500);
        }

        bench.Wait(1_000);
        Assert.Equal(!back, bench.Effects.Any(effect => effect is BenchEffect.File));
        Assert.Equal(back, bench.State.Want.Prompt is Prompt.Read);
    }

    [Fact]
    public void A_reading_asked_about_from_before_a_loss_never_counts()
    {
        TestBench bench = Streaming();
        bench.Read(11.11);
        bench.Stream(11.11);
        bench.Press(20);
        bench.See(_gone);
        bench.Say("yes");

        Assert.Null(bench.State.Warning);
        Assert.Single(Taken(bench));
    }

    [Fact]
    public void A_lost_line_says_so_and_typed_lengths_are_taken_all_the_while()
    {
        TestBench bench = Streaming();
        bench.See(_gone);
        Assert.Contains(bench.Told, said => said is Said.Lost { Kind: LossKind.Gone });
        bench.Press();
        Assert.Contains(bench.Told, said => said is Said.Refused);
        bench.Say("14 t");
        bench.See(new CaliperEvent.Opened());
        Assert.Contains(bench.Told, said => said is Said.Back);
        bench.Read(11.2);

        Assert.Equal([ReadingSource.Typed, ReadingSource.Serial], Taken(bench).Select(took => took.Reading.Source));
    }

    [Fact]
    public void What_is_wrong_with_the_line_is_told_and_is_the_answer_to_a_press()
    {
        const string Wrong = "The lines carry no unit.";
        TestBench bench = Streaming();
        bench.See(new CaliperEvent.Refused(FrameReason.NoUnit, "no unit", "12.34"));
        Assert.Contains(bench.Told, said => said is Said.BadFrame { Kind: FrameReason.NoUnit });
        bench.See(new CaliperEvent.Diagnosed(LineTrouble.NoUnit, Wrong));
        Assert.Contains(bench.Told, said => said is Said.Diagnosed { Words: Wrong });
        bench.Press();

        Assert.Contains(Wrong, Assert.Single(bench.Told.OfType<Said.Refused>()).Why);
    }

    [Fact]
    public void A_moving_caliper_is_told_to_hold_still_and_is_taken_once_it_does()
    {
        TestBench bench = Streaming();
        for (int value = 0; value < 10; value++)
        {
            bench.Value(9_000_000 + (value * 200_000), 100);
        }

        bench.Press(20);
        Assert.Contains(bench.Told, said => said is Said.HoldStill);
        bench.Stream(11.11);

        Assert.Equal(11_110_000, Assert.Single(Taken(bench)).Reading.Value.Nanometres);
    }

    [Fact]
    public void A_script_reads_without_a_gate_between_its_lines()
    {
        TestBench bench = Streaming();
        foreach (double shown in new[] { 11.11, 11.2 })
        {
            bench.Stream(shown);
            bench.Do(new BenchInput.Press(PressOrigin.Script), 1);
        }

        Assert.Equal(2, Taken(bench).Count);
    }

    [Fact]
    public void An_answer_after_its_request_timed_out_is_nobodys_and_the_next_request_waits_for_it()
    {
        TestBench bench = AskedFor();
        bench.Press();
        Assert.True(bench.Asks);
        bench.Wait(2_040);
        Assert.Contains(bench.Told, said => said is Said.Refused);
        bench.Press(900);
        Assert.False(bench.Asks);
        bench.Value(11_110_000);
        Assert.Empty(Taken(bench));
        Assert.True(bench.Asks);
        bench.Value(11_200_000, 100);

        Assert.Equal(11_200_000, Assert.Single(Taken(bench)).Reading.Value.Nanometres);
    }

    [Fact]
    public void An_answer_on_its_way_when_a_length_is_typed_is_not_taken_for_the_step_after()
    {
        TestBench bench = AskedFor();
        bench.Press();
        bench.Say("14 t", 100);
        bench.Value(11_110_000, 100);

        Assert.Equal(["rack-left"], Taken(bench).Select(took => took.Step));
        Assert.Equal("rack-right", bench.WantedStep);
    }

    [Fact]
    public void What_the_display_shows_of_itself_is_never_the_answer_of_a_caliper_that_is_asked()
    {
        TestBench bench = AskedFor();
        bench.Press();
        bench.Value(600_000, 10, isOfItself: true);   // the jaws still move
        Assert.Empty(Taken(bench));
        bench.Value(11_110_000, 10);

        Assert.Equal(11_110_000, Assert.Single(Taken(bench)).Reading.Value.Nanometres);
    }

    [Fact]
    public void A_second_answer_and_one_of_much_later_are_no_presses()
    {
        TestBench bench = AskedFor();
        bench.Press();
        bench.Value(11_110_000, 100);
        bench.Value(11_110_000, 600);
        bench.Wait(1_000);
        Assert.Single(Taken(bench));
        bench.Press();
        bench.Wait(4_500);
        bench.Value(11_200_000);
        bench.Wait(1_000);

        Assert.Single(Taken(bench));
    }

    [Fact]
    public void A_request_on_a_line_that_is_lost_is_over()
    {
        TestBench bench = AskedFor();
        bench.Press();
        bench.See(_gone, 100);
        Assert.Contains(bench.Told, said => said is Said.Refused);
        bench.See(new CaliperEvent.Opened(), 500);
        bench.Press();
        Assert.True(bench.Asks);
        bench.Value(11_110_000, 100);

        Assert.Single(Taken(bench));
    }

    [Fact]
    public void A_value_of_the_own_button_is_taken_once_and_never_for_the_step_after_a_typed_one()
    {
        TestBench bench = Streaming();
        bench.Value(11_110_000, 2_000);
        bench.Say("14 t", 100);
        bench.Wait(1_000);
        Assert.Equal([ReadingSource.Typed], Taken(bench).Select(took => took.Reading.Source));
        bench.Value(11_200_000, 2_000);
        bench.Wait(500);

        Assert.Equal(["rack-left", "rack-right"], Taken(bench).Select(took => took.Step));
    }

    [Fact]
    public void Another_caliper_is_asked_about_once()
    {
        TestBench bench = Streaming();
        bench.See(new CaliperEvent.Noted(NoteKind.OtherDevice, "Another device."));
        bench.Read(11.11);
        Assert.Equal(WarningKind.OtherCaliper, bench.State.Warning!.Said.Warning.Kind);
        bench.Say("yes");
        bench.Read(11.2);

        Assert.Equal(2, Taken(bench).Count);
    }

    private static TestBench Streaming() => Opened(TestBench.Streaming);

    private static TestBench AskedFor() => Opened(TestBench.Asked);

    private static TestBench Opened(LiveCaliper caliper)
    {
        TestBench bench = TestBench.Open(caliper).Ready();
        bench.See(new CaliperEvent.Opened());
        return bench;
    }

    private static List<SittingEvent.Took> Taken(TestBench bench) => [.. bench.AllWritten.OfType<SittingEvent.Took>()];
}
