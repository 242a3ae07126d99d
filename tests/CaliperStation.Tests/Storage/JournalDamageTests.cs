using System.Text;
using CaliperStation.Storage;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Storage;

public class JournalDamageTests
{
    private const string Name = "2026-11.jsonl";
    private static readonly DateTimeOffset _at = new(2026, 11, 25, 2, 0, 0, TimeSpan.Zero);
    private static readonly FakeTimeProvider _clock = new(_at);

    [Fact]
    public void Cut_anywhere_the_whole_lines_stay_and_the_torn_one_is_kept_beside()
    {
        byte[] whole = JournalTests.Filled(3, out List<JournalLine> written).Bytes(Name);
        int[] ends = [.. whole.Select((value, index) => (value, index)).Where(pair => pair.value == '\n').Select(pair => pair.index + 1)];
        for (int length = 0; length <= whole.Length; length++)
        {
            FaultyFolder folder = new();
            folder.Set(Name, whole[..length]);
            int holds = ends.Count(end => end <= length);
            bool onlyFeedGone = ends.Contains(length + 1);   // proven by its hash, so it counts
            using Journal journal = Journal.Open(folder, true, _clock);

            Assert.True(journal.Report.IsSound);
            Assert.Equal(written[..(holds + (onlyFeedGone ? 1 : 0))], journal.Read());
            bool clean = length == 0 || ends.Contains(length);
            Assert.Equal(!clean, journal.Report.Torn is not null);
            if (!clean && !onlyFeedGone)
            {
                int lastEnd = ends.LastOrDefault(end => end <= length);
                Assert.Equal(whole[lastEnd..length], folder.Bytes(journal.Report.Torn!.KeptAs!));
                Assert.Contains(journal.Report.Torn.KeptAs!, journal.Report.Torn.Words, StringComparison.Ordinal);
                Assert.Equal(lastEnd, folder.Bytes(Name).Length);
            }

            JournalLine next = journal.Append(_at, "s", "next", "{}");
            using Journal again = Journal.Open(folder, true, _clock);
            Assert.Null(again.Report.Torn);
            Assert.Equal(next, again.Read().Last());
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void A_tail_that_came_back_as_zeros_or_garbage_is_torn_not_read(int kind)
    {
        byte[] whole = JournalTests.Filled(3, out List<JournalLine> written).Bytes(Name);
        int start = whole.AsSpan(0, whole.Length - 1).LastIndexOf((byte)'\n') + 1;
        byte[] tail = whole[start..];
        Span<byte> lost = kind switch
        {
            0 => tail,
            1 => tail.AsSpan(30),
            _ => tail.AsSpan(20, 60),
        };
        if (kind == 2)
        {
            new Random(7).NextBytes(lost);
        }
        else
        {
            lost.Clear();
        }

        FaultyFolder folder = new();
        folder.Set(Name, [.. whole[..start], .. tail]);
        using Journal journal = Journal.Open(folder, true, _clock);
        Assert.True(journal.Report.IsSound);
        Assert.NotNull(journal.Report.Torn);
        Assert.Equal(written[..2], journal.Read());
    }

    [Fact]
    public void A_changed_byte_in_the_middle_is_named_by_file_and_line_costs_that_line_only_and_nothing_is_mended()
    {
        FaultyFolder folder = JournalTests.Filled(5, out List<JournalLine> written);
        byte[] bytes = Replace(folder.Bytes(Name), "\"valueNm\":3000", "\"valueNm\":9000");
        folder.Set(Name, bytes);
        using Journal journal = Journal.Open(folder, true, _clock);

        JournalDamage damage = Assert.Single(journal.Report.Damage);
        Assert.Equal((Name, 3, DamageKind.Changed), (damage.File, damage.Line, damage.Kind));
        Assert.Equal(written.Where(line => line.Number != 3), journal.Read());
        StoreException refused = Assert.Throws<StoreException>(() => journal.Append(_at, "s", "k", "{}"));
        Assert.Equal((StoreFault.Damaged, damage), (refused.Fault, refused.Damage.Single()));
        Assert.Equal(bytes, folder.Bytes(Name));
    }

    [Fact]
    public void A_changed_last_line_that_was_once_whole_is_damage_and_is_not_cut_off()
    {
        FaultyFolder folder = JournalTests.Filled(3, out _);
        folder.Set(Name, Replace(folder.Bytes(Name), "\"valueNm\":3000", "\"valueNm\":9000"));
        using Journal journal = Journal.Open(folder, true, _clock);
        Assert.Equal((3, DamageKind.Changed), (Assert.Single(journal.Report.Damage).Line, journal.Report.Damage[0].Kind));
        Assert.Null(journal.Report.Torn);
    }

    [Fact]
    public void A_missing_a_swapped_and_a_repeated_line_are_told_apart()
    {
        string[] lines = Encoding.UTF8.GetString(JournalTests.Filled(5, out _).Bytes(Name)).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal([(2, DamageKind.Missing)], Found([lines[0], lines[2], lines[3], lines[4]]));
        Assert.Equal([(3, DamageKind.OutOfOrder)], Found([lines[0], lines[1], lines[1], lines[2], lines[3], lines[4]]));
        Assert.Contains((2, DamageKind.Missing), Found([lines[0], lines[2], lines[1], lines[3], lines[4]]));
        Assert.Equal([(1, DamageKind.Missing)], Found(lines[1..]));
    }

    [Fact]
    public void A_segment_that_was_taken_away_is_missed()
    {
        FaultyFolder folder = new();
        using (Journal journal = Journal.Open(folder, true, _clock, maxSegment: 1))
        {
            journal.Append(_at, "s", "a", "{}");
            journal.Append(_at, "s", "b", "{}");
            journal.Append(_at, "s", "c", "{}");
        }

        folder.Remove("2026-12.jsonl");
        using Journal again = Journal.Open(folder, true, _clock);
        JournalDamage damage = Assert.Single(again.Report.Damage);
        Assert.Equal(("2027-01.jsonl", 1, DamageKind.Missing), (damage.File, damage.Line, damage.Kind));
    }

    [Fact]
    public void Every_single_byte_changed_is_found_and_no_changed_line_is_given_out()
    {
        byte[] whole = JournalTests.Filled(3, out List<JournalLine> written).Bytes(Name);
        for (int index = 0; index < whole.Length; index++)
        {
            foreach (byte flip in (byte[])[0x01, 0x20, 0x80, 0xFF])
            {
                byte[] bytes = [.. whole];
                bytes[index] ^= flip;
                FaultyFolder folder = new();
                folder.Set(Name, bytes);
                using Journal journal = Journal.Open(folder, false, _clock);
                Assert.True(!journal.Report.IsSound || journal.Report.Torn is not null, $"byte {index} changed by {flip:x2} was not found");
                List<JournalLine> read = [.. journal.Read()];
                Assert.Subset(written.ToHashSet(), read.ToHashSet());
                Assert.True(read.Count >= 1);
            }
        }
    }

    private static List<(int Line, DamageKind Kind)> Found(string[] lines)
    {
        FaultyFolder folder = new();
        folder.Set(Name, Encoding.UTF8.GetBytes(string.Join('\n', lines) + "\n"));
        using Journal journal = Journal.Open(folder, true, _clock);
        return [.. journal.Report.Damage.Select(damage => (damage.Line, damage.Kind))];
    }

    private static byte[] Replace(byte[] bytes, string from, string to) =>
        Encoding.UTF8.GetBytes(Encoding.UTF8.GetString(bytes).Replace(from, to, StringComparison.Ordinal));
}
