using CaliperStation.Core.Sittings;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>A sitting that was begun and not filed.</summary>
/// <param name="Started">How it began.</param>
/// <param name="Events">What happened since, in order.</param>
internal sealed record OpenSitting(SittingEvent.Started Started, IReadOnlyList<SittingEvent> Events)
{
    /// <summary>The newest open sitting whose tag passes, or null.</summary>
    /// <exception cref="StoreException">A line of it is of a shape this program does not know.</exception>
    internal static OpenSitting? Find(IEnumerable<JournalLine> lines, Func<string, bool> tag)
    {
        Dictionary<string, (SittingEvent.Started Started, List<SittingEvent> Events)> open = [];
        foreach (JournalLine line in lines)
        {
            if (line.Kind == "record")
            {
                open.Remove(line.Sitting);
            }
            else if (line.Kind == "started" && Read(line) is SittingEvent.Started started && tag(started.Tag))
            {
                open[line.Sitting] = (started, []);
            }
            else if (open.TryGetValue(line.Sitting, out (SittingEvent.Started Started, List<SittingEvent> Events) sitting))
            {
                sitting.Events.Add(Read(line));
            }
        }

        return open.Count == 0 ? null : open.Values.Select(sitting => new OpenSitting(sitting.Started, sitting.Events)).MaxBy(sitting => sitting.Started.At);
    }

    private static SittingEvent Read(JournalLine line) => SittingEventJson.Read(line.Kind, line.Body, line.At)
        ?? throw new StoreException($"The journal's line {line.Number} is no event this program knows; a newer version may have written it.");
}
