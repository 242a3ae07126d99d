using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

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
