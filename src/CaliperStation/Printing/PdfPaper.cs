using System.Globalization;
using CaliperStation.Core.Reports;

namespace CaliperStation.Printing;

/// <summary>Lays a document out on pages: the head over the whole width, then the body and beside it the margin, each going on at the top of the next page.</summary>
internal sealed class PdfPaper
{
    private const string Ink = "#000000";
    private const string Grey = "#505050";
    private const double Line = 1.28;        // heights of letters from line to line
    private const double MarginWidth = 36;
    private const double Gutter = 4;
    private const double Foot = 7;

    private static readonly Stroke _rule = new(0.1, "#767676"), _frame = new(0.3, Ink);

    private readonly PaperDocument _document;
    private readonly PaperSize _paper;
    private readonly PdfFile _file;
    private readonly double _size;

    private PdfPaper(PaperDocument document, PaperSize paper, PdfFile file)
    {
        _document = document;
        _paper = paper;
        _file = file;
        _size = paper.Width < 180 ? 2.4 : 2.9;
    }

    /// <summary>The document as a PDF; the same document gives the same bytes.</summary>
    internal static byte[] Of(PaperDocument document, PaperSize paper)
    {
        using PdfFile file = new(paper, document.Title);
        new PdfPaper(document, paper, file).LayOut();
        return file.ToBytes();
    }

    private void LayOut()
    {
        Flow head = new(0, PaperSize.Edge, PaperSize.Edge, _paper.Inner);
        Title(head);
        Blocks(head, _document.Head);
        bool hasMargin = _document.Margin.Count > 0;
        Flow body = new(head.Page, head.Y, PaperSize.Edge, _paper.Inner - (hasMargin ? MarginWidth + Gutter : 0));
        Flow margin = new(head.Page, head.Y, PaperSize.Edge + _paper.Inner - MarginWidth, MarginWidth);
        Blocks(body, _document.Body);
        Blocks(margin, _document.Margin);
        int pages = _file.Pages;
        for (int page = 0; page < pages; page++)
        {
            string number = string.Create(CultureInfo.InvariantCulture, $"{page + 1} / {pages}");
            IReadOnlyList<string> lines = PaperText.Wrap(_document.Foot, _paper.Inner - 15, text => PaperFont.Width(text, 1.8, false));
            double top = _paper.Height - PaperSize.Edge - Foot + 3;
            List<Mark> marks = [new Mark.Line([new(PaperSize.Edge, top - 2.2), new(PaperSize.Edge + _paper.Inner, top - 2.2)], _rule), Words(PaperSize.Edge + _paper.Inner, top, 1.8, number, TextAnchor.End)];
            marks.AddRange(lines.Take(3).Select((line, index) => Words(PaperSize.Edge, top + (index * 1.8 * Line), 1.8, line)));
            Put(page, marks);
        }
    }

    private void Title(Flow flow)
    {
        double size = _size * 2, standing = _size * 1.3;
        double room = _document.Standing.Length == 0 ? 0 : PaperFont.Width(_document.Standing, standing, true) + 8;
        IReadOnlyList<string> lines = PaperText.Wrap(_document.Title, flow.Width - room, text => PaperFont.Width(text, size, true));
        List<Mark> marks = [];
        for (int line = 0; line < lines.Count; line++)
        {
            marks.Add(Words(flow.X, flow.Y + (size * (0.85 + (line * Line))), size, lines[line], strong: true));
        }

        if (room > 0)
        {
            double left = flow.X + flow.Width - room + 4, high = standing * 1.7;
            marks.Add(new Mark.Area([[new(left, flow.Y), new(flow.X + flow.Width, flow.Y), new(flow.X + flow.Width, flow.Y + high), new(left, flow.Y + high)]], _frame with { Width = 0.5 }, null));
            marks.Add(Words(left + ((room - 4) / 2), flow.Y + (standing * 1.22), standing, _document.Standing, TextAnchor.Middle, true));
        }

        Put(flow.Page, marks);
        flow.Y += (size * Line * lines.Count) + 1;
        Put(flow.Page, [new Mark.Line([new(flow.X, flow.Y), new(flow.X + flow.Width, flow.Y)], _frame)]);
        flow.Y += 1.5;
    }

