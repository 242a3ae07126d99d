using System.Text.Json;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Judging;
using CaliperStation.Core.Tests.Sittings;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Core.Tests.Records;

public sealed class BlouseHistoryTests : IDisposable
{
    private readonly Samples.Signer _signer = new();

    public void Dispose() => _signer.Dispose();

    [Fact]
    public void A_record_is_compared_step_by_step_with_the_newest_before_that_read_the_same()
    {
        Record first = RemeasurementSample.First();
        Record second = RemeasurementSample.Filed(RemeasurementSample.Signed(first, RecordKind.Recheck, ("badge-gap", 3100)), first);
        Record third = Read(first, "s-3", "badge-gap", 3700);

        IReadOnlyList<HistoryEntry> entries = Of(first, second, third);

        Assert.Equal([HistoryKind.Measured, HistoryKind.Rechecked, HistoryKind.Measured], entries.Select(entry => entry.Kind));
        Assert.Empty(entries[0].Changes);
        HistoryChange recheck = Assert.Single(entries[1].Changes);
        Assert.Equal(("badge-gap", first.Id, 3_000_000.0, 3_100_000.0, true), (recheck.Step, recheck.Since, recheck.BeforeNanometres, recheck.NowNanometres, recheck.Agrees));
        Assert.Equal(["rack-left", "rack-right", "badge-gap", "cord-drop"], entries[2].Changes.Select(change => change.Step));
        HistoryChange moved = entries[2].Changes.Single(change => !change.Agrees);
        Assert.Equal(("badge-gap", second.Id, 600_000.0), (moved.Step, moved.Since, moved.NowNanometres - moved.BeforeNanometres));
        Assert.Equal(second.Comparisons[0].En, recheck.En);   // one measure of agreement, wherever it is asked
    }

    [Fact]
    public void What_was_set_right_and_an_open_sitting_are_told()
    {
        SittingRun open = Coat.Ready().Take(3000, 3000).Retake("rack-right").Take(3100).Move("rack").Take(3000);

        HistoryEntry entry = Assert.Single(BlouseHistory.Of([], new HashSet<string>(), open.View));

        Assert.Equal((HistoryKind.Open, (DateTimeOffset?)null, false), (entry.Kind, entry.Closed, entry.Verified));
        Assert.Equal([("rack-right", false), ("rack-left", true), ("rack-right", true)], entry.Withdrawn.Select(withdrawal => (withdrawal.Step, withdrawal.Moved)));
        Assert.Equal(["rack"], Assert.Single(entry.Repins).Items);
        Assert.Equal([Verdict.Within], entry.Verdicts.Select(verdict => verdict.Verdict));
    }

    [Fact]
    public void A_no_to_a_look_and_what_was_set_aside_with_its_reason_are_told()
    {
        Sheet sheet = Coat.RackBadgeCord().Look("flat", new LookPlace(LookWhen.After, "rack"));
        SittingRun open = Coat.Ready(sheet).Take(3000, 3000).Do(new SittingCommand.NotSo()).Confirm().Take(4000).Aside("thread is short");

        IReadOnlyList<HistoryEntry> entries = BlouseHistory.Of([], new HashSet<string>(), open.View);

        Assert.Equal("flat", Assert.Single(entries[0].NotSo).Line);
        Assert.Equal(("badge-height", "thread is short"), (Assert.Single(entries[0].Asides).Relation, entries[0].Asides[0].Reason));
        string text = HistoryTable.Text(entries, _ => null, TimeZoneInfo.Utc);
        Assert.Contains("thread is short", text, StringComparison.Ordinal);
        Assert.Contains("not so", text, StringComparison.Ordinal);
        using JsonDocument json = JsonDocument.Parse(HistoryTable.Json(entries));
        Assert.Equal("badge-height", json.RootElement.GetProperty("notWithin")[0].GetProperty("relation").GetString());
        Assert.Equal("flat", json.RootElement.GetProperty("notSo")[0].GetProperty("line").GetString());
        Assert.Equal("thread is short", json.RootElement.GetProperty("asides")[0].GetProperty("reason").GetString());
    }

