using System.Text;
using System.Text.RegularExpressions;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using PdfSharp.Drawing;
using PdfSharp.Pdf;

namespace CaliperStation.Printing;

/// <summary>A PDF at true size: drawings and texts in millimetres; the same contents give the same bytes, and a text is made safe as it is drawn.</summary>
internal sealed partial class PdfFile : IDisposable
{
    private const double PointsPerMillimetre = 72 / 25.4;

    private readonly PdfDocument _document = new();
    private readonly List<XGraphics> _pages = [];
    private readonly PaperSize _paper;

    internal PdfFile(PaperSize paper, string title)
    {
        _paper = paper;
        _document.Info.Title = string.Concat(PrintableText.Escape(title).Select(c => c is '<' or '>' or '&' ? ' ' : c));   // the library writes it into XML as it is
        _document.Info.Creator = "CaliperStation";
        _document.Info.CreationDate = DateTime.UnixEpoch;   // the record has its instants; a file that is made again is to be the same
        _document.Info.ModificationDate = DateTime.UnixEpoch;
        _document.Options.NoCompression = true;   // the library leaves off the end of what it compresses (RFC 1950, 2.2), which strict readers complain of
        _document.Options.CompressContentStreams = false;
        _document.ViewerPreferences.Elements.SetName("/PrintScaling", "/None");   // ISO 32000-1, 12.2: a dialog then offers true size first
    }

    /// <summary>How many pages there are.</summary>
    internal int Pages => _pages.Count;

    /// <summary>Draws a drawing on a page, which is made where it is the next one.</summary>
    /// <param name="page">The page, from 0.</param>
    /// <param name="drawing">The drawing.</param>
    /// <param name="x">Where its left edge is, in millimetres.</param>
    /// <param name="y">Where its top edge is.</param>
    /// <param name="scale">How many times its size.</param>
    internal void Draw(int page, Drawing drawing, double x = 0, double y = 0, double scale = 1)
    {
        XGraphics graphics = Page(page);
        XPoint At(DrawPoint point) => new((x + (point.X * scale)) * PointsPerMillimetre, (y + (point.Y * scale)) * PointsPerMillimetre);
        double Size(double millimetres) => millimetres * scale * PointsPerMillimetre;
        foreach (Mark mark in drawing.Marks)
        {
            switch (mark)
            {
                case Mark.Line line:
                    graphics.DrawLines(Pen(line.Stroke, scale), [.. line.Points.Select(At)]);
                    break;
                case Mark.Area area:
                    XGraphicsPath path = new() { FillMode = XFillMode.Alternate };
                    foreach (IReadOnlyList<DrawPoint> ring in area.Rings)
                    {
                        path.StartFigure();
                        path.AddPolygon([.. ring.Select(At)]);
                    }

                    if (area.Rings.Count > 0)
                    {
                        graphics.DrawPath(area.Stroke is { } edge ? Pen(edge, scale) : null, area.Fill is { } fill ? new XSolidBrush(Colour(fill)) : null, path);
                    }

                    break;
                case Mark.Circle circle:
                    XPoint centre = At(circle.Centre);
                    double radius = Size(circle.Radius);
                    graphics.DrawEllipse(circle.Stroke is { } rim ? Pen(rim, scale) : null, circle.Fill is { } inside ? new XSolidBrush(Colour(inside)) : null, centre.X - radius, centre.Y - radius, 2 * radius, 2 * radius);
                    break;
                case Mark.Words words:
                    graphics.DrawString(PrintableText.Escape(words.Text), PaperFont.Of(Size(words.Size), words.Strong), new XSolidBrush(Colour(words.Colour)), At(words.At), words.Anchor switch
                    {
                        TextAnchor.Start => XStringFormats.BaseLineLeft,
                        TextAnchor.Middle => XStringFormats.BaseLineCenter,
                        TextAnchor.End => XStringFormats.BaseLineRight,
                    });
                    break;
                default:
                    throw new System.Diagnostics.UnreachableException();
            }
        }
    }

