using System.Globalization;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>Copies a store to a folder while a bench works, and back. Both are checked after copying.</summary>
/// <remarks>
/// A backup holds the journal up to one acknowledged event, the public keys and the texts of standards, and a note of where the
/// journal ended, written last: a backup without it, or one that ends elsewhere, is not whole. It does not hold the private key, which is
/// better lost than leaked: the restored store wants a new one (<c>records new-key</c>), and the chain goes on under it.
/// </remarks>
internal static class StoreBackup
{
    private const string Note = "backup.json";

    /// <summary>Makes a backup in a new or empty folder; gives what was checked.</summary>
    /// <exception cref="StoreException">The folder is not empty or cannot be written, or the copy does not hold.</exception>
    public static StoreCheck Make(StorePaths store, string folder, TimeProvider clock)
    {
        StorePaths target = At(folder);
        using Journal journal = Journal.Open(store, forWriting: false, clock);
        return StoreException.Wrap(() =>
        {
            if (Directory.Exists(target.Store) && Directory.EnumerateFileSystemEntries(target.Store).Any())
            {
                throw new StoreException(StoreFault.NotEmpty, $"{target.Store} is not empty; a backup goes into a folder of its own.");
            }

            target.Create();
            CopyAll(store, target, journal);
            string note = $$"""{"lastNumber":{{journal.LastNumber.ToString(CultureInfo.InvariantCulture)}},"lastHash":"{{journal.LastHash}}","made":"{{FileWords.Instant(clock.GetUtcNow())}}"}""" + "\n";
            OwnFile.Write(Path.Combine(target.Store, Note), Encoding.ASCII.GetBytes(note));
            OwnFile.FlushFolder(target.Store);
            return Check(target, journal.LastNumber, journal.LastHash, clock);
        }, e => $"The backup in {target.Store} could not be made: {e.Message}");
    }

    /// <summary>Puts a backup into a store that has no events yet; gives what was checked.</summary>
    /// <exception cref="StoreException">The backup does not hold, or the store has events already.</exception>
    public static StoreCheck Restore(string folder, StorePaths store, TimeProvider clock)
    {
        StorePaths source = At(folder);
        (long lastNumber, string lastHash) = ReadNote(Path.Combine(source.Store, Note));
        StoreCheck check = Check(source, lastNumber, lastHash, clock);
        if (check.Findings.Count > 0)
        {
            return check;
        }

        using StoreLock held = StoreLock.Acquire(store);
        bool again = File.Exists(store.Restoring);   // an earlier restore was interrupted: what it left is no event of anybody
        using (Journal present = Journal.Open(store, forWriting: false, clock))
        {
            if (!again && (present.LastNumber > 0 || !present.Report.IsSound || present.Report.Torn is not null))
            {
                throw new StoreException(StoreFault.NotEmpty, $"The store {store.Store} has events already; a backup is restored into a new one. Name another folder with --store, or move this one away.");
            }
        }

        return StoreException.Wrap(() =>
        {
            OwnFile.Replace(store.Restoring, Encoding.UTF8.GetBytes(source.Store + "\n"));
            foreach (string left in (string[])[store.Index, store.IndexToLook, .. Directory.EnumerateFiles(store.Journal)])
            {
                File.Delete(left);   // of another journal, or of a restore that was interrupted
            }

            using Journal journal = Journal.Open(source, forWriting: false, clock);
            CopyAll(source, store, journal);
            StoreCheck restored = Check(store, lastNumber, lastHash, clock);
            if (restored.Findings.Count == 0)
            {
                File.Delete(store.Restoring);
                OwnFile.FlushFolder(store.Store);
            }

            return restored;
        }, e => $"The backup could not be restored to {store.Store}: {e.Message}");
    }

    private static StorePaths At(string folder) => StorePaths.Find(folder, _ => null, Platform.Unix, "");

    private static void CopyAll(StorePaths from, StorePaths to, Journal journal)
    {
        foreach ((string name, long end) in journal.Extents())
        {
            using FileStream source = new(Path.Combine(from.Journal, name), FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            OwnFile.Write(Path.Combine(to.Journal, name), (buffer, done) => done == end ? 0
                : source.Read(buffer, 0, (int)Math.Min(buffer.Length, end - done)) is > 0 and var read ? read
                : throw new IOException($"{name} is shorter than it was"));
        }

        OwnFile.FlushFolder(to.Journal);
        CopyFiles(from.Keys, to.Keys, "*.pub.pem");
        CopyFiles(from.Keys, to.Keys, "*.other.pem");
        CopyFiles(from.Keys, to.Keys, "trusted.json");
        CopyFiles(from.Standards, to.Standards, "*.toml");
    }

    private static void CopyFiles(string from, string to, string pattern)
    {
        if (Directory.Exists(from))
        {
            Directory.CreateDirectory(to);
            foreach (string file in Directory.EnumerateFiles(from, pattern))
            {
                OwnFile.Write(Path.Combine(to, Path.GetFileName(file)), File.ReadAllBytes(file));
            }

            OwnFile.FlushFolder(to);
        }
    }

    private static StoreCheck Check(StorePaths copy, long lastNumber, string lastHash, TimeProvider clock)
    {
        KeyList known = StationKey.Known(copy);
        using Journal journal = Journal.Open(copy, forWriting: false, clock, keys: new JournalKeys(known.Own));
        StoreCheck check = new RecordStore(copy, journal, null, known).Verify();
        return journal.LastNumber == lastNumber && journal.LastHash == lastHash
            ? check
            : check with { Findings = [.. check.Findings, new(FindingKind.Missing, "", "", $"the copy ends at event {journal.LastNumber}, it should end at event {lastNumber}")] };
    }

    private static (long LastNumber, string LastHash) ReadNote(string path)
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(File.ReadAllBytes(path));
            return (document.RootElement.GetProperty("lastNumber").GetInt64(), document.RootElement.GetProperty("lastHash").GetString() ?? "");
        }
        catch (Exception e) when (FileFault.Is(e) || JsonText.IsFault(e))
        {
            throw new StoreException(StoreFault.NoBackup, $"{Path.GetDirectoryName(path)} is no whole backup: its {Note} is missing or damaged, so nobody can say where the journal ended.", e);
        }
    }
}
