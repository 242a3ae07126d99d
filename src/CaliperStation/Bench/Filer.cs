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

        if (work is Work.Studying)
        {
            return new BenchInput.Filed(null, null);   // its readings are in the journal already, and it makes no record
        }

        if (store.Records.Find(work.Id)?.Sealed?.Record is not { } record)
        {
            StationKey key = store.Key;
            ChainPlace place = store.Records.NextPlace(key);
            RecordEvents events = EventsOf(work);
            record = work is Work.Remeasuring { Remeasurement: var remeasurement } ? RecordOfRemeasurement.Make(remeasurement, first!, place, events) : RecordOfSitting.Make(work.View, place, events);
            SealedRecord seal = RecordStore.Close(store, record, key, Instants.Now(clock));
            if (store.ReadBack(store.LastHash) is not { } line || line.Body != seal.ToText() || SealedRecord.Read(line.Body) is not { } read || !read.Counts(store.Known.Own.ToHashSet()))
            {
                throw new StoreException(StoreFault.RecordChanged, $"The record {record.Id} was filed, and what stands in the journal is not it. Stop, and look at the store with \"records verify\".");
            }

            store.KeepHead(Instants.Now(clock));
        }

        return new BenchInput.Filed(record, record is { Kind: RecordKind.Recheck, Agrees: false } ? RecordOfRemeasurement.InvalidatedBy(work.View.State.Plan, first!, record.Comparisons) : null) { First = first };
    }

    /// <summary>The first and the last event of the work in the journal.</summary>
    /// <exception cref="StoreException">There is none.</exception>
    private RecordEvents EventsOf(Work work)
    {
        IEnumerable<JournalLine> since = first is not null
            ? store.ReadSince(first.Id)
            : store.Records.OpenSittings(work.View.State.Tag).FirstOrDefault(open => open.Sitting == work.Id) is { } open ? store.ReadSitting(work.Id, open.FirstNumber) : store.ReadSitting(work.Id);
        (EventMark? begin, EventMark? end) = (null, null);
        foreach (JournalLine line in since.Where(line => line.Sitting == work.Id))
        {
            end = new EventMark(line.Number, line.Hash);
            begin ??= end;
        }

        return begin is not null && end is not null ? new RecordEvents(begin, end) : throw new StoreException(StoreFault.UnknownEvent, $"The journal has no event of {work.Id}.");
    }
}
