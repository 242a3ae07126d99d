using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Correcting;

/// <summary>Where an item lies: nanometres, nanometres, radians.</summary>
internal readonly record struct Pose(double Right, double Up, double Turn);

/// <summary>
/// A coat with known displacements, and what a caliper would read on it. Written apart from the product's model: the facing
/// point is found on the outline as a place, and displacements are added point by point.
/// </summary>
internal sealed class Synthetic(Plan plan, IReadOnlyDictionary<string, double> nominal)
{
    internal const double Noise = 100_000;   // 0.1 mm, the hand on cloth

    internal Dictionary<string, Pose> Poses { get; } = plan.Items.ToDictionary(item => item.Id, _ => default(Pose));

    internal static Synthetic AllSeen(Plan plan, Random random)
    {
        Dictionary<string, double> nominal = new()
        {
            ["rack-low-left"] = 8,
            ["rack-low-right"] = 8,
            ["badge-gap-left"] = 16,
            ["badge-gap-right"] = 16,
            ["badge-2-gap-left"] = 8,
            ["badge-2-gap-right"] = 8,
            ["device-corner"] = 64,
            ["device-low"] = 56,
            ["device-tilt"] = 20,
        };
        foreach (string item in new[] { "rack", "badge", "badge-2" })
        {
            nominal[item + "-left"] = nominal[item + "-right"] = 40 + (random.NextDouble() * 40);   // the coat's own width
        }

        return new Synthetic(plan, nominal.ToDictionary(pair => pair.Key, pair => pair.Value * 396_875));
    }

    /// <summary>
    /// A coat of the demonstration standard in order. What its steps read is written down from the figures of the file: the pocket is 5 in wide,
    /// the rack 4 1/8, the badge 1 3/4, the nameplate 3.
    /// </summary>
    internal static Synthetic Lantern(Plan plan)
    {
        Dictionary<string, double> inches = new()
        {
            ["rack-left"] = 7.0 / 16,
            ["rack-right"] = 7.0 / 16,
            ["rack-low-left"] = 3.0 / 16,
            ["rack-low-right"] = 3.0 / 16,
            ["lantern-low-left"] = 5.0 / 16,
            ["lantern-low-right"] = 5.0 / 16,
            ["lantern-left"] = 19.0 / 16,
            ["lantern-right"] = 19.0 / 16,
            ["spark-low"] = 3.0 / 16,
            ["plate-left"] = 1,
            ["plate-right"] = 1,
            ["plate-low-left"] = 3.0 / 8,
            ["plate-low-right"] = 3.0 / 8,
        };
        return new Synthetic(plan, inches.ToDictionary(pair => pair.Key, pair => pair.Value * 25_400_000));
    }

    internal void Displace(Random random, double shift, double turn)
    {
        foreach (string id in Poses.Keys)
        {
            Poses[id] = new Pose(Uniform(random) * shift, Uniform(random) * shift, Uniform(random) * turn);
        }
    }

    /// <summary>The exact reading in nanometres.</summary>
    internal double True(Step step)
    {
        Direction grows = step.Grows!;
        (double right, double up) = Shift(step.Of, step.At.Right.Nanometres, step.At.Up.Nanometres);
        if (plan.Items.FirstOrDefault(item => item.Id == step.From) is { } lower)
        {
            Item upper = plan.Items.First(item => item.Id == step.Of);   // stands on the lower one in these tests
            (double x, double y) = FacingPoint(lower, upper.Place.Right.Nanometres + step.At.Right.Nanometres, upper.Place.Up.Nanometres + step.At.Up.Nanometres, grows);
            (double lowerRight, double lowerUp) = Shift(lower.Id, x, y);
            (right, up) = (right - lowerRight, up - lowerUp);
        }

        return nominal[step.Id] + (grows.Right * right) + (grows.Up * up);
    }

    /// <summary>Readings to the picometre without noise, to the nanometre with it.</summary>
    internal Dictionary<string, Measured> Read(Random? noise = null) => plan.Steps.ToDictionary(step => step.Id, step => noise is null
        ? new Measured(ExactLength.Ratio(Length.FromNanometres(True(step) * 1000, Rounding.HalfEven), 1000), Noise)
        : new Measured(ExactLength.From(Length.FromNanometres(True(step) + (Gauss(noise) * Noise), Rounding.HalfEven)), Noise));

    /// <summary>A hand carries out the moves: each pin to its new place, the thing as rigidly as the pins let it.</summary>
    internal void Apply(ItemMove move)
    {
        Item item = plan.Items.First(each => each.Id == move.Item);
        double middleRight = item.Pins.Average(pin => pin.Right.Nanometres);
        double middleUp = item.Pins.Average(pin => pin.Up.Nanometres);
        double right = move.Pins.Average(pin => pin.Right.Nanometres);
        double up = move.Pins.Average(pin => pin.Up.Nanometres);
        double spread = item.Pins.Sum(pin => Math.Pow(pin.Right.Nanometres - middleRight, 2) + Math.Pow(pin.Up.Nanometres - middleUp, 2));
        double turn = item.Pins.Count == 1 ? 0 : move.Pins.Sum(pin =>
            ((item.Pins[pin.Pin].Right.Nanometres - middleRight) * pin.Up.Nanometres) - ((item.Pins[pin.Pin].Up.Nanometres - middleUp) * pin.Right.Nanometres)) / spread;
        Pose pose = Poses[item.Id];
        Poses[item.Id] = new Pose(pose.Right + right + (turn * middleUp), pose.Up + up - (turn * middleRight), pose.Turn + turn);
    }

    internal static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());   // Box and Muller 1958

    private static double Uniform(Random random) => (2 * random.NextDouble()) - 1;

    private (double Right, double Up) Shift(string item, double right, double up)
    {
        Pose pose = Poses.GetValueOrDefault(item);
        return (pose.Right - (pose.Turn * up), pose.Up + (pose.Turn * right));
    }

    /// <summary>The corner or edge point of the rectangle with the same offset across the direction, or the nearest to it.</summary>
    private static (double Right, double Up) FacingPoint(Item lower, double right, double up, Direction grows)
    {
        double across = (grows.Up * right) - (grows.Right * up);
        (double w, double h) = (lower.Size.Right.Nanometres / 2.0, lower.Size.Up.Nanometres / 2.0);
        (double Right, double Up) best = (w, h);
        double least = double.PositiveInfinity;
        (double, double)[] corners = [(w, h), (-w, h), (-w, -h), (w, -h)];
        for (int k = 0; k < 4; k++)
        {
            ((double ax, double ay), (double bx, double by)) = (corners[k], corners[(k + 1) % 4]);
            double a = (grows.Up * ax) - (grows.Right * ay);
            double b = (grows.Up * bx) - (grows.Right * by);
            double t = a == b ? 0 : Math.Clamp((across - a) / (b - a), 0, 1);
            (double x, double y) = (ax + (t * (bx - ax)), ay + (t * (by - ay)));
            double off = Math.Abs((grows.Up * x) - (grows.Right * y) - across);
            (best, least) = off < least - 1e-6 ? ((x, y), off) : (best, least);
        }

        return best;
    }
}
