using System.Globalization;
using CaliperStation.Storage;

namespace CaliperStation.Tests.Storage;

/// <summary>A looking command beside a bench that writes reports no damage, whatever part of a write it sees.</summary>
public sealed class LookWhileWrittenTests
{
    private const string Name = "2026-11.jsonl";

    /// <summary><c>CALIPER_STATION_LOOKS</c> asks for so many looks on a disk, and for fifty times as many in memory.</summary>
    private static int? Asked => int.TryParse(Environment.GetEnvironmentVariable("CALIPER_STATION_LOOKS"), CultureInfo.InvariantCulture, out int asked) ? asked : null;

    [Fact]
    public void Any_part_of_a_line_under_way_is_no_damage_while_a_bench_writes_and_is_torn_when_none_does()
    {
        byte[] whole = JournalTests.Filled(4, out List<JournalLine> written).Bytes(Name);
        int lastEnd = whole.AsSpan()[..^1].LastIndexOf((byte)'\n') + 1;
        for (int length = lastEnd; length <= whole.Length; length++)
        {
            FaultyFolder folder = new();
            folder.Set(Name, whole[..length]);
            using Journal look = Journal.OpenToLook(folder, StoreFixture.Clock, () => true);
            Assert.True(look.Report is { IsSound: true, Torn: null }, $"{length} bytes");
            Assert.Equal(written[..(length >= whole.Length - 1 ? 4 : 3)], look.Read());

            using Journal alone = Journal.OpenToLook(folder, StoreFixture.Clock, () => false);
            Assert.True(alone.Report.IsSound);
            Assert.Equal(length == lastEnd || length == whole.Length, alone.Report.Torn is null);
        }
    }

    /// <summary>Every read of the file finds more of it there than the one before: with and without a line's end.</summary>
    [Fact]
    public void A_file_that_grows_while_it_is_read_is_read_up_to_where_it_ended()
    {
        byte[] whole = JournalTests.Filled(200, out List<JournalLine> written).Bytes(Name);
        for (int seed = 0; seed < (Asked * 50 ?? 1000); seed++)
        {
            GrowingFolder folder = new(whole, new Random(seed));
            using Journal look = Journal.OpenToLook(folder, StoreFixture.Clock, () => true);
            Assert.True(look.Report is { IsSound: true, Torn: null }, $"seed {seed}: {look.Report}");
            List<JournalLine> first = [.. look.Read()];
            Assert.Equal(written[..first.Count], first);
            Assert.Equal(first, look.Read());
            Assert.Equal(look.LastNumber, first.Count);
        }
    }

    [Fact]
    public void Damage_in_the_middle_is_told_also_while_a_bench_writes()
    {
        byte[] whole = JournalTests.Filled(4, out _).Bytes(Name);
        whole[whole.Length / 2] ^= 1;
        FaultyFolder folder = new();
        folder.Set(Name, whole);
        using Journal look = Journal.OpenToLook(folder, StoreFixture.Clock, () => true);
        Assert.False(look.Report.IsSound);
    }

    [Fact]
    public async Task Many_looks_beside_a_writing_bench_find_nothing_wrong()
    {
        using TemporaryFolder place = new();
        StoreFixture.Fill(place.Paths, 2);
        using CancellationTokenSource enough = new();
        Task writer = Task.Run(() =>
        {
            for (int round = 0; !enough.IsCancellationRequested; round++)
            {
                using Store store = StoreFixture.Work(place.Paths);   // benches come and go
                using StationKey key = StationKey.Open(place.Paths);
                if (round < 30)   // the store stays small: each look proves all of it
                {
                    StoreFixture.File(store, key, 3 + round);
                }

                for (int n = 0; n < 5; n++)
                {
                    store.Append(StoreFixture.At, "", "k", "{}");
                }
            }
        });
        int looks = Asked ?? 100;
        for (int look = 0; look < looks && !writer.IsCompleted; look++)
        {
            if (look % 5 == 0)
            {
                using Store store = StoreFixture.Look(place.Paths);
                Assert.True(store.Report is { IsSound: true, Torn: null }, $"look {look}: {store.Report}");
                Assert.True(store.Records.Verify().Findings is [], $"look {look}: {string.Join(' ', store.Records.Verify().Findings)}");
                continue;
            }

            using Journal journal = Journal.OpenToLook(new DiskJournalFolder(place.Paths.Journal), StoreFixture.Clock, () => StoreLock.IsHeld(place.Paths));
            Assert.True(journal.Report is { IsSound: true, Torn: null }, $"look {look}: {journal.Report}");
            Assert.Equal(journal.LastNumber, journal.Read().Count());
        }

        await enough.CancelAsync();
        await writer;
    }

    [Fact]
    public void The_lock_is_seen_to_be_held_and_to_be_free()
    {
        using TemporaryFolder place = new();
        Assert.False(StoreLock.IsHeld(place.Paths));
        using (StoreLock held = StoreLock.Acquire(place.Paths))
        {
            Assert.True(StoreLock.IsHeld(place.Paths));
        }

        Assert.False(StoreLock.IsHeld(place.Paths));
    }

    /// <summary>A file that has some more bytes each time anybody looks at it.</summary>
    private sealed class GrowingFolder(byte[] whole, Random random) : IJournalFolder
    {
        private int _there = random.Next(1, whole.Length / 2);

        public string Path => "/growing";

        public IReadOnlyList<string> Names() => [Name];

        public IJournalFile Open(string name, bool forWriting) => new Growing(this, whole);

        public IJournalFile Create(string name) => throw new IOException("only to look at");

        public IDisposable? Hold() => null;

        public void FlushNames()
        {
        }

        private int Grow() => _there = Math.Min(whole.Length, _there + random.Next(300));

        private sealed class Growing(GrowingFolder folder, byte[] whole) : IJournalFile
        {
            public long Length => folder.Grow();

            public int Read(Span<byte> buffer, long position)
            {
                int count = (int)Math.Max(0, Math.Min(buffer.Length, folder.Grow() - position));
                whole.AsSpan((int)position, count).CopyTo(buffer);
                return count;
            }

            public void Write(ReadOnlySpan<byte> bytes, long position) => throw new IOException("only to look at");

            public void Cut(long length) => throw new IOException("only to look at");

            public void Flush()
            {
            }

            public void Dispose()
            {
            }
        }
    }
}