    /// <summary>The sheets of a template, a page each.</summary>
    internal static byte[] Of(IReadOnlyList<TemplateSheet> sheets, PaperSize paper, string title)
    {
        using PdfFile file = new(paper, title);
        for (int page = 0; page < sheets.Count; page++)
        {
            XGraphics graphics = file.Page(page);
            (double x, double y, double width, double height) = sheets[page].Window;
            XGraphicsState whole = graphics.Save();
            graphics.IntersectClip(new XRect(x * PointsPerMillimetre, y * PointsPerMillimetre, width * PointsPerMillimetre, height * PointsPerMillimetre));
            file.Draw(page, sheets[page].Contents);
            graphics.Restore(whole);
            file.Draw(page, sheets[page].Around);
        }

        return file.ToBytes();
    }

    /// <summary>The file.</summary>
    internal byte[] ToBytes()
    {
        _pages.ForEach(page => page.Dispose());
        _pages.Clear();
        using MemoryStream stream = new();
        _document.Save(stream, closeStream: false);
        return Settled(stream.ToArray());
    }

    public void Dispose() => _document.Dispose();

    /// <summary>
    /// The bytes with nothing of chance left: the names of font subsets, which are drawn by lot, numbered in their order, the ids in the metadata empty, and the
    /// file's id taken from its contents (ISO 32000-1, 14.4 wants no more). Every replacement is as long as what it replaces, so no place within the file changes.
    /// </summary>
    private static byte[] Settled(byte[] bytes)
    {
        string text = Encoding.Latin1.GetString(bytes);
        Dictionary<string, string> names = [];
        text = SubsetName().Replace(text, name => names.TryGetValue(name.Value, out string? known) ? known : names[name.Value] = $"/{(char)('A' + (names.Count / 26))}{(char)('A' + (names.Count % 26))}AAAA+");
        text = FileId().Replace(text, id => id.Groups[1].Value + new string('0', 32) + id.Groups[2].Value + new string('0', 32) + id.Groups[3].Value);
        text = MetadataId().Replace(text, $"uuid:{Guid.Empty}");
        string hash = Core.Records.RecordSignature.Hash(Encoding.Latin1.GetBytes(text))[..32].ToUpperInvariant();
        return Encoding.Latin1.GetBytes(FileId().Replace(text, id => id.Groups[1].Value + hash + id.Groups[2].Value + hash + id.Groups[3].Value));
    }

    private XGraphics Page(int index)
    {
        while (_pages.Count <= index)
        {
            PdfPage page = _document.AddPage();
            page.Width = XUnit.FromMillimeter(_paper.Width);
            page.Height = XUnit.FromMillimeter(_paper.Height);
            _pages.Add(XGraphics.FromPdfPage(page));
        }

        return _pages[index];
    }

    private static XPen Pen(Stroke stroke, double scale)
    {
        double width = stroke.Width * scale * PointsPerMillimetre;
        XPen pen = new(Colour(stroke.Colour), width) { LineJoin = XLineJoin.Miter };
        if (stroke.Dash > 0)
        {
            double dash = stroke.Dash * scale * PointsPerMillimetre / width;   // in widths of the line
            pen.DashPattern = [dash, dash];
        }

        return pen;
    }

    private static XColor Colour(string text) => XColor.FromArgb(Convert.ToInt32(text[1..3], 16), Convert.ToInt32(text[3..5], 16), Convert.ToInt32(text[5..7], 16));

    [GeneratedRegex(@"/[A-Z]{6}\+")]
    private static partial Regex SubsetName();

    [GeneratedRegex("uuid:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}(?=</xmpMM:)")]
    private static partial Regex MetadataId();

    [GeneratedRegex(@"(/ID\s*\[\s*<)[0-9A-Fa-f]{32}(>\s*<)[0-9A-Fa-f]{32}(>)")]
    private static partial Regex FileId();
}
