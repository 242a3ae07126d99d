using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>
/// How a reading changes with small displacements: by direction · (that of the upper item at its point − that of the lower
/// item at the point facing it). A turn θ shifts a point at offset (px, py) by (−θ·py, θ·px), so along a direction (dx, dy)
/// it counts θ times the lever dy·px − dx·py.
/// </summary>
/// <param name="Of">Position of the upper item in the plan; −1 when no displacement shows.</param>
/// <param name="From">Position of the lower item; −1 for a landmark, which does not move.</param>
/// <param name="Right">Direction, component to the right.</param>
/// <param name="Up">Direction, component upwards.</param>
/// <param name="OfLever">Lever of the upper item's turn, in nanometres.</param>
/// <param name="FromLever">Lever of the lower item's turn, in nanometres.</param>
internal readonly record struct SensitivityRow(int Of, int From, double Right, double Up, double OfLever, double FromLever)
{
    /// <summary>A size of an item shows no displacement.</summary>
    internal static SensitivityRow Blind => new(-1, -1, 0, 0, 0, 0);

    internal static SensitivityRow For(Plan plan, CoatLayout layout, Step step)
    {
        if (step.Grows is not { } grows || step.Of == step.From)
        {
            return Blind;
        }

        int of = IndexOf(plan, step.Of);
        int from = IndexOf(plan, step.From);
        double lever = Lever(grows, step.At.Right.Nanometres, step.At.Up.Nanometres);
        return new SensitivityRow(of, from, grows.Right, grows.Up, lever, from < 0 ? 0 : Facing(layout, step, grows, plan.Items[from]));
    }

    /// <summary>
    /// The facing point differs from the measured one only along the direction, which leaves the lever as it is; where the
    /// outline, a rectangle, does not reach across to it, the outline's outermost point on that side is taken.
    /// </summary>
    private static double Facing(CoatLayout layout, Step step, Direction grows, Item lower)
    {
        if (step.FromAt is { } stated)
        {
            return Lever(grows, stated.Right.Nanometres, stated.Up.Nanometres);
        }

        PlanePoint measured = (layout.Between(lower.Id, step.Of) ?? default) + step.At;
        double lever = Lever(grows, measured.Right.Nanometres, measured.Up.Nanometres);
        double reach = ((Math.Abs(grows.Up) * lower.Size.Right.Nanometres) + (Math.Abs(grows.Right) * lower.Size.Up.Nanometres)) / 2;
        return Math.Clamp(lever, -reach, reach);
    }

    private static double Lever(Direction grows, double right, double up) => (grows.Up * right) - (grows.Right * up);

    private static int IndexOf(Plan plan, string item)
    {
        for (int i = 0; i < plan.Items.Count; i++)
        {
            if (plan.Items[i].Id == item)
            {
                return i;
            }
        }

        return -1;
    }
}
