using System.Text.Json;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;

namespace CaliperStation.Core.Tests.Records;

public sealed class ReadinessTests
{
    private static readonly DateTimeOffset Now = new(2026, 3, 10, 9, 0, 0, TimeSpan.Zero);
    private static readonly TimeZoneInfo Zone = TimeZoneInfo.CreateCustomTimeZone("test", new TimeSpan(5, 30, 0), null, null);
    private static readonly ReadinessRule Usual = new(Now, null, false);

    [Fact]
    public void A_verified_blouse_is_ready_by_its_last_sitting()
    {
        Readiness blouse = Of(Usual, Sitting("a", 5, verified: false), Sitting("b", 1));

        Assert.True(blouse.IsReady);
        Assert.Equal(("b", 1), (blouse.Last!.Id, blouse.AgeDays));
    }

    [Fact]
    public void Newest_is_what_was_filed_last_whatever_the_clock_said()
    {
        Readiness failed = Of(Usual, Sitting("a", -365), Sitting("b", 0, verified: false));   // passed by a clock a year ahead, then failed today
        Assert.Equal("b", failed.Last!.Id);
        Assert.Equal([NotReady.NotVerified], failed.Against);
        Assert.True(Of(Usual, Sitting("b", 1, verified: false), Sitting("a", 5)).IsReady);
        Assert.Equal(RemeasurementResult.Differs, Of(Usual, Sitting("a", 5), Second("c", RecordKind.Countersign, "a", -9, agrees: true), Second("d", RecordKind.Countersign, "a", 3, agrees: false)).Countersigned);
    }

    [Fact]
    public void What_was_signed_in_the_future_is_never_ready()
    {
        Readiness future = Of(Usual, Sitting("a", -365));
        Assert.Equal([NotReady.InFuture], future.Against);
        Assert.Null(future.AgeDays);
        Assert.Equal([NotReady.InFuture], Of(Usual with { MaxDays = 7 }, Sitting("a", -6.0 / 1440)).Against);
        Readiness aLittle = Of(Usual, Sitting("a", -4.0 / 1440));
        Assert.True(aLittle.IsReady);
        Assert.Equal(0, aLittle.AgeDays);
        Assert.Equal([NotReady.InFuture], Of(Usual with { Countersigned = true }, Sitting("a", 1), Second("c", RecordKind.Countersign, "a", -1, agrees: true)).Against);
    }

    [Fact]
    public void A_thousand_steps_of_the_clock_hide_no_failed_blouse()
    {
        Random random = new(2026);
        List<RecordSummary> filed = [];
        DateTimeOffset clock = Now;
        for (int step = 0; step < 1000; step++)
        {
            clock = Now.AddMinutes(random.Next(-600_000, 600_000));   // more than a year either way
            filed.Add(Sitting($"s{step}", 0, random.Next(2) == 0) with { Closed = clock });
            DateTimeOffset looked = Now.AddMinutes(random.Next(-600_000, 600_000));
            Readiness blouse = Of(new(looked, null, false), [.. filed]);
            Assert.Equal($"s{step}", blouse.Last!.Id);
            Assert.Equal(filed[^1].Verified && clock - looked <= Readiness.ClockTolerance, blouse.IsReady);
            Assert.True(blouse.AgeDays is null or >= 0);
        }
    }

    [Fact]
    public void Each_thing_that_stands_against_it_is_told()
    {
        Assert.Equal([NotReady.NoRecord], Of(Usual).Against);
        Assert.Equal([NotReady.NotVerified], Of(Usual, Sitting("a", 1, verified: false)).Against);
        Assert.Equal([NotReady.Open], Readiness.Of("QG-1", [Sitting("a", 1)], _ => [], Now, Usual).Against);
        Assert.Equal([NotReady.TooOld], Of(Usual with { MaxDays = 7 }, Sitting("a", 7.01)).Against);
        Assert.Empty(Of(Usual with { MaxDays = 7 }, Sitting("a", 7)).Against);
        Assert.Equal([NotReady.CountersignDiffers], Of(Usual, Sitting("a", 2), Second("c", RecordKind.Countersign, "a", 1, agrees: false)).Against);
        Assert.Equal([NotReady.Moved], Of(Usual, Sitting("a", 2), Second("c", RecordKind.Recheck, "a", 1, agrees: false)).Against);
        Assert.Equal([NotReady.NotCountersigned], Of(Usual with { Countersigned = true }, Sitting("a", 2)).Against);
    }

    [Fact]
    public void Only_a_second_look_at_the_last_sitting_counts_and_the_last_of_those()
    {
        Assert.Equal(RemeasurementResult.None, Of(Usual, Sitting("a", 5), Second("c", RecordKind.Countersign, "a", 4, agrees: false), Sitting("b", 1)).Countersigned);
        Assert.Equal(RemeasurementResult.Agrees, Of(Usual, Sitting("a", 5), Second("c", RecordKind.Countersign, "a", 4, agrees: false), Second("d", RecordKind.Countersign, "a", 3, agrees: true)).Countersigned);
        Assert.True(Of(Usual with { Countersigned = true }, Sitting("a", 5), Second("d", RecordKind.Countersign, "a", 3, agrees: true)).IsReady);
    }

