using System.Globalization;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>One sheet of a template.</summary>
/// <param name="Contents">What is drawn at true size, in the sheet's own millimetres; what lies beyond the window is another sheet's.</param>
/// <param name="Window">The part of the sheet that the contents may cover: left, top, width, height.</param>
/// <param name="Around">Title, bars, marks: drawn over the whole sheet.</param>
public sealed record TemplateSheet(Drawing Contents, (double X, double Y, double Width, double Height) Window, Drawing Around);

/// <summary>How a printer's scale is set right: what its 100 mm bars measured on a sheet printed without.</summary>
/// <param name="Across">The bar across, as measured; 95 to 105 mm.</param>
/// <param name="Up">The bar upright.</param>
public sealed record ScaleBars(Length Across, Length Up)
{
    /// <summary>Length of a bar.</summary>
    public static Length True { get; } = Length.FromMicrometres(100_000);

    /// <summary>A printer that is true.</summary>
    public static ScaleBars Exact { get; } = new(True, True);

    /// <summary>What is wrong with a bar that was measured so; null for nothing. Beyond one part in twenty the sheet was fitted to the paper, or the bar was misread.</summary>
    public static string? Fault(Length bar) => (bar - True).Abs() <= True.DividedBy(20, Rounding.HalfEven) ? null
        : $"a bar of {LengthFormat.Show(bar, LengthDisplay.Millimetre)} is too far from 100 mm to be a printer's error: print at 100 %, without \"fit to page\", and measure the bar again; 95 to 105 mm can be set right";

    internal double AcrossTimes => (double)True.Nanometres / Across.Nanometres;

    internal double UpTimes => (double)True.Nanometres / Up.Nanometres;

    /// <summary>By how much everything is drawn otherwise, in words; null where it is not.</summary>
    public string? Words => this == Exact ? null : string.Create(CultureInfo.InvariantCulture,
        $"drawn {Percent(AcrossTimes)} across and {Percent(UpTimes)} upright, for a printer whose bars measure {LengthFormat.Show(Across, LengthDisplay.Millimetre)} and {LengthFormat.Show(Up, LengthDisplay.Millimetre)}");

    private static string Percent(double times) => string.Create(CultureInfo.InvariantCulture, $"{Math.Abs(times - 1) * 100:0.00} % {(times >= 1 ? "larger" : "smaller")}");
}

/// <summary>Lays backings out on sheets at true size, with prong holes, item outlines, 100 mm bars, and register marks where one takes several sheets.</summary>
public static class TemplatePaper
{
    private const string Ink = "#000000";
    private const string Grey = "#767676";
    private const double LeftStrip = 15, BottomStrip = 15, TopStrip = 24, RightStrip = PaperSize.Edge;
    private const double Overlap = 10;      // millimetres that two sheets show alike
    private const double Bar = 100;

    private static readonly Stroke _cut = new(0.25, Ink), _item = new(0.18, Grey, 1.2), _hair = new(0.1, Ink), _seam = new(0.1, Grey, 2);

    /// <summary>The sheets, backing by backing, row by row from the top left.</summary>
    /// <param name="standard">The standard, for its name.</param>
    /// <param name="backings">The backings.</param>
    /// <param name="places">Where the places come from, such as <c>nominal places</c>.</param>
    /// <param name="bars">What the printer's bars measured.</param>
    /// <param name="paper">What it is made for.</param>
    public static IReadOnlyList<TemplateSheet> Of(Standard standard, IReadOnlyList<BackingOutline> backings, string places, ScaleBars bars, PaperSettings paper) =>
        [.. backings.SelectMany(backing => Sheets(standard, backing, places, bars, paper))];

