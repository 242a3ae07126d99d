using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>Which readings and which judgements no longer count once items have been moved.</summary>
/// <remarks>
/// A reading runs between two things, the item it is read on and what it is read from, and depends on nothing else:
/// every item is pinned to the cloth, so what stands on a moved item stays where it is. So exactly the steps with a moved
/// item at either end are stale. The rest keep their value, also where a condition on a lost judgement leaves it open
/// for now whether they apply. The size of a moved item is asked again too: taking a rack off and pinning it again can
/// shift its parts.
/// </remarks>
public static class StaleReadings
{
    /// <summary>The steps to measure again after the items were moved, in the order of work.</summary>
    /// <param name="plan">What the blouse goes through.</param>
    /// <param name="movedItems">Ids of items; names of landmarks and of items not worn move nothing.</param>
    public static IReadOnlyList<string> After(Plan plan, IEnumerable<string> movedItems)
    {
        HashSet<string> moved = [.. movedItems];
        moved.IntersectWith(plan.Items.Select(item => item.Id));
        return [.. plan.Steps.Where(step => moved.Contains(step.Of) || moved.Contains(step.From)).Select(step => step.Id)];
    }

    /// <summary>The relations whose judgement is lost with the readings of those steps, in the order of the file.</summary>
    /// <remarks>
    /// A relation is lost when it needs a lost reading, or when it applies only by the value of a relation that is lost:
    /// until that one is judged again nobody can say whether it holds.
    /// </remarks>
    public static IReadOnlyList<string> LostJudgements(Plan plan, IEnumerable<string> staleSteps)
    {
        HashSet<string> stale = [.. staleSteps];
        HashSet<string> lost = [.. plan.Relations.Where(relation => relation.Needs.Any(stale.Contains)).Select(relation => relation.Id)];
        while (plan.Relations.Any(relation => Hangs(relation.When, lost) && lost.Add(relation.Id)))
        {
        }

        return [.. plan.Relations.Select(relation => relation.Id).Where(lost.Contains)];
    }

    private static bool Hangs(Condition? when, HashSet<string> lost) =>
        when is not null && when.Parts.OfType<ConditionPart.ValueIs>().Any(part => lost.Contains(part.Relation));
}
