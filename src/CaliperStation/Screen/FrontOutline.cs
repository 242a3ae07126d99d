
namespace CaliperStation.Screen;

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
