using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Screen;

/// <summary>Where things lie on the picture of the front, in inches from the middle of the chest, right and up as the viewer faces it.</summary>
/// <remarks>
/// A landmark whose place the standard does not state is put where its words say: a pocket on the chest, a collar above
/// it, and so on, left or right by its words. The picture only shows which gap is meant; nothing is measured on it.
/// </remarks>
internal static class FrontPlaces
{
    /// <summary>Default places: a word, then centre right (of a left-or-right thing, away from the middle), centre up, width, height. Common practice, no source.</summary>
    private static readonly (string Word, double Out, double Up, double Width, double Height)[] Defaults =
    [
        ("pocket", 4, -2, 5, 4.5),
        ("flap", 4, 0, 5, 1.5),
        ("collar", 2, 8.5, 3, 2.5),
        ("lapel", 2.5, 5, 3, 3.5),
        ("shoulder", 6, 10, 4, 1.5),
        ("epaulet", 6, 10, 4, 1.5),
        ("loop", 6, 10, 4, 1.5),
        ("sleeve", 8.5, 0, 2.5, 8),
        ("cuff", 8.5, -5, 3, 1.5),
        ("seam", 6, 8, 3, 0.5),
        ("button", 0, 2, 0.8, 0.8),
        ("cap", 0, 14.5, 6, 2.5),
        ("beret", 0, 14.5, 6, 2.5),
        ("hat", 0, 14.5, 6, 2.5),
    ];

    /// <summary>Centre and size of every landmark and item of the plan that has a place, by its name or id.</summary>
    internal static Dictionary<string, (double Right, double Up, double Width, double Height)> Of(Plan plan)
    {
        Dictionary<string, (double Right, double Up, double Width, double Height)> places = [];
        foreach (string landmark in plan.Steps.Select(step => step.Of).Where(of => plan.Standard.FindItem(of) is null))
        {
            places[landmark] = Landmark(plan.Standard, landmark);   // a width of the garment itself is read
        }

        foreach (Item item in plan.Items)   // each after what it stands on
        {
            if (!places.TryGetValue(item.StandsOn, out (double Right, double Up, double Width, double Height) below))
            {
                below = places[item.StandsOn] = Landmark(plan.Standard, item.StandsOn);
            }

            bool onLandmark = plan.Standard.FindItem(item.StandsOn) is null;
            bool fromCorner = onLandmark && item.StandsOn.Contains("corner", StringComparison.OrdinalIgnoreCase);
            double top = below.Up + (onLandmark ? below.Height / 2 : 0);
            places[item.Id] = (
                below.Right + Inches(item.Place.Right),
                (fromCorner ? below.Up - (below.Height / 2) : top) + Inches(item.Place.Up),
                Inches(item.Size.Right),
                Inches(item.Size.Up));
        }

        return places;
    }

    internal static double Inches(Length length) => length.Nanometres / 25_400_000.0;

    private static (double Right, double Up, double Width, double Height) Landmark(Standard standard, string name)
    {
        Landmark? stated = standard.Landmarks.FirstOrDefault(landmark => landmark.Name == name);
        (string _, double away, double up, double width, double height) = Defaults.FirstOrDefault(
            usual => name.Contains(usual.Word, StringComparison.OrdinalIgnoreCase), ("", 0, -4, 4, 2));
        double side = Side(standard.Sides, name);
        return (
            stated?.At is { } at ? Inches(at.Right) : side * away,
            stated?.At is { } top ? Inches(top.Up) - ((stated.Size is { } tall ? Inches(tall.Up) : height) / 2) : up,   // stated by its top middle
            stated?.Size is { } size ? Inches(size.Right) : width,
            stated?.Size is { } extent ? Inches(extent.Up) : height);
    }

    private static double Side(Sides sides, string name)
    {
        int viewersRight = sides == Sides.Viewer ? 1 : -1;
        return name.Contains("left", StringComparison.OrdinalIgnoreCase) ? -viewersRight
            : name.Contains("right", StringComparison.OrdinalIgnoreCase) ? viewersRight
            : 0;
    }
}
