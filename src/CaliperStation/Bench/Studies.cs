using CaliperStation.Core.Sittings;
using CaliperStation.Core.Studies;
using CaliperStation.Storage;

namespace CaliperStation.Bench;

/// <summary>Studies of hands in the journal: begun, found and brought back.</summary>
internal static class Studies
{
    /// <summary>Begins a study.</summary>
    /// <exception cref="StoreException">It could not be written.</exception>
    internal static StudySitting Begin(IJournal journal, StudyPlan plan)
    {
        StudySitting study = StudySitting.Begin(plan);
        journal.Append(plan.At, plan.Id, StudyPlanJson.Kind, StudyPlanJson.Body(plan));
        return study;
    }

    /// <summary>Every study of the store where its events end, the oldest first. The whole journal is read: studies are few, and no bench waits for them.</summary>
    /// <exception cref="StoreException">A line of one is of a shape this program does not know.</exception>
    internal static IReadOnlyList<StudySitting> All(Store store)
    {
        Dictionary<string, StudySitting> studies = [];
        foreach (JournalLine line in store.Read())
        {
            if (line.Kind == StudyPlanJson.Kind)
            {
                studies[line.Sitting] = StudyPlanJson.Read(line.Body, line.At) is { } plan && plan.Id == line.Sitting && !studies.ContainsKey(line.Sitting)
                    ? StudySitting.Begin(plan)
                    : throw Unknown(line);
            }
            else if (studies.TryGetValue(line.Sitting, out StudySitting? study))
            {
                studies[line.Sitting] = SittingEventJson.Read(line.Kind, line.Body, line.At) is { } happened && study.Apply(happened) is { } now ? now : throw Unknown(line);
            }
        }

        return [.. studies.Values];
    }

    private static StoreException Unknown(JournalLine line) =>
        new(StoreFault.UnknownEvent, FormattableString.Invariant($"The journal's line {line.Number} is no event of a study that this program knows; a newer version may have written it."));
}
