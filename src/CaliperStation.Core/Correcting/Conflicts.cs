using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Correcting;

/// <summary>Finds rules that no moves can satisfy together, tells them, and lets the rest be searched without them.</summary>
internal static class Conflicts
{
    /// <summary>The component's goals with those that contradict each other asked only to get no worse.</summary>
    /// <param name="component">Items and goals.</param>
    /// <param name="canTurn">For each item, whether its pins can turn it.</param>
    /// <param name="names">The items' words.</param>
    /// <param name="words">Takes the contradictions.</param>
    internal static IReadOnlyList<Goal> Settle(Component component, bool[] canTurn, IReadOnlyList<string> names, List<string> words)
    {
        ItemSet all = ItemSet.First(canTurn.Length);
        if (ZoneChoices.Of(component.Goals).Any(way => new MoveSolver(way, canTurn).Within(all) is not null))
        {
            return component.Goals;
        }

        Goal[] goals = [.. ZoneChoices.Of(component.Goals).First()];
        bool[] settled = new bool[goals.Length];
        while (true)
        {
            MoveSolver solver = new(goals, canTurn);
            if (solver.Within(all) is not null)
            {
                return goals;
            }

            double[] nearest = solver.Nearest(all);
            double[] excess = [.. goals.Select(goal => goal.After(nearest)).Zip(goals, (value, goal) => goal.Nearest(value).Excess(value))];
            int worst = Enumerable.Range(0, goals.Length).Where(k => !settled[k]).MaxBy(k => (Math.Abs(excess[k]), !goals[k].Holds));
            int? against = Opponent(goals, excess, worst, canTurn);
            bool turnWouldHelp = !canTurn.All(turns => turns) && new MoveSolver(goals, [.. canTurn.Select(_ => true)]).Within(all) is not null;
            words.Add(Words(goals[worst], against is { } k ? goals[k] : null, turnWouldHelp, canTurn, names));
            foreach (int rule in against is { } other ? [worst, other] : (int[])[worst])
            {
                goals[rule] = goals[rule].NoWorse(aims: false);
                settled[rule] = true;
            }
        }
    }

    /// <summary>The words for sound items that had to be moved: the rule that nothing else cures, and the rule that held.</summary>
    internal static IEnumerable<string> Foundations(IReadOnlyList<Goal> goals, RoundedMoves found, IReadOnlyList<string> names) => found.Needless.Select(item =>
    {
        Goal cured = goals.Where(goal => !goal.Holds).MinBy(goal => goal.Items.Contains(item) ? 0 : 1)!;
        Goal held = goals.Where(goal => goal.Owner == item).MaxBy(goal => Math.Abs(goal.After(found.Moves) - goal.Now))!;   // an item that no rule of its own sees is not moved
        return $"{PrintableText.Escape(cured.Relation)} cannot be brought within unless {PrintableText.Escape(names[item])} is moved, though {PrintableText.Escape(held.Relation)} holds";
    });

    /// <summary>The words for a rule that is not within and that depends on no item's place.</summary>
    internal static string Immovable(string relation) =>
        $"{PrintableText.Escape(relation)} is not within, and moving pins does not change it: check the parts and the coat";

    /// <summary>The words for rules that moves by whole steps leave short of being within.</summary>
    internal static string TooCoarse(string relation, Length step, CorrectingSettings settings) =>
        $"{PrintableText.Escape(relation)} is not within after the nearest move in steps of {LengthFormat.Show(step, settings.Display)}: set the pins between two steps and measure again";

    /// <summary>The goal that pulls hardest the other way: at the nearest place all pulls cancel out.</summary>
    private static int? Opponent(Goal[] goals, double[] excess, int worst, bool[] canTurn)
    {
        double[] pull = Pull(goals[worst], excess[worst], canTurn);
        (int? best, double most) = (null, -1e-12);
        for (int k = 0; k < goals.Length; k++)
        {
            double[] other = k == worst ? [] : Pull(goals[k], excess[k], canTurn);
            double along = other.Zip(pull, (a, b) => a * b).Sum();
            (best, most) = along < most ? (k, along) : (best, most);
        }

        return best;
    }

    private static double[] Pull(Goal goal, double excess, bool[] canTurn)
    {
        double[] pull = new double[3 * canTurn.Length];
        for (int k = 0; k < goal.Columns.Length; k++)
        {
            int column = goal.Columns[k];
            pull[column] = column % 3 < 2 || canTurn[column / 3] ? excess * goal.Factors[k] : 0;
        }

        return pull;
    }

    private static string Words(Goal goal, Goal? other, bool turnWouldHelp, bool[] canTurn, IReadOnlyList<string> names)
    {
        string first = PrintableText.Escape(goal.Relation);
        string what = other is null ? $"{first} cannot be brought within on this coat"
            : other.Relation == goal.Relation ? $"{first} cannot hold for all its readings on this coat"
            : $"{first} and {PrintableText.Escape(other.Relation)} cannot both hold on this coat: what helps one spoils the other";
        string[] onePin = turnWouldHelp ? [.. goal.Items.Where(item => !canTurn[item]).Select(item => PrintableText.Escape(names[item]))] : [];
        return onePin.Length == 0 ? what : $"{what}; {string.Join(" and ", onePin)} would have to turn, and one pin cannot turn it";
    }
}
