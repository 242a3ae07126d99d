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

    internal static SensitivityRow For(Plan plan, Layout layout, Step step)
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
    private static double Facing(Layout layout, Step step, Direction grows, Item lower)
    {
        if (step.FromAt is { } stated)
        {
            return Lever(grows, stated.Right.Nanometres, stated.Up.Nanometres);
        }

        (double right, double up) = layout.Between(lower.Id, step.Of) ?? (0, 0);
        double lever = Lever(grows, right + step.At.Right.Nanometres, up + step.At.Up.Nanometres);
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

/// <summary>Where the items' centres lie when everything is in its nominal place, in nanometres.</summary>
internal sealed class Layout
{
    private readonly Dictionary<string, (string Ground, double Right, double Up)> _centres = [];

    internal Layout(Plan plan)
    {
        foreach (Item item in plan.Items)   // each after what it stands on
        {
            (string ground, double right, double up) = _centres.GetValueOrDefault(item.StandsOn, Ground(plan.Standard, item.StandsOn));
            _centres[item.Id] = (ground, right + item.Place.Right.Nanometres, up + item.Place.Up.Nanometres);
        }
    }

    /// <summary>From one item's centre to another's; null when they stand on landmarks whose distance is not known.</summary>
    internal (double Right, double Up)? Between(string from, string to)
    {
        (string ground, double right, double up) = _centres[from];
        (string otherGround, double otherRight, double otherUp) = _centres[to];
        return ground == otherGround ? (otherRight - right, otherUp - up) : null;
    }

    /// <summary>Landmarks with a place on the picture share one ground, the picture; any other is its own.</summary>
    private static (string Ground, double Right, double Up) Ground(Standard standard, string landmark) =>
        standard.Landmarks.FirstOrDefault(known => known.Name == landmark)?.At is { } at
            ? (string.Empty, at.Right.Nanometres, at.Up.Nanometres)
            : (landmark, 0, 0);
}