    [Fact]
    public void What_was_set_aside_is_said_with_its_reason_and_harmless_in_every_form()
    {
        RecordSummary last = Sitting("a", 1, verified: false) with { Asides = 1 };
        Readiness blouse = Readiness.Of("QG-1", [last], _ => [new RecordAside("rack-gap", "rack-left", "=cmd, \"thread\"", Now)], null, Usual);

        Assert.Equal("rack gap at rack left: =cmd, \"thread\"", ReadinessTable.Text([blouse], TimeZoneInfo.Utc, _ => null).Split("  ", StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Single(cell => cell.StartsWith("rack gap", StringComparison.Ordinal)));
        Assert.Contains("\"rack-gap at rack-left: =cmd, \"\"thread\"\"\"", ReadinessTable.Csv([blouse]), StringComparison.Ordinal);
        Readiness formula = Readiness.Of("QG-1", [last], _ => [new RecordAside("=1+1", null, "x", Now)], null, Usual);
        Assert.Contains(",'=1+1: x,", ReadinessTable.Csv([formula]), StringComparison.Ordinal);
        using JsonDocument json = JsonDocument.Parse(ReadinessTable.Json([blouse]));
        Assert.Equal("=cmd, \"thread\"", json.RootElement.GetProperty("setAside")[0].GetProperty("reason").GetString());
    }

    [Fact]
    public void The_table_has_a_line_a_blouse_and_says_how_many_are_ready()
    {
        string[] lines = ReadinessTable.Text([Of(Usual, Sitting("a", 2), Second("c", RecordKind.Countersign, "a", 1, agrees: true)), Readiness.Of("QG-2", [], _ => [], null, Usual)], Zone, _ => null).Split('\n');

        Assert.Equal("blouse  ready  verified  countersigned  rechecked  signed                      days  set aside  why not", lines[0]);
        Assert.Equal("QG-1    yes    yes       agrees         -          2026-03-08 14:30:00 +05:30  2     -", lines[1]);
        Assert.Equal("QG-2    no     -         -              -          -                           -     -          no record", lines[2]);
        Assert.Equal("1 of 2 ready.", lines[3]);
    }

    [Fact]
    public void The_CSV_has_as_many_fields_on_every_line()
    {
        Readiness none = Readiness.Of("QG-2", [], _ => [], Now, Usual);
        string[] lines = ReadinessTable.Csv([Of(Usual, Sitting("a", 2)), none]).Split("\r\n", StringSplitOptions.RemoveEmptyEntries);

        Assert.Equal("QG-1,true,true,false,none,none,a,2026-03-08T09:00:00.000Z,2,,,", lines[1]);
        Assert.Equal([NotReady.NoRecord, NotReady.Open], none.Against);
        Assert.Equal($"QG-2,false,,,none,none,,,,2026-03-10T09:00:00.000Z,,{string.Join("; ", none.Why)}", lines[2]);
    }

    [Fact]
    public void The_queue_says_what_each_blouse_wants_and_puts_the_most_urgent_first()
    {
        ReadinessRule rule = new(Now, 30, true);
        RecordSummary good = Sitting("a", 1);
        (string Tag, BlouseWants Wants, Readiness Blouse)[] cases =
        [
            ("open", BlouseWants.GoOn, Readiness.Of("open", [good], _ => [], Now, rule)),
            ("failed", BlouseWants.SetRight, Of(rule, Sitting("a", 1, verified: false))),
            ("moved", BlouseWants.SetRight, Of(rule, good, Second("b", RecordKind.Recheck, "a", 0, agrees: false))),
            ("differs", BlouseWants.SetRight, Of(rule, good, Second("b", RecordKind.Countersign, "a", 0, agrees: false))),
            ("new", BlouseWants.Measure, Of(rule)),
            ("practised", BlouseWants.Measure, Of(rule, good with { Practice = true })),
            ("old", BlouseWants.Measure, Of(rule, Sitting("a", 31))),
            ("future", BlouseWants.Measure, Of(rule, Sitting("a", -1))),
            ("once", BlouseWants.Countersign, Of(rule, good)),
            ("ready", BlouseWants.Nothing, Of(rule, good, Second("b", RecordKind.Countersign, "a", 0, agrees: true))),
        ];
        IReadOnlyList<QueuedBlouse> queue = DayQueue.Of(cases.Reverse().Select(each => each.Blouse with { Tag = each.Tag }), rule);

        Assert.Equal(cases.Select(each => (each.Tag, each.Wants)).OrderBy(each => each.Tag), queue.Select(blouse => (blouse.Tag, blouse.Wants)).OrderBy(each => each.Tag));
        Assert.Equal(queue.Select(blouse => blouse.Wants).Order(), queue.Select(blouse => blouse.Wants));
        Assert.Equal(["differs", "moved", "failed"], queue.Where(blouse => blouse.Wants == BlouseWants.SetRight).Select(blouse => blouse.Tag));   // as the list had them
        Assert.Equal(BlouseWants.Nothing, DayQueue.Of(Of(Usual, good), Usual).Wants);   // nobody asks for a countersign
    }

    private static Readiness Of(ReadinessRule rule, params RecordSummary[] records) => Readiness.Of("QG-1", records, _ => [], null, rule);

    private static RecordSummary Sitting(string id, double daysAgo, bool verified = true) =>
        new(id, RecordKind.Sitting, null, "QG-1", "AB", "AB", Now.AddDays(-daysAgo), Now.AddDays(-daysAgo), "Invented", "1", [], 1, 0, 0, 0, verified);

    private static RecordSummary Second(string id, RecordKind kind, string of, double daysAgo, bool agrees) =>
        Sitting(id, daysAgo, agrees) with { Kind = kind, OfRecord = of };
}
