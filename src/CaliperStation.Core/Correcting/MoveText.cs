using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>Tells the moves that were found: each pin in words, what the readings should become, what the move spoils.</summary>
internal sealed class MoveText(
    Plan plan,
    IReadOnlyDictionary<string, Measured> readings,
    IReadOnlyList<SensitivityRow> sensitivities,
    IReadOnlyList<Constraint> constraints,
    double[] moves,
    IReadOnlyList<ItemPose> poses,
    CorrectingSettings settings)
{
    internal ItemMove Of(int position, (int Right, int Up)[] pins)
    {
        Item item = plan.Items[position];
        Sides sides = plan.Standard.Sides;
        IReadOnlyList<string> names = PinWords.Names(item.Pins, sides);
        string turn = StaysTurned(item) ? "; it lies turned, and one pin cannot turn it" : "";
        PinMove Pin(int pin)
        {
            (Length right, Length up) = (settings.Step.Times(pins[pin].Right), settings.Step.Times(pins[pin].Up));
            return new PinMove(pin, right, up, PinWords.Move(names[pin], right, up, sides, settings.Display) + turn) { Name = names[pin] };
        }

        return new ItemMove(
            item.Id,
            [.. Enumerable.Range(0, pins.Length).Select(Pin)],
            [.. Touched(position).Select(step => (plan.Steps[step].Id, Should(step)))],
            WillBreak(position),
            StaleReadings.After(plan, [item.Id]));
    }

    /// <summary>True for a thing on one pin whose turn is seen and would be worth a move.</summary>
    private bool StaysTurned(Item item) =>
        !new PinGrid(item, settings).CanTurn
        && poses.FirstOrDefault(pose => pose.Item == item.Id) is { } pose
        && Math.Abs(pose.TurnMilliradians) / 1000 * LinearModel.TurnScale(item) >= settings.SmallestMove.Nanometres;

    private IEnumerable<int> Touched(int item) => Enumerable.Range(0, plan.Steps.Count)
        .Where(step => readings.ContainsKey(plan.Steps[step].Id) && (sensitivities[step].Of == item || sensitivities[step].From == item));

    private Length Should(int step)
    {
        SensitivityRow sensitivity = sensitivities[step];
        double change = Shift(sensitivity, sensitivity.Of, sensitivity.OfLever) - Shift(sensitivity, sensitivity.From, sensitivity.FromLever);
        return Length.FromNanometres(readings[plan.Steps[step].Id].Value.ToDouble() + (change * Constraints.MoveUnitNanometres), Rounding.HalfEven);
    }

    private double Shift(SensitivityRow sensitivity, int item, double lever) => item < 0
        ? 0
        : (sensitivity.Right * moves[3 * item]) + (sensitivity.Up * moves[(3 * item) + 1]) + (lever / LinearModel.TurnScale(plan.Items[item]) * moves[(3 * item) + 2]);

    /// <summary>Rules that hold now and would not if this item alone were moved.</summary>
    private List<string> WillBreak(int item)
    {
        double[] alone = new double[moves.Length];
        Array.Copy(moves, 3 * item, alone, 3 * item, 3);
        HashSet<string> failing = [.. constraints.Where(constraint => !constraint.Holds).Select(constraint => constraint.Relation)];
        return [.. constraints.Where(constraint => !failing.Contains(constraint.Relation) && !constraint.Holding(constraint.After(alone))).Select(constraint => constraint.Relation).Distinct()];
    }
}