    [Fact]
    public void Practice_is_shown_and_compared_with_nothing()
    {
        Record first = RemeasurementSample.First();
        IReadOnlyList<HistoryEntry> entries = Of(first, Read(first, "s-2", "rack-left", 3300) with { Practice = true, Verified = false }, first with { Id = "s-3" });

        Assert.Equal([false, true, false], entries.Select(entry => entry.Practice));
        Assert.Empty(entries[1].Changes);
        Assert.All(entries[2].Changes, change => Assert.Equal((first.Id, 0.0), (change.Since, change.NowNanometres - change.BeforeNanometres)));
    }

    [Fact]
    public void Another_standard_or_another_place_of_a_step_is_not_compared()
    {
        Record first = RemeasurementSample.First();
        Record other = first with { Id = "s-2", Standard = first.Standard with { Name = "Another company" } };
        Record turned = first with { Id = "s-3", Readings = [.. first.Readings.Select(reading => reading with { From = "collar" })] };

        Assert.Empty(Of(first, other)[1].Changes);
        Assert.Empty(Of(first, turned)[1].Changes);
    }

    [Fact]
    public void Takes_without_any_uncertainty_agree_when_they_are_equal()
    {
        Record plain = RemeasurementSample.First();
        Record exact = plain with
        {
            Judging = plain.Judging with { Hand = Core.Quantities.Length.Zero, Caliper = Core.Quantities.Length.Zero },
            Readings = [.. plain.Readings.Select(reading => reading with { Takes = [.. reading.Takes.Select(take => take with { Resolution = Core.Quantities.Length.Zero })] })],
        };

        HistoryEntry entry = Of(exact, exact with { Id = "s-2" })[1];

        Assert.All(entry.Changes, change => Assert.Equal(((double?)null, true), (change.En, change.Agrees)));
        Assert.DoesNotContain("\"en\"", HistoryTable.Json([entry]), StringComparison.Ordinal);
    }

    [Fact]
    public void The_table_tells_the_difference_in_the_unit_of_the_standard()
    {
        Record first = RemeasurementSample.First();
        IReadOnlyList<HistoryEntry> entries = Of(first, Read(first, "s-2", "rack-left", 3400));
        string text = HistoryTable.Text(entries, _ => RemeasurementSample.Plan.Standard, TimeZoneInfo.Utc);
        string row = text.Split('\n').Single(line => line.Contains("moved ", StringComparison.Ordinal) && line.Contains(RemeasurementSample.Plan.Standard.StepName("rack-left"), StringComparison.Ordinal));
        string difference = Core.Quantities.LengthFormat.Show(Core.Quantities.Length.FromMicrometres(400), RemeasurementSample.Plan.Standard.Show);

        Assert.Contains($"+{difference}: ", row, StringComparison.Ordinal);
        using JsonDocument json = JsonDocument.Parse(HistoryTable.Json(entries).Split('\n')[1]);
        JsonElement change = json.RootElement.GetProperty("changes")[0];
        Assert.Equal(("rack-left", 400_000.0, false), (change.GetProperty("step").GetString(), change.GetProperty("differenceNm").GetDouble(), change.GetProperty("agrees").GetBoolean()));
    }

    [Fact]
    public void A_record_whose_signature_does_not_count_here_is_not_verified()
    {
        SealedRecord seal = SealedRecord.Seal(RemeasurementSample.First(), _signer);

        Assert.True(BlouseHistory.Of([seal], new HashSet<string> { _signer.PublicKey })[0].Verified);
        Assert.False(BlouseHistory.Of([seal], new HashSet<string>())[0].Verified);
    }

    /// <summary>The same record with another id and one step read as something else.</summary>
    private static Record Read(Record record, string id, string step, long micrometres) => record with
    {
        Id = id,
        Readings = [.. record.Readings.Select(reading => reading.Step == step ? reading with { Takes = [SittingRun.Reading(micrometres)] } : reading)],
    };

    private IReadOnlyList<HistoryEntry> Of(params Record[] records) =>
        BlouseHistory.Of(records.Select(record => SealedRecord.Seal(record, _signer)), new HashSet<string> { _signer.PublicKey });
}