    private static IEnumerable<TemplateSheet> Sheets(Standard standard, BackingOutline backing, string places, ScaleBars bars, PaperSettings paper)
    {
        PaperSize size = paper.Size;
        (double fx, double fy) = (bars.AcrossTimes, bars.UpTimes);
        (double Right, double Up)[] all = [.. backing.Pieces.SelectMany(piece => piece[0]), .. backing.Items.SelectMany(item => item.Outline.Concat(item.Pins))];
        double left = all.Min(point => point.Right) - 2, top = all.Max(point => point.Up) + 2;
        double wide = (all.Max(point => point.Right) + 2 - left) * fx, high = (top - all.Min(point => point.Up) + 2) * fy;
        (double tileWide, double tileHigh) = (size.Width - LeftStrip - RightStrip, size.Height - TopStrip - BottomStrip);
        int columns = Count(wide, tileWide), rows = Count(high, tileHigh);
        for (int row = 0; row < rows; row++)
        {
            for (int column = 0; column < columns; column++)
            {
                double x = LeftStrip + (columns == 1 ? (tileWide - wide) / 2 : -column * (tileWide - Overlap));
                double y = TopStrip + (rows == 1 ? (tileHigh - high) / 2 : -row * (tileHigh - Overlap));
                DrawPoint At((double Right, double Up) point) => new(x + ((point.Right - left) * fx), y + ((top - point.Up) * fy));
                yield return new TemplateSheet(
                    new Drawing(size.Width, size.Height, [.. Contents(backing, At, fx, fy, paper.Measure)], ""),
                    (LeftStrip, TopStrip, tileWide, tileHigh),
                    new Drawing(size.Width, size.Height, [.. Around(standard, backing, places, bars, paper, (row, rows), (column, columns))], ""));
            }
        }
    }

    private static int Count(double length, double tile) => length <= tile ? 1 : (int)Math.Ceiling((length - Overlap) / (tile - Overlap));

    private static IEnumerable<Mark> Contents(BackingOutline backing, Func<(double Right, double Up), DrawPoint> at, double fx, double fy, TextWidth measure)
    {
        foreach (IReadOnlyList<IReadOnlyList<(double, double)>> piece in backing.Pieces)
        {
            yield return new Mark.Area([.. piece.Select(ring => (IReadOnlyList<DrawPoint>)[.. ring.Select(at)])], _cut, null);
        }

        foreach (BackedItem item in backing.Items)
        {
            foreach (IReadOnlyList<(double, double)> part in item.Parts)
            {
                yield return new Mark.Area([[.. part.Select(at)]], _item, null);
            }

            if (item.Parts.Count == 0)   // a short top row leaves part of the whole empty
            {
                yield return new Mark.Area([[.. item.Outline.Select(at)]], _item, null);
            }

            DrawPoint centre = at((item.Outline.Average(corner => corner.Right), item.Outline.Average(corner => corner.Up)));
            double width = Millimetres(item.Item.Size.Right) * fx, height = Millimetres(item.Item.Size.Up) * fy;
            string name = item.Item.Name;
            IReadOnlyList<string> lines = PaperText.Wrap(name, Math.Max(width - 2, 4), text => measure(text, 2.4, false));
            foreach ((string line, int index) in lines.Take(Math.Max(1, (int)(height / 3))).Select((line, index) => (line, index)))
            {
                yield return new Mark.Words(new DrawPoint(centre.X, centre.Y - (height / 2) + 3 + (index * 3)), 2.4, line, Ink, TextAnchor.Middle);
            }

            foreach ((double, double) pin in item.Pins)
            {
                DrawPoint hole = at(pin);
                double radius = Millimetres(backing.Settings.Hole) / 2, reach = radius + 1.5;
                yield return new Mark.Line([new(hole.X - reach, hole.Y), new(hole.X + reach, hole.Y)], _hair);
                yield return new Mark.Line([new(hole.X, hole.Y - reach), new(hole.X, hole.Y + reach)], _hair);
                yield return new Mark.Circle(hole, radius, _cut, null);
            }
        }
    }

