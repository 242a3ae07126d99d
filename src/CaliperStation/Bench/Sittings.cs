using System.Globalization;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;
using CaliperStation.Storage;

namespace CaliperStation.Bench;

/// <summary>Sittings in the journal: begun, found and brought back.</summary>
internal static class Sittings
{
    /// <summary>Since so long nothing happened in a sitting of an earlier day: work past midnight is not asked about.</summary>
    private static readonly TimeSpan Pause = TimeSpan.FromHours(3);

    /// <summary>The id of what begins now.</summary>
    internal static string NewId(DateTimeOffset now, string tag) =>
        $"{now.UtcDateTime.ToString("yyyyMMdd'T'HHmmss", CultureInfo.InvariantCulture)}{now.Millisecond:000}Z-{tag.Replace('@', '_')}";   // an id holds no other sign

    /// <summary>Begins a sitting.</summary>
    /// <exception cref="StoreException">It could not be written.</exception>
    internal static Work.Measuring Begin(IJournal journal, TimeProvider clock, Plan plan, string tag, string hand)
    {
        DateTimeOffset now = Instants.Now(clock);
        string id = NewId(now, tag);
        SittingEvent.Started started = new(id, tag, hand, plan.Standard.Sha256, plan.Answers) { At = now, Figures = plan.Standard.Judging.Figures };
        journal.Append(now, id, SittingEventJson.Kind(started), SittingEventJson.Body(started));
        return new Work.Measuring(SittingView.Of(Sitting.Begin(plan, started)));
    }

    /// <summary>A sitting where its events end.</summary>
    internal static Work.Measuring Resume(Plan plan, OpenSittingEvents open) =>
        new(SittingView.Of(open.Events.Aggregate(Sitting.Begin(plan, open.Started), Sitting.Apply)));

    /// <summary>Begins a remeasurement.</summary>
    /// <exception cref="StoreException">It could not be written.</exception>
    internal static Work.Remeasuring Begin(IJournal journal, Plan plan, RemeasurementStarted started)
    {
        Remeasurement sitting = Remeasurement.Begin(plan, started);
        journal.Append(started.At, started.Sitting, RemeasurementStartedJson.Kind, RemeasurementStartedJson.Body(started));
        return new Work.Remeasuring(sitting);
    }

    /// <summary>The newest remeasurement of that record, kind and hand that was not filed or given up, with its last instant; or null.</summary>
    /// <exception cref="StoreException">A line of it is of a shape this program does not know.</exception>
    internal static (Work.Remeasuring Work, DateTimeOffset Last)? ResumeRemeasurement(Store store, Plan plan, Record first, RecordKind kind, string hand)
    {
        Dictionary<string, (Remeasurement Sitting, DateTimeOffset Last)> open = [];
        foreach (JournalLine line in store.ReadSince(first.Id))
        {
            if (line.Kind == RemeasurementStartedJson.Kind)
            {
                if (RemeasurementStartedJson.Read(line.Body, line.At) is { } started && started.OfRecord == first.Id && started.Kind == kind && Initials.Same(started.Hand, hand))
                {
                    open[line.Sitting] = (Remeasurement.Begin(plan, started), line.At);
                }
            }
            else if (line.Kind == RecordStore.Kind)
            {
                open.Remove(line.Sitting);
            }
            else if (open.TryGetValue(line.Sitting, out (Remeasurement Sitting, DateTimeOffset Last) sitting))
            {
                open[line.Sitting] = SittingEventJson.Read(line.Kind, line.Body, line.At) is { } happened && sitting.Sitting.Apply(happened) is { } now
                    ? (now, line.At)
                    : throw new StoreException(StoreFault.UnknownEvent, $"The journal's line {line.Number} is no event this program knows here; a newer version may have written it.");
            }
        }

        return open.Values.Where(sitting => sitting.Sitting.State.Abandoned is null).OrderBy(sitting => sitting.Sitting.Started.At).LastOrDefault() is { Sitting: { } newest } found
            ? (new Work.Remeasuring(newest), found.Last)
            : null;
    }

    /// <summary>What is there of work that goes on, in the bench's own time.</summary>
    internal static Resume Found(Work work, DateTimeOffset last, bool standardChanged, TimeProvider clock)
    {
        SittingState state = work.View.State;
        DateTimeOffset then = TimeZoneInfo.ConvertTime(last, clock.LocalTimeZone);
        DateTimeOffset now = clock.GetLocalNow();
        IReadOnlyList<string> hands = state.Hands.Count > 0 ? [.. state.Hands] : state.Hand.Length > 0 ? [state.Hand] : [];
        return new Resume(state.Tag, hands, then, state.Readings.Count, then.Date < now.Date && now - then >= Pause, standardChanged);
    }
}
