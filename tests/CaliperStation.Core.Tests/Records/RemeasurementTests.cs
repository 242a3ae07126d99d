using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Tests.Sittings;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Core.Tests.Records;

public sealed class RemeasurementTests
{
    private static readonly Record First = RemeasurementSample.First();

    [Fact]
    public void The_chosen_steps_are_asked_in_turn_and_then_the_signature()
    {
        Remeasurement second = RemeasurementSample.Begun(First, RecordKind.Countersign, "rack-left", "cord-drop");
        Assert.Equal("rack-left", Asked(second));
        second = RemeasurementSample.Do(second, new SittingCommand.Take(SittingRun.Reading(3010)));
        Assert.Equal("cord-drop", Asked(second));
        second = RemeasurementSample.Do(second, new SittingCommand.Take(SittingRun.Reading(9999)));   // nothing is judged, so nothing is asked again
        Assert.IsType<Prompt.Sign>(second.Prompt);
        second = RemeasurementSample.Do(second, new SittingCommand.Retake("rack-left"));
        Assert.Equal("rack-left", Asked(second));
    }

    [Fact]
    public void What_has_no_place_in_it_is_refused_and_changes_nothing()
    {
        Remeasurement second = RemeasurementSample.Begun(First, RecordKind.Countersign, "rack-left");
        SittingState before = second.State;
        foreach (SittingCommand command in (SittingCommand[])
            [new SittingCommand.Confirm(), new SittingCommand.Retake(), new SittingCommand.Move(["rack"]), new SittingCommand.Aside("no"), new SittingCommand.Sign("CD")])
        {
            Decision decision = second.Decide(command, RemeasurementSample.At);
            Assert.Empty(decision.Events);
            Assert.NotNull(decision.Refusal);
        }

        Assert.Same(before, second.State);
        Assert.Null(second.Apply(new SittingEvent.Moved(["rack"]) { At = RemeasurementSample.At }));
        Assert.Null(second.Apply(new SittingEvent.Took("cord-drop", SittingRun.Reading(3000)) { At = RemeasurementSample.At }));
    }

    [Fact]
    public void Who_measured_signs_whatever_the_case()
    {
        Remeasurement second = RemeasurementSample.Do(RemeasurementSample.Begun(First, RecordKind.Countersign, "rack-left"), new SittingCommand.Take(SittingRun.Reading(3000)));

        Assert.NotNull(second.Decide(new SittingCommand.Sign("AB"), RemeasurementSample.At).Refusal);
        Assert.NotNull(second.Decide(new SittingCommand.Sign("no name"), RemeasurementSample.At).Refusal);
        Assert.IsType<Prompt.Closed>(RemeasurementSample.Do(second, new SittingCommand.Sign("cd")).Prompt);
        Assert.True(InitialsComparer.TookPart(First, "ab"));
        Assert.False(InitialsComparer.TookPart(First, "CD"));
    }

    [Fact]
    public void Its_record_points_at_the_first_and_says_how_each_step_compares()
    {
        Remeasurement second = RemeasurementSample.Signed(First, RecordKind.Countersign, ("rack-left", 3010), ("cord-drop", 3400));
        Record record = RemeasurementSample.Filed(second, First);

        // worked by hand: u² = 20²/3 + 10²/12 + 100² µm², u = 100.71 µm; U of the difference = 2·√2·100.71 = 284.8 µm; 10 and 400 over it
        Assert.Equal([0.0351, 1.4043], record.Comparisons.Select(comparison => Math.Round(comparison.En, 4)));
        Assert.Equal([true, false], record.Comparisons.Select(comparison => comparison.Agrees));
        Assert.False(record.Verified);
        Assert.Equal((First.Id, RecordKind.Countersign, 7), (record.OfRecord, record.Kind, record.Seed));
        Assert.Equal(("CD", "CD", 2L), (record.Hand, record.SignedBy, record.Number));
        Assert.Empty(record.Verdicts);
        RecordParse read = RecordParse.Of(RecordBytes.Write(record));
        Assert.True(read.IsRecord);
        Assert.Equal(record.Comparisons, read.Record.Comparisons);
        Assert.True(RemeasurementSample.Filed(RemeasurementSample.Signed(First, RecordKind.Countersign, ("rack-left", 3010)), First).Verified);
    }

