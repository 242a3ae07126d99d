using CaliperStation.Cli;
using CaliperStation.Core.Records;
using CaliperStation.Storage;
using CaliperStation.Tests.Whole;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Tests.Storage;

/// <summary>A store written before readings had a hand of their own: <c>TestData/store-schema-1/about.md</c>.</summary>
public sealed class OldStoreTests : IDisposable
{
    private readonly Station _station = new();

    public OldStoreTests()
    {
        string kept = Path.Combine(AppContext.BaseDirectory, "TestData", "store-schema-1");
        foreach (string file in Directory.EnumerateFiles(kept, "*", SearchOption.AllDirectories))
        {
            string copy = Path.Combine(_station.Store, Path.GetRelativePath(kept, file));
            Directory.CreateDirectory(Path.GetDirectoryName(copy)!);
            File.Copy(file, copy);
        }
    }

    private StorePaths Paths => StorePaths.Find(_station.Store, _ => null, Platform.Unix, "");

    [Fact]
    public void Its_records_are_read_and_verify_byte_for_byte()
    {
        using Store store = StoreFixture.Look(Paths);
        StoreCheck check = store.Records.Verify();
        Assert.Empty(check.Findings);
        Assert.Equal(3, check.Records);
        foreach (FiledRecord filed in store.Records.Wanted(new()))
        {
            Assert.Equal(Record.FirstSchema, filed.Sealed!.Record!.Schema);
            Assert.True(filed.Sealed.Bytes.Span.SequenceEqual(RecordBytes.Write(filed.Sealed.Record)));
        }

        Record sitting = store.Records.LastOf("qg-002")!.Sealed!.Record!;
        Assert.All(sitting.Readings.SelectMany(reading => reading.Takes), take => Assert.Equal("AB", take.Hand));
        Assert.Equal(["AB"], sitting.Hands);
        Assert.True(Hands.Of(sitting, "ab"));
        Assert.False(Hands.Of(sitting, "CD"));
    }

    [Fact]
    public void What_a_pretend_caliper_read_is_practice_whatever_the_record_says()
    {
        using Store store = StoreFixture.Look(Paths);
        Record said = store.Records.LastOf("QG-002")!.Sealed!.Record!;
        Assert.Equal((true, true, false), (said.Verified, said.IsPractice, said.IsVerified));
        Assert.Equal([(false, true), (false, true), (true, false)], store.Records.Summaries(new()).Select(record => (record.Practice, record.Verified)));

        ReadinessRule rule = new(StoreFixture.At.AddDays(30), null, false);
        Readiness Of(string tag) => Readiness.Of(tag, [.. store.Records.Latest().Where(record => record.Tag == tag)], _ => [], null, rule);
        Assert.True(Of("QG-001").IsReady);
        Assert.Equal(SecondLook.Agrees, Of("QG-001").Countersigned);
        Assert.False(Of("QG-002").IsReady);
        Assert.StartsWith("only practised", Assert.Single(Of("QG-002").Why), StringComparison.Ordinal);

        using StringWriter csv = new();
        Assert.Equal(0, RecordsExport.Run(new(_station.Store, new(), Csv: true, WithoutInitials: false, To: null), StoreFixture.Clock, csv, TextWriter.Null));
        List<string> names = [.. csv.ToString().Split("\r\n")[0].Split(',')];
        string[][] rows = [.. PlainCsv.Read(csv.ToString()).Where(row => row[names.IndexOf("tag")] == "QG-002")];
        Assert.Equal(3, rows.Length);
        Assert.All(rows, row => Assert.Equal(("false", "true", "AB"), (row[names.IndexOf("verified")], row[names.IndexOf("practice")], row[names.IndexOf("hand")])));
    }

    [Fact]
    public void Its_open_sitting_goes_on_and_every_take_has_the_hand_it_was_begun_by()
    {
        Ran ran = _station.Measure(["1/8", "1/4", "sign AB"], Path.Combine(_station.Store, "standards", Path.GetFileName(Directory.GetFiles(Paths.Standards).Single())), "--tag", "qg-003", "--port", "none");
        Assert.Equal(0, ran.ExitCode);

        using Store store = StoreFixture.Look(Paths);
        Record record = store.Records.LastOf("QG-003")!.Sealed!.Record!;
        Assert.Equal((Record.CurrentSchema, 4L, true), (record.Schema, record.Number, record.IsVerified));
        Assert.Equal(3, record.Readings.Count);
        Assert.All(record.Readings.SelectMany(reading => reading.Takes), take => Assert.Equal("AB", take.Hand));
        Assert.Equal(["AB"], record.Hands);
        Assert.Empty(store.Records.OpenSittings());
        Assert.Empty(store.Records.Verify().Findings);   // the chain goes on over the schemas
    }

    public void Dispose() => _station.Dispose();
}
