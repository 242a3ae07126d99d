using CaliperStation.Core.Bench;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Core.Tests.Bench;

/// <summary>A blouse worked by one switch, and what a second one says; figures are of the demonstration's standard.</summary>
public sealed class OneSwitchTests
{
    private static TestBench Opened(params string[] reasons) => TestBench.Open(TestBench.Streaming, new BenchSetup { Reasons = reasons });

    /// <summary>The rack's bottom edge lies 1 mm too high at its right pin and right at the left; the rest of the rack is in place.</summary>
    private static TestBench WithATiltedRack(params string[] reasons)
    {
        TestBench bench = Opened(reasons);
        bench.See(new CaliperEvent.Opened());
        foreach (int _ in Enumerable.Range(0, bench.State.Work.View.State.Plan.Ready.Count))
        {
            bench.Press();
        }

        foreach ((string step, double millimetres) in ((string, double)[])[("rack-left", 11.00), ("rack-right", 11.30), ("rack-low-left", 3.18), ("rack-low-right", 4.18)])
        {
            Assert.Equal(step, bench.WantedStep);
            bench.Read(millimetres);
        }

        Assert.IsType<Prompt.Decide>(bench.State.Want.Prompt);
        Assert.NotNull(bench.State.Want.Pin);
        return bench;
    }

    [Fact]
    public void A_second_press_within_a_second_takes_a_reading_back_and_it_can_be_taken_again_at_once()
    {
        TestBench bench = Opened().Ready();
        bench.Read(11.11);
        bench.Press(500);
        Assert.Empty(bench.Written);
        bench.Wait(300);
        Assert.Equal("rack-left", Assert.IsType<SittingEvent.Withdrew>(Assert.Single(bench.AllWritten.TakeLast(1))).Step);
        Assert.Contains(bench.Effects, effect => effect is BenchEffect.Ring { Sound: Sound.TakenBack });
        Assert.Equal("rack-left", bench.WantedStep);
        bench.Stream(11.11, 10);
        bench.Press(20);
        Assert.Equal(11_110_000, Assert.IsType<SittingEvent.Took>(Assert.Single(bench.Written)).Reading.Value.Nanometres);
    }

    [Theory]
    [InlineData(2)]
    [InlineData(40)]
    public void A_held_switch_takes_nothing_back(int repeats)
    {
        TestBench bench = Opened().Ready();
        bench.Stream(11.11);
        bench.Hold(repeats, 20);
        bench.Wait(1_000);
        Assert.Single(bench.AllWritten.OfType<SittingEvent.Took>());
        Assert.Empty(bench.AllWritten.OfType<SittingEvent.Withdrew>());
    }

    [Fact]
    public void A_readiness_line_is_asked_again_after_a_second_press()
    {
        TestBench bench = Opened();
        string first = Assert.IsType<Prompt.See>(bench.State.Want.Prompt).Look.Id;
        bench.Press();
        bench.Press(500);
        bench.Wait(300);
        Assert.Equal(first, Assert.IsType<SittingEvent.Unconfirmed>(bench.AllWritten[^1]).Line);
        Assert.Equal(first, Assert.IsType<Prompt.See>(bench.State.Want.Prompt).Look.Id);
        bench.Press();
        Assert.Equal(first, Assert.IsType<SittingEvent.Confirmed>(bench.AllWritten[^1]).Line);
    }

    [Fact]
    public void What_is_outside_is_moved_pin_by_pin_and_counts_when_the_last_pin_was()
    {
        TestBench bench = WithATiltedRack();
        int pins = bench.State.Want.Pin!.Of;
        for (int pin = 1; pin <= pins; pin++)
        {
            Assert.Equal(pin, bench.State.Want.Pin!.At);
            bench.Press();
            Assert.Empty(bench.Written);
        }

        bench.Wait(900);
        Assert.Equal(["rack"], Assert.IsType<SittingEvent.Moved>(bench.AllWritten[^1]).Items);
        Assert.Equal(0, bench.State.PinsMoved);
        Assert.IsType<Prompt.Read>(bench.State.Want.Prompt);
    }

    [Fact]
    public void The_last_pin_is_taken_back_before_it_is_written()
    {
        TestBench bench = WithATiltedRack();
        int pins = bench.State.Want.Pin!.Of;
        for (int pin = 1; pin <= pins; pin++)
        {
            bench.Press();
        }

        bench.Press(500);
        bench.Wait(2_000);
        Assert.Empty(bench.AllWritten.OfType<SittingEvent.Moved>());
        Assert.Equal(pins, bench.State.Want.Pin!.At);
    }

    [Fact]
    public void A_switch_held_down_moves_one_pin()
    {
        TestBench bench = WithATiltedRack();
        bench.Hold(100);
        Assert.Equal(1, bench.State.PinsMoved);
        Assert.Empty(bench.AllWritten.OfType<SittingEvent.Moved>());
    }

    [Fact]
    public void Not_so_takes_the_last_reading_again_and_says_no_to_a_question()
    {
        TestBench bench = Opened().Ready();
        bench.Read(11.11);
        bench.Do(new BenchInput.NotSo(), 1_500);
        Assert.Equal("rack-left", Assert.IsType<SittingEvent.Withdrew>(Assert.Single(bench.Written)).Step);
        bench.Read(11.11 * 25.4);
        Assert.NotNull(bench.State.Warning);
        bench.Do(new BenchInput.NotSo(), 1_500);
        Assert.Null(bench.State.Warning);
        Assert.Empty(bench.Written);
        bench.Do(new CaliperNotSo().Input, 100);
        Assert.Empty(bench.Told);   // it bounced
    }

    [Fact]
    public void Usual_reasons_are_offered_one_after_the_other_and_a_press_takes_one()
    {
        TestBench bench = WithATiltedRack("the cloth does not allow it", "as ordered");
        bench.Say("aside");
        Assert.Equal("the cloth does not allow it", bench.State.Want.Reason);
        bench.Do(new BenchInput.NotSo(), 1_000);
        Assert.Equal("as ordered", bench.State.Want.Reason);
        bench.Press();
        Assert.Equal("as ordered", Assert.IsType<SittingEvent.SetAside>(bench.Written[0]).Reason);
        Assert.Null(bench.State.Want.Reason);
    }

    [Fact]
    public void The_key_that_ended_a_typed_length_held_down_takes_no_reading()
    {
        TestBench bench = Opened().Ready();
        bench.Stream(3.18);
        bench.Say("11.11 mm", 20);
        bench.Press(500);
        for (int repeat = 0; repeat < 40; repeat++)
        {
            bench.Press(33);
        }

        bench.Wait(1_000);
        Assert.Equal(ReadingSource.Typed, Assert.Single(bench.AllWritten.OfType<SittingEvent.Took>()).Reading.Source);
        Assert.Empty(bench.AllWritten.OfType<SittingEvent.Withdrew>());
    }

    private sealed record CaliperNotSo
    {
        internal BenchInput Input { get; } = new BenchInput.Caliper(new CaliperEvent.NotSo());
    }
}
