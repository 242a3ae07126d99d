using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>Where a thing lies when everything is in its nominal place, right and up as the viewer faces the blouse.</summary>
/// <param name="Ground">What the centre is counted from: empty for the middle of the chest; else the name of a landmark whose own place is not stated, from its top middle (a corner: the corner).</param>
/// <param name="Centre">Its centre.</param>
/// <param name="Size">Width and height; zero for a landmark whose size is not stated.</param>
public readonly record struct CoatPlace(string Ground, PlanePoint Centre, PlanePoint Size);

/// <summary>Where the items and landmarks of a plan lie nominally: the one answer for the correcting, the pretended coat, the pictures and the template.</summary>
public sealed class CoatLayout
{
    private readonly Dictionary<string, CoatPlace> _items = [];
    private readonly Dictionary<string, string> _roots = [];
    private readonly Standard _standard;

    /// <summary>The layout of what one blouse carries.</summary>
    public CoatLayout(Plan plan)
    {
        _standard = plan.Standard;
        foreach (Item item in plan.Items)   // each after what it stands on
        {
            CoatPlace below = _items.GetValueOrDefault(item.StandsOn, Anchor(item.StandsOn));
            _roots[item.Id] = RootOf(item.StandsOn);
            _items[item.Id] = new CoatPlace(below.Ground, below.Centre + item.Place, item.Size);
        }
    }

    /// <summary>The place of an item of the plan, or of a landmark.</summary>
    public CoatPlace Of(string name)
    {
        if (_items.TryGetValue(name, out CoatPlace item))
        {
            return item;
        }

        CoatPlace anchor = Anchor(name);
        PlanePoint size = Stated(name)?.Size ?? default;
        Length half = size.Up.DividedBy(2, Rounding.HalfEven);
        return anchor with { Centre = anchor.Centre with { Up = IsCorner(name) ? anchor.Centre.Up + half : anchor.Centre.Up - half }, Size = size };
    }

    /// <summary>The landmark that an item of the plan stands on at last; any other name is its own.</summary>
    public string RootOf(string name) => _roots.GetValueOrDefault(name, name);

    /// <summary>From one item's centre to another's; null when they stand on landmarks whose distance is not known.</summary>
    public PlanePoint? Between(string from, string to) => Of(from).Ground == Of(to).Ground ? Of(to).Centre - Of(from).Centre : null;

    /// <summary>What a step reads when everything is in its place; null where the drawing does not say. For a size of an item its width.</summary>
    public Length? Drawn(Step step)
    {
        if (!_items.TryGetValue(step.Of, out CoatPlace of))
        {
            return null;
        }

        if (step.Grows is not { } grows)
        {
            return of.Size.Right;   // its rules say which size, this is a first guess
        }

        CoatPlace from = Of(step.From);
        if (of.Ground != from.Ground)
        {
            return null;
        }

        double upper = Along(grows, of.Centre + step.At);
        double gap = step.FromAt is { } at
            ? upper - Along(grows, from.Centre + at)
            : Facing(upper - Along(grows, from.Centre), ((Math.Abs(grows.Right) * from.Size.Right.Nanometres) + (Math.Abs(grows.Up) * from.Size.Up.Nanometres)) / 2);
        return Length.FromNanometres(gap, Rounding.HalfEven);
    }

    /// <summary>True for a landmark that is a corner of the cloth: things are placed from the corner itself, and the cloth lies above it.</summary>
    internal static bool IsCorner(string landmark) => landmark.Contains("corner", StringComparison.OrdinalIgnoreCase);

    /// <summary>Beyond the lower thing's far face the gap is taken from it, inside the thing from the near one.</summary>
    private static double Facing(double fromCentre, double reach) => fromCentre >= reach ? fromCentre - reach : fromCentre + reach;

    private static double Along(Direction direction, PlanePoint point) => (direction.Right * point.Right.Nanometres) + (direction.Up * point.Up.Nanometres);

    private CoatPlace Anchor(string landmark) => Stated(landmark)?.At is { } at ? new CoatPlace(string.Empty, at, default) : new CoatPlace(landmark, default, default);

    private Landmark? Stated(string landmark) => _standard.Landmarks.FirstOrDefault(known => known.Name == landmark);
}

/// <summary>The whole front of the coat as a picture: what the standard does not state is put where its words say.</summary>
/// <remarks>
/// A landmark without a place goes where its kind is on a coat, left or right by its words: the picture only shows which gap is meant, and nothing is
/// measured on such a thing. Common practice, no source.
/// </remarks>
public static class CoatPicture
{
    /// <summary>A word, then in inches: centre out of the middle, centre up, width, height.</summary>
    private static readonly (string Word, double Out, double Up, double Width, double Height)[] Usual =
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

    /// <summary>Every landmark and item of the plan that has a place, landmarks that an item stands on or that are read first; all from the middle of the chest.</summary>
    public static IReadOnlyDictionary<string, CoatPlace> Of(Plan plan)
    {
        CoatLayout layout = new(plan);
        Dictionary<string, CoatPlace> places = [];
        foreach (string landmark in plan.Steps.Select(step => step.Of).Concat(plan.Items.Select(item => item.StandsOn)).Where(name => plan.Standard.FindItem(name) is null).Distinct())
        {
            places[landmark] = Landmark(plan.Standard, layout, landmark);
        }

        foreach (Item item in plan.Items)
        {
            CoatPlace place = layout.Of(item.Id);
            places[item.Id] = place.Ground.Length == 0 ? place
                : new CoatPlace(string.Empty, Anchor(place.Ground, places[place.Ground]) + place.Centre, place.Size);
        }

        return places;
    }

    /// <summary>The point that things are placed from: top middle, of a corner its bottom.</summary>
    private static PlanePoint Anchor(string landmark, CoatPlace drawn)
    {
        Length half = drawn.Size.Up.DividedBy(2, Rounding.HalfEven);
        return drawn.Centre with { Up = CoatLayout.IsCorner(landmark) ? drawn.Centre.Up - half : drawn.Centre.Up + half };
    }

    private static CoatPlace Landmark(Standard standard, CoatLayout layout, string name)
    {
        (string _, double away, double up, double width, double height) = Usual.FirstOrDefault(
            usual => name.Contains(usual.Word, StringComparison.OrdinalIgnoreCase), ("", 0, -4, 4, 2));
        CoatPlace place = layout.Of(name);
        PlanePoint size = place.Size == default ? new PlanePoint(Inches(width), Inches(height)) : place.Size;
        if (place.Ground.Length > 0)
        {
            return new CoatPlace(string.Empty, new PlanePoint(Inches(Side(standard.Sides, name) * away), Inches(up)), size);
        }

        Length missing = (size.Up - place.Size.Up).DividedBy(2, Rounding.HalfEven);   // its anchor is stated: only its extent is assumed
        return place with { Centre = place.Centre with { Up = CoatLayout.IsCorner(name) ? place.Centre.Up + missing : place.Centre.Up - missing }, Size = size };
    }

    private static Length Inches(double inches) => Length.FromNanometres(inches * Length.Inch.Nanometres, Rounding.HalfEven);

    private static int Side(Sides sides, string name)
    {
        int viewersRight = sides == Sides.Viewer ? 1 : -1;
        return name.Contains("left", StringComparison.OrdinalIgnoreCase) ? -viewersRight
            : name.Contains("right", StringComparison.OrdinalIgnoreCase) ? viewersRight
            : 0;
    }
}
