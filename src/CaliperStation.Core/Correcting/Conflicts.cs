using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Correcting;

/// <summary>Finds rules that no moves can satisfy together, names them, and lets the rest be searched without them.</summary>
internal static class Conflicts
{
    /// <summary>The component's constraints with those that contradict each other asked only to get no worse.</summary>
    /// <param name="component">Items and constraints.</param>
    /// <param name="canTurn">For each item, whether its pins can turn it.</param>
    /// <param name="names">The items' words.</param>
    /// <param name="told">Takes the contradictions.</param>
    internal static IReadOnlyList<Constraint> Settle(Component component, bool[] canTurn, IReadOnlyList<string> names, List<Conflict> told)
    {
        ItemSet all = ItemSet.First(canTurn.Length);
        if (NominalChoices.Of(component.Constraints).Any(way => new MoveSolver(way, canTurn).Within(all) is not null))
        {
            return component.Constraints;
        }

        Constraint[] constraints = [.. NominalChoices.Of(component.Constraints).First()];
        bool[] settled = new bool[constraints.Length];
        while (true)
        {
            MoveSolver solver = new(constraints, canTurn);
            if (solver.Within(all) is not null)
            {
                return constraints;
            }

            double[] nearest = solver.Nearest(all);
            double[] excess = [.. constraints.Select(constraint => constraint.After(nearest)).Zip(constraints, (value, constraint) => constraint.Nearest(value).Excess(value))];
            int worst = Enumerable.Range(0, constraints.Length).Where(k => !settled[k]).MaxBy(k => (Math.Abs(excess[k]), !constraints[k].Holds));
            int? against = Opponent(constraints, excess, worst, canTurn);
            bool turnWouldHelp = !canTurn.All(turns => turns) && new MoveSolver(constraints, [.. canTurn.Select(_ => true)]).Within(all) is not null;
            told.Add(Of(constraints[worst], against is { } k ? constraints[k] : null, turnWouldHelp, canTurn, names));
            foreach (int rule in against is { } other ? [worst, other] : (int[])[worst])
            {
                constraints[rule] = constraints[rule].NoWorse(aims: false);
                settled[rule] = true;
            }
        }
    }

    /// <summary>What is told of sound items that had to be moved: the rule that nothing else cures, and the rule that held.</summary>
    internal static IEnumerable<Conflict> Foundations(IReadOnlyList<Constraint> constraints, RoundedMoves found, IReadOnlyList<string> names) => found.Needless.Select(item =>
    {
        Constraint cured = constraints.Where(constraint => !constraint.Holds).MinBy(constraint => constraint.Items.Contains(item) ? 0 : 1)!;
        Constraint held = constraints.Where(constraint => constraint.Owner == item).MaxBy(constraint => Math.Abs(constraint.After(found.Moves) - constraint.Now))!;   // an item that no rule of its own sees is not moved
        return new Conflict(
            ConflictKind.SoundItemMoves, [cured.Relation, held.Relation], [names[item]],
            $"{PrintableText.Escape(cured.Relation)} cannot be brought within unless {PrintableText.Escape(names[item])} is moved, though {PrintableText.Escape(held.Relation)} holds");
    });

    /// <summary>A rule that is not within and that depends on no item's place.</summary>
    internal static Conflict Immovable(string relation) =>
        new(ConflictKind.Immovable, [relation], [], $"{PrintableText.Escape(relation)} is not within, and moving pins does not change it: check the parts and the coat");

    /// <summary>A rule that moves by whole steps leave short of being within.</summary>
    internal static Conflict TooCoarse(string relation, Length step, CorrectingSettings settings) => new(
        ConflictKind.TooCoarse, [relation], [],
        $"{PrintableText.Escape(relation)} is not within after the nearest move in steps of {LengthFormat.Show(step, settings.Display)}: set the pins between two steps and measure again");

    /// <summary>The constraint that pulls hardest the other way: at the nearest place all pulls cancel out.</summary>
    private static int? Opponent(Constraint[] constraints, double[] excess, int worst, bool[] canTurn)
    {
        double[] pull = Pull(constraints[worst], excess[worst], canTurn);
        (int? best, double most) = (null, -1e-12);
        for (int k = 0; k < constraints.Length; k++)
        {
            double[] other = k == worst ? [] : Pull(constraints[k], excess[k], canTurn);
            double along = other.Zip(pull, (a, b) => a * b).Sum();
            (best, most) = along < most ? (k, along) : (best, most);
        }

        return best;
    }

    private static double[] Pull(Constraint constraint, double excess, bool[] canTurn)
    {
        double[] pull = new double[3 * canTurn.Length];
        for (int k = 0; k < constraint.Columns.Length; k++)
        {
            int column = constraint.Columns[k];
            pull[column] = column % 3 < 2 || canTurn[column / 3] ? excess * constraint.Factors[k] : 0;
        }

        return pull;
    }

    private static Conflict Of(Constraint constraint, Constraint? other, bool turnWouldHelp, bool[] canTurn, IReadOnlyList<string> names)
    {
        string first = PrintableText.Escape(constraint.Relation);
        (ConflictKind kind, string what) = other is null ? (ConflictKind.OneRule, $"{first} cannot be brought within on this coat")
            : other.Relation == constraint.Relation ? (ConflictKind.ItsReadings, $"{first} cannot hold for all its readings on this coat")
            : (ConflictKind.TwoRules, $"{first} and {PrintableText.Escape(other.Relation)} cannot both hold on this coat: what helps one spoils the other");
        string[] onePin = turnWouldHelp ? [.. constraint.Items.Where(item => !canTurn[item]).Select(item => names[item])] : [];
        string turn = onePin.Length == 0 ? "" : $"; {string.Join(" and ", onePin.Select(PrintableText.Escape))} would have to turn, and one pin cannot turn it";
        return new Conflict(kind, kind == ConflictKind.TwoRules ? [constraint.Relation, other!.Relation] : [constraint.Relation], onePin, what + turn);
    }
}
