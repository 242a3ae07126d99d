
namespace CaliperStation.Screen;

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
