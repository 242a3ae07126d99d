using CaliperStation.Core.Judging;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>The readings that a move still needs: one move is to mend all that is read on an item.</summary>
internal static class WantedSteps
{
    /// <summary>
    /// Steps of the item itself (its other pin, its other side) that a rule of this coat needs, that a move changes, and that have no reading
    /// that counts. Steps of items above are never among them: a move makes those stale.
    /// </summary>
    internal static IEnumerable<string> Of(Plan plan, int item, RelationEvaluation evaluation, IReadOnlyList<SensitivityRow> sensitivities)
    {
        HashSet<string> needed = [.. evaluation.Relations.SelectMany(relation => relation.Needs)];
        return plan.Steps
            .Where((step, position) => step.Of == plan.Items[item].Id && sensitivities[position].Of == item && needed.Contains(step.Id) && !evaluation.Readings.ContainsKey(step.Id))
            .Where(step => evaluation.Applies(step) == true)
            .Select(step => step.Id);
    }
}
