
namespace CaliperStation.Screen;

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