    private void Blocks(Flow flow, IReadOnlyList<PaperBlock> blocks)
    {
        foreach (PaperBlock block in blocks)
        {
            switch (block)
            {
                case PaperBlock.Heading heading:
                    flow.Y += _size * 0.8;
                    Room(flow, _size * 6);   // not alone at the foot of a page
                    Put(flow.Page, [Words(flow.X, flow.Y + (_size * 1.1), _size * 1.15, heading.Text, strong: true)]);
                    flow.Y += _size * 1.7;
                    break;
                case PaperBlock.Paragraph paragraph:
                    Text(flow, paragraph.Text, paragraph.Small ? _size * 0.85 : _size, paragraph.Strong);
                    flow.Y += _size * 0.4;
                    break;
                case PaperBlock.Facts facts:
                    Table(flow, [], [.. facts.Rows.Select(row => (string[])[row.Label, row.Value])], ruled: false);
                    break;
                case PaperBlock.Table table:
                    Table(flow, table.Columns, table.Rows, ruled: true);
                    break;
                case PaperBlock.Picture picture:
                    Picture(flow, picture.Drawing);
                    break;
                case PaperBlock.Caution caution:
                    Caution(flow, caution.Text);
                    break;
                case PaperBlock.Code code:
                    Picture(flow, CodeDrawing.Of(code, CodeDrawing.Side));
                    break;
                default:
                    throw new System.Diagnostics.UnreachableException();
            }
        }
    }

    private void Text(Flow flow, string text, double size, bool strong)
    {
        foreach (string line in PaperText.Wrap(text, flow.Width, part => PaperFont.Width(part, size, strong)))
        {
            Room(flow, size * Line);
            Put(flow.Page, [Words(flow.X, flow.Y + (size * 0.95), size, line, strong: strong)]);
            flow.Y += size * Line;
        }
    }

    private void Picture(Flow flow, Drawing drawing)
    {
        double most = Bottom - PaperSize.Edge;
        double scale = Math.Min(1, Math.Min(flow.Width / drawing.Width, most / drawing.Height));
        Room(flow, drawing.Height * scale);
        _file.Draw(flow.Page, drawing, flow.X + ((flow.Width - (drawing.Width * scale)) / 2), flow.Y, scale);
        flow.Y += (drawing.Height * scale) + 1.5;
    }

    private void Caution(Flow flow, string text)
    {
        const double Pad = 1.2;
        double size = _size * 0.9;
        IReadOnlyList<string> lines = PaperText.Wrap(text, flow.Width - (3 * Pad), part => PaperFont.Width(part, size, false));
        double most = Math.Floor((Bottom - PaperSize.Edge - (2 * Pad)) / (size * Line));
        for (int from = 0; from < lines.Count; from += (int)most)
        {
            string[] part = [.. lines.Skip(from).Take((int)most)];
            double high = (part.Length * size * Line) + (2 * Pad);
            Room(flow, high);
            double right = flow.X + flow.Width, bottom = flow.Y + high - 0.4;
            List<Mark> marks =
            [
                new Mark.Area([[new(flow.X, flow.Y), new(right, flow.Y), new(right, bottom), new(flow.X, bottom)]], _frame with { Width = 0.2 }, null),
                new Mark.Area([[new(flow.X, flow.Y), new(flow.X + 0.9, flow.Y), new(flow.X + 0.9, bottom), new(flow.X, bottom)]], null, Ink),
            ];
            marks.AddRange(part.Select((line, index) => Words(flow.X + (2 * Pad), flow.Y + Pad + (size * (0.9 + (index * Line))), size, line)));
            Put(flow.Page, marks);
            flow.Y += high + 1;
        }
    }

