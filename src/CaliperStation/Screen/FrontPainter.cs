namespace CaliperStation.Screen;

/// <summary>Draws the blouse's front in cells: places of the garment in single lines, items in double lines, the gap between its marks.</summary>
internal static class FrontPainter
{
    private const int OpenRows = 3;    // edge, two marks, edge
    private const int OpenColumns = 5; // edge, two marks and a line between, edge

    /// <summary>The drawing, under it what its two sides are called, and the gap's words in the last rows.</summary>
    public static Canvas Paint(FrontDrawing drawing, int width, int height)
    {
        Canvas canvas = new(width, height);
        string told = drawing.Gap is { } gap ? Words(gap) : drawing.Arrows.Count > 0 ? "arrows: where the pins go" : "";

        // As many rows as the longest words of the item's gaps need, so that the drawing keeps its size from one to the next.
        int wordRows = drawing.Gaps.Select(Words).Append(told).Max(each => TextCells.Wrap(each, canvas.Width, Math.Min(3, canvas.Height)).Count(row => row.Length > 0));
        IReadOnlyList<string> words = told.Length == 0 ? [] : TextCells.Wrap(told, canvas.Width, wordRows);
        int sidesRows = drawing.Sides is not null && canvas.Height - wordRows > 3 ? 1 : 0;
        int rows = canvas.Height - wordRows - sidesRows;
        if (canvas.Width >= 8 && rows >= 3 && drawing.Shapes.Count > 0)
        {
            canvas.Draw(canvas.All, PaintShapes(drawing, canvas.Width, rows));
        }

        if (sidesRows > 0 && drawing.Sides is var (left, right, whose))
        {
            Region under = canvas.All.Row(rows);
            canvas.Write(under, left, CellStyle.Quiet);
            canvas.Write(under, right, CellStyle.Quiet, canvas.Width - TextCells.Columns(right));
            int room = canvas.Width - TextCells.Columns(left) - TextCells.Columns(right) - 2;
            canvas.Write(under, TextCells.Columns(whose) <= room ? whose : "", CellStyle.Quiet, TextCells.Columns(left) + 1 + ((room - TextCells.Columns(whose)) / 2));
        }

        for (int row = 0; row < words.Count; row++)
        {
            canvas.Write(canvas.All.Row(rows + sidesRows + row), words[row], CellStyle.Gap);
        }

        return canvas;
    }

    private static string Words(FrontGap gap) => (IsUpright(gap) ? "↕ " : "↔ ") + gap.Words;

    private static bool IsUpright(FrontGap gap) => Math.Abs(gap.ToUp - gap.FromUp) >= Math.Abs(gap.ToRight - gap.FromRight);

