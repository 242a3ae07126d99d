using CaliperStation.Core.Judging;
using CaliperStation.Core.Standards;
using MathNet.Numerics.LinearAlgebra;

namespace CaliperStation.Core.Correcting;

/// <summary>
/// The readings as linear functions of the items' displacements: expected + direction · displacements. Unknowns, three for
/// each item read: right, up, and turn times the item's half width, all in nanometres so that they weigh alike; then what the
/// standard leaves open of the expected readings.
/// </summary>
internal sealed class LinearModel
{
    private LinearModel(Plan plan, List<int> items, List<int> steps, Matrix<double>? design, Vector<double>? observed, Vector<double>? uncertainties)
    {
        Plan = plan;
        Items = items;
        Steps = steps;
        Design = design;
        Observed = observed;
        Uncertainties = uncertainties;
    }

    internal Plan Plan { get; }

    /// <summary>Positions in the plan of the items read, in the order of work; item k has the columns 3k to 3k + 2.</summary>
    internal IReadOnlyList<int> Items { get; }

    /// <summary>Positions in the plan of the steps that tell anything, a row each.</summary>
    internal IReadOnlyList<int> Steps { get; }

    /// <summary>The matrix; null when no reading says anything.</summary>
    internal Matrix<double>? Design { get; }

    /// <summary>Readings less the known part of what was expected, in nanometres.</summary>
    internal Vector<double>? Observed { get; }

    /// <summary>Standard uncertainties of the readings, in nanometres.</summary>
    internal Vector<double>? Uncertainties { get; }

    internal static LinearModel Of(Plan plan, IReadOnlyList<SensitivityRow> sensitivities, ExpectedReadings expected, IReadOnlyDictionary<string, Measured> readings)
    {
        List<int> read = [.. Enumerable.Range(0, plan.Steps.Count).Where(step => readings.ContainsKey(plan.Steps[step].Id))];
        List<int> items = [.. Enumerable.Range(0, plan.Items.Count).Where(item => read.Any(step => plan.Steps[step].Of == plan.Items[item].Id || plan.Steps[step].From == plan.Items[item].Id))];
        List<int> telling = Telling(read, expected);
        if (telling.Count == 0)
        {
            return new LinearModel(plan, items, telling, null, null, null);
        }

        List<int> open = [.. telling.SelectMany(step => expected.Open(step).Keys).Distinct()];
        Matrix<double> design = Matrix<double>.Build.Dense(telling.Count, (3 * items.Count) + open.Count);
        for (int row = 0; row < telling.Count; row++)
        {
            SensitivityRow sensitivity = sensitivities[telling[row]];
            Displacements(plan, design, row, items.IndexOf(sensitivity.Of), sensitivity.Of, sensitivity, sensitivity.OfLever, 1);
            Displacements(plan, design, row, items.IndexOf(sensitivity.From), sensitivity.From, sensitivity, sensitivity.FromLever, -1);
            foreach ((int unknown, double factor) in expected.Open(telling[row]))
            {
                design[row, (3 * items.Count) + open.IndexOf(unknown)] = factor;
            }
        }

        Measured Reading(int row) => readings[plan.Steps[telling[row]].Id];
        return new LinearModel(
            plan, items, telling, design,
            Vector<double>.Build.Dense(telling.Count, row => Reading(row).Value.ToDouble() - expected.Constant(telling[row])),
            Vector<double>.Build.Dense(telling.Count, row => Math.Max(Reading(row).Uncertainty, 1)));   // 1 nm is finer than any bench
    }

    /// <summary>Half the width, or the height where that is more: the length that makes a turn comparable with a shift.</summary>
    internal static double TurnScale(Item item) => Math.Max(Math.Max(item.Size.Right.Nanometres, item.Size.Up.Nanometres) / 2.0, 1);

    private static void Displacements(Plan plan, Matrix<double> design, int row, int column, int item, SensitivityRow sensitivity, double lever, double sign)
    {
        if (column >= 0)
        {
            design[row, 3 * column] += sign * sensitivity.Right;
            design[row, (3 * column) + 1] += sign * sensitivity.Up;
            design[row, (3 * column) + 2] += sign * lever / TurnScale(plan.Items[item]);
        }
    }

    /// <summary>A reading with an unknown of its own always fits, and so says nothing; without it others may come to say nothing.</summary>
    private static List<int> Telling(List<int> read, ExpectedReadings expected)
    {
        List<int> telling = [.. read];
        while (true)
        {
            HashSet<int> alone = [.. telling.SelectMany(step => expected.Open(step).Keys).CountBy(unknown => unknown).Where(pair => pair.Value == 1).Select(pair => pair.Key)];
            if (telling.RemoveAll(step => expected.Open(step).Keys.Any(alone.Contains)) == 0)
            {
                return telling;
            }
        }
    }
}
