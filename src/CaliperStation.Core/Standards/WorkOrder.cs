namespace CaliperStation.Core.Standards;

/// <summary>Derives the order of work from what stands on what.</summary>
internal static class WorkOrder
{
    /// <summary>Each item after what it stands on and what its steps are measured from; the order of the file decides the rest.</summary>
    internal static List<Item> Items(IReadOnlyList<Item> worn, IReadOnlyList<Step> steps) =>
        Sorted(worn, item => item.Id, item => Lower(item, steps));

    /// <summary>
    /// Sizes of the garment first, then steps by item. A step comes after what its condition, or its relation's condition,
    /// must read; one that is brought forward so brings the steps of all that its item stands on with it.
    /// </summary>
    internal static List<Step> Steps(IReadOnlyList<Item> items, IReadOnlyList<Step> steps, IReadOnlyList<Relation> relations)
    {
        ILookup<string, Step> byThing = steps.ToLookup(step => step.Of);
        Dictionary<string, HashSet<string>> below = [];
        foreach (Item item in items)   // each after its lower ones, so their sets are there already
        {
            string[] lower = [.. Lower(item, steps).Where(below.ContainsKey)];
            below[item.Id] = [.. lower, .. lower.SelectMany(id => below[id])];
        }

        IEnumerable<Step> garment = steps.Where(step => !below.ContainsKey(step.Of));
        List<Step> byItem = [.. garment, .. items.SelectMany(item => byThing[item.Id])];
        return Sorted(byItem, step => step.Id, step => below.GetValueOrDefault(step.Of, []).SelectMany(id => byThing[id]).Select(lower => lower.Id).Concat(ReadBefore(step, relations)));
    }

    private static IEnumerable<string> Lower(Item item, IReadOnlyList<Step> steps) =>
        steps.Where(step => step.Of == item.Id && step.From != item.Id).Select(step => step.From).Prepend(item.StandsOn).Distinct();

    private static IEnumerable<string> ReadBefore(Step step, IReadOnlyList<Relation> relations)
    {
        IEnumerable<Condition?> conditions = relations.Where(r => r.Needs.Contains(step.Id)).Select(r => r.When).Append(step.When);
        return conditions.OfType<Condition>()
            .SelectMany(condition => condition.Parts).OfType<ConditionPart.ValueIs>()
            .SelectMany(part => relations.Where(r => r.Id == part.Relation && !r.Needs.Contains(step.Id)).SelectMany(r => r.Needs));
    }

    /// <summary>Takes each entry in the order given, its needs first. Names outside the list and cycles, which the loader refuses, are passed over.</summary>
    private static List<T> Sorted<T>(IReadOnlyList<T> entries, Func<T, string> id, Func<T, IEnumerable<string>> needs)
    {
        Dictionary<string, T> byId = entries.ToDictionary(id);
        HashSet<string> seen = [];
        List<T> sorted = [];
        void Visit(T entry)
        {
            if (!seen.Add(id(entry)))
            {
                return;
            }

            foreach (string need in needs(entry))
            {
                if (byId.TryGetValue(need, out T? first))
                {
                    Visit(first);
                }
            }

            sorted.Add(entry);
        }

        foreach (T entry in entries)
        {
            Visit(entry);
        }

        return sorted;
    }
}
