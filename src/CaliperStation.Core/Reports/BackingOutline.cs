using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using NetTopologySuite;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Implementation;
using NetTopologySuite.Operation.Buffer;
using NetTopologySuite.Operation.Union;

namespace CaliperStation.Core.Reports;

/// <summary>An item on a backing.</summary>
/// <param name="Item">The item.</param>
/// <param name="Outline">Its corners, in millimetres from the landmark's ground, right and up; clockwise from the top left.</param>
/// <param name="Parts">The corners of each part, where it is made of rows.</param>
/// <param name="Pins">Where its pins are.</param>
public sealed record BackedItem(Item Item, IReadOnlyList<(double Right, double Up)> Outline, IReadOnlyList<IReadOnlyList<(double Right, double Up)>> Parts, IReadOnlyList<(double Right, double Up)> Pins);

/// <summary>The one-piece backing under everything that stands on one place of the garment.</summary>
/// <param name="Landmark">The place.</param>
/// <param name="Settings">How it is cut.</param>
/// <param name="Items">The items on it.</param>
/// <param name="Pieces">Its outline: for each piece its edge first, then its holes, in millimetres, right and up. More than one piece is told.</param>
public sealed record BackingOutline(string Landmark, Backing Settings, IReadOnlyList<BackedItem> Items, IReadOnlyList<IReadOnlyList<IReadOnlyList<(double Right, double Up)>>> Pieces)
{
    private const int QuarterSegments = 24;    // of a round corner: 3 mm of margin are then within 2 µm
    private const double Crumb = 1;            // mm²; what is smaller is no piece
    private const double Beyond = 1;           // mm; how far a cut reaches over the margin

    private const double Touch = 0.01;         // mm; what is to hang together overlaps by more than rounding takes

    private static readonly BufferParameters _round = new(QuarterSegments) { SimplifyFactor = 0.0001 };   // the usual one in a hundred would lose 60 µm
    private static readonly GeometryFactory _geometry = new NtsGeometryServices(
        CoordinateArraySequenceFactory.Instance, new PrecisionModel(1000), 0, GeometryOverlay.NG, new CoordinateEqualityComparer()).CreateGeometryFactory();   // to a micrometre

    /// <summary>The backings of a blouse, one for each place that items stand on, in the order of work.</summary>
    /// <param name="plan">What the blouse carries.</param>
    /// <param name="poses">How the items lie; those that are not there lie in their nominal place.</param>
    public static IReadOnlyList<BackingOutline> Of(Plan plan, IReadOnlyList<ItemPose> poses)
    {
        CoatLayout layout = new(plan);
        Dictionary<string, ItemPose> known = poses.ToDictionary(pose => pose.Item);
        return [.. plan.Items.GroupBy(item => layout.RootOf(item.Id)).Select(group => Of(
            group.Key,
            plan.Standard.Landmarks.FirstOrDefault(landmark => landmark.Name == group.Key)?.Backing ?? Backing.Usual,
            [.. group.Select(item => Backed(item, layout.Of(item.Id).Centre, known.GetValueOrDefault(item.Id)))],
            known))];
    }

    private static BackingOutline Of(string landmark, Backing settings, IReadOnlyList<BackedItem> items, Dictionary<string, ItemPose> poses)
    {
        Geometry[] bodies = [.. items.Select(Body)];
        double margin = Millimetres(settings.Margin), bridge = Millimetres(settings.Bridge);
        Geometry all = UnaryUnionOp.Union(bodies, _geometry);
        Geometry outline = Widened(Widened(all, margin + bridge), -bridge).Union(Widened(all, margin));   // what the way there and back loses at corners comes from the plain margin
        foreach (ItemEdge hidden in settings.Hidden)
        {
            int at = items.ToList().FindIndex(item => item.Item.Id == hidden.Item);
            if (at < 0)
            {
                continue;   // not worn, or on another backing
            }

            double inset = Millimetres(settings.Inset);
            Geometry cut = Polygon(Cut(items[at], hidden.Edge, inset, margin + bridge + Beyond, poses.GetValueOrDefault(hidden.Item)));
            foreach (Geometry other in bodies.Where((_, index) => index != at))
            {
                cut = cut.Difference(other).Difference(Widened(other, inset + Touch).Intersection(bodies[at]));   // what lies under another item does not show, and where the two touch it goes on
            }

            outline = outline.Difference(cut);
        }

        return new BackingOutline(landmark, settings, items,
            [.. Enumerable.Range(0, outline.NumGeometries).Select(outline.GetGeometryN).OfType<Polygon>().Where(piece => piece.Area > Crumb).OrderByDescending(piece => piece.Area)
                .Select(piece => (IReadOnlyList<IReadOnlyList<(double, double)>>)[Ring(piece.ExteriorRing), .. piece.InteriorRings.Select(Ring)])]);
    }

