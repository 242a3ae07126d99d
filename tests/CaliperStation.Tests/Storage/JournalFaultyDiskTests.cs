using System.Globalization;
using CaliperStation.Storage;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Storage;

public class JournalFaultyDiskTests
{
    private static readonly DateTimeOffset _at = new(2026, 11, 30, 23, 59, 50, TimeSpan.Zero);
    private static readonly FakeTimeProvider _clock = new(_at);

    /// <summary>Every operation fails in turn, once; the caller tries the event again. Then the process is killed, or the plug pulled.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(40)]
    [InlineData(10_000)]
    public void A_fault_at_every_operation_in_turn_acknowledges_nothing_that_is_not_there_and_loses_nothing(int halfWritten)
    {
        for (int fault = 1; fault < 60; fault++)
        {
            FaultyFolder folder = new() { HalfWritten = halfWritten };
            int operations = 0;
            folder.Before = _ => { if (++operations == fault) { throw new IOException("no space left on device"); } };
            List<JournalLine> acknowledged = [];
            using Journal journal = Journal.Open(folder, true, _clock);
            for (int n = 1; n <= 12; n++)
            {
                DateTimeOffset at = _at.AddSeconds(n);   // goes over the end of the month
                try
                {
                    acknowledged.Add(journal.Append(at, "s", "reading", $$"""{"v":{{n}}}"""));
                }
                catch (StoreException e)
                {
                    Assert.Equal(StoreFault.NotAppended, e.Fault);
                    SameAfterStart(folder.AfterPowerCut(), acknowledged);
                    acknowledged.Add(journal.Append(at, "s", "reading", $$"""{"v":{{n}}}"""));
                }

                SameAfterStart(folder.AfterPowerCut(), acknowledged);
            }

            Assert.Equal(acknowledged, journal.Read());
            SameAfterStart(folder.AfterKill(), acknowledged);
        }
    }

    [Fact]
    public void A_disk_that_stays_full_refuses_each_event_and_goes_on_when_there_is_space()
    {
        FaultyFolder folder = new() { HalfWritten = 17 };
        using Journal journal = Journal.Open(folder, true, _clock);
        JournalLine first = journal.Append(_at, "s", "a", "{}");
        folder.Before = operation => { if (operation is "write") { throw new IOException("no space left on device"); } };
        for (int n = 0; n < 5; n++)
        {
            Assert.Throws<StoreException>(() => journal.Append(_at, "s", "b", "{}"));
        }

        SameAfterStart(folder.AfterKill(), [first]);
        folder.Before = _ => { };
        JournalLine second = journal.Append(_at, "s", "c", "{}");
        SameAfterStart(folder.AfterKill(), [first, second]);
    }

    [Fact]
    public void An_event_whose_flush_failed_is_gone_even_after_a_kill()
    {
        FaultyFolder folder = new();
        using Journal journal = Journal.Open(folder, true, _clock);
        JournalLine first = journal.Append(_at, "s", "a", "{}");
        folder.Before = operation => { if (operation == "flush") { throw new IOException("input/output error"); } };
        Assert.Throws<StoreException>(() => journal.Append(_at, "s", "b", "{}"));
        SameAfterStart(folder.AfterKill(), [first]);
    }

    [Fact]
    public void A_segment_that_changed_under_a_failed_flush_is_not_written_again()
    {
        FaultyFolder folder = new();
        using Journal journal = Journal.Open(folder, true, _clock);
        journal.Append(_at, "s", "a", "{}");
        byte[] forgotten = folder.Bytes("2026-11.jsonl");
        forgotten[20] ^= 1;
        folder.Before = operation => { if (operation == "flush") { throw new IOException("input/output error"); } };
        Assert.Throws<StoreException>(() => journal.Append(_at, "s", "b", "{}"));
        folder.Before = _ => { };
        folder.Set("2026-11.jsonl", forgotten);
        StoreException refused = Assert.Throws<StoreException>(() => journal.Append(_at, "s", "c", "{}"));   // the disk is well again: it is the text that does not hold
        Assert.Equal(StoreFault.NotAppended, refused.Fault);
        Assert.Equal(forgotten, folder.Bytes("2026-11.jsonl"));
    }

    /// <summary>Another program has the segment in its hands: the event does not count, and not one of the other's bytes changes.</summary>
    [Theory]
    [InlineData("a line more", false)]
    [InlineData("a line more", true)]
    [InlineData("cut", false)]
    [InlineData("cut", true)]
    [InlineData("gone", false)]
    [InlineData("gone", true)]
    [InlineData("another's end", false)]
    [InlineData("another's end", true)]
    [InlineData("half a line more", false)]
    [InlineData("half a line more", true)]
    public void What_another_program_did_to_the_segment_is_neither_written_over_nor_cut(string deed, bool afterAFailure)
    {
        const string name = "2026-11.jsonl";
        FaultyFolder folder = new() { HalfWritten = 30 };
        using Journal journal = Journal.Open(folder, true, _clock);
        journal.Append(_at, "s", "a", "{}");
        JournalLine last = journal.Append(_at, "s", "b", "{}");
        byte[] known = folder.Bytes(name);
        if (afterAFailure)
        {
            folder.Before = operation => { if (operation is "write" or "cut") { throw new IOException("no space left on device"); } };
            Assert.Throws<StoreException>(() => journal.Append(_at, "s", "c", "{}"));
            folder.Before = _ => { };
        }

        byte[] others = JournalFormat.Write(last.Number + 1, _at, "other", "reading", """{"v":7}""", last.Hash, out _);
        if (deed == "gone")
        {
            folder.Remove(name);
        }
        else
        {
            folder.Set(name, deed switch
            {
                "a line more" => [.. known, .. others],
                "half a line more" => [.. known, .. others[..80]],
                "cut" => known[..^70],
                _ => [.. known[..^10], .. "0123456\"}\n"u8],
            });
        }

        byte[]? before = deed == "gone" ? null : folder.Bytes(name);
        for (int n = 0; n < 3; n++)
        {
            Assert.Throws<StoreException>(() => journal.Append(_at.AddSeconds(n * 20), "s", "d", "{}"));   // the last two want the next month
        }

        Assert.Equal(before, folder.Names().Contains(name) ? folder.Bytes(name) : null);
        Assert.DoesNotContain("2026-12.jsonl", folder.Names());
        Assert.Equal(last.Number, journal.LastNumber);
    }

