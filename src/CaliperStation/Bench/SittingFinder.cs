using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Storage;

namespace CaliperStation.Bench;

/// <summary>A sitting that was begun and not filed, with what happened in it.</summary>
internal sealed record OpenSittingEvents(SittingEvent.Started Started, IReadOnlyList<SittingEvent> Events);

/// <summary>Finds sittings to go on with.</summary>
internal static class SittingFinder
{
    /// <summary>The newest open sitting of a tag, or null.</summary>
    /// <exception cref="StoreException">A line of it is of a shape this program does not know.</exception>
    internal static OpenSittingEvents? Newest(Store store, string tag)
    {
        OpenSitting? open = store.Records.OpenSittings(tag) is { Count: > 0 } all ? all[^1] : null;
        if (open is null)
        {
            return null;
        }

        List<SittingEvent> events = [.. store.ReadSitting(open.Sitting, open.FirstNumber).Select(Read)];
        return events.FirstOrDefault() is SittingEvent.Started started
            ? new OpenSittingEvents(started, events[1..])
            : throw new StoreException(StoreFault.UnknownEvent, $"The sitting {open.Sitting} does not begin where the index says; delete {store.Paths.Index}, it is made anew.");
    }

    /// <summary>The first tag of a run of numbers that was not used: <c>DEMO-001</c>, <c>DEMO-002</c>.</summary>
    internal static string NextTag(Store store, string prefix)
    {
        IEnumerable<string> used = store.Records.OpenSittings().Select(sitting => sitting.Tag)
            .Concat(store.Records.Summaries(new RecordFilter()).Select(record => record.Tag));
        int last = used
            .Where(tag => tag.StartsWith(prefix, StringComparison.OrdinalIgnoreCase))
            .Select(tag => int.TryParse(tag.AsSpan(prefix.Length), System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out int number) ? number : 0)
            .DefaultIfEmpty()
            .Max();
        return FormattableString.Invariant($"{prefix}{last + 1:000}");
    }

    private static SittingEvent Read(JournalLine line) => SittingEventJson.Read(line.Kind, line.Body, line.At)
        ?? throw new StoreException(StoreFault.UnknownEvent, $"The journal's line {line.Number} is no event this program knows; a newer version may have written it.");
}
