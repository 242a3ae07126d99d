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
        bool turned = StaysTurned(item);
        PinMove Pin(int pin)
        {
            (Length right, Length up) = (settings.Step.Times(pins[pin].Right), settings.Step.Times(pins[pin].Up));
            return new PinMove(pin, right, up, PinWords.Move(names[pin], right, up, sides, settings.Display) + (turned ? PinWords.StaysTurned : "")) { Name = names[pin], StaysTurned = turned };
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

/// <summary>Pins and their moves in words a person can follow: <c>left pin: up 1½ t, right 2 t</c>; <c>right pin: leave</c>.</summary>
/// <remarks>Left and right are meant as the standard means them, so that advice and prompts never contradict each other.</remarks>
internal static class PinWords
{
    /// <summary>What follows the move of a thing that stays turned.</summary>
    internal const string StaysTurned = "; it lies turned, and one pin cannot turn it";

    /// <summary>The pins' names, in the item's order, each different.</summary>
    internal static IReadOnlyList<string> Names(IReadOnlyList<PlanePoint> pins, Sides sides)
    {
        if (pins.Count == 1)
        {
            return ["pin"];
        }

        (string left, string right) = Across(sides);
        string[] across = Labels(pins, pin => pin.Right, left, "middle", right);
        string[] upright = Labels(pins, pin => pin.Up, "bottom", "middle", "top");
        bool sideways = Spread(pins, pin => pin.Right) >= Spread(pins, pin => pin.Up);
        string[][] tries =
        [
            sideways ? across : upright,
            sideways ? upright : across,
            [.. upright.Zip(across, (row, column) => row == column ? row : $"{row} {column}")],
            [.. pins.Select((_, index) => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{index + 1}"))],
        ];
        string[] names = tries.First(names => names.Distinct().Count() == pins.Count);
        return [.. names.Select(name => char.IsAsciiDigit(name[0]) ? $"pin {name}" : $"{name} pin")];
    }

    /// <summary>One pin's move.</summary>
    internal static string Move(string pin, Length right, Length up, Sides sides, LengthDisplay display)
    {
        (string leftWord, string rightWord) = Across(sides);
        List<string> parts = [];
        if (up != Length.Zero)
        {
            parts.Add($"{(up > Length.Zero ? "up" : "down")} {LengthFormat.Show(up.Abs(), display)}");
        }

        if (right != Length.Zero)
        {
            parts.Add($"{(right > Length.Zero ? rightWord : leftWord)} {LengthFormat.Show(right.Abs(), display)}");
        }

        return $"{pin}: {(parts.Count == 0 ? "leave" : string.Join(", ", parts))}";
    }

    private static (string Left, string Right) Across(Sides sides) => sides switch
    {
        Sides.Viewer => ("left", "right"),
        Sides.AsWorn => ("right", "left"),
    };

    /// <summary>Low, middle or high by thirds of the spread; the middle only where something lies on both sides of it.</summary>
    private static string[] Labels(IReadOnlyList<PlanePoint> pins, Func<PlanePoint, Length> along, string low, string middle, string high)
    {
        Length least = pins.Select(along).Min();
        long spread = Spread(pins, along);
        return [.. pins.Select(along).Select(at => (at - least).Nanometres * 3 < spread ? low : (at - least).Nanometres * 3 > 2 * spread ? high : middle)];
    }

    private static long Spread(IReadOnlyList<PlanePoint> pins, Func<PlanePoint, Length> along) =>
        (pins.Select(along).Max() - pins.Select(along).Min()).Nanometres;
}
