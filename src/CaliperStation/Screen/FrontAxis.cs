
namespace CaliperStation.Screen;

/// <summary>Takes inches along one axis of the drawing to cells, and opens the gap that is measured so that it can be seen.</summary>
/// <remarks>
/// An eighth of an inch is less than a cell. Everything at or beyond the gap's far end is pushed on by what the gap lacks, so
/// the drawing is true to shape but for the one gap it is about.
/// </remarks>
internal readonly struct FrontAxis
{
    private readonly double _from;
    private readonly double _cellsPerInch;
    private readonly double _gapFrom;
    private readonly double _gapTo;
    private readonly double _pushed;

    /// <summary>An axis.</summary>
    /// <param name="from">Inches at cell 0.</param>
    /// <param name="cellsPerInch">Scale.</param>
    /// <param name="gapFrom">Nearer end of the gap in inches; infinite for no gap.</param>
    /// <param name="gapTo">Farther end.</param>
    /// <param name="minCells">Cells the gap is opened to; 0 leaves it.</param>
    public FrontAxis(double from, double cellsPerInch, double gapFrom, double gapTo, double minCells)
    {
        _from = from;
        _cellsPerInch = cellsPerInch;
        _gapFrom = gapFrom;
        _gapTo = gapTo;
        _pushed = double.IsFinite(gapFrom) ? Math.Max(0, minCells - ((gapTo - gapFrom) * cellsPerInch)) : 0;
    }

    /// <summary>The cell of a place.</summary>
    /// <param name="inches">The place.</param>
    /// <param name="centre">The middle of what it belongs to: tells on which side of a closed gap its edge lies.</param>
    public double Cell(double inches, double centre)
    {
        double cell = (inches - _from) * _cellsPerInch;
        if (_pushed <= 0 || inches < _gapFrom || (inches <= _gapFrom && centre <= inches))
        {
            return cell;
        }

        double share = inches >= _gapTo ? 1 : (inches - _gapFrom) / (_gapTo - _gapFrom);
        return cell + (_pushed * share);
    }
}
