using CaliperStation.Core.Records;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>Makes a signed sitting into a sealed record at the end of the station's chain.</summary>
internal sealed class RecordFiler(Store store, TimeProvider clock)
{
    /// <summary>Files a signed sitting and gives the record's id; the same sitting twice is one record.</summary>
    /// <exception cref="StoreException">The key or the journal cannot be used.</exception>
    internal string File(SittingSession session)
    {
        if (store.Records.Find(session.Id) is null)
        {
            using StationKey key = StationKey.Open(store.Paths);
            RecordStore.Close(store, RecordOfSitting.Make(session.View, store.Records.NextPlace(key)), key, SittingSession.Now(clock));
        }

        return session.Id;
    }
}
