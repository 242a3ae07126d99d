using CaliperStation.Cli;
using CaliperStation.Core.Records;
using CaliperStation.Files;
using CaliperStation.Storage;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Tests.Storage;

public sealed class BackupAndImportTests : IDisposable
{
    private readonly TemporaryFolder _place = new();
    private readonly TemporaryFolder _other = new();
    private readonly StringWriter _out = new();
    private readonly StringWriter _error = new();

    [Fact]
    public void A_backup_taken_while_a_bench_works_is_restored_elsewhere_and_both_hold()
    {
        StoreFixture.Fill(_place.Paths, 2);
        string backup = Path.Combine(_other.Path, "backup");
        string restored = Path.Combine(_other.Path, "restored");
        using (Store bench = StoreFixture.Work(_place.Paths))
        {
            using StationKey key = StationKey.Open(_place.Paths);
            StoreFixture.File(bench, key, 3);
            Assert.Equal(0, RecordsBackup.Make(new(_place.Path, backup, false), _out, _error));
            StoreFixture.File(bench, key, 4);
        }

        Assert.False(File.Exists(Path.Combine(backup, "keys", "station.pem")));
        Assert.Equal(0, RecordsBackup.Restore(new(restored, backup, false), _out, _error));
        StorePaths paths = StorePaths.Find(restored, _ => null, Platform.Unix, "");
        Assert.Throws<StoreException>(() => StoreFixture.Work(paths));   // it has no private key
        StationKey.Renew(paths, "restored", StoreFixture.At, out bool wasLost).Dispose();
        Assert.True(wasLost);
        using (Store bench = StoreFixture.Work(paths))
        {
            Assert.Equal(["sitting-1", "sitting-2", "sitting-3"], bench.Records.Summaries(new()).Select(record => record.Id));
            using StationKey key = StationKey.Open(paths);   // the chain goes on under the new one
            StoreFixture.File(bench, key, 5);
            Assert.Empty(bench.Records.Verify().Findings);
            Assert.Equal(4, bench.Records.Find("sitting-5")!.Sealed!.Record!.Number);
        }

        Assert.True(Assert.Throws<StoreException>(() => RecordsBackup.Restore(new(restored, backup, false), _out, _error)).IsWrongUsage);   // it has events now
        Assert.True(Assert.Throws<StoreException>(() => RecordsBackup.Make(new(_place.Path, backup, false), _out, _error)).IsWrongUsage);   // it is not empty
    }

