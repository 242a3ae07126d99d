using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>What can be said only of the file as a whole: cycles, what nothing uses, what lies outside the coat.</summary>
internal sealed class StandardChecks(TomlTable root, StandardNames names, FaultList faults)
{
    internal void Run(List<ItemDraft> items, List<StepDraft> steps, List<RelationDraft> relations)
    {
        if (relations.Count == 0 && root.Find("relation") is null)
        {
            faults.Add(new TextPlace(1, 1), "there is nothing to judge", "an [[item]], a [[step]] that reads it, and a [[relation]] over the step");
        }

        Dictionary<string, HashSet<string>> below = Below(items, steps);
        bool cycle = TellCycle(below, "stands on", id => names.Items[id].Find("stands_on") ?? names.Items[id].Find("id"));
        if (!cycle && !TellCycle(Waits(steps, relations), "waits for", id => names.Relations[id].Find("when") ?? names.Relations[id].Find("id")))
        {
            TellCycle(ReadAfter(steps, relations, below), "is read after", id => names.Steps[id].Find("id"));
        }

        if (!cycle)
        {
            CheckPlaces(items);
        }

        CheckUse(steps, relations);
    }

    // An item comes after what it stands on, and after the items its steps are measured from.
    private static Dictionary<string, HashSet<string>> Below(List<ItemDraft> items, List<StepDraft> steps)
    {
        Dictionary<string, HashSet<string>> below = [];
        foreach (ItemDraft item in items.Where(item => item.Id is not null))
        {
            below.TryAdd(item.Id!, item.StandsOn is null ? [] : [item.StandsOn, .. item.Otherwise]);
        }

        foreach (StepDraft step in steps.Where(step => !step.IsSize && step.Of is not null && step.From is not null && step.Of != step.From))
        {
            below.GetValueOrDefault(step.Of!)?.Add(step.From!);
        }

        return below;
    }

    private static Dictionary<string, HashSet<string>> Waits(List<StepDraft> steps, List<RelationDraft> relations)
    {
        ILookup<string, string> byStep = steps.Where(step => step.Id is not null).SelectMany(step => Asked(step.When).Select(asked => (step.Id, asked))).ToLookup(pair => pair.Id!, pair => pair.asked);
        Dictionary<string, HashSet<string>> waits = [];
        foreach (RelationDraft relation in relations.Where(relation => relation.Id is not null))
        {
            waits.TryAdd(relation.Id!, [.. Asked(relation.When), .. relation.Needs.SelectMany(need => byStep[need])]);
        }

        return waits;
    }

    private static Dictionary<string, HashSet<string>> ReadAfter(List<StepDraft> steps, List<RelationDraft> relations, Dictionary<string, HashSet<string>> below)
    {
        Dictionary<string, RelationDraft> byId = [];
        relations.ForEach(relation => byId.TryAdd(relation.Id ?? string.Empty, relation));
        ILookup<string, string> ofItem = steps.Where(step => step.Id is not null && step.Of is not null).ToLookup(step => step.Of!, step => step.Id!);
        ILookup<string, RelationDraft> over = relations.SelectMany(relation => relation.Needs.Select(need => (need, relation))).ToLookup(pair => pair.need, pair => pair.relation);
        Dictionary<string, HashSet<string>> after = [];
        foreach (StepDraft step in steps.Where(step => step.Id is not null))
        {
            IEnumerable<string> asked = over[step.Id!].Select(relation => relation.When).Append(step.When).SelectMany(Asked);
            IEnumerable<string> waits = asked.Select(byId.GetValueOrDefault).OfType<RelationDraft>().Where(relation => !relation.Needs.Contains(step.Id)).SelectMany(relation => relation.Needs);
            IEnumerable<string> lower = step.Of is not null && below.TryGetValue(step.Of, out HashSet<string>? things) ? things.SelectMany(thing => ofItem[thing]) : [];
            after.TryAdd(step.Id!, [.. waits, .. lower]);
        }

        return after;
    }

    private static IEnumerable<string> Asked(Condition? when) => when is null ? [] : when.Parts.OfType<ConditionPart.ValueIs>().Select(part => part.Relation);

    private bool TellCycle(Dictionary<string, HashSet<string>> edges, string words, Func<string, TomlEntry?> placeOf)
    {
        List<List<string>> cycles = CycleFinder.In(edges);
        foreach (List<string> cycle in cycles)
        {
            string path = string.Join($" {words} ", cycle.Append(cycle[0]).Select(FaultList.Quote));
            faults.Add(placeOf(cycle[0])?.Node.Place ?? new TextPlace(1, 1), $"{path}: a cycle", "an order in which each can be measured after what it rests on", FaultKind.Cycle);
        }

        return cycles.Count > 0;
    }

    private void CheckPlaces(List<ItemDraft> items)
    {
        Dictionary<string, ItemDraft> byId = [];
        items.ForEach(item => byId.TryAdd(item.Id ?? string.Empty, item));
        foreach (ItemDraft item in items)
        {
            PlanePoint centre = default;
            ItemDraft? at = item;
            bool known = true;
            string? standsOn = null;
            while (at is not null)
            {
                known &= at.Place is not null;
                PlanePoint place = at.Place ?? default;
                centre = new PlanePoint(centre.Right + place.Right, centre.Up + place.Up);
                standsOn = at.StandsOn;
                at = standsOn is null ? null : byId.GetValueOrDefault(standsOn);
            }

            // Where the landmark's own place is left to the program, the offset alone must fit the coat.
            PlanePoint from = standsOn is null ? default : names.Landmarks.GetValueOrDefault(standsOn)?.At ?? default;
            if (known && !CoatBounds.Hold(new PlanePoint(from.Right + centre.Right, from.Up + centre.Up)))
            {
                faults.Add(item.Table.PlaceOf("place"), $"{item.Table.Label} lies outside the coat", CoatBounds.Words, FaultKind.OutsideCoat);
            }
        }
    }

    private void CheckUse(List<StepDraft> steps, List<RelationDraft> relations)
    {
        HashSet<string> judged = [.. relations.SelectMany(relation => relation.Needs)];
        List<string> slips = [.. judged.Where(name => !names.Steps.ContainsKey(name))];
        foreach (StepDraft step in steps.Where(step => step.Id is not null && !judged.Contains(step.Id)))
        {
            if (slips.Exists(slip => NearestName.IsNear(slip, step.Id!)))
            {
                continue;   // already reported at the relation that misspells this step
            }

            faults.Add(step.Table.PlaceOf("id"), $"nothing judges {step.Table.Label}", $"a [[relation]] with of = [\"{step.Id}\"], or no such step");
        }

        foreach ((string id, TomlTable table) in names.Questions.Where(pair => !names.IsAsked(pair.Key)))
        {
            faults.Add(table.Find("id")!.Node.Place, $"nothing asks about question \"{id}\"", $"when = {{ {id} = \"…\" }} where its answer matters, or no such question");
        }
    }
}
