using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Standards;

namespace CaliperStation.Core.Tests.Bench;

/// <summary>A bench whose person, caliper, clock and disk are the test's: it steps the engine and keeps what came of the last step and of all.</summary>
internal sealed class TestBench
{
    private TimeSpan _now = TimeSpan.FromHours(1);
    private long _shownNm;

    private TestBench(BenchStep begun) => (State, Effects) = (begun.State, begun.Effects);

    internal BenchState State { get; private set; }

    /// <summary>What the last step wants done.</summary>
    internal IReadOnlyList<BenchEffect> Effects { get; private set; }

    /// <summary>All events so far.</summary>
    internal List<SittingEvent> AllWritten { get; } = [];

    /// <summary>What was said aloud.</summary>
    internal List<string> Spoken { get; } = [];

    internal Moment Now => At(_now);

    internal SittingEvent[] Written => [.. Effects.OfType<BenchEffect.Append>().Select(append => append.Event)];

    internal Said[] Told => [.. Effects.OfType<BenchEffect.Say>().Select(say => say.Said)];

    internal bool Asks => Effects.Any(effect => effect is BenchEffect.AskCaliper);

    internal string? WantedStep => (State.Want.Prompt as Prompt.Read)?.Step.Id;

    internal static Moment At(TimeSpan now) => new(now, new DateTimeOffset(2026, 1, 5, 8, 0, 0, TimeSpan.Zero) + now);

    /// <summary>On the demonstration's standard.</summary>
    internal static TestBench Open(LiveCaliper? caliper = null, BenchSetup? setup = null, string hand = "AB") =>
        Open(Plan.For(StandardFiles.Loaded(StandardFiles.Text("harbour-lantern.toml")), new Dictionary<string, string>()), caliper, setup, hand);

    internal static TestBench Open(Plan plan, LiveCaliper? caliper = null, BenchSetup? setup = null, string hand = "AB")
    {
        Moment now = At(TimeSpan.FromHours(1));
        SittingEvent.Started started = new("s", "HL-001", hand, plan.Standard.Sha256, plan.Answers) { At = now.At };
        return Open(new Work.Measuring(SittingView.Of(Sitting.Begin(plan, started))), caliper, setup);
    }

    internal static TestBench Open(Work work, LiveCaliper? caliper = null, BenchSetup? setup = null) =>
        new(BenchEngine.Begin(work, caliper ?? new LiveCaliper(), setup ?? new BenchSetup(), At(TimeSpan.FromHours(1))));

    /// <summary>A caliper that streams; it shows nothing until <see cref="Stream"/>.</summary>
    internal static LiveCaliper Streaming => new() { Name = "caliper", Source = ReadingSource.Serial };

    /// <summary>A caliper that sends when it is asked.</summary>
    internal static LiveCaliper Asked => Streaming with { IsAsked = true };

    internal TestBench Ready()
    {
        for (int line = 0; line < State.Work.View.State.Plan.Ready.Count; line++)
        {
            Say("ok");
        }

        return this;
    }

    internal void Say(string line, int later = 1_000) => Do(new BenchInput.Says(Answer.Of(line)), later);

    internal void Press(int later = 1_500) => Do(new BenchInput.Press(PressOrigin.Person), later);

    /// <summary>A key goes down, repeats after half a second, then each 33 ms.</summary>
    internal void Hold(int repeats, int later = 1_500)
    {
        Press(later);
        for (int repeat = 0; repeat < repeats; repeat++)
        {
            Press(repeat == 0 ? 500 : 33);
        }
    }

    internal void See(CaliperEvent seen, int later = 20) => Do(new BenchInput.Caliper(seen), later);

    internal void Value(long nanometres, int later = 20, bool isOfItself = false)
    {
        _shownNm = nanometres;
        DateTimeOffset at = At(_now + TimeSpan.FromMilliseconds(later)).At;
        See(
            new CaliperEvent.Value(new Reading(Length.FromNanometres(nanometres), LengthUnit.Millimetre, Length.FromNanometres(10_000), ReadingSource.Serial, at, "x")
            {
                Arrived = _now + TimeSpan.FromMilliseconds(later),
            })
            { IsOfItself = isOfItself },
            later);
    }

    /// <summary>Values each 100 ms: the jaws go to this one and are held there.</summary>
    internal void Stream(double millimetres, int values = 12)
    {
        long to = (long)Math.Round(millimetres * 100) * 10_000;
        Value((_shownNm + to) / 20_000 * 10_000, 100);
        for (int value = 0; value < values; value++)
        {
            Value(to, 100);
        }
    }

    /// <summary>Moves the jaws and presses once they are still: one reading.</summary>
    internal void Read(double millimetres)
    {
        Stream(millimetres);
        Press(20);
    }

    /// <summary>Time goes on, in ticks of 20 ms; the effects of all are kept.</summary>
    internal void Wait(int milliseconds)
    {
        List<BenchEffect> all = [];
        for (int gone = 0; gone < milliseconds; gone += 20)
        {
            Do(new BenchInput.Tick(), 20);
            all.AddRange(Effects);
        }

        Effects = all;
    }

    internal void Do(BenchInput input, int later)
    {
        _now += TimeSpan.FromMilliseconds(later);
        BenchStep step = BenchEngine.Step(State, input, Now);
        (State, Effects) = (step.State, step.Effects);
        AllWritten.AddRange(Written);
        if (Core.Reports.SpeechText.Of(Told, LengthDisplay.Ticks) is { Length: > 0 } spoken)
        {
            Spoken.Add(spoken);
        }
    }

    /// <summary>The last step's append failed after some of its events.</summary>
    internal void NotWritten(BenchState before, int written)
    {
        BenchStep step = BenchEngine.NotWritten(before, State, [.. Written.Take(written)], "the disk is full", Now);
        AllWritten.RemoveRange(AllWritten.Count - Written.Length + written, Written.Length - written);
        (State, Effects) = (step.State, step.Effects);
    }
}
