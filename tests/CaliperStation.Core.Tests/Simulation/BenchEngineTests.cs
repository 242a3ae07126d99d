using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Standards;

namespace CaliperStation.Core.Tests.Simulation;

public sealed class BenchEngineTests
{
    private readonly Plan _plan = Plan.For(StandardFiles.Loaded(StandardFiles.Text("harbour-lantern.toml")), new Dictionary<string, string>());
    private TimeSpan _now = TimeSpan.FromHours(1);
    private BenchState _state;
    private IReadOnlyList<BenchEffect> _effects = [];

    public BenchEngineTests() => _state = Open(new BenchSetup());

    private Moment Now => new(_now, new DateTimeOffset(2026, 1, 5, 8, 0, 0, TimeSpan.Zero) + _now);

    private IEnumerable<SittingEvent> Written => _effects.OfType<BenchEffect.Append>().Select(append => append.Event);

    private IEnumerable<Said> Told => _effects.OfType<BenchEffect.Say>().Select(say => say.Said);

    [Fact]
    public void A_press_held_down_confirms_one_line()
    {
        int confirmed = 0;
        Do(new BenchInput.Press(PressOrigin.Person), 2_000);
        confirmed += Written.Count();
        Do(new BenchInput.Press(PressOrigin.Person), 500);
        confirmed += Written.Count();
        for (int repeat = 0; repeat < 200; repeat++)
        {
            Do(new BenchInput.Press(PressOrigin.Person), 33);
            confirmed += Written.Count();
        }

        Assert.Equal(1, confirmed);
    }

    [Fact]
    public void An_empty_line_of_a_script_confirms_nothing()
    {
        Do(new BenchInput.Press(PressOrigin.Script), 2_000);

        Assert.Empty(Written);
        Assert.Contains(Told, said => said is Said.Refused);
    }

    [Fact]
    public void A_bare_whole_number_is_ticks_where_ticks_are_shown_and_one_beyond_the_coat_is_asked_about()
    {
        Ready();
        Say("14");
        Assert.Equal(Length.FromTicks(14), Assert.IsType<SittingEvent.Took>(Assert.Single(Written)).Reading.Value);
        Say("400 mm");
        Assert.Empty(Written);
        Assert.Equal(DoubtKind.BeyondCoat, _state.Doubt!.Said.Doubt.Kind);
        Say("yes");
        Assert.Equal(Length.Millimetre.Times(400), Assert.IsType<SittingEvent.Took>(Assert.Single(Written)).Reading.Value);
    }

    [Fact]
    public void What_could_not_be_written_did_not_happen()
    {
        Ready();
        BenchState before = _state;
        Say("14");
        BenchStep told = BenchEngine.NotWritten(before, _state, [], "the disk is full", Now);

        Assert.Same(before.Work, told.State.Work);
        Assert.Contains(told.Effects, effect => effect is BenchEffect.Say { Said: Said.Refused });
    }

    [Fact]
    public void Another_hand_is_written_down_and_every_reading_keeps_its_own()
    {
        Ready();
        Say("14");
        Say("hand CD");
        Say("14");

        Assert.Equal("CD", Assert.IsType<SittingEvent.Took>(Assert.Single(Written)).Reading.Hand);
        Assert.Equal(["AB", "CD"], _state.Work.View.State.Hands);
    }

    [Fact]
    public void A_sitting_of_an_earlier_day_asks_first_whether_it_is_the_same_coat()
    {
        _state = Open(new BenchSetup { Resume = new Resume("HL-001", ["AB"], Now.At.AddDays(-1), 0, true, false) });
        Say("ok");
        Assert.Empty(Written);
        Do(new BenchInput.Press(PressOrigin.Person), 3_000);
        Assert.Empty(Written);
        Say("yes");
        Say("ok");
        Assert.Single(Written);
    }

    [Fact]
    public void The_key_that_signs_held_down_does_not_leave_the_bench()
    {
        Ready();
        foreach (int ticks in (int[])[14, 14, 6, 6, 10, 10, 38, 38, 14, 14, 12, 12])
        {
            Say($"{ticks} t");
        }

        Do(new BenchInput.Press(PressOrigin.Person), 2_000);
        Assert.IsType<SittingEvent.Signed>(Assert.Single(Written));
        Do(new BenchInput.Filed(RecordOfSitting.Make(_state.Work.View, new ChainPlace("c", 1, Core.Records.Record.NoPrevious)), null), 20);
        Do(new BenchInput.Press(PressOrigin.Person), 480);
        for (int repeat = 0; repeat < 150; repeat++)
        {
            Do(new BenchInput.Press(PressOrigin.Person), 33);
        }

        Assert.Null(_state.End);
        Assert.Equal("HL-001", _state.Closed!.Record.Tag);
        Do(new BenchInput.Press(PressOrigin.Person), 800);
        Assert.Equal(BenchEnd.Good, _state.End);
    }

    private BenchState Open(BenchSetup setup)
    {
        SittingEvent.Started started = new("s", "HL-001", "AB", _plan.Standard.Sha256, _plan.Answers) { At = Now.At };
        return BenchEngine.Begin(new Work.Measuring(SittingView.Of(Sitting.Begin(_plan, started))), new LiveCaliper(), setup, Now).State;
    }

    private void Ready()
    {
        for (int line = 0; line < _plan.Ready.Count; line++)
        {
            Say("ok");
        }
    }

    private void Say(string line) => Do(new BenchInput.Says(Answer.Of(line)), 1_000);

    private void Do(BenchInput input, int later)
    {
        _now += TimeSpan.FromMilliseconds(later);
        BenchStep step = BenchEngine.Step(_state, input, Now);
        (_state, _effects) = (step.State, step.Effects);
    }
}
