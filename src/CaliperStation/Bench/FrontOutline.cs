namespace CaliperStation.Bench;

/// <summary>One shape of the drawing: its outline and its name.</summary>
internal static class FrontOutline
{
    /// <summary>Draws the outline: single lines for a place of the garment, double lines for an item.</summary>
    public static void Paint(Canvas canvas, Region box, FrontShape shape)
    {
        string lines = shape.IsLandmark ? "┌┐└┘─│" : "╔╗╚╝═║";
        Ink ink = InkOf(shape);
        if (box.Height <= 1 || box.Width <= 1)
        {
            PaintThin(canvas, box, lines, ink);
            return;
        }

        (int left, int right, int top, int bottom) = (box.X, box.Right - 1, box.Y, box.Bottom - 1);
        for (int x = Math.Max(0, left); x <= Math.Min(right, canvas.Width - 1); x++)
        {
            canvas.Put(x, top, x == left ? lines[0] : x == right ? lines[1] : lines[4], ink);
            canvas.Put(x, bottom, x == left ? lines[2] : x == right ? lines[3] : lines[4], ink);
        }

        for (int y = Math.Max(0, top + 1); y <= Math.Min(bottom - 1, canvas.Height - 1); y++)
        {
            canvas.Put(left, y, lines[5], ink);
            canvas.Put(right, y, lines[5], ink);
        }
    }

    /// <summary>Writes the name where it is seen: on a free row inside the outline nearest its middle, else over the outline's top line; cut with a mark, or left out.</summary>
    public static void Name(Canvas canvas, Region box, FrontShape shape)
    {
        int left = Math.Max(box.X + 1, 0);
        int right = Math.Min(box.Right - 1, canvas.Width);
        if (right - left < 3)
        {
            return;
        }

        string name = TextCells.Fit(shape.Name, right - left);
        int columns = TextCells.Columns(name);
        int at = left + ((right - left - columns) / 2);
        int row = FreeRow(canvas, box, at, columns) ?? (box.Height <= 2 ? box.Y : -1);
        if (row >= 0)
        {
            canvas.Write(new Region(at, row, columns, row < canvas.Height ? 1 : 0), name, InkOf(shape));
        }
    }

    private static Ink InkOf(FrontShape shape) => shape.IsLandmark ? Ink.Quiet : Marks.InkOf(shape.State);

    private static void PaintThin(Canvas canvas, Region box, string lines, Ink ink)
    {
        for (int x = Math.Max(0, box.X); x < Math.Min(box.Right, canvas.Width); x++)
        {
            for (int y = Math.Max(0, box.Y); y < Math.Min(box.Bottom, canvas.Height); y++)
            {
                canvas.Put(x, y, box.Height <= 1 ? lines[4] : lines[5], ink);
            }
        }
    }

    private static int? FreeRow(Canvas canvas, Region box, int at, int columns)
    {
        int top = Math.Max(box.Y + 1, 0);
        int bottom = Math.Min(box.Bottom - 2, canvas.Height - 1);
        int middle = (top + bottom) / 2;
        return Enumerable.Range(top, Math.Max(0, bottom - top + 1))
            .OrderBy(row => Math.Abs(row - middle))
            .Where(row => Enumerable.Range(at, columns).All(x => canvas[x, row].Text == " "))
            .Select(row => (int?)row)
            .FirstOrDefault();
    }
}
