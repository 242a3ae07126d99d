using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>Brings another station's records in, all or none.</summary>
/// <remarks>
/// The file is copied into the store and the copy is checked, so that nobody can change it in between. From the moment the copy bears its name
/// (<see cref="StorePaths.Importing"/>) the import counts: one that is interrupted is finished when the store is next opened to work in it.
/// </remarks>
internal static class RecordImport
{
    /// <summary>Checks a file's records, and brings them in when nothing is wrong with any. The same record twice is one.</summary>
    /// <param name="store">The store, opened to work in it.</param>
    /// <param name="file">The file.</param>
    /// <param name="given">Public keys, base64, that count from now on if a record bears them.</param>
    /// <param name="noEnd">It may lack the last line that counts its records.</param>
    /// <param name="clock">The clock.</param>
    /// <param name="brought">How many came in.</param>
    /// <param name="here">How many were here.</param>
    /// <returns>Everything wrong; then none came in.</returns>
    /// <exception cref="StoreException">The store cannot be written; what did not come in yet does at the next start.</exception>
    /// <exception cref="StationException">The file cannot be read.</exception>
    public static IReadOnlyList<RecordFinding> Run(Store store, string file, IReadOnlySet<string> given, bool noEnd, TimeProvider clock, out long brought, out long here)
    {
        (brought, here) = (0, 0);
        string copy = store.Paths.Importing + ".new";
        ExportFile.Copy(file, copy);
        try
        {
            string name = PrintableText.Escape(Path.GetFileName(file));
            List<RecordFinding> findings = Findings(store, copy, name, given, noEnd);
            if (findings.Count > 0)
            {
                return findings;
            }

            foreach (string key in ExportFile.Records(copy, name).Select(filed => filed.Sealed!.PublicKey).Where(given.Contains).Distinct())
            {
                store.Key.Admit(store.Paths, store.Known, key, "records import --key", clock.GetUtcNow());   // before the records, so that none is ever here with a key nobody knows
            }

            OwnFile.Rename(copy, store.Paths.Importing);
        }
        finally
        {
            File.Delete(copy);
        }

        (brought, here) = Bring(store, clock);
        return [];
    }

    /// <summary>Finishes an import that was interrupted; null when there is none.</summary>
    /// <exception cref="StoreException">What is left of it was changed.</exception>
    public static long? Finish(Store store, TimeProvider clock)
    {
        string left = store.Paths.Importing;
        if (!File.Exists(left))
        {
            return null;
        }

        return Findings(store, left, Path.GetFileName(left), new HashSet<string>(), noEnd: true) is [var first, ..]
            ? throw new StoreException(StoreFault.ImportChanged, $"An import was interrupted, and what is left of it, {left}, was changed since ({first.Where}: {first.Words}). Some of its records may be in. Delete that file, and import again.")
            : Bring(store, clock).Brought;
    }

    private static (long Brought, long Here) Bring(Store store, TimeProvider clock)
    {
        (long brought, long here) = (0, 0);
        foreach (FiledRecord filed in ExportFile.Records(store.Paths.Importing, ""))
        {
            if (store.Records.Find(filed.Sealed!.Record!.Id) is not null)
            {
                here++;
                continue;
            }

            store.Append(clock.GetUtcNow(), filed.Sealed.Record.Id, RecordStore.Kind, filed.Sealed.ToText());
            brought++;
        }

        File.Delete(store.Paths.Importing);
        OwnFile.FlushFolder(store.Paths.Store);
        return (brought, here);
    }

    private static List<RecordFinding> Findings(Store store, string path, string name, IReadOnlySet<string> given, bool noEnd)
    {
        List<RecordFinding> end = [];
        return
        [
            .. RecordChain.Verify(ExportFile.Records(path, name, noEnd, end), store.Known.All.Concat(given).ToHashSet(), isPart: _ => true),
            .. end,
            .. Unfit(store, path, name),
        ];
    }

    /// <summary>What cannot come in beside what is here, though each record is good by itself.</summary>
    private static IEnumerable<RecordFinding> Unfit(Store store, string path, string name)
    {
        HashSet<string> ids = new(StringComparer.OrdinalIgnoreCase);
        HashSet<string> tags = new(BlouseTag.Comparer);
        Dictionary<string, Dictionary<long, string>> chains = [];   // of each chain the hash at each number
        foreach (FiledRecord here in store.Records.Wanted(new RecordFilter()))
        {
            Record record = here.Sealed!.Record!;
            ids.Add(record.Id);
            tags.Add(record.Tag);
            Place(record, here.Sealed.Hash);
        }

        ChainPlace next = store.Records.NextPlace(store.Key);
        foreach (FiledRecord filed in ExportFile.Records(path, name))
        {
            if (filed.Sealed is not { Record: { } record } seal)
            {
                continue;   // told with the chain
            }

            bool isHere = store.Records.Find(record.Id) is { } present && present.Sealed!.Hash == seal.Hash;
            string? fault = isHere ? null
                : store.Records.Find(record.Id) is not null ? "a record of that id is here already, and it says something else"
                : !ids.Add(record.Id) ? "a record is here whose id differs only in upper and lower case"
                : tags.Contains(record.Id) ? "its id is the tag of a blouse here: one would be taken for the other"
                : ids.Contains(record.Tag) ? "its tag is the id of a record: one would be taken for the other"
                : store.Known.OwnIds.Contains(record.Chain) != store.Known.Own.Contains(seal.PublicKey)
                    ? "a chain takes only its own station's keys, and this record names the chain of one station and bears the key of another"
                : store.Known.OwnIds.Contains(record.Chain) && (record.Chain, record.Number, record.Previous) != (next.Chain, next.Number, next.Previous)
                    ? $"it is of this station's own chain, and does not follow from the last record here: number {next.Number} would"
                : chains.GetValueOrDefault(record.Chain) is { } numbers && !Follows(numbers, record) ? "it does not fit the records of its chain that are here: its number is taken, or the one before it is another"
                : null;
            if (fault is not null)
            {
                yield return new(FindingKind.Inserted, filed.Where, PrintableText.Escape(record.Id), fault);
                continue;
            }

            tags.Add(record.Tag);
            if (!isHere)
            {
                Place(record, seal.Hash);
                next = record.Chain == next.Chain ? new(next.Chain, record.Number + 1, seal.Hash) : next;
            }
        }

        void Place(Record record, string hash) => (chains.TryGetValue(record.Chain, out Dictionary<long, string>? numbers) ? numbers : chains[record.Chain] = []).TryAdd(record.Number, hash);
    }

    private static bool Follows(Dictionary<long, string> numbers, Record record) =>
        !numbers.ContainsKey(record.Number) && (!numbers.TryGetValue(record.Number - 1, out string? before) || before == record.Previous);
}
