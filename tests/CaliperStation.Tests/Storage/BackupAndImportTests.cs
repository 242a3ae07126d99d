using System.Text.Json;
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
        Assert.Equal(StoreFault.KeyGone, Assert.Throws<StoreException>(() => StoreFixture.Work(paths)).Fault);   // it has no private key
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
        Assert.Equal(StoreFault.NoBackup, Assert.Throws<StoreException>(() => RecordsBackup.Restore(new(restored, backup, false), _out, _error)).Fault);
    }

    /// <summary>A restore killed after any file, in the middle of any file, or before its mark is gone.</summary>
    [Fact]
    public void A_restore_that_was_interrupted_leaves_no_store_to_open_and_is_done_again()
    {
        StoreFixture.Fill(_place.Paths, 3);
        string backup = Path.Combine(_other.Path, "backup");
        Assert.Equal(0, RecordsBackup.Make(new(_place.Path, backup, false), _out, _error));
        string[] files = [.. Directory.GetFiles(backup, "*", SearchOption.AllDirectories).Where(file => Path.GetFileName(file) != "backup.json").Order(StringComparer.Ordinal)];
        Assert.True(files.Length >= 3);
        for (int done = 0; done <= files.Length; done++)
        {
            using TemporaryFolder half = new();
            half.Paths.Create();
            File.WriteAllText(half.Paths.Restoring, "");
            foreach ((string file, int index) in files.Take(done + 1).Select((file, index) => (file, index)))
            {
                byte[] bytes = File.ReadAllBytes(file);
                string target = Path.Combine(half.Path, Path.GetRelativePath(backup, file));
                Directory.CreateDirectory(Path.GetDirectoryName(target)!);
                File.WriteAllBytes(target, index == done ? bytes[..(bytes.Length / 2)] : bytes);
            }

            Assert.Equal(StoreFault.HalfRestored, Assert.Throws<StoreException>(() => StoreFixture.Work(half.Paths)).Fault);
            Assert.Equal(StoreFault.HalfRestored, Assert.Throws<StoreException>(() => StoreFixture.Look(half.Paths)).Fault);
            Assert.Equal(0, RecordsBackup.Restore(new(half.Path, backup, false), _out, _error));
            using Store look = StoreFixture.Look(half.Paths);
            Assert.Equal(3, look.Records.Summaries(new()).Count());
            Assert.Empty(look.Records.Verify().Findings);
        }
    }

    /// <summary>An import killed after any of its records, or before the first.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void An_import_that_was_interrupted_is_finished_at_the_next_start(int done)
    {
        string file = HalfImported(done);
        using (StringWriter told = new())
        {
            using Store look = OpenStore.ToLook(_place.Paths, StoreFixture.Clock, told);
            Assert.Single(told.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries));   // one line says that some may be missing
            Assert.Equal(done, look.Records.Summaries(new()).Count());
        }

        using (StringWriter told = new())
        {
            using Store work = OpenStore.ForWork(_place.Paths, StoreFixture.Clock, told);
            Assert.Contains(FormattableString.Invariant($" {3 - done} "), told.ToString(), StringComparison.Ordinal);
            Assert.Equal(3, work.Records.Summaries(new()).Count());
            Assert.Empty(work.Records.Verify().Findings);
        }

        Assert.False(File.Exists(file));
        using StringWriter after = new();
        OpenStore.ForWork(_place.Paths, StoreFixture.Clock, after).Dispose();
        Assert.Empty(after.ToString());
    }

    [Fact]
    public void What_is_left_of_an_import_and_was_changed_stops_the_start_and_says_so()
    {
        string file = HalfImported(1);
        File.WriteAllText(file, File.ReadAllText(file).Replace("QG-", "QX-", StringComparison.Ordinal));
        Assert.Equal(StoreFault.ImportChanged, Assert.Throws<StoreException>(() => OpenStore.ForWork(_place.Paths, StoreFixture.Clock, _error)).Fault);
        File.Delete(file);
        OpenStore.ForWork(_place.Paths, StoreFixture.Clock, _error).Dispose();
    }

    /// <summary>The store as an import leaves it that is killed after some records; gives the file that is left.</summary>
    private string HalfImported(int done)
    {
        string file = Exported();
        using Store store = StoreFixture.Work(_place.Paths);
        store.Key.Admit(store.Paths, store.Known, RecordsVerify.ReadKey(Directory.GetFiles(_other.Paths.Keys, "*.pub.pem").Single()), "test", StoreFixture.At);
        File.Copy(file, store.Paths.Importing);
        foreach (FiledRecord filed in ExportFile.Records(file, "").Take(done))
        {
            store.Append(StoreFixture.At, filed.Sealed!.Record!.Id, RecordStore.Kind, filed.Sealed.ToText());
        }

        return store.Paths.Importing;
    }

    /// <summary>A link, a folder or a pipe in the place of a file of the store is refused at once.</summary>
    [Theory]
    [InlineData("index.db")]
    [InlineData("index-look.db")]
    [InlineData("lock")]
    [InlineData("importing.jsonl")]
    [InlineData("restoring")]
    [InlineData("keys/station.pem")]
    [InlineData("keys/trusted.json")]
    public async Task What_is_no_file_in_the_place_of_one_is_refused_at_once(string name)
    {
        StoreFixture.Fill(_place.Paths, 1);
        string path = Path.Combine(_place.Path, name);
        string aside = path + ".aside";
        if (File.Exists(path))
        {
            File.Move(path, aside);
        }

        List<Action> makings = [() => Directory.CreateDirectory(path)];
        if (!OperatingSystem.IsWindows())
        {
            makings.Add(() => File.CreateSymbolicLink(path, aside));
            makings.Add(() => System.Diagnostics.Process.Start("mkfifo", [path]).WaitForExit());
        }

        foreach (Action make in makings)
        {
            make();
            foreach (Func<StorePaths, Store> open in (Func<StorePaths, Store>[])[paths => StoreFixture.Work(paths), paths => StoreFixture.Look(paths)])
            {
                StoreException refused = await Assert.ThrowsAsync<StoreException>(() => Task.Run(() => open(_place.Paths)).WaitAsync(TimeSpan.FromSeconds(20)));
                Assert.Equal(StoreFault.NoPlainFile, refused.Fault);
            }

            if (Directory.Exists(path) && new FileInfo(path).LinkTarget is null)
            {
                Directory.Delete(path);
            }
            else
            {
                File.Delete(path);
            }
        }
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
        Assert.Equal(0, RecordsImport.Run(new(_place.Path, file, [key], true), _out, _error));
        Assert.Equal(0, RecordsImport.Run(new(_place.Path, file, [], true), _out, _error));   // the key is known now
        JsonElement[] told = [.. _out.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonDocument.Parse(line).RootElement)];
        Assert.Equal([(3, 0), (0, 3)], told.Select(each => (each.GetProperty("imported").GetInt32(), each.GetProperty("here").GetInt32())));
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

    /// <summary>Each forged record is well signed by an admitted key; what it says must not come in.</summary>
    [Theory]
    [InlineData("its number is taken")]
    [InlineData("the record before it is another")]
    [InlineData("its id is here in other letters")]
    [InlineData("its id is a tag")]
    [InlineData("its tag is an id")]
    [InlineData("verified against its verdict")]
    [InlineData("ends before it begins")]
    public void A_signed_record_that_does_not_fit_is_not_imported(string what)
    {
        StoreFixture.Fill(_place.Paths, 1);   // sitting-1, tag QG-001
        string file = Exported();
        string key = Directory.GetFiles(_other.Paths.Keys, "*.pub.pem").Single();
        using StationKey foreign = StationKey.Open(_other.Paths);
        SealedRecord first = SealedRecord.Seal(StoreFixture.Make(71, new ChainPlace(foreign.Id, 1, Record.NoPrevious)), foreign);
        string Line(Func<Record, Record> change, string? previous = null) =>
            SealedRecord.Seal(change(StoreFixture.Make(73, new ChainPlace(foreign.Id, 2, previous ?? first.Hash))), foreign).ToText();
        string[] lines =
        [
            first.ToText(),
            what switch
            {
                "its number is taken" => Line(record => record with { Number = 1, Previous = Record.NoPrevious }),
                "the record before it is another" => Line(record => record, new string('7', 64)),
                "its id is here in other letters" => Line(record => record with { Id = "SITTING-1" }),
                "its id is a tag" => Line(record => record with { Id = "QG-001" }),
                "its tag is an id" => Line(record => record with { Tag = "sitting-1" }),
                "verified against its verdict" => Line(record => record with { Verified = true, Verdicts = [record.Verdicts[0] with { Verdict = Core.Judging.Verdict.Outside }] }),
                _ => Line(record => record with { Closed = record.Started.AddHours(-1) }),
            },
        ];
        File.WriteAllLines(file, lines);
        Assert.Equal(ExitCode.BadFile, Assert.Throws<StationException>(() => RecordsImport.Run(new(_place.Path, file, [key], false, true), _out, _error)).ExitCode);
        using (Store mine = StoreFixture.Look(_place.Paths))
        {
            Assert.Equal("sitting-1", Assert.Single(mine.Records.Summaries(new())).Id);
        }

        File.WriteAllLines(file, [lines[0], Line(record => record)]);   // and what fits does
        Assert.Equal(0, RecordsImport.Run(new(_place.Path, file, [key], false, true), _out, _error));
    }

    [Fact]
    public void A_record_of_our_own_chain_comes_back_in_only_where_it_follows()
    {
        StoreFixture.Fill(_place.Paths, 1);
        string file = Path.Combine(_other.Path, "own.jsonl");
        Directory.CreateDirectory(_other.Path);
        using (StationKey own = StationKey.Open(_place.Paths))
        using (Store mine = StoreFixture.Look(_place.Paths))
        {
            string last = mine.Records.Find("sitting-1")!.Sealed!.Hash;
            File.WriteAllText(file, SealedRecord.Seal(StoreFixture.Make(7, new ChainPlace(own.Id, 1_000_000_000_000, last)), own).ToText() + "\n");
            File.WriteAllText(file + "2", SealedRecord.Seal(StoreFixture.Make(8, new ChainPlace(own.Id, 2, last)), own).ToText() + "\n");
        }

        Assert.Throws<StationException>(() => RecordsImport.Run(new(_place.Path, file, [], false, true), _out, _error));
        Assert.Equal(0, RecordsImport.Run(new(_place.Path, file + "2", [], false, true), _out, _error));
        using Store after = StoreFixture.Work(_place.Paths);
        Assert.Equal(3, after.Records.NextPlace(after.Key).Number);
        Assert.Empty(after.Records.Verify().Findings);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(3)]
    public void An_export_that_was_cut_is_told_and_not_imported(int left)
    {
        string file = Exported();
        string key = Directory.GetFiles(_other.Paths.Keys, "*.pub.pem").Single();
        RecordsVerifyOptions verify = new(null, file, [key], false, false);
        Assert.Equal(0, RecordsVerify.Run(verify, _out, _error));
        string[] lines = File.ReadAllLines(file);
        Assert.Equal(4, lines.Length);
        File.WriteAllLines(file, lines[..left]);
        Assert.Equal(ExitCode.Store, RecordsVerify.Run(verify, _out, _error));
        Assert.Equal(0, RecordsVerify.Run(verify with { NoEnd = true }, _out, _error));
        File.WriteAllLines(file, [.. lines[..left], .. lines[3..]]);
        Assert.Equal(left == 3 ? 0 : ExitCode.Store, RecordsVerify.Run(verify with { NoEnd = true }, _out, _error));
        File.WriteAllLines(file, lines[..left]);
        Assert.Throws<StationException>(() => RecordsImport.Run(new(_place.Path, file, [key], false), _out, _error));
        using Store mine = StoreFixture.Look(_place.Paths);
        Assert.Empty(mine.Records.Summaries(new()));
    }

    [Fact]
    public void Exports_joined_in_one_file_are_as_good_as_one()
    {
        string file = Exported();
        string key = Directory.GetFiles(_other.Paths.Keys, "*.pub.pem").Single();
        StoreFixture.Fill(_place.Paths, 1);
        string second = Path.Combine(_other.Path, "second.jsonl");
        Assert.Equal(0, RecordsExport.Run(new(_place.Path, new(null, null, null, null, null, null), false, false, second), StoreFixture.Clock, _out, _error));
        string ownKey = Directory.GetFiles(_place.Paths.Keys, "*.pub.pem").Single();
        File.AppendAllText(file, File.ReadAllText(second));
        Assert.Equal(0, RecordsVerify.Run(new(null, file, [key, ownKey], false, false), _out, _error));
    }

    [Fact]
    public void A_record_of_an_id_that_is_here_with_another_content_is_refused()
    {
        string file = Exported();
        string key = Directory.GetFiles(_other.Paths.Keys, "*.pub.pem").Single();
        StoreFixture.Fill(_place.Paths, 1);   // its sitting-1 is another blouse's
        Assert.Equal(ExitCode.BadFile, Assert.Throws<StationException>(() => RecordsImport.Run(new(_place.Path, file, [key], false), _out, _error)).ExitCode);
        string[] told = _error.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries);   // one finding and the count: the other two would fit
        Assert.Equal(2, told.Length);
        Assert.Contains("line 1", told[0], StringComparison.Ordinal);
        using Store mine = StoreFixture.Look(_place.Paths);
        Assert.Equal("sitting-1", Assert.Single(mine.Records.Summaries(new())).Id);
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