    [Fact]
    public void A_segment_of_the_next_month_that_another_program_made_is_left_alone()
    {
        FaultyFolder folder = new();
        using Journal journal = Journal.Open(folder, true, _clock);
        JournalLine last = journal.Append(_at, "s", "a", "{}");
        folder.Set("2026-12.jsonl", JournalFormat.Write(2, _at.AddSeconds(11), "other", "a", "{}", last.Hash, out _));
        byte[] others = folder.Bytes("2026-12.jsonl");
        Assert.Throws<StoreException>(() => journal.Append(_at.AddSeconds(12), "s", "b", "{}"));
        Assert.Equal(others, folder.Bytes("2026-12.jsonl"));
    }

    [Fact]
    public void A_torn_end_that_cannot_be_kept_is_not_cut()
    {
        FaultyFolder folder = JournalTests.Filled(2, out _);
        byte[] torn = folder.Bytes("2026-11.jsonl")[..^30];
        folder.Set("2026-11.jsonl", torn);
        folder.Before = operation => { if (operation == "create") { throw new IOException("no space left on device"); } };
        Assert.Throws<StoreException>(() => Journal.Open(folder, true, _clock));
        Assert.Equal(torn, folder.Bytes("2026-11.jsonl"));
    }

    [Fact]
    public void A_read_only_folder_is_told_before_anything_else()
    {
        FaultyFolder folder = new() { Before = _ => throw new UnauthorizedAccessException("access denied") };
        using Journal journal = Journal.Open(folder, true, _clock);
        StoreException refused = Assert.Throws<StoreException>(() => journal.Append(_at, "s", "a", "{}"));
        Assert.Equal((StoreFault.NotAppended, true), (refused.Fault, refused.IsWrongUsage));
        Assert.IsType<UnauthorizedAccessException>(refused.InnerException);
        Assert.Empty(journal.Read());
    }

    /// <summary>
    /// The power is cut while the last event is on its way; what was never flushed comes back cut, zeroed or garbled. 300 cuts by
    /// themselves; <c>CALIPER_STATION_POWER_CUTS</c> asks for more, each run with others.
    /// </summary>
    [Fact]
    public void After_a_power_cut_with_any_tail_the_acknowledged_events_are_there()
    {
        int cuts = int.TryParse(Environment.GetEnvironmentVariable("CALIPER_STATION_POWER_CUTS"), CultureInfo.InvariantCulture, out int asked) ? asked : 300;
        int seed = cuts == 300 ? 20261125 : Environment.TickCount;
        Random random = new(seed);
        for (int round = 0; round < cuts; round++)
        {
            FaultyFolder folder = new();
            List<JournalLine> acknowledged = [];
            using Journal journal = Journal.Open(folder, true, _clock);
            for (int n = 0; n < 3; n++)
            {
                acknowledged.Add(journal.Append(_at, "s", "reading", $$"""{"v":{{n}},"raw":"{{new string('x', random.Next(900))}}"}"""));
            }

            folder.Before = operation => { if (operation is "flush" or "cut") { throw new IOException("the plug is pulled"); } };
            Assert.Throws<StoreException>(() => journal.Append(_at, "s", "reading", $$"""{"lost":"{{new string('y', random.Next(2000))}}"}"""));
            FaultyFolder left = folder.AfterPowerCut((durable, now) => Garble(durable, now, random));
            using Journal after = Journal.Open(left, true, _clock);
            Assert.True(after.Report.IsSound, $"seed {seed}, cut {round}: {string.Join("; ", after.Report.Damage)}");
            List<JournalLine> read = [.. after.Read()];
            Assert.Equal(acknowledged, read.Take(3));
            Assert.True(read.Count == 3 || (read.Count == 4 && read[3].Body.StartsWith("{\"lost\":\"", StringComparison.Ordinal)));
        }
    }

    private static byte[] Garble(byte[] durable, byte[] now, Random random)
    {
        byte[] tail = now[durable.Length..];
        for (int sector = 0; sector < tail.Length; sector += 512)
        {
            Span<byte> part = tail.AsSpan(sector, Math.Min(512, tail.Length - sector));
            switch (random.Next(3))
            {
                case 0: part.Clear(); break;
                case 1: random.NextBytes(part); break;
                default: break;
            }
        }

        return [.. durable, .. tail[..random.Next(tail.Length + 1)]];
    }

    private static void SameAfterStart(FaultyFolder left, List<JournalLine> acknowledged)
    {
        using Journal after = Journal.Open(left, true, _clock);
        Assert.True(after.Report.IsSound);
        Assert.Equal(acknowledged, after.Read());
    }
}