    private static Canvas PaintShapes(FrontDrawing drawing, int width, int height)
    {
        Canvas canvas = new(width, height);
        FrontWindow window = FrontWindow.Of(drawing);
        FrontGrid grid = Grid(drawing, window, width, height);
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

    /// <summary>
    /// The largest scale at which the window fits with every gap of the item opened, a row counting for two columns, in the middle of the region: the same for each of its gaps.
    /// </summary>
    private static FrontGrid Grid(FrontDrawing drawing, FrontWindow window, int width, int height)
    {
        IReadOnlyList<FrontGap> gaps = drawing.Gap is { } now && !drawing.Gaps.Contains(now) ? [now, .. drawing.Gaps] : drawing.Gaps;
        (double, double)[] across = Opened(gaps.Where(gap => !IsUpright(gap)).Select(gap => (gap.FromRight, gap.ToRight)));
        (double, double)[] along = Opened(gaps.Where(IsUpright).Select(gap => (gap.FromUp, gap.ToUp)));
        double scale = Math.Min(
            Math.Max(1, width - 1 - (across.Length * OpenColumns)) / (window.Right - window.Left),
            2 * Math.Max(1, height - 1 - (along.Length * OpenRows)) / (window.Top - window.Bottom));
        FrontAxis acrossAxis = new(window.Left, scale, across, OpenColumns);
        FrontAxis alongAxis = new(window.Bottom, scale / 2, along, OpenRows);
        double usedAcross = acrossAxis.Cell(window.Right, window.Right);
        double usedAlong = alongAxis.Cell(window.Top, window.Top);
        return new FrontGrid(acrossAxis, alongAxis, Math.Max(0, (width - 1 - usedAcross) / 2), height - 1 - Math.Max(0, (height - 1 - usedAlong) / 2));
    }

    /// <summary>The gaps of one direction that do not lie over another.</summary>
    private static (double From, double To)[] Opened(IEnumerable<(double From, double To)> gaps)
    {
        List<(double From, double To)> apart = [];
        foreach ((double from, double to) in gaps.Select(gap => (Math.Min(gap.From, gap.To), Math.Max(gap.From, gap.To))).Where(gap => double.IsFinite(gap.Item1) && double.IsFinite(gap.Item2)))
        {
            if (apart.TrueForAll(other => to < other.From || from > other.To))
            {
                apart.Add((from, to));
            }
        }

        return [.. apart.Order()];
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

/// <summary>One shape of the drawing: its outline and its name.</summary>
internal static class FrontOutline
{
    /// <summary>Draws the outline: single lines for a place of the garment, double lines for an item.</summary>
    public static void Paint(Canvas canvas, Region box, FrontShape shape)
    {
        string lines = shape.IsLandmark ? "┌┐└┘─│" : "╔╗╚╝═║";
        CellStyle style = StyleOf(shape);
        if (box.Height <= 1 || box.Width <= 1)
        {
            PaintThin(canvas, box, lines, style);
            return;
        }

        (int left, int right, int top, int bottom) = (box.X, box.Right - 1, box.Y, box.Bottom - 1);
        for (int x = Math.Max(0, left); x <= Math.Min(right, canvas.Width - 1); x++)
        {
            canvas.Put(x, top, x == left ? lines[0] : x == right ? lines[1] : lines[4], style);
            canvas.Put(x, bottom, x == left ? lines[2] : x == right ? lines[3] : lines[4], style);
        }

        for (int y = Math.Max(0, top + 1); y <= Math.Min(bottom - 1, canvas.Height - 1); y++)
        {
            canvas.Put(left, y, lines[5], style);
            canvas.Put(right, y, lines[5], style);
        }

        PaintRows(canvas, box, shape, style);
    }

    /// <summary>The lines between its rows, where each row has a row of cells to itself.</summary>
    private static void PaintRows(Canvas canvas, Region box, FrontShape shape, CellStyle style)
    {
        int inside = box.Height - 1;
        if (shape.Rows < 2 || inside < 2 * shape.Rows)
        {
            return;
        }

        for (int row = 1; row < shape.Rows; row++)
        {
            int y = box.Bottom - 1 - (int)Math.Round((double)inside * row / shape.Rows, MidpointRounding.AwayFromZero);
            for (int x = Math.Max(0, box.X + 1); x < Math.Min(box.Right - 1, canvas.Width) && y >= 0 && y < canvas.Height; x++)
            {
                canvas.Put(x, y, '─', style);
            }
        }
    }

    /// <summary>
    /// Writes the name where it is seen: on free rows inside the outline, as near its middle as can be, else over the outline's
    /// top line; of one that has no room the words that have, for the list of steps has it whole.
    /// </summary>
    public static void Name(Canvas canvas, Region box, FrontShape shape)
    {
        int left = Math.Max(box.X + 1, 0);
        int columns = Math.Min(box.Right - 1, canvas.Width) - left;
        if (columns < 3)
        {
            return;
        }

        IReadOnlyList<string> lines = TextCells.Wrap(shape.Name, columns, 3);
        if (lines.Count <= 2 && lines.All(line => !line.EndsWith('…')) && shape.Name.Split(' ').All(word => TextCells.Columns(word) <= columns) && FreeRow(canvas, box, left, columns, lines.Count) is { } row)
        {
            WriteNames(canvas, new Region(left, row, columns, lines.Count), lines, shape);
        }
        else if (FreeRow(canvas, box, left, columns, 1) is { } single)
        {
            WriteNames(canvas, new Region(left, single, columns, 1), [TextCells.FitWords(shape.Name, columns)], shape);
        }
        else if (box.Height <= 2 && box.Y >= 0 && box.Y < canvas.Height)
        {
            WriteNames(canvas, new Region(left, box.Y, columns, 1), [TextCells.FitWords(shape.Name, columns)], shape);
        }
    }

    private static void WriteNames(Canvas canvas, Region region, IReadOnlyList<string> lines, FrontShape shape)
    {
        for (int row = 0; row < lines.Count; row++)
        {
            canvas.Write(region.Row(row), lines[row], StyleOf(shape), (region.Width - TextCells.Columns(lines[row])) / 2);
        }
    }

    private static CellStyle StyleOf(FrontShape shape) => shape.IsLandmark ? CellStyle.Quiet : Marks.StyleOf(shape.State);

    private static void PaintThin(Canvas canvas, Region box, string lines, CellStyle style)
    {
        for (int x = Math.Max(0, box.X); x < Math.Min(box.Right, canvas.Width); x++)
        {
            for (int y = Math.Max(0, box.Y); y < Math.Min(box.Bottom, canvas.Height); y++)
            {
                canvas.Put(x, y, box.Height <= 1 ? lines[4] : lines[5], style);
            }
        }
    }

    private static int? FreeRow(Canvas canvas, Region box, int left, int columns, int rows)
    {
        int top = Math.Max(box.Y + 1, 0);
        int last = Math.Min(box.Bottom - 1, canvas.Height) - rows;
        int middle = (top + last) / 2;
        return Enumerable.Range(top, Math.Max(0, last - top + 1))
            .OrderBy(row => Math.Abs(row - middle))
            .Where(row => IsFree(canvas, new Region(left, row, columns, rows)))
            .Select(row => (int?)row)
            .FirstOrDefault();
    }

    private static bool IsFree(Canvas canvas, Region region) =>
        Enumerable.Range(region.Y, region.Height).All(y => Enumerable.Range(region.X, region.Width).All(x => canvas[x, y].Text == " "));
}

/// <summary>Takes places of the front to cells of the drawing.</summary>
/// <param name="Across">Inches to the right, to columns.</param>
/// <param name="Along">Inches upwards, to rows counted upwards.</param>
/// <param name="FirstColumn">Column of the window's left edge.</param>
/// <param name="LastRow">Row of its bottom edge.</param>
internal readonly record struct FrontGrid(FrontAxis Across, FrontAxis Along, double FirstColumn, double LastRow)
{
    /// <summary>Keeps cells countable whatever a file says; far outside any canvas all the same.</summary>
    private const double Farthest = 10_000;

    /// <summary>The cell of a point; the centre tells on which side of a closed gap it lies.</summary>
    public (int X, int Y) Point(double right, double up, double centreRight, double centreUp) => (
        Whole(FirstColumn + Across.Cell(right, centreRight)),
        Whole(LastRow - Along.Cell(up, centreUp)));

    /// <summary>The cells of a shape's outline, its edges included.</summary>
    public Region Box(FrontShape shape)
    {
        (int left, int bottom) = Point(shape.Right - (shape.Width / 2), shape.Up - (shape.Height / 2), shape.Right, shape.Up);
        (int right, int top) = Point(shape.Right + (shape.Width / 2), shape.Up + (shape.Height / 2), shape.Right, shape.Up);
        return new Region(left, top, right - left + 1, bottom - top + 1);
    }

    private static int Whole(double cell) => double.IsNaN(cell) ? 0 : (int)Math.Round(Math.Clamp(cell, -Farthest, Farthest), MidpointRounding.AwayFromZero);
}

/// <summary>Takes inches along one axis of the drawing to cells, and opens the gaps that are measured so that they can be seen.</summary>
/// <remarks>
/// An eighth of an inch is less than a cell. Everything at or beyond a gap's far end is pushed on by what the gap lacks, so
/// the drawing is true to shape but for the gaps it is about.
/// </remarks>
/// <param name="from">Inches at cell 0.</param>
/// <param name="cellsPerInch">Scale.</param>
/// <param name="gaps">The gaps that are opened, from the lower end to the higher; none lies over another.</param>
/// <param name="minCells">Cells that each is opened to.</param>
internal readonly struct FrontAxis(double from, double cellsPerInch, IReadOnlyList<(double From, double To)> gaps, double minCells)
{
    /// <summary>The cell of a place.</summary>
    /// <param name="inches">The place.</param>
    /// <param name="centre">The middle of what it belongs to: tells on which side of a closed gap its edge lies.</param>
    public double Cell(double inches, double centre)
    {
        double cell = (inches - from) * cellsPerInch;
        foreach ((double gapFrom, double gapTo) in gaps)
        {
            double lacks = Math.Max(0, minCells - ((gapTo - gapFrom) * cellsPerInch));
            if (lacks > 0 && inches >= gapFrom && (inches > gapFrom || centre > inches))
            {
                cell += lacks * (inches >= gapTo ? 1 : (inches - gapFrom) / (gapTo - gapFrom));
            }
        }

        return cell;
    }
}

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
        foreach (FrontGap gap in drawing.Gap is { } now ? [now, .. drawing.Gaps] : drawing.Gaps)
        {
            points.Add((gap.FromRight, gap.FromUp));
            points.Add((gap.ToRight, gap.ToUp));
        }

        if (points.Count == 0)
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
