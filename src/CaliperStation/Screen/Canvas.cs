using System.Text;

namespace CaliperStation.Screen;

/// <summary>One cell: a text element and its meaning; <see cref="Text"/> is empty under the right half of a wide element.</summary>
internal readonly record struct CanvasCell(string Text, CellStyle Style);

/// <summary>A grid of cells that painters write on; whatever is written outside its region is dropped.</summary>
internal sealed class Canvas
{
    private static readonly CanvasCell Blank = new(" ", CellStyle.Ground);
    private readonly CanvasCell[] _cells;

    /// <summary>A blank canvas; sizes below one are taken as none.</summary>
    public Canvas(int width, int height)
    {
        Width = Math.Max(0, width);
        Height = Math.Max(0, height);
        _cells = new CanvasCell[Width * Height];
        Array.Fill(_cells, Blank);
    }

    /// <summary>Columns.</summary>
    public int Width { get; }

    /// <summary>Rows.</summary>
    public int Height { get; }

    /// <summary>All of it.</summary>
    public Region All => new(0, 0, Width, Height);

    /// <summary>The cell at a column and row of the canvas.</summary>
    public CanvasCell this[int x, int y] => _cells[(y * Width) + x];

    /// <summary>Writes a text from the left of a region's first row, never past its right end; returns the columns used.</summary>
    public int Write(Region region, string text, CellStyle style, int indent = 0)
    {
        if (region.IsEmpty)
        {
            return 0;
        }

        int x = region.X + Math.Max(0, indent);
        int start = x;
        foreach (TextElement element in TextCells.Elements(text))
        {
            if (x + element.Columns > region.Right)
            {
                break;
            }

            Put(x, region.Y, element, style);
            x += element.Columns;
        }

        return x - start;
    }

    /// <summary>Writes one single-column character; outside the canvas it is dropped.</summary>
    public void Put(int x, int y, char character, CellStyle style) => Put(x, y, new TextElement(character.ToString(), 1), style);

    /// <summary>Gives every cell of a region a style and leaves its text.</summary>
    public void Tint(Region region, CellStyle style)
    {
        for (int y = Math.Max(0, region.Y); y < Math.Min(Height, region.Bottom); y++)
        {
            for (int x = Math.Max(0, region.X); x < Math.Min(Width, region.Right); x++)
            {
                _cells[(y * Width) + x] = this[x, y] with { Style = style };
            }
        }
    }

    /// <summary>Copies another canvas into a region, cut to it.</summary>
    public void Draw(Region region, Canvas other)
    {
        for (int y = 0; y < Math.Min(region.Height, other.Height); y++)
        {
            for (int x = 0; x < Math.Min(region.Width, other.Width); x++)
            {
                if (IsInside(region.X + x, region.Y + y))
                {
                    _cells[((region.Y + y) * Width) + region.X + x] = other[x, y];
                }
            }
        }
    }

    /// <summary>The text without styles, a line a row, blanks at the ends of rows left out.</summary>
    public override string ToString()
    {
        StringBuilder text = new((Width + 1) * Height);
        for (int y = 0; y < Height; y++)
        {
            StringBuilder row = new(Width);
            for (int x = 0; x < Width; x++)
            {
                row.Append(this[x, y].Text);
            }

            text.Append(row.ToString().TrimEnd()).Append('\n');
        }

        return text.ToString();
    }

    private bool IsInside(int x, int y) => x >= 0 && x < Width && y >= 0 && y < Height;

    private void Put(int x, int y, TextElement element, CellStyle style)
    {
        if (!IsInside(x, y) || !IsInside(x + element.Columns - 1, y))
        {
            return;
        }

        // Half of a wide element must not stay behind when its other half is written over.
        if (this[x, y].Text.Length == 0 && x > 0)
        {
            _cells[(y * Width) + x - 1] = Blank;
        }

        int after = x + element.Columns;
        if (after < Width && this[after, y].Text.Length == 0)
        {
            _cells[(y * Width) + after] = Blank;
        }

        _cells[(y * Width) + x] = new CanvasCell(element.Text, style);
        for (int column = 1; column < element.Columns; column++)
        {
            _cells[(y * Width) + x + column] = new CanvasCell(string.Empty, style);
        }
    }
}

/// <summary>A rectangle of cells; empty when its width or height is not positive.</summary>
/// <param name="X">First column, 0 at the left.</param>
/// <param name="Y">First row, 0 at the top.</param>
/// <param name="Width">Columns.</param>
/// <param name="Height">Rows.</param>
internal readonly record struct Region(int X, int Y, int Width, int Height)
{
    /// <summary>The column after the last.</summary>
    public int Right => X + Width;

    /// <summary>The row after the last.</summary>
    public int Bottom => Y + Height;

    /// <summary>True when it holds no cell.</summary>
    public bool IsEmpty => Width <= 0 || Height <= 0;

    /// <summary>One row of it, counted from its top; empty when it has no such row.</summary>
    public Region Row(int row) => row >= 0 && row < Height ? new Region(X, Y + row, Width, 1) : new Region(X, Y, 0, 0);

    /// <summary>Its rows from one on.</summary>
    public Region From(int row) => new(X, Y + row, Width, Math.Max(0, Height - row));
}
