
namespace CaliperStation.Screen;

/// <summary>The part of the front that is drawn, in inches.</summary>
internal readonly record struct FrontWindow(double Left, double Right, double Bottom, double Top)
{
    /// <summary>How far from the gap the drawing reaches to either side; a cloth pocket and its neighbours are within.</summary>
    private const double ReachAcross = 4.5;

    /// <summary>How far it reaches up and down: less, for rows are twice as high as columns are wide.</summary>
    private const double ReachAlong = 1.8;

    private const double Margin = 0.3;
    private const double Touching = 0.06; // an end this near belongs to the shape; less than any gap that needs telling apart

    /// <summary>The whole front when nothing is measured or moved; else the shapes concerned and what lies beside them.</summary>
    public static FrontWindow Of(FrontDrawing drawing)
    {
        List<(double Right, double Up)> points = [];
        if (drawing.Gap is { } gap)
        {
            points.Add((gap.FromRight, gap.FromUp));
            points.Add((gap.ToRight, gap.ToUp));
        }
        else
        {
            points.AddRange(drawing.Arrows.Select(arrow => (arrow.Right, arrow.Up)));
        }

        return points.Count == 0 ? Whole(drawing.Shapes) : Around(points, drawing.Shapes);
    }

    private static FrontWindow Whole(IReadOnlyList<FrontShape> shapes)
    {
        FrontWindow window = Empty;
        foreach (FrontShape shape in shapes)
        {
            window = window.With(shape);
        }

        return window.Padded();
    }

    private static FrontWindow Around(List<(double Right, double Up)> points, IReadOnlyList<FrontShape> shapes)
    {
        FrontWindow ends = Empty;
        foreach ((double right, double up) in points)
        {
            ends = ends.With(right, up);
        }

        FrontWindow touched = ends;
        foreach (FrontShape shape in shapes)
        {
            touched = points.Exists(point => Distance(shape, point.Right, point.Up) <= Touching) ? touched.With(shape) : touched;
        }

        return new FrontWindow(
            Math.Max(touched.Left, ends.Left - ReachAcross),
            Math.Min(touched.Right, ends.Right + ReachAcross),
            Math.Max(touched.Bottom, ends.Bottom - ReachAlong),
            Math.Min(touched.Top, ends.Top + ReachAlong)).Padded();
    }

    private static FrontWindow Empty => new(double.PositiveInfinity, double.NegativeInfinity, double.PositiveInfinity, double.NegativeInfinity);

    private static double Distance(FrontShape shape, double right, double up)
    {
        double across = Math.Max(0, Math.Abs(right - shape.Right) - (shape.Width / 2));
        double along = Math.Max(0, Math.Abs(up - shape.Up) - (shape.Height / 2));
        return Math.Sqrt((across * across) + (along * along));
    }

    private FrontWindow With(double right, double up) =>
        new(Math.Min(Left, right), Math.Max(Right, right), Math.Min(Bottom, up), Math.Max(Top, up));

    private FrontWindow With(FrontShape shape) => With(shape.Right - (shape.Width / 2), shape.Up - (shape.Height / 2))
        .With(shape.Right + (shape.Width / 2), shape.Up + (shape.Height / 2));

    private FrontWindow Padded() => double.IsFinite(Right - Left) && double.IsFinite(Top - Bottom)
        ? new FrontWindow(Left - Margin, Right + Margin, Bottom - Margin, Top + Margin)
        : new FrontWindow(-1, 1, -1, 1);
}
