namespace CaliperStation.Core.Standards;

/// <summary>Derives the order of work from what stands on what.</summary>
internal static class WorkOrder
{
    /// <summary>Each item after what it stands on; the order of the file decides the rest.</summary>
    internal static List<Item> Items(IReadOnlyList<Item> worn)
    {
        HashSet<string> known = [.. worn.Select(item => item.Id)];
        return Sorted(worn, item => item.Id, item => known.Contains(item.StandsOn) ? [item.StandsOn] : []);
    }

    /// <summary>Steps by item; a step comes after what its condition, or its relation's condition, must read.</summary>
    internal static List<Step> Steps(IReadOnlyList<Item> items, IReadOnlyList<Step> steps, IReadOnlyList<Relation> relations)
    {
        List<Step> byItem = [.. items.SelectMany(item => steps.Where(step => step.Of == item.Id))];
        return Sorted(byItem, step => step.Id, step => ReadBefore(step, relations));
    }

    private static IEnumerable<string> ReadBefore(Step step, IReadOnlyList<Relation> relations)
    {
        IEnumerable<Condition?> conditions = relations.Where(r => r.Of.Contains(step.Id)).Select(r => r.When).Append(step.When);
        return conditions.OfType<Condition>()
            .SelectMany(condition => condition.Parts).OfType<ConditionPart.ValueIs>()
            .SelectMany(part => relations.Where(r => r.Id == part.Relation).SelectMany(r => r.Needs))
            .Where(id => id != step.Id);
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
