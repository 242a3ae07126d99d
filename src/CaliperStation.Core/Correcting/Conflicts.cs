using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Correcting;

/// <summary>Finds rules that no moves can satisfy together, names them, and lets the rest be searched without them.</summary>
internal static class Conflicts
{
    /// <summary>The component's constraints with those that contradict each other asked only to get no worse.</summary>
    /// <param name="component">Items and constraints.</param>
    /// <param name="canTurn">For each item, whether its pins can turn it.</param>
    /// <param name="names">The items' words.</param>
    /// <param name="words">Takes the contradictions.</param>
    internal static IReadOnlyList<Constraint> Settle(Component component, bool[] canTurn, IReadOnlyList<string> names, List<string> words)
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
            words.Add(Words(constraints[worst], against is { } k ? constraints[k] : null, turnWouldHelp, canTurn, names));
            foreach (int rule in against is { } other ? [worst, other] : (int[])[worst])
            {
                constraints[rule] = constraints[rule].NoWorse(aims: false);
                settled[rule] = true;
            }
        }
    }

    /// <summary>The words for sound items that had to be moved: the rule that nothing else cures, and the rule that held.</summary>
    internal static IEnumerable<string> Foundations(IReadOnlyList<Constraint> constraints, RoundedMoves found, IReadOnlyList<string> names) => found.Needless.Select(item =>
    {
        Constraint cured = constraints.Where(constraint => !constraint.Holds).MinBy(constraint => constraint.Items.Contains(item) ? 0 : 1)!;
        Constraint held = constraints.Where(constraint => constraint.Owner == item).MaxBy(constraint => Math.Abs(constraint.After(found.Moves) - constraint.Now))!;   // an item that no rule of its own sees is not moved
        return $"{PrintableText.Escape(cured.Relation)} cannot be brought within unless {PrintableText.Escape(names[item])} is moved, though {PrintableText.Escape(held.Relation)} holds";
    });

    /// <summary>The words for a rule that is not within and that depends on no item's place.</summary>
    internal static string Immovable(string relation) =>
        $"{PrintableText.Escape(relation)} is not within, and moving pins does not change it: check the parts and the coat";

    /// <summary>The words for rules that moves by whole steps leave short of being within.</summary>
    internal static string TooCoarse(string relation, Length step, CorrectingSettings settings) =>
        $"{PrintableText.Escape(relation)} is not within after the nearest move in steps of {LengthFormat.Show(step, settings.Display)}: set the pins between two steps and measure again";

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

    private static string Words(Constraint constraint, Constraint? other, bool turnWouldHelp, bool[] canTurn, IReadOnlyList<string> names)
    {
        string first = PrintableText.Escape(constraint.Relation);
        string what = other is null ? $"{first} cannot be brought within on this coat"
            : other.Relation == constraint.Relation ? $"{first} cannot hold for all its readings on this coat"
            : $"{first} and {PrintableText.Escape(other.Relation)} cannot both hold on this coat: what helps one spoils the other";
        string[] onePin = turnWouldHelp ? [.. constraint.Items.Where(item => !canTurn[item]).Select(item => PrintableText.Escape(names[item]))] : [];
        return onePin.Length == 0 ? what : $"{what}; {string.Join(" and ", onePin)} would have to turn, and one pin cannot turn it";
    }
}
