using CaliperStation.Cli;
using CaliperStation.Core.Records;
using CaliperStation.Storage;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Tests.Storage;

/// <summary>A store as the program made it before records knew hands and practice (schema 1): a sitting, its countersign, two sittings left open.</summary>
public sealed class OldStoreTests : IDisposable
{
    private readonly TemporaryFolder _place = new();

    public OldStoreTests()
    {
        string made = Path.Combine(AppContext.BaseDirectory, "TestData", "store-of-schema-1");
        foreach (string file in Directory.GetFiles(made, "*", SearchOption.AllDirectories))
        {
            string copy = Path.Combine(_place.Path, Path.GetRelativePath(made, file));
            Directory.CreateDirectory(Path.GetDirectoryName(copy)!);
            File.Copy(file, copy);
        }
    }

    public void Dispose() => _place.Dispose();

    [Fact]
    public void Its_records_are_found_whole_and_its_open_sittings_too()
    {
        using Store store = StoreFixture.Look(_place.Paths);
        Record[] records = [.. store.Records.Wanted(new RecordFilter()).Select(filed => filed.Sealed!.Record!)];

        Assert.True(store.Report.IsSound);
        Assert.Equal([RecordKind.Sitting, RecordKind.Countersign], records.Select(record => record.Kind));
        Assert.All(records, record => Assert.Equal((Record.FirstSchema, true, false), (record.Schema, record.IsVerified, record.IsPractice)));
        Assert.Equal(["qg-2", "QG-3"], store.Records.OpenSittings().Select(sitting => sitting.Tag));
        Assert.Empty(store.Records.Verify().Findings);
    }

    [Fact]
    public void Its_export_is_what_it_was()
    {
        using StringWriter exported = new();

        Assert.Equal(0, RecordsExport.Run(new(_place.Path, new(), Csv: false, WithoutInitials: false, null), StoreFixture.Clock, exported, TextWriter.Null));
        string[] lines = exported.ToString().Split('\n');
        Assert.Equal(File.ReadAllText(Path.Combine(_place.Path, "export.jsonl")), string.Concat(lines[..^2].Select(line => line + "\n")));
        Assert.True(ExportEnd.IsEnd(lines[^2]));   // this version adds the line that counts them
    }
}
