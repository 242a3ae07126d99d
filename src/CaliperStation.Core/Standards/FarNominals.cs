using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Finds nominals that lie far from where the file itself places the item: a slip of a unit or of a decimal mark, in one of the two.</summary>
/// <remarks>
/// Looked at are readings across and up and down from what the item stands on, where its size is known; which edge of it is read is not always told, so the
/// nearest edge counts.
/// </remarks>
internal sealed class FarNominals(List<Item> items, StandardNames names, FaultList faults)
{
    // Prompts and pictures need not be exact; half an inch is no rounding any more. Common practice, no source.
    private static readonly Length Far = Length.Inch.DividedBy(2, Rounding.HalfEven);

    internal void Check(List<Step> steps, List<(RelationDraft Draft, Relation Relation)> relations)
    {
        Dictionary<string, Step> byId = steps.ToDictionary(step => step.Id);
        List<(RelationDraft Draft, Relation Relation)> told = relations.FindAll(pair =>
            (pair.Relation.Kind == RelationKind.Gap || (pair.Relation.Kind == RelationKind.Pitch && pair.Relation.AddSteps.Count == 0)) && pair.Relation.Limits.All(limits => limits.Nominal is not null));
        foreach ((RelationDraft draft, Relation relation) in told)
        {
            foreach (Step step in relation.Of.Select(id => byId[id]).Where(step => !IsNear(relation, step)))
            {
                if (relation.When is not null && told.Exists(other => other.Relation.Of.Contains(step.Id) && IsNear(other.Relation, step)))
                {
                    continue;   // of rules that take turns, one is where the item is placed
                }

                Length gap = Placed(step)[0] + Halves(relation), nominal = relation.Limits.Select(limits => limits.Nominal!.Value).MinBy(nominal => (nominal - gap).Abs());
                faults.Add(
                    draft.Table.PlaceOf(relation.Limits.Count > 1 ? "any-of" : "nominal"),
                    $"{draft.Table.Label} asks for {LengthFormat.ShowExact(nominal)}, but the place of {FaultList.Quote(step.Of)} leaves {LengthFormat.ShowExact(gap)} there", "the figure with its unit, or another place of the item", FaultKind.FarFromPlace);
                break;
            }
        }
    }

    private bool IsNear(Relation relation, Step step) => Placed(step) is not { Count: > 0 } gaps
        || gaps.Any(gap => relation.Limits.Any(limits => (limits.Nominal!.Value - gap - Halves(relation)).Abs() <= Far));

    private static Length Halves(Relation relation) => relation.Add.Aggregate(Length.Zero, (sum, size) => sum + size).DividedBy(2, Rounding.HalfEven);

    /// <summary>What a reading would be where everything is in its place, from each edge that may be meant, the facing one first; none where that is not known.</summary>
    private List<Length> Placed(Step step)
    {
        Item? item = items.Find(item => item.Id == step.Of);
        PlanePoint? place = item?.StandsOn == step.From ? item.Place : item?.Otherwise.FirstOrDefault(support => support.StandsOn == step.From)?.Place;
        if (step.Grows is not { } grows || (grows.Right != 0 && grows.Up != 0) || place is not { } centre)
        {
            return [];
        }

        PlanePoint? size = items.Find(item => item.Id == step.From)?.Size ?? names.Landmarks.GetValueOrDefault(step.From)?.Size;
        if (size is not { } known)
        {
            return [];
        }

        bool upright = grows.Up != 0;
        int sign = (upright ? grows.Up : grows.Right) > 0 ? 1 : -1;
        Length half = (upright ? known.Up : known.Right).DividedBy(2, Rounding.HalfEven);
        Length middle = upright && names.Landmarks.ContainsKey(step.From) ? -half : Length.Zero;   // a place counts from a landmark's top middle
        Length at = (upright ? centre.Up + step.At.Up : centre.Right + step.At.Right) - middle;
        Length[] edges = step.FromAt is { } stated ? [upright ? stated.Up : stated.Right] : [half.Times(sign), -half.Times(sign)];
        return [.. edges.Select(edge => (at - edge).Times(sign))];
    }
}