    [Fact]
    public void What_moved_makes_doubtful_what_hangs_on_its_item_but_not_what_was_just_found_to_hold()
    {
        Record filed = RemeasurementSample.Filed(RemeasurementSample.Signed(First, RecordKind.Recheck, ("rack-left", 3400), ("rack-right", 3010)), First);
        Invalidated invalidated = RecordOfRemeasurement.InvalidatedBy(RemeasurementSample.Plan, First, filed.Comparisons);

        Assert.Equal(["badge-gap"], invalidated.Steps);
        Assert.Equal(["rack-height", "rack-level", "badge-height"], invalidated.Relations);

        Record cord = RemeasurementSample.Filed(RemeasurementSample.Signed(First, RecordKind.Recheck, ("cord-drop", 3400)), First);
        Assert.Equal(["cord-drop"], RecordOfRemeasurement.InvalidatedBy(RemeasurementSample.Plan, First, cord.Comparisons).Relations);
        Assert.Empty(RecordOfRemeasurement.InvalidatedBy(RemeasurementSample.Plan, First, cord.Comparisons).Steps);
    }

    [Fact]
    public void The_wrong_record_an_unsigned_measurement_and_an_unknown_step_are_misuse()
    {
        Remeasurement open = RemeasurementSample.Begun(First, RecordKind.Countersign, "rack-left");
        Assert.Throws<ArgumentException>(() => RemeasurementSample.Filed(open, First));
        Remeasurement signed = RemeasurementSample.Signed(First, RecordKind.Countersign, ("rack-left", 3000));
        Assert.Throws<ArgumentException>(() => RemeasurementSample.Filed(signed, First with { Id = "another" }));
        Assert.Throws<ArgumentException>(() => RemeasurementSample.Begun(First, RecordKind.Countersign, "no-such-step"));
    }

    [Fact]
    public void Its_begin_comes_back_from_the_journal_as_it_was()
    {
        RemeasurementStarted started = RemeasurementSample.Begun(First, RecordKind.Recheck, "rack-left", "cord-drop").Started with { Seed = long.MinValue, Answers = new Dictionary<string, string> { ["a\""] = "\u202E" } };
        string body = RemeasurementStartedJson.Body(started);
        RemeasurementStarted read = RemeasurementStartedJson.Read(body, started.At)!;

        Assert.DoesNotContain(body, char.IsControl);
        Assert.Equal(started.Steps, read.Steps);
        Assert.Equal(started.Answers, read.Answers);
        Assert.Equal(started with { Steps = read.Steps, Answers = read.Answers }, read);
        Assert.Null(RemeasurementStartedJson.Read(RemeasurementStartedJson.Body(started with { Seed = null, Share = null }), started.At)!.Seed);
    }

    [Theory]
    [InlineData("")]
    [InlineData("{}")]
    [InlineData("[1]")]
    [InlineData("""{"sitting":"s","of":"sitting","record":"r","tag":"t","hand":"AB","standard":"x","answers":{},"steps":[{"step":"a","why":"close"}]}""")]
    [InlineData("""{"sitting":"s","of":"recheck","record":"r","tag":"t","hand":"AB","standard":"x","answers":{},"steps":[]}""")]
    [InlineData("""{"sitting":"s","of":"recheck","record":null,"tag":"t","hand":"AB","standard":"x","answers":{},"steps":[{"step":"a","why":"close"}]}""")]
    [InlineData("""{"sitting":"s","of":"recheck","record":"r","tag":"t","hand":"AB","standard":"x","answers":{},"seed":1.5,"steps":[{"step":"a","why":"close"}]}""")]
    [InlineData("""{"sitting":"s","of":"recheck","record":"r","tag":"t","hand":"AB","standard":"x","answers":{},"steps":[{"step":"a","why":""},{"step":"a","why":""}]}""")]
    public void A_body_that_is_none_is_told_apart(string body) => Assert.Null(RemeasurementStartedJson.Read(body, RemeasurementSample.At));

    private static string? Asked(Remeasurement second) => (second.Prompt as Prompt.Read)?.Step.Id;
}
