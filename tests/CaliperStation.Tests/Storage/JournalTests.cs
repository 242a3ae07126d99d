using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using CaliperStation.Storage;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Storage;

public class JournalTests
{
    private static readonly DateTimeOffset _at = new(2026, 11, 25, 1, 19, 5, 123, TimeSpan.Zero);
    private static readonly DateTimeOffset _monthEnd = new(2026, 11, 30, 23, 0, 0, TimeSpan.Zero);
    private static readonly FakeTimeProvider _clock = new(_at);

    [Fact]
    public void A_line_has_the_documented_shape_and_its_hash_can_be_made_by_anybody()
    {
        FaultyFolder folder = new();
        using Journal journal = Journal.Open(folder, true, _clock);
        journal.Append(_at, "s1", "started", """{"tag":"QG-017"}""");
        journal.Append(_at, "s1", "reading", """{"valueNm":3175000}""");

        string[] lines = Encoding.UTF8.GetString(folder.Bytes("2026-11.jsonl")).Split('\n');
        string first = """{"n":1,"at":"2026-11-25T01:19:05.123Z","sitting":"s1","kind":"started","body":{"tag":"QG-017"}""";
        string firstHash = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(new string('0', 64) + first)));
        Assert.Equal(first + ",\"h\":\"" + firstHash + "\"}", lines[0]);
        string second = """{"n":2,"at":"2026-11-25T01:19:05.123Z","sitting":"s1","kind":"reading","body":{"valueNm":3175000}""";
        Assert.Equal(Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(firstHash + second))), JsonDocument.Parse(lines[1]).RootElement.GetProperty("h").GetString());
        Assert.Equal("", lines[2]);
    }

    [Fact]
    public void What_was_appended_is_read_back_by_the_next_start()
    {
        FaultyFolder folder = Filled(5, out List<JournalLine> written);
        using Journal again = Journal.Open(folder, false, _clock);
        Assert.Equal(written, again.Read());
        Assert.Equal(written[2..], again.ReadFrom(3));
        Assert.Equal(5, again.LastNumber);
        Assert.True(again.Report.IsSound);
        Assert.Null(again.Report.Torn);
    }

    [Fact]
    public void Segments_follow_the_month_and_never_go_back()
    {
        FaultyFolder folder = new();
        using Journal journal = Journal.Open(folder, true, _clock);
        journal.Append(_monthEnd, "s", "a", "{}");
        journal.Append(_monthEnd.AddHours(2), "s", "b", "{}");
        journal.Append(_monthEnd, "s", "clock-went-back", "{}");
        journal.Append(_monthEnd.AddMonths(1).AddDays(1), "s", "after-a-pause", "{}");
        journal.Append(_monthEnd.AddMonths(1).AddDays(2), "s", "c", "{}");

        Assert.Equal(["2026-11.jsonl", "2026-12.jsonl", "2027-01.jsonl"], folder.Names().Order());
        using Journal again = Journal.Open(folder, true, _clock);
        Assert.Equal(["a", "b", "clock-went-back", "after-a-pause", "c"], again.Read().Select(line => line.Kind));
        Assert.Equal(6, again.Append(_at, "s", "d", "{}").Number);
        Assert.Equal(["c", "d"], again.ReadFrom(5).Select(line => line.Kind));
    }

    [Fact]
    public void One_instant_far_in_the_future_captures_no_later_month()
    {
        FaultyFolder folder = new();
        using (Journal journal = Journal.Open(folder, true, _clock))
        {
            journal.Append(_monthEnd, "s", "a", "{}");
            journal.Append(_monthEnd.AddYears(10), "s", "future", "{}");
        }

        using Journal again = Journal.Open(folder, true, _clock);
        Assert.Equal(_monthEnd.AddYears(10), again.LastAt);
        again.Append(_monthEnd.AddMinutes(1), "s", "b", "{}");
        again.Append(_monthEnd.AddHours(2), "s", "c", "{}");
        Assert.Equal(["2026-11.jsonl", "2026-12.jsonl"], folder.Names().Order());
        Assert.Equal(["c"], again.ReadFrom(4).Select(line => line.Kind));
    }

    [Fact]
    public void A_segment_far_ahead_does_not_grow_without_end()
    {
        FaultyFolder folder = new();
        folder.Set("2036-11.jsonl", []);
        JournalLine first = Append(0);
        for (int n = 1; n < 40; n++)
        {
            Assert.Equal(first.Number + n, Append(n).Number);
        }

        Assert.Equal("2036-11.jsonl", folder.Names().Order().First());
        Assert.True(folder.Names().Count > 5);
        Assert.All(folder.Names(), name => Assert.True(folder.Bytes(name).Length < 1200));
        using Journal look = Journal.Open(folder, false, _clock);
        Assert.True(look.Report.IsSound);
        Assert.Equal(40, look.Read().Count());

        JournalLine Append(int n)
        {
            using Journal journal = Journal.Open(folder, true, _clock, maxSegment: 1000);
            return journal.Append(_at.AddMinutes(n), "s", "k", "{}");
        }
    }

    [Fact]
    public void A_thousand_steps_of_the_clock_keep_the_order_of_the_events()
    {
        Random random = new(1126);
        FaultyFolder folder = new();
        Journal journal = Journal.Open(folder, true, _clock);
        for (int n = 1; n <= 1000; n++)
        {
            DateTimeOffset at = random.Next(4) == 0 ? _at.AddMinutes(random.Next(-600_000, 600_000)) : _at.AddHours(n * 8);
            Assert.Equal(n, journal.Append(at, "s", "k", "{}").Number);
            if (n % 97 == 0)
            {
                journal.Dispose();
                journal = Journal.Open(folder, true, _clock);
            }
        }

        journal.Dispose();
        using Journal look = Journal.Open(folder, false, _clock);
        Assert.True(look.Report.IsSound);
        Assert.Equal(Enumerable.Range(1, 1000).Select(n => (long)n), look.Read().Select(line => line.Number));
        Assert.True(folder.Names().Count > 5, string.Join(' ', folder.Names()));
    }

    [Theory]
    [InlineData("bad name", "k", "{}")]
    [InlineData("s", "", "{}")]
    [InlineData("s", "k", "[]")]
    [InlineData("s", "k", "{")]
    [InlineData("s", "k", "{}{}")]
    [InlineData("s", "k", "{\n}")]
    [InlineData("s", "k", " {}")]
    public void What_may_not_stand_in_a_line_is_misuse_and_changes_nothing(string sitting, string kind, string body)
    {
        FaultyFolder folder = Filled(1, out _);
        byte[] before = folder.Bytes("2026-11.jsonl");
        using Journal journal = Journal.Open(folder, true, _clock);
        Assert.Throws<ArgumentException>(() => journal.Append(_at, sitting, kind, body));
        Assert.Equal(before, folder.Bytes("2026-11.jsonl"));
    }

    [Fact]
    public void Half_a_surrogate_pair_is_no_text_and_is_misuse()
    {
        using Journal journal = Journal.Open(new FaultyFolder(), true, _clock);
        Assert.Throws<ArgumentException>(() => journal.Append(_at, "s", "k", "{\"a\":\"" + (char)0xD800 + "\"}"));
    }

    [Fact]
    public void A_line_longer_than_the_bound_is_refused_and_one_in_a_file_is_damage_that_costs_no_memory()
    {
        FaultyFolder folder = Filled(1, out _);
        using Journal journal = Journal.Open(folder, true, _clock);
        Assert.Throws<ArgumentException>(() => journal.Append(_at, "s", "k", $"{{\"x\":\"{new string('x', JournalFormat.MaximumLine)}\"}}"));

        byte[] longLine = [.. Enumerable.Repeat((byte)'x', JournalFormat.MaximumLine + 10), (byte)'\n'];
        folder.Set("2026-11.jsonl", [.. folder.Bytes("2026-11.jsonl"), .. longLine]);
        using Journal again = Journal.Open(folder, true, _clock);
        JournalDamage damage = Assert.Single(again.Report.Damage);
        Assert.Equal(("2026-11.jsonl", 2, DamageKind.Unreadable), (damage.File, damage.Line, damage.Kind));
    }

    [Fact]
    public void A_looking_command_reads_while_a_bench_writes()
    {
        using TemporaryFolder place = new();
        StorePaths paths = place.Paths;
        using StoreLock held = StoreLock.Acquire(paths);
        using Journal bench = Journal.Open(paths, true, _clock);
        bench.Append(_at, "s", "a", "{}");
        using Journal look = Journal.Open(paths, false, _clock);
        bench.Append(_at, "s", "b", "{}");
        Assert.Equal(["a"], look.Read().Select(line => line.Kind));
        using Journal later = Journal.Open(paths, false, _clock);
        Assert.Equal(["a", "b"], later.Read().Select(line => line.Kind));
        Assert.Throws<InvalidOperationException>(() => later.Append(_at, "s", "c", "{}"));
    }

    internal static FaultyFolder Filled(int lines, out List<JournalLine> written)
    {
        FaultyFolder folder = new();
        using Journal journal = Journal.Open(folder, true, _clock);
        written = [];
        for (int n = 1; n <= lines; n++)
        {
            written.Add(journal.Append(_at.AddSeconds(n), "sitting-" + (n % 2), "reading", $$"""{"step":"s{{n}}","valueNm":{{n * 1000}}}"""));
        }

        return folder;
    }
}
