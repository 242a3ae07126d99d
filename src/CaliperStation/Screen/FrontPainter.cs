
namespace CaliperStation.Screen;

/// <summary>Draws the blouse's front in cells: places of the garment in single lines, items in double lines, the gap between its marks.</summary>
internal static class FrontPainter
{
    private const int OpenRows = 3;    // edge, two marks, edge
    private const int OpenColumns = 5; // edge, two marks and a line between, edge

    /// <summary>The drawing, with the gap's words in the last one or two rows.</summary>
    public static Canvas Paint(FrontDrawing drawing, int width, int height)
    {
        Canvas canvas = new(width, height);
        IReadOnlyList<string> words = drawing.Gap is { } told
            ? TextCells.Wrap((IsUpright(told) ? "↕ " : "↔ ") + told.Words, canvas.Width, Math.Min(3, canvas.Height))
            : [];
        int rows = canvas.Height - words.Count;
        if (canvas.Width >= 8 && rows >= 3 && drawing.Shapes.Count > 0)
        {
            canvas.Draw(canvas.All, PaintShapes(drawing, canvas.Width, rows));
        }

        for (int row = 0; row < words.Count; row++)
        {
            canvas.Write(canvas.All.Row(rows + row), words[row], CellStyle.Gap);
        }

        return canvas;
    }

    private static bool IsUpright(FrontGap gap) => Math.Abs(gap.ToUp - gap.FromUp) >= Math.Abs(gap.ToRight - gap.FromRight);

    private static Canvas PaintShapes(FrontDrawing drawing, int width, int height)
    {
        Canvas canvas = new(width, height);
        FrontWindow window = FrontWindow.Of(drawing);
        FrontGrid grid = Grid(drawing.Gap, window, width, height);
        foreach (FrontShape shape in drawing.Shapes)
        {
            FrontOutline.Paint(canvas, grid.Box(shape), shape);
        }

        foreach (FrontArrow arrow in drawing.Arrows)
        {
            PaintArrow(canvas, grid, arrow);
        }

        if (drawing.Gap is { } gap)
        {
            PaintGap(canvas, grid, gap);
        }

        // Last, so that a name takes the rows that arrows and marks leave free.
        foreach (FrontShape shape in drawing.Shapes)
        {
            FrontOutline.Name(canvas, grid.Box(shape), shape);
        }

        return canvas;
    }

    /// <summary>The largest scale at which the window fits, a row counting for two columns, in the middle of the region.</summary>
    private static FrontGrid Grid(FrontGap? gap, FrontWindow window, int width, int height)
    {
        bool isUpright = gap is not null && IsUpright(gap);
        int openColumns = gap is null || isUpright ? 0 : OpenColumns;
        int openRows = isUpright ? OpenRows : 0;
        double scale = Math.Min(
            Math.Max(1, width - 1 - openColumns) / (window.Right - window.Left),
            2 * Math.Max(1, height - 1 - openRows) / (window.Top - window.Bottom));
        double none = double.PositiveInfinity;
        FrontAxis across = openColumns == 0
            ? new FrontAxis(window.Left, scale, none, none, 0)
            : new FrontAxis(window.Left, scale, Math.Min(gap!.FromRight, gap.ToRight), Math.Max(gap.FromRight, gap.ToRight), OpenColumns);
        FrontAxis along = openRows == 0
            ? new FrontAxis(window.Bottom, scale / 2, none, none, 0)
            : new FrontAxis(window.Bottom, scale / 2, Math.Min(gap!.FromUp, gap.ToUp), Math.Max(gap.FromUp, gap.ToUp), OpenRows);
        double usedAcross = across.Cell(window.Right, window.Right);
        double usedAlong = along.Cell(window.Top, window.Top);
        return new FrontGrid(across, along, Math.Max(0, (width - 1 - usedAcross) / 2), height - 1 - Math.Max(0, (height - 1 - usedAlong) / 2));
    }

    private static void PaintGap(Canvas canvas, FrontGrid grid, FrontGap gap)
    {
        // The ends belong to the two sides of the gap even when they are one place: infinitely far centres say so.
        (int leftEdge, int lowEdge) = grid.Point(
            Math.Min(gap.FromRight, gap.ToRight), Math.Min(gap.FromUp, gap.ToUp), double.NegativeInfinity, double.NegativeInfinity);
        (int rightEdge, int highEdge) = grid.Point(
            Math.Max(gap.FromRight, gap.ToRight), Math.Max(gap.FromUp, gap.ToUp), double.PositiveInfinity, double.PositiveInfinity);
        if (IsUpright(gap))
        {
            int x = grid.Point(gap.ToRight, gap.ToUp, gap.ToRight, gap.ToUp).X;
            Between(highEdge, lowEdge, "↕▲▼│", (y, mark) => canvas.Put(x, y, mark, CellStyle.Gap));
        }
        else
        {
            int y = grid.Point(gap.ToRight, gap.ToUp, gap.ToRight, gap.ToUp).Y;
            Between(leftEdge, rightEdge, "↔◄►─", (x, mark) => canvas.Put(x, y, mark, CellStyle.Gap));
        }
    }

    /// <summary>Marks the cells strictly between two edges: one mark alone, or one at each end and a line between.</summary>
    private static void Between(int first, int last, string marks, Action<int, char> put)
    {
        (int from, int to) = (first + 1, Math.Max(first + 1, last - 1));
        for (int at = Math.Max(0, from); at <= Math.Min(to, from + 500); at++)
        {
            put(at, from == to ? marks[0] : at == from ? marks[1] : at == to ? marks[2] : marks[3]);
        }
    }

    /// <summary>A slanting move is drawn as its two directions side by side: slanting arrows are missing from many console fonts.</summary>
    private static void PaintArrow(Canvas canvas, FrontGrid grid, FrontArrow arrow)
    {
        (int x, int y) = grid.Point(arrow.Right, arrow.Up, arrow.Right, arrow.Up);
        double longest = Math.Max(Math.Abs(arrow.MoveRight), Math.Abs(arrow.MoveUp));
        if (Math.Abs(arrow.MoveUp) > longest / 4)
        {
            canvas.Put(x, y, arrow.MoveUp > 0 ? '↑' : '↓', CellStyle.Outside);
            x++;
        }

        if (Math.Abs(arrow.MoveRight) > longest / 4)
        {
            canvas.Put(x, y, arrow.MoveRight > 0 ? '→' : '←', CellStyle.Outside);
        }
    }
}