    private static Geometry Widened(Geometry shape, double by) => by == 0 ? shape : shape.Buffer(by, _round);

    private static BackedItem Backed(Item item, PlanePoint centre, ItemPose? pose)
    {
        (double Right, double Up) At(PlanePoint offset)
        {
            (double right, double up) = ItemPoses.Displaced(offset, pose);
            return ((centre.Right.Nanometres + right) / 1e6, (centre.Up.Nanometres + up) / 1e6);
        }

        (double, double)[] Corners(PlanePoint from, PlanePoint size)
        {
            Length right = size.Right.DividedBy(2, Rounding.HalfEven), up = size.Up.DividedBy(2, Rounding.HalfEven);
            return [At(from + new PlanePoint(-right, up)), At(from + new PlanePoint(right, up)), At(from + new PlanePoint(right, -up)), At(from + new PlanePoint(-right, -up))];
        }

        return new BackedItem(item, Corners(default, item.Size), [.. (item.Rows?.Parts ?? []).Select(part => Corners(part, item.Rows!.Part))], [.. item.Pins.Select(At)]);
    }

    /// <summary>What lies under the item: its parts where it has such, else all of it.</summary>
    private static Geometry Body(BackedItem item) => item.Parts.Count == 0 ? Polygon(item.Outline) : UnaryUnionOp.Union(item.Parts.Select(Polygon).ToArray(), _geometry);

    /// <summary>All that lies beyond an edge of an item drawn in by the inset, turned as the item is.</summary>
    private static (double Right, double Up)[] Cut(BackedItem item, Edge edge, double inset, double reach, ItemPose? pose)
    {
        double turn = (pose?.TurnMilliradians ?? 0) / 1000, half = Millimetres(item.Item.Size.Right) / 2, high = Millimetres(item.Item.Size.Up) / 2;
        (double centreRight, double centreUp) = (item.Outline.Average(corner => corner.Right), item.Outline.Average(corner => corner.Up));
        (double Left, double Right, double Bottom, double Top) = edge switch
        {
            Edge.Left => (-half - reach, -half + inset, -high - reach, high + reach),
            Edge.Right => (half - inset, half + reach, -high - reach, high + reach),
            Edge.Top => (-half - reach, half + reach, high - inset, high + reach),
            Edge.Bottom => (-half - reach, half + reach, -high - reach, -high + inset),
        };
        return [.. new[] { (Left, Top), (Right, Top), (Right, Bottom), (Left, Bottom) }.Select(corner =>
            (centreRight + (corner.Item1 * Math.Cos(turn)) - (corner.Item2 * Math.Sin(turn)), centreUp + (corner.Item1 * Math.Sin(turn)) + (corner.Item2 * Math.Cos(turn))))];
    }

    private static Polygon Polygon(IReadOnlyList<(double Right, double Up)> ring) => _geometry.CreatePolygon([.. ring.Append(ring[0]).Select(point => new Coordinate(_geometry.PrecisionModel.MakePrecise(point.Right), _geometry.PrecisionModel.MakePrecise(point.Up)))]);

    private static IReadOnlyList<(double, double)> Ring(LineString ring) => [.. ring.Coordinates.SkipLast(1).Select(point => (point.X, point.Y))];

    private static double Millimetres(Length length) => length.Nanometres / 1e6;
}