    private static IEnumerable<Mark> Around(Standard standard, BackingOutline backing, string places, ScaleBars bars, PaperSettings paper, (int At, int Of) row, (int At, int Of) column)
    {
        PaperSize size = paper.Size;
        (double tileWide, double tileHigh) = (size.Width - LeftStrip - RightStrip, size.Height - TopStrip - BottomStrip);
        double inner = size.Width - (2 * PaperSize.Edge), y = PaperSize.Edge + 2;
        List<(string Text, double Size, bool Strong)> head =
        [
            (string.Create(CultureInfo.InvariantCulture, $"{backing.Landmark}: backing, seen from the front, this side up{(row.Of * column.Of == 1 ? "" : $"; sheet {(row.At * column.Of) + column.At + 1} of {row.Of * column.Of}, row {row.At + 1}, column {column.At + 1}")}"), 2.6, true),
            ($"{standard.Name}, edition {standard.Edition}; {places}{(bars.Words is { } words ? $"; {words}" : "")}", 2, false),
            ($"Measure both bars before you cut. {Cautions.Blades}", 2, false),
        ];
        foreach ((string text, double letters, bool strong) in head)
        {
            foreach (string line in PaperText.Wrap(text, inner, part => paper.Measure(part, letters, strong)).Take(2))
            {
                yield return new Mark.Words(new DrawPoint(PaperSize.Edge, y), letters, line, Ink, TextAnchor.Start, strong);
                y += letters * 1.25;
            }
        }

        // The bars lie on the sheet as its contents do: they show what the printer makes of them.
        double across = Bar * bars.AcrossTimes, up = Bar * bars.UpTimes;
        double barX = LeftStrip + ((tileWide - across) / 2), barY = size.Height - PaperSize.Edge - 1.5;
        yield return new Mark.Line([new(barX, barY), new(barX + across, barY)], _cut);
        foreach (double end in (double[])[barX, barX + across])
        {
            yield return new Mark.Line([new(end, barY - 1.5), new(end, barY + 1.5)], _hair);
        }

        yield return new Mark.Words(new DrawPoint(barX + (across / 2), barY - 1), 2, "100 mm across, between the middles of the end marks", Ink, TextAnchor.Middle);
        double upX = PaperSize.Edge + 1.5, upY = TopStrip + ((tileHigh - up) / 2);
        yield return new Mark.Line([new(upX, upY), new(upX, upY + up)], _cut);
        foreach (double end in (double[])[upY, upY + up])
        {
            yield return new Mark.Line([new(upX - 1.5, end), new(upX + 1.5, end)], _hair);
        }

        yield return new Mark.Words(new DrawPoint(upX - 1.5, upY - 1.5), 2, "100 mm up", Ink, TextAnchor.Start);

        // Where a sheet meets the next, both show the same line with the same crosses: laid on each other they fit.
        foreach ((double x, bool isSeam) in ((double, bool)[])[(LeftStrip + (Overlap / 2), column.At > 0), (LeftStrip + tileWide - (Overlap / 2), column.At + 1 < column.Of)])
        {
            if (isSeam)
            {
                foreach (Mark mark in Seam(new(x, TopStrip), new(x, TopStrip + tileHigh), [new(x, TopStrip + (Overlap / 2)), new(x, TopStrip + (tileHigh / 2)), new(x, TopStrip + tileHigh - (Overlap / 2))]))
                {
                    yield return mark;
                }
            }
        }

        foreach ((double level, bool isSeam) in ((double, bool)[])[(TopStrip + (Overlap / 2), row.At > 0), (TopStrip + tileHigh - (Overlap / 2), row.At + 1 < row.Of)])
        {
            if (isSeam)
            {
                foreach (Mark mark in Seam(new(LeftStrip, level), new(LeftStrip + tileWide, level), [new(LeftStrip + (Overlap / 2), level), new(LeftStrip + (tileWide / 2), level), new(LeftStrip + tileWide - (Overlap / 2), level)]))
                {
                    yield return mark;
                }
            }
        }
    }

    private static IEnumerable<Mark> Seam(DrawPoint from, DrawPoint to, IReadOnlyList<DrawPoint> crosses)
    {
        yield return new Mark.Line([from, to], _seam);
        foreach (DrawPoint cross in crosses)
        {
            yield return new Mark.Circle(cross, 1.5, _hair, null);
            yield return new Mark.Line([new(cross.X - 3, cross.Y), new(cross.X + 3, cross.Y)], _hair);
            yield return new Mark.Line([new(cross.X, cross.Y - 3), new(cross.X, cross.Y + 3)], _hair);
        }
    }

    private static double Millimetres(Length length) => length.Nanometres / 1e6;
}
