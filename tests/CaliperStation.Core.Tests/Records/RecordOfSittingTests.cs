using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Tests.Sittings;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Core.Tests.Records;

public sealed class RecordOfSittingTests
{
    private static readonly ChainPlace Place = new("0123456789abcdef", 1, Record.NoPrevious);

    [Fact]
    public void Each_take_says_whose_it_is_and_every_hand_is_kept_also_of_what_was_withdrawn()
    {
        SittingRun run = Coat.Ready().Take(3000);
        run.Do(new SittingCommand.TakeOver("EF")).Take(3000).Retake();
        run.Do(new SittingCommand.TakeOver("GH")).Take(3000, 3000, 3000).Sign("CD");
        Record record = Filed(run);

        Assert.Equal(["AB", "GH", "GH", "GH"], record.Readings.SelectMany(reading => reading.Takes).Select(take => take.Hand));
        Assert.Equal(["AB", "EF", "GH"], record.Hands);
        Assert.All(["ab", "EF", "gh", "CD"], hand => Assert.True(InitialsComparer.TookPart(record, hand)));   // measured or signed: none of them countersigns
        Assert.False(InitialsComparer.TookPart(record, "IJ"));
        Assert.True(record.IsVerified);
        Assert.True(new RecordFilter(Hand: "ef").Wants(RecordSummary.Of(record)));
        Assert.False(new RecordFilter(Hand: "IJ").Wants(RecordSummary.Of(record)));
    }

    [Fact]
    public void A_pretended_reading_makes_a_practice_record_though_it_was_withdrawn_and_all_is_within()
    {
        SittingRun run = Coat.Ready();
        run.Do(new SittingCommand.Take(SittingRun.Reading(3000) with { Source = ReadingSource.Emulated })).Retake();
        Record record = Filed(run.Take(3000, 3000, 3000, 3000).Sign());

        Assert.Equal((true, true, false, false), (record.Practice, record.IsPractice, record.Verified, record.IsVerified));
        Assert.Equal((true, false), (RecordSummary.Of(record).Practice, RecordSummary.Of(record).Verified));

        Record second = RemeasurementSample.Filed(RemeasurementSample.Signed(record, RecordKind.Countersign, ("rack-left", 3000)), record);
        Assert.Equal((true, false, true), (second.IsPractice, second.IsVerified, second.Agrees));
        Assert.Equal("CD", Assert.Single(Assert.Single(second.Readings).Takes).Hand);
        Assert.Equal(["CD"], second.Hands);
    }

    [Fact]
    public void The_tag_is_the_corrected_one_and_the_wrong_one_is_kept_with_the_reason()
    {
        SittingRun run = Coat.Ready().Take(3000);
        run.Do(new SittingCommand.CorrectTag("QG-018", "read from the wrong hanger")).Take(3000, 3000, 3000).Sign();
        Record record = Filed(run);

        Assert.Equal("QG-018", record.Tag);
        RecordTagCorrection correction = Assert.Single(record.TagCorrections);
        Assert.Equal(("QG-017", "read from the wrong hanger"), (correction.From, correction.Reason));
        Assert.Equal(run.State, run.Replayed());
    }

    [Fact]
    public void Practice_says_nothing_of_the_coat_where_there_is_a_real_record_of_it()
    {
        RecordSummary real = RecordSummary.Of(Filed(Coat.Ready().Take(3000, 3000, 3000, 3000).Sign())) with { Id = "real" };
        RecordSummary practised = real with { Id = "practised", Closed = real.Closed.AddDays(1), Practice = true, Verified = false };
        RecordSummary countersign = practised with { Id = "c", Kind = RecordKind.Countersign, OfRecord = "real" };
        ReadinessRule rule = new(real.Closed.AddDays(2), null, false);

        Readiness both = Readiness.Of("QG-017", [real, practised, countersign], _ => [], null, rule);
        Assert.Equal(("real", true, RemeasurementResult.None), (both.Last!.Id, both.IsReady, both.Countersigned));
        Readiness only = Readiness.Of("QG-017", [practised], _ => [], null, rule);
        Assert.Equal(("practised", false, 1), (only.Last!.Id, only.IsReady, only.Why.Count));
    }

    [Fact]
    public void A_second_measurement_can_be_given_up_with_a_reason_and_is_then_closed()
    {
        Record first = RemeasurementSample.First();
        Remeasurement second = RemeasurementSample.Begun(first, RecordKind.Countersign, "rack-left");
        foreach (SittingCommand command in (SittingCommand[])[new SittingCommand.Abandon(" "), new SittingCommand.TakeOver("EF"), new SittingCommand.CorrectTag("QG-2", "wrong")])
        {
            Assert.NotNull(second.Decide(command, RemeasurementSample.At).Refusal);
        }

        Remeasurement over = RemeasurementSample.Do(second, new SittingCommand.Abandon("the coat was fetched"));
        Assert.IsType<Prompt.Closed>(over.Prompt);
        Assert.NotNull(over.Decide(new SittingCommand.Abandon("again"), RemeasurementSample.At).Refusal);
    }

    private static Record Filed(SittingRun run)
    {
        RecordParse read = RecordParse.Of(RecordBytes.Write(RecordOfSitting.Make(run.View, Place)));
        Assert.True(read.IsRecord, read.Fault);
        return read.Record;
    }
}
