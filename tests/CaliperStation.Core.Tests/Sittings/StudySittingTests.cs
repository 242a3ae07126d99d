using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Bench;
using CaliperStation.Core.Tests.Studies;

namespace CaliperStation.Core.Tests.Sittings;

/// <summary>A study at the bench: the same engine, blind, hand after hand.</summary>
public sealed class StudySittingTests
{
    private static readonly DateTimeOffset At = new(2026, 12, 1, 9, 0, 0, TimeSpan.Zero);

    private static readonly StudyPlan Two = StudyPlanTests.Plan(2, 2, 5, "AB", "CD");

    [Fact]
    public void A_hand_presses_through_its_part_and_the_bench_is_left()
    {
        TestBench bench = Open(TestBench.Streaming, "AB");
        IReadOnlyList<StudySlot> order = Two.OrderOf("AB");
        for (int at = 0; at < order.Count; at++)
        {
            Assert.Equal(order[at].Step, bench.WantedStep);
            bench.Read(10 + at);
        }

        Assert.Equal(order.Select(slot => slot.Step), bench.AllWritten.OfType<SittingEvent.Took>().Select(took => took.Step));
        Assert.All(bench.AllWritten.OfType<SittingEvent.Took>(), took => Assert.Equal("AB", took.Reading.Hand));
        bench.Wait(1_000);   // a second press might take the last one back
        Assert.Contains(bench.Effects, effect => effect is BenchEffect.File);
        bench.Do(new BenchInput.Filed(null, null), 20);
        Assert.Equal(BenchEnd.Good, bench.State.End);
        Said.StudyDone done = Assert.Single(bench.Told.OfType<Said.StudyDone>());
        Assert.Equal((4, 0), (done.Study.Missing, done.Study.MissingOf("AB")));
    }

    [Fact]
    public void Neither_a_value_nor_a_verdict_is_told()
    {
        TestBench bench = Open(new LiveCaliper(), "AB");
        bench.Say("11.11 mm");

        Said.Kept kept = Assert.Single(bench.Told.OfType<Said.Kept>());
        Assert.DoesNotContain(bench.Told, said => said is Said.Judged or Said.Took);
        Assert.All(bench.Told, said => Assert.DoesNotContain(BenchText.Lines(said, LengthDisplay.Millimetre), line => line.Words.Contains("11.1", StringComparison.Ordinal)));
        Assert.Equal(Length.FromMicrometres(11_110), kept.Reading.Value);
        Assert.Empty(bench.State.Work.View.Judgements);
    }

    [Fact]
    public void The_second_of_two_presses_takes_a_reading_back_and_it_is_asked_again()
    {
        TestBench bench = Open(TestBench.Streaming, "AB");
        string first = bench.WantedStep!;
        bench.Read(10);
        bench.Press(500);
        bench.Wait(300);

        Assert.IsType<SittingEvent.Withdrew>(bench.AllWritten[^1]);
        Assert.Equal(first, bench.WantedStep);
        Assert.Equal(1, ((Work.Studying)bench.State.Work).Study.Withdrawn);
    }

    [Fact]
    public void Another_hand_goes_on_with_its_own_order_and_nobody_else_does()
    {
        TestBench bench = Open(new LiveCaliper(), "AB");
        bench.Say("10 mm");
        bench.Say("hand XY");
        Assert.Contains(bench.Told, said => said is Said.Refused);
        bench.Say("hand cd");

        Assert.Equal("CD", bench.State.Work.View.State.Hand);
        Assert.Equal(Two.OrderOf("CD")[0].Step, bench.WantedStep);
        StudySitting study = ((Work.Studying)bench.State.Work).Study;
        Assert.Equal((3, 4), (study.MissingOf("AB"), study.MissingOf("CD")));
    }

    [Theory]
    [InlineData("ok")]
    [InlineData("moved rack")]
    [InlineData("aside as ordered")]
    [InlineData("sign AB")]
    [InlineData("tag QG-1 wrong")]
    [InlineData("retake")]
    [InlineData("abandon")]
    [InlineData("rubbish")]
    public void What_has_no_place_in_a_study_is_refused_and_changes_nothing(string line)
    {
        TestBench bench = Open(new LiveCaliper(), "AB");
        Work before = bench.State.Work;
        bench.Say(line);

        Assert.Contains(bench.Told, said => said is Said.Refused);
        Assert.Same(before, bench.State.Work);
        Assert.Empty(bench.Written);
    }

    [Fact]
    public void A_study_comes_back_from_its_events_and_goes_on()
    {
        TestBench bench = Open(new LiveCaliper(), "CD");
        SittingEvent[] begun = bench.Written;
        Assert.Equal("CD", Assert.IsType<SittingEvent.HandChanged>(Assert.Single(begun)).Hand);
        bench.Say("10 mm");
        bench.Say("11 mm");
        bench.Say("retake");
        StudySitting was = ((Work.Studying)bench.State.Work).Study;

        StudySitting again = begun.Concat(bench.AllWritten)
            .Select(happened => SittingEventJson.Read(SittingEventJson.Kind(happened), SittingEventJson.Body(happened), happened.At)!)
            .Aggregate(StudySitting.Begin(Two), (study, happened) => study.Apply(happened)!);

        Assert.Equal(was.Takes, again.Takes);
        Assert.Equal(("CD", 1), (again.Hand, again.Withdrawn));
        Assert.Equal(((Prompt.Read)was.View.Prompt).Step.Id, ((Prompt.Read)again.View.Prompt).Step.Id);
    }

    [Fact]
    public void An_event_that_cannot_be_of_the_study_is_none()
    {
        StudySitting study = StudySitting.Begin(Two);
        Reading reading = new(Length.Inch, LengthUnit.Millimetre, Length.FromMicrometres(10), ReadingSource.Typed, At, "25.4") { Hand = "AB" };
        string step = Two.OrderOf("AB")[0].Step;

        Assert.Null(study.Apply(new SittingEvent.Took("nowhere", reading) { At = At }));
        Assert.Null(study.Apply(new SittingEvent.Took(step, reading with { Hand = "CD" }) { At = At }));
        Assert.Null(study.Apply(new SittingEvent.Withdrew(step) { At = At }));
        Assert.Null(study.Apply(new SittingEvent.HandChanged("XY") { At = At }));
        Assert.Null(study.Apply(new SittingEvent.Signed("AB") { At = At }));
        StudySitting read = study.Apply(new SittingEvent.Took(step, reading) { At = At })!;
        Assert.Null(read.Apply(new SittingEvent.Took(step, reading) { At = At }));
    }

    [Fact]
    public void A_pretended_reading_makes_it_practice_though_taken_again()
    {
        StudySitting study = StudySitting.Begin(Two);
        Reading reading = new(Length.Inch, LengthUnit.Millimetre, Length.FromMicrometres(10), ReadingSource.Emulated, At, "x") { Hand = "AB" };
        string step = Two.OrderOf("AB")[0].Step;
        StudySitting after = study.Apply(new SittingEvent.Took(step, reading) { At = At })!.Apply(new SittingEvent.Withdrew(step) { At = At })!;

        Assert.True(after.IsPractice);
        Assert.Equal(8, after.Missing);
    }

    private static TestBench Open(LiveCaliper caliper, string hand) => TestBench.Open(new Work.Studying(StudySitting.Begin(Two)), caliper, new BenchSetup { Hand = hand });
}
