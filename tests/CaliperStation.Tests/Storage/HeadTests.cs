using CaliperStation.Core.Records;
using CaliperStation.Storage;

namespace CaliperStation.Tests.Storage;

/// <summary>The witness outside the store: what was cut off its end, or put back to what it was before, is told though the store agrees with itself.</summary>
public sealed class HeadTests : IDisposable
{
    private readonly TemporaryFolder _place = new();
    private readonly TemporaryFolder _outside = new();

    private StorePaths Paths => _place.Paths with { Head = Path.Combine(_outside.Path, "heads", "one.head") };

    private string Segment => Directory.GetFiles(Paths.Journal).Single();

    [Fact]
    public void The_head_says_where_the_store_ended_and_its_text_is_read_back()
    {
        StoreFixture.Fill(Paths, 3);
        ChainHead head = Store.KeptHead(Paths)!;
        using Store look = StoreFixture.Look(Paths);
        Assert.Equal((3, 12), (head.Record, head.Event));
        Assert.Equal(look.Records.Find("sitting-3")!.Sealed!.Hash, head.RecordHash);
        Assert.Equal(head, ChainHead.Read(head.Text));
        Assert.True(head.IsSignedBy(look.Known.Own));
        Assert.False((head with { Event = 11 }).IsSignedBy(look.Known.Own));
        Assert.Null(look.HeadFault);
        Assert.All([head.Text[1..], head.Text + "x", head.Text.Replace("head-1", "head-2", StringComparison.Ordinal), ""], text => Assert.Null(ChainHead.Read(text)));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void An_end_cut_off_with_every_index_deleted_is_told_and_stops_the_bench_until_it_is_accepted(bool atALineOfASitting)
    {
        StoreFixture.Fill(Paths, 3);
        string[] lines = File.ReadAllLines(Segment);
        File.WriteAllText(Segment, string.Join('\n', lines[..(atALineOfASitting ? 10 : 8)]) + "\n");
        ToldUntilAccepted();
    }

    [Fact]
    public void A_whole_store_put_back_to_what_it_was_is_told()
    {
        StoreFixture.Fill(Paths, 2);
        byte[] before = File.ReadAllBytes(Segment);
        using (Store bench = StoreFixture.Work(Paths))
        {
            StoreFixture.File(bench, bench.Key, 3);
        }

        File.WriteAllBytes(Segment, before);
        ToldUntilAccepted();
    }

    [Fact]
    public void Another_store_in_its_place_is_told()
    {
        StoreFixture.Fill(Paths, 1);
        Directory.Delete(Paths.Store, recursive: true);
        StoreFixture.Fill(_place.Paths, 3);   // without the head
        using (Store look = StoreFixture.Look(Paths))
        {
            Assert.NotNull(look.HeadFault);
        }

        Assert.Throws<StoreException>(() => StoreFixture.Work(Paths));
    }

    [Fact]
    public void A_head_follows_over_a_new_key()
    {
        StoreFixture.Fill(Paths, 1);
        StationKey.Renew(Paths, "a year", StoreFixture.At, out _).Dispose();
        using (Store bench = StoreFixture.Work(Paths))
        {
            StoreFixture.File(bench, bench.Key, 2);
        }

        Assert.Equal(2, Store.KeptHead(Paths)!.Record);
        StoreFixture.Work(Paths).Dispose();
    }

    private void ToldUntilAccepted()
    {
        foreach (string index in Directory.GetFiles(Paths.Store, "index*"))
        {
            File.Delete(index);
        }

        using (Store look = StoreFixture.Look(Paths))
        {
            Assert.True(look.Report.IsSound);   // it agrees with itself
            Assert.NotNull(look.HeadFault);
        }

        Assert.Equal(StoreFault.LessThanBefore, Assert.Throws<StoreException>(() => StoreFixture.Work(Paths)).Fault);
        using (Store accepted = Store.OpenForWork(Paths, StoreFixture.Clock, _ => { }, acceptsLoss: true))
        {
            accepted.Append(StoreFixture.At, "", "accepted-loss", "{}");
        }

        StoreFixture.Work(Paths).Dispose();
    }

    public void Dispose()
    {
        _place.Dispose();
        _outside.Dispose();
    }
}
