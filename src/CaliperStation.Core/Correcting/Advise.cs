using CaliperStation.Core.Judging;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>Says where every item lies, which readings do not fit the rest, and the fewest pins to move.</summary>
public static class Advise
{
    /// <summary>The advice for the readings at hand, which need not be complete.</summary>
    /// <param name="plan">What the blouse goes through.</param>
    /// <param name="readings">By step, those that are not stale; steps that the plan does not have, or that do not apply, are passed over.</param>
    /// <param name="settings">What a hand can do.</param>
    /// <param name="alsoWanted">Relations that are to be mended though they are borderline only; null for none.</param>
    /// <param name="leftAlone">Relations that were set aside: nothing is moved for them; null for none.</param>
    public static Advice For(Plan plan, IReadOnlyDictionary<string, Measured> readings, CorrectingSettings settings, IReadOnlySet<string>? alsoWanted = null, IReadOnlySet<string>? leftAlone = null)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(settings.SmallestMove.Nanometres, nameof(settings));
        RelationEvaluation evaluation = new(plan, readings);
        IReadOnlyDictionary<string, Measured> known = evaluation.Readings;
        CoatLayout layout = new(plan);
        SensitivityRow[] sensitivities = [.. plan.Steps.Select(step => SensitivityRow.For(plan, layout, step))];
        LinearModel model = LinearModel.Of(plan, sensitivities, new ExpectedReadings(plan, evaluation.Relations, known), known);
        IReadOnlyList<Constraint> constraints = Unseen.LeftOut([.. Constraints.Of(plan, evaluation, sensitivities, alsoWanted ?? new HashSet<string>()).Where(constraint => leftAlone?.Contains(constraint.Relation) != true)]);

        List<Conflict> conflicts = [.. constraints.Where(constraint => constraint.Columns.Length == 0 && !constraint.Holds).Select(constraint => Conflicts.Immovable(constraint.Relation))];
        Component[] failing = [.. Component.Of(constraints, plan.Items.Count).Where(component => component.Constraints.Any(constraint => !constraint.Holds)).OrderBy(component => component.Items[0])];
        Dictionary<int, (int Right, int Up)[]> pins = [];
        double[] moves = new double[3 * plan.Items.Count];
        List<string> wanted = [];
        bool provenFewest = true;
        foreach (Component component in failing)
        {
            Found? found = Search(plan, component, settings, conflicts);
            string[] first = [.. (found?.Lowest(component.Constraints) ?? []).SelectMany(k => WantedSteps.Of(plan, component.Items[k], evaluation, sensitivities))];
            wanted.AddRange(first);
            provenFewest &= found?.IsFewest ?? true;
            for (int k = 0; found is not null && first.Length == 0 && k < component.Items.Length; k++)
            {
                Array.Copy(found.Moves.Moves, 3 * k, moves, 3 * component.Items[k], 3);
                if (found.Moves.Pins[k].Length > 0)
                {
                    pins[component.Items[k]] = found.Moves.Pins[k];
                }
            }

            conflicts.AddRange(first.Length == 0 ? found?.Conflicts ?? [] : []);
        }

        HashSet<string> suspects = [.. failing.SelectMany(component => component.Items).Select(item => plan.Items[item].Id)];
        bool Suspect(string id) => plan.FindStep(id) is { } step && (suspects.Contains(step.Of) || suspects.Contains(step.From));
        LeastSquares? fit = PoseFit.Of(model);
        IReadOnlyList<ItemPose> poses = PoseFit.Poses(model, fit);
        MoveText text = new(plan, known, sensitivities, constraints, moves, poses, settings);
        return new Advice(
            poses,
            [.. pins.OrderBy(pair => pair.Key).Select(pair => text.Of(pair.Key, pair.Value))],
            provenFewest,
            suspects.Count == 0 ? [] : [.. PoseFit.Outliers(model, fit).Where(Suspect)],
            [.. conflicts.DistinctBy(conflict => conflict.Words)])
        {
            Wanted = [.. wanted.OrderBy(plan.PositionOf)],
        };
    }

    /// <summary>The fewest moves of one component; null when nothing helps or it cannot be searched. Adds rules that contradict each other.</summary>
    private static Found? Search(Plan plan, Component component, CorrectingSettings settings, List<Conflict> conflicts)
    {
        if (component.Items.Length > ItemSet.Most)
        {
            conflicts.Add(new Conflict(ConflictKind.TooMany, [], [], $"more than {ItemSet.Most} items hang together: too many to search for moves"));
            return null;
        }

        PinGrid[] grids = [.. component.Items.Select(item => new PinGrid(plan.Items[item], settings))];
        string[] names = [.. component.Items.Select(item => plan.Items[item].Name)];
        IReadOnlyList<Constraint> constraints = Conflicts.Settle(component, [.. grids.Select(grid => grid.CanTurn)], names, conflicts);
        if (constraints.All(constraint => constraint.Holds) || FewestRepins.Search(constraints, grids) is not { } found)
        {
            return null;
        }

        return new Found(
            found,
            FewestRepins.IsExact(constraints, grids),
            [
                .. Conflicts.Foundations(constraints, found, names),
                .. constraints.Where(constraint => !constraint.Holding(constraint.After(found.Moves))).Select(constraint => Conflicts.TooCoarse(constraint.Relation, settings.Step, settings)),
            ]);
    }

    /// <summary>The moves of a component, and what is to be said of them.</summary>
    private sealed record Found(RoundedMoves Moves, bool IsFewest, IReadOnlyList<Conflict> Conflicts)
    {
        /// <summary>Those that move, or should if steps were finer, and are read from none of these: what is read above them does not outlast their move.</summary>
        internal IEnumerable<int> Lowest(IReadOnlyList<Constraint> constraints)
        {
            HashSet<int> wanting = [.. Moves.Moved, .. constraints.Where(constraint => !constraint.Holding(constraint.After(Moves.Moves))).Select(constraint => constraint.Owner)];
            return wanting.Where(item => !constraints.Where(constraint => constraint.Owner == item).SelectMany(constraint => constraint.Items).Any(other => other != item && wanting.Contains(other)));
        }
    }
}

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
