using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>A second measurement tied to the journal: an event counts only when it is on the disk.</summary>
internal sealed class SecondSession
{
    private readonly Store _store;
    private readonly TimeProvider _clock;

    private SecondSession(Store store, TimeProvider clock, SecondSitting sitting) => (_store, _clock, Sitting) = (store, clock, sitting);

    /// <summary>As it stands.</summary>
    internal SecondSitting Sitting { get; private set; }

    /// <summary>Begins a new one.</summary>
    /// <exception cref="StoreException">It could not be written.</exception>
    internal static SecondSession Begin(Store store, TimeProvider clock, Plan plan, SecondStarted started)
    {
        SecondSitting sitting = SecondSitting.Begin(plan, started);
        store.Append(started.At, started.Sitting, SecondStartedJson.Kind, SecondStartedJson.Body(started));
        return new SecondSession(store, clock, sitting);
    }

    /// <summary>The newest one of that record, kind and hand that was not filed, or null.</summary>
    /// <exception cref="StoreException">A line of it is of a shape this program does not know.</exception>
    internal static SecondSession? Resume(Store store, TimeProvider clock, Plan plan, Record first, RecordKind kind, string hand)
    {
        Dictionary<string, SecondSitting> open = [];
        foreach (JournalLine line in store.ReadSince(first.Id))
        {
            if (line.Kind == SecondStartedJson.Kind)
            {
                if (SecondStartedJson.Read(line.Body, line.At) is { } started && started.OfRecord == first.Id && started.Kind == kind && Hands.Same(started.Hand, hand))
                {
                    open[line.Sitting] = SecondSitting.Begin(plan, started);
                }
            }
            else if (line.Kind == RecordStore.Kind)
            {
                open.Remove(line.Sitting);
            }
            else if (open.TryGetValue(line.Sitting, out SecondSitting? sitting))
            {
                open[line.Sitting] = SittingEventJson.Read(line.Kind, line.Body, line.At) is { } happened && sitting.Apply(happened) is { } now
                    ? now
                    : throw new StoreException($"The journal's line {line.Number} is no event this program knows here; a newer version may have written it.");
            }
        }

        return open.Values.Where(sitting => sitting.State.Abandoned is null).OrderBy(sitting => sitting.Started.At).LastOrDefault() is { } newest ? new SecondSession(store, clock, newest) : null;
    }

    /// <summary>Does one command: decided, written and flushed, then applied.</summary>
    /// <exception cref="StoreException">It could not be written, so it did not happen.</exception>
    internal Decision Do(SittingCommand command)
    {
        Decision decision = Sitting.Decide(command, SittingSession.Now(_clock));
        foreach (SittingEvent happened in decision.Events)
        {
            _store.Append(happened.At, Sitting.Started.Sitting, SittingEventJson.Kind(happened), SittingEventJson.Body(happened));
            Sitting = Sitting.Apply(happened)!;   // decided by it, so it fits it
        }

        return decision;
    }

    /// <summary>Files the signed measurement at the end of the station's chain; the same one twice is one record.</summary>
    /// <exception cref="StoreException">The key or the journal cannot be used.</exception>
    internal Record File(Record first)
    {
        if (_store.Records.Find(Sitting.Started.Sitting)?.Sealed?.Record is { } filed)
        {
            return filed;
        }

        using StationKey key = StationKey.Open(_store.Paths);
        Record record = RecordOfSecond.Make(Sitting, first, _store.Records.NextPlace(key));
        RecordStore.Close(_store, record, key, SittingSession.Now(_clock));
        return record;
    }
}
