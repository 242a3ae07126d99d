using CaliperStation.Core.Bench;
using CaliperStation.Core.Records;
using CaliperStation.Devices;
using CaliperStation.Storage;

namespace CaliperStation.Bench;

/// <summary>Files finished work: a record at the end of the station's chain, or a caliper check in the journal.</summary>
/// <param name="store">The store.</param>
/// <param name="clock">The bench's time.</param>
/// <param name="first">The record that a remeasurement looks back at; null for other work.</param>
/// <param name="port">What a caliper check is kept under.</param>
internal sealed class Filer(Store store, TimeProvider clock, Record? first, string port)
{
    /// <summary>Files it; the same work twice is one record.</summary>
    /// <exception cref="StoreException">The key or the journal cannot be used.</exception>
    internal BenchInput.Filed File(Work work)
    {
        if (work is Work.Checking { Check: var check })
        {
            CheckJournal.Keep(store, check, port, Instants.Now(clock));
            return new BenchInput.Filed(null, null);
        }

        if (store.Records.Find(work.Id)?.Sealed?.Record is not { } record)
        {
            StationKey key = store.Key;
            ChainPlace place = store.Records.NextPlace(key);
            record = work is Work.Remeasuring { Remeasurement: var remeasurement } ? RecordOfRemeasurement.Make(remeasurement, first!, place) : RecordOfSitting.Make(work.View, place);
            RecordStore.Close(store, record, key, Instants.Now(clock));
            store.KeepHead(Instants.Now(clock));
        }

        return new BenchInput.Filed(record, record is { Kind: RecordKind.Recheck, Agrees: false } ? RecordOfRemeasurement.InvalidatedBy(work.View.State.Plan, first!, record.Comparisons) : null);
    }
}