    private void Table(Flow flow, IReadOnlyList<string> heading, IReadOnlyList<IReadOnlyList<string>> rows, bool ruled)
    {
        if (rows.Count == 0)
        {
            return;
        }

        double size = _size * 0.92;
        double[] widths = Widths(flow.Width, heading, rows, size);
        double Row(IReadOnlyList<string> cells, bool strong, bool grey)
        {
            IReadOnlyList<string>[] lines = [.. cells.Select((cell, column) => PaperText.Wrap(cell, widths[column] - 1.5, text => PaperFont.Width(text, size, strong)))];
            int tallest = lines.Max(cell => cell.Count), done = 0;
            while (done < tallest)
            {
                if (flow.Y + (size * Line) > Bottom || (done == 0 && tallest * size * Line < (Bottom - PaperSize.Edge) / 2 && flow.Y + (tallest * size * Line) > Bottom))
                {
                    Next(flow);
                    if (!strong && heading.Count > 0)
                    {
                        Row(heading, strong: true, grey: false);
                    }
                }

                int now = Math.Max(1, Math.Min(tallest - done, (int)((Bottom - flow.Y) / (size * Line))));
                double x = flow.X;
                List<Mark> marks = [];
                for (int column = 0; column < lines.Length; column++)
                {
                    for (int line = done; line < Math.Min(done + now, lines[column].Count); line++)
                    {
                        marks.Add(new Mark.Words(new(x, flow.Y + (size * (0.95 + ((line - done) * Line)))), size, lines[column][line], grey && column == 0 ? Grey : Ink, TextAnchor.Start, strong));
                    }

                    x += widths[column];
                }

                flow.Y += now * size * Line;
                done += now;
                if (ruled)
                {
                    flow.Y += 0.3;
                    marks.Add(new Mark.Line([new(flow.X, flow.Y), new(flow.X + flow.Width, flow.Y)], _rule));
                    flow.Y += 0.3;
                }

                Put(flow.Page, marks);
            }

            return flow.Y;
        }

        if (heading.Count > 0)
        {
            Room(flow, size * Line * 3);
            Row(heading, strong: true, grey: false);
        }

        foreach (IReadOnlyList<string> row in rows)
        {
            Row(row, strong: false, grey: !ruled);
        }

        flow.Y += _size * 0.4;
    }

    private static double[] Widths(double width, IReadOnlyList<string> heading, IReadOnlyList<IReadOnlyList<string>> rows, double size)
    {
        IReadOnlyList<string>[] all = [.. heading.Count > 0 ? rows.Prepend(heading) : rows];
        double[] widths = [.. PaperText.ColumnWidths(width, [.. Enumerable.Range(0, all[0].Count).Select(column => all.Max(row => PaperFont.Width(row[column], size, true)) + 1.8)])];
        widths[^1] += Math.Max(0, width - widths.Sum());
        return widths;
    }

    private double Bottom => _paper.Height - PaperSize.Edge - Foot;

    private void Room(Flow flow, double height)
    {
        if (flow.Y + height > Bottom && flow.Y > PaperSize.Edge)
        {
            Next(flow);
        }
    }

    private static void Next(Flow flow) => (flow.Page, flow.Y) = (flow.Page + 1, PaperSize.Edge);

    private void Put(int page, IReadOnlyList<Mark> marks) => _file.Draw(page, new Drawing(_paper.Width, _paper.Height, marks, ""));

    private static Mark.Words Words(double x, double y, double size, string text, TextAnchor anchor = TextAnchor.Start, bool strong = false) => new(new(x, y), size, text, Ink, anchor, strong);

    /// <summary>Where the next block of a column goes.</summary>
    private sealed class Flow(int page, double y, double x, double width)
    {
        internal int Page { get; set; } = page;

        internal double Y { get; set; } = y;

        internal double X { get; } = x;

        internal double Width { get; } = width;
    }
}
