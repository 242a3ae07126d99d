using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Devices;

/// <summary>What a step would read if every item lay where the standard draws it.</summary>
internal static class SyntheticGeometry
{
    /// <summary>The gap as drawn; null when the drawing does not say, or says something that is no gap.</summary>
    internal static Length? Drawn(Standard standard, Step step)
    {
        if (standard.FindItem(step.Of) is not { } item)
        {
            return null;
        }

        if (step.Grows is not { } grows)
        {
            return item.Size.Right;   // a size of the item itself; its rules say which one, this is a first guess
        }

        Place? of = CentreOf(standard, item.Id);
        Place? from = CentreOf(standard, step.From);
        if (of is not { } here || from is not { } there || here.Root != there.Root)
        {
            return null;
        }

        double upper = Along(grows, here.Right + step.At.Right.Nanometres, here.Up + step.At.Up.Nanometres);
        double gap = step.FromAt is { } at
            ? upper - Along(grows, there.Right + at.Right.Nanometres, there.Up + at.Up.Nanometres)
            : Facing(upper - Along(grows, there.Right, there.Up), Reach(standard, step.From, grows));
        return gap >= Length.HalfTick.Nanometres ? Length.FromNanometres(gap, Rounding.HalfEven) : null;
    }

    /// <summary>Beyond the lower item's far face the gap is taken from it, inside the item from the near one.</summary>
    private static double Facing(double fromCentre, double reach) => fromCentre >= reach ? fromCentre - reach : fromCentre + reach;

    private static double Along(Direction direction, double right, double up) => (direction.Right * right) + (direction.Up * up);

    private static double Reach(Standard standard, string name, Direction direction)
    {
        PlanePoint size = SizeOf(standard, name);
        return ((Math.Abs(direction.Right) * size.Right.Nanometres) + (Math.Abs(direction.Up) * size.Up.Nanometres)) / 2;
    }

    private static PlanePoint SizeOf(Standard standard, string name) =>
        standard.FindItem(name)?.Size ?? standard.Landmarks.FirstOrDefault(landmark => landmark.Name == name)?.Size ?? default;

    /// <summary>The centre, from the top middle of the landmark that everything below it stands on at last.</summary>
    private static Place? CentreOf(Standard standard, string name)
    {
        double right = 0;
        double up = 0;
        for (int level = 0; level <= standard.Items.Count; level++)   // a chain is no longer than that
        {
            if (standard.FindItem(name) is not { } item)
            {
                double top = SizeOf(standard, name).Up.Nanometres;
                return level == 0 ? new Place(name, 0, -top / 2) : new Place(name, right, up);
            }

            right += item.Place.Right.Nanometres;
            up += item.Place.Up.Nanometres;
            name = item.StandsOn;
        }

        return null;
    }

    private readonly record struct Place(string Root, double Right, double Up);
}