    [Fact]
    public void A_backup_that_does_not_hold_is_not_restored()
    {
        StoreFixture.Fill(_place.Paths, 2);
        string backup = Path.Combine(_other.Path, "backup");
        Assert.Equal(0, RecordsBackup.Make(new(_place.Path, backup, false), _out, _error));
        string segment = Directory.GetFiles(Path.Combine(backup, "journal")).Single();
        string[] lines = File.ReadAllLines(segment);
        File.WriteAllText(segment, string.Join('\n', lines[..^1]) + "\n");
        string restored = Path.Combine(_other.Path, "restored");
        Assert.Equal(5, RecordsBackup.Restore(new(restored, backup, false), _out, _error));
        Assert.False(Directory.Exists(restored));
        File.Delete(Path.Combine(backup, "backup.json"));
        Assert.Contains("no whole backup", Assert.Throws<StoreException>(() => RecordsBackup.Restore(new(restored, backup, false), _out, _error)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Records_of_another_station_come_in_with_its_key_once_each()
    {
        string file = Exported();
        string key = Directory.GetFiles(_other.Paths.Keys, "*.pub.pem").Single();
        using (Store mine = StoreFixture.Work(_place.Paths))
        {
            using StationKey own = StationKey.Open(_place.Paths);
            StoreFixture.File(mine, own, 9);
        }

        StationException refused = Assert.Throws<StationException>(() => RecordsImport.Run(new(_place.Path, file, [], false), _out, _error));
        Assert.Equal(ExitCode.BadFile, refused.ExitCode);
        Assert.Contains("unknown-key", _error.ToString(), StringComparison.Ordinal);
        Assert.Equal(0, RecordsImport.Run(new(_place.Path, file, [key], false), _out, _error));
        Assert.Equal(0, RecordsImport.Run(new(_place.Path, file, [], false), _out, _error));   // the key is known now
        Assert.Equal("3 records imported, 0 were here already.\n0 records imported, 3 were here already.\n", _out.ToString());
        using (Store mine = StoreFixture.Work(_place.Paths))
        {
            Assert.Equal(4, mine.Records.Summaries(new()).Count());
            using StationKey own = StationKey.Open(_place.Paths);
            StoreFixture.File(mine, own, 10);
            Assert.Equal(2, mine.Records.Find("sitting-10")!.Sealed!.Record!.Number);   // on the own chain
            Assert.Empty(mine.Records.Verify().Findings);
        }
    }

    /// <summary>An admitted key of another bench may sign what it likes, but not for our chain, nor we for its.</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_record_that_names_the_chain_of_one_station_and_bears_the_key_of_another_is_not_imported(bool ourChain)
    {
        StoreFixture.Fill(_place.Paths, 1);
        _ = Exported();
        string key = Directory.GetFiles(_other.Paths.Keys, "*.pub.pem").Single();
        using StationKey own = StationKey.Open(_place.Paths);
        using StationKey foreign = StationKey.Open(_other.Paths);
        (StationKey chain, StationKey signer) = ourChain ? (own, foreign) : (foreign, own);
        string file = Path.Combine(_other.Path, "forged.jsonl");
        File.WriteAllText(file, SealedRecord.Seal(StoreFixture.Make(77, new ChainPlace(chain.Id, 1_000_000, Record.NoPrevious)), signer).ToText() + "\n");

        Assert.Equal(ExitCode.BadFile, Assert.Throws<StationException>(() => RecordsImport.Run(new(_place.Path, file, [key], false), _out, _error)).ExitCode);
        using Store mine = StoreFixture.Work(_place.Paths);
        Assert.Null(mine.Records.Find("sitting-77"));
        Assert.Equal(2, mine.Records.NextPlace(mine.Key).Number);
    }

    [Fact]
    public void A_file_with_one_bad_record_brings_in_none()
    {
        string file = Exported();
        string key = Directory.GetFiles(_other.Paths.Keys, "*.pub.pem").Single();
        string[] lines = File.ReadAllLines(file);
        lines[2] = lines[2].Replace("QG-", "QX-", StringComparison.Ordinal);
        File.WriteAllLines(file, lines);
        Assert.Throws<StationException>(() => RecordsImport.Run(new(_place.Path, file, [key], false), _out, _error));
        using Store mine = StoreFixture.Look(_place.Paths);
        Assert.Empty(mine.Records.Summaries(new()));
    }

    [Fact]
    public void A_record_of_an_id_that_is_here_with_another_content_is_refused()
    {
        string file = Exported();
        string key = Directory.GetFiles(_other.Paths.Keys, "*.pub.pem").Single();
        StoreFixture.Fill(_place.Paths, 1);   // its sitting-1 is another blouse's
        Assert.Throws<StationException>(() => RecordsImport.Run(new(_place.Path, file, [key], false), _out, _error));
        Assert.Contains("says something else", _error.ToString(), StringComparison.Ordinal);
    }

    public void Dispose()
    {
        _place.Dispose();
        _other.Dispose();
    }

    private string Exported()
    {
        StoreFixture.Fill(_other.Paths, 3);
        string file = Path.Combine(_other.Path, "all.jsonl");
        Assert.Equal(0, RecordsExport.Run(new(_other.Path, new(), false, false, file), StoreFixture.Clock, new StringWriter(), _error));
        return file;
    }
}
