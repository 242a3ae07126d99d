using CaliperStation.Core.Records;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>Makes a signed sitting into a sealed record at the end of the station's chain.</summary>
internal sealed class RecordFiler(OpenStore store, TimeProvider clock)
{
    private const string RecordKindName = "record";

    /// <summary>Files a signed sitting and gives the record's id; the same sitting twice is one record.</summary>
    /// <exception cref="StoreException">The key or the journal cannot be used.</exception>
    internal string File(SittingSession session)
    {
        using StationKey key = StationKey.Open(store.Paths);
        Record? last = null;
        foreach (JournalLine line in store.Journal.Read().Where(line => line.Kind == RecordKindName))
        {
            if (line.Sitting == session.Id)
            {
                return session.Id;
            }

            last = SealedRecord.Read(line.Body)?.Record ?? throw new StoreException($"The journal's line {line.Number} holds no record that can be read; see records verify.");
        }

        ChainPlace place = last is null
            ? new ChainPlace(key.Id, 1, Record.NoPrevious)
            : new ChainPlace(last.Chain, last.Number + 1, RecordSignature.Hash(RecordBytes.Write(last)));
        SealedRecord made = SealedRecord.Seal(RecordOfSitting.Make(session.View, place), key);
        store.Journal.Append(SittingSession.Now(clock), session.Id, RecordKindName, made.ToText());
        return session.Id;
    }
}
