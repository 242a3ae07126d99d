using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Reports;

/// <summary>A sheet of paper, in millimetres.</summary>
/// <param name="Word">The word it is asked for by.</param>
/// <param name="Width">Upright.</param>
/// <param name="Height">Upright.</param>
/// <param name="Media">The printing system's name for it (PWG 5101.1).</param>
public sealed record PaperSize(string Word, double Width, double Height, string Media)
{
    /// <summary>The sizes that are known: ISO 216 and ANSI/ASME Y14.1; a half letter is 5.5 × 8.5 in.</summary>
    public static IReadOnlyList<PaperSize> All { get; } =
    [
        new("a5", 148, 210, "iso_a5_148x210mm"),
        new("half-letter", 139.7, 215.9, "na_invoice_5.5x8.5in"),
        new("a4", 210, 297, "iso_a4_210x297mm"),
        new("letter", 215.9, 279.4, "na_letter_8.5x11in"),
    ];

    /// <summary>The size of that word, or null.</summary>
    public static PaperSize? Find(string word) => All.FirstOrDefault(size => size.Word == word);

    /// <summary>What stays free at each edge: few printers reach further out.</summary>
    public const double Edge = 8;

    /// <summary>Width between the edges.</summary>
    public double Inner => Width - (2 * Edge);
}

/// <summary>A piece of a document on paper. Its texts are as they came: what writes them makes them safe to print.</summary>
public abstract record PaperBlock
{
    private PaperBlock()
    {
    }

    /// <summary>A heading within the document.</summary>
    public sealed record Heading(string Text) : PaperBlock;

    /// <summary>Running text; small for what is read once.</summary>
    public sealed record Paragraph(string Text, bool Strong = false, bool Small = false) : PaperBlock;

    /// <summary>Labels with their values.</summary>
    public sealed record Facts(IReadOnlyList<(string Label, string Value)> Rows) : PaperBlock;

    /// <summary>A table; every row has a cell for each column.</summary>
    public sealed record Table(IReadOnlyList<string> Columns, IReadOnlyList<IReadOnlyList<string>> Rows) : PaperBlock;

    /// <summary>A drawing.</summary>
    public sealed record Picture(Drawing Drawing) : PaperBlock;

    /// <summary>A caution, in a frame.</summary>
    public sealed record Caution(string Text) : PaperBlock;

    /// <summary>A code to be scanned.</summary>
    /// <param name="Modules">Rows of modules, true for black, without the quiet zone.</param>
    /// <param name="Text">What the code says.</param>
    public sealed record Code(IReadOnlyList<IReadOnlyList<bool>> Modules, string Text) : PaperBlock;
}

/// <summary>A document on paper: a head over the whole width, then a body with a margin beside it.</summary>
/// <param name="Title">Its title.</param>
/// <param name="Standing">What it is before all, such as <c>VERIFIED</c>, in a frame beside the title; empty for none.</param>
/// <param name="Foot">The line at the foot of each page.</param>
/// <param name="Head">Over the whole width.</param>
/// <param name="Body">Beside the margin, or over the whole width where the margin is empty.</param>
/// <param name="Margin">Cautions and the code.</param>
public sealed record PaperDocument(string Title, string Standing, string Foot, IReadOnlyList<PaperBlock> Head, IReadOnlyList<PaperBlock> Body, IReadOnlyList<PaperBlock> Margin);

/// <summary>A document as plain text for a terminal, and what texts need on paper.</summary>
public static class PaperText
{
    private const int Widest = 100;

    /// <summary>The document without its drawings and codes; ends with a line feed.</summary>
    /// <param name="document">The document.</param>
    /// <param name="width">How wide the terminal is.</param>
    public static string Of(PaperDocument document, int width = TableText.Unbounded)
    {
        width = Math.Min(width, Widest);
        StringBuilder text = new(TableText.Line(document.Standing.Length == 0 ? document.Title : $"{document.Title}: {document.Standing}"));
        foreach (PaperBlock block in document.Head.Concat(document.Body).Concat(document.Margin))
        {
            text.Append(block switch
            {
                PaperBlock.Heading heading => "\n" + TableText.Line(heading.Text),
                PaperBlock.Paragraph paragraph => TableText.Lines(paragraph.Text, width, "", ""),
                PaperBlock.Facts facts => TableText.Of([.. facts.Rows.Select(row => (string[])[row.Label, row.Value])], width),
                PaperBlock.Table table => TableText.Of([[.. table.Columns], .. table.Rows.Select(row => (string[])[.. row])], width, "  "),
                PaperBlock.Caution caution => TableText.Lines("CAUTION: " + caution.Text, width, "  ", "  "),
                _ => "",
            });
        }

        return text.ToString();
    }

    /// <summary>A text in lines no wider than asked for, parted at blanks, and within a word only where it must be.</summary>
    /// <param name="text">The text.</param>
    /// <param name="width">The widest line.</param>
    /// <param name="measure">How wide a text is, in the same unit.</param>
    public static IReadOnlyList<string> Wrap(string text, double width, Func<string, double> measure)
    {
        List<string> lines = [];
        string line = "";
        foreach (string word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (line.Length > 0 && measure($"{line} {word}") <= width)
            {
                line = $"{line} {word}";
                continue;
            }

            if (line.Length > 0)
            {
                lines.Add(line);
            }

            line = word;
            while (measure(line) > width && Longest(line, width, measure) is var fits && fits < line.Length)
            {
                lines.Add(line[..fits]);
                line = line[fits..];
            }
        }

        lines.Add(line);
        return lines;
    }

    /// <summary>How many characters fit; at least one, and never half of one.</summary>
    private static int Longest(string word, double width, Func<string, double> measure)
    {
        int fits = char.IsSurrogatePair(word, 0) ? 2 : 1;
        while (fits < word.Length)
        {
            int next = fits + (fits + 1 < word.Length && char.IsSurrogatePair(word, fits) ? 2 : 1);
            if (measure(word[..next]) > width)
            {
                break;
            }

            fits = next;
        }

        return fits;
    }

    /// <summary>How wide each column of a table is: one that is content with its share has what it wants, the others part what is left by what they would like.</summary>
    /// <param name="width">The width of all.</param>
    /// <param name="wanted">What each column would take, with the room between columns.</param>
    public static IReadOnlyList<double> ColumnWidths(double width, IReadOnlyList<double> wanted)
    {
        double[] given = new double[wanted.Count];
        List<int> open = [.. Enumerable.Range(0, wanted.Count)];
        double left = width;
        while (open.FindIndex(column => wanted[column] <= left / open.Count) is var index && index >= 0)
        {
            given[open[index]] = wanted[open[index]];
            left -= wanted[open[index]];
            open.RemoveAt(index);
        }

        double all = open.Sum(column => Math.Sqrt(wanted[column]));   // a text ten times as long does not take all the room
        open.ForEach(column => given[column] = left * Math.Sqrt(wanted[column]) / all);
        return given;
    }
}

/// <summary>Writes a document as one HTML page that stands alone: no script, no outside address, the drawing in it as SVG.</summary>
public static class PaperHtml
{
    private const string Style = """
        :root{color-scheme:light}
        body{font:10pt/1.35 "DejaVu Sans",Verdana,sans-serif;color:#000;background:#fff;max-width:190mm;margin:8mm auto;padding:0 4mm;overflow-wrap:anywhere}
        header{display:flex;flex-wrap:wrap;gap:4mm;justify-content:space-between;align-items:baseline;border-bottom:.5mm solid #000}
        h1{font-size:18pt;margin:0}
        h2{font-size:11pt;margin:4mm 0 1mm}
        .standing{border:.5mm solid #000;padding:.5mm 2mm;font-weight:bold}
        .sides{display:flex;flex-wrap:wrap;gap:5mm;align-items:flex-start}
        .body{flex:1 1 95mm;min-width:0}
        .margin{flex:0 1 36mm;min-width:30mm}
        p{margin:1mm 0}
        .small,footer{font-size:8pt}
        .strong{font-weight:bold}
        table{border-collapse:collapse;width:100%;margin:1mm 0}
        th,td{border-bottom:.2mm solid #767676;text-align:left;vertical-align:top;padding:.5mm 1.5mm .5mm 0;font-size:8.5pt}
        .n{white-space:nowrap}
        .facts th{width:22%;font-weight:normal;color:#444}
        .caution{border:.3mm solid #000;border-left-width:1.5mm;padding:1mm 1.5mm;margin:1.5mm 0;font-size:8.5pt}
        svg{max-width:100%;height:auto;display:block}
        .code p{font:5pt monospace;white-space:pre-wrap}
        .code svg{width:32mm;height:32mm}
        footer{border-top:.2mm solid #767676;margin-top:4mm;padding-top:1mm}
        @media print{body{margin:0;padding:0;max-width:none}.caution,tr,svg{break-inside:avoid}}
        """;

    /// <summary>The page. The same document gives the same text.</summary>
    public static string Of(PaperDocument document, PaperSize paper)
    {
        StringBuilder html = new();
        html.Append(CultureInfo.InvariantCulture, $"<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\"/>\n<meta name=\"viewport\" content=\"width=device-width\"/>\n<title>{Markup.Escape(document.Title)}</title>\n<style>\n{Style}\n@page{{size:{paper.Width}mm {paper.Height}mm;margin:{PaperSize.Edge}mm}}\n</style>\n</head>\n<body>\n");
        html.Append(CultureInfo.InvariantCulture, $"<header><h1>{Markup.Escape(document.Title)}</h1>{(document.Standing.Length == 0 ? "" : $"<span class=\"standing\">{Markup.Escape(document.Standing)}</span>")}</header>\n");
        Append(html, document.Head);
        html.Append("<div class=\"sides\">\n<main class=\"body\">\n");
        Append(html, document.Body);
        html.Append("</main>\n");
        if (document.Margin.Count > 0)
        {
            html.Append("<aside class=\"margin\">\n");
            Append(html, document.Margin);
            html.Append("</aside>\n");
        }

        return html.Append(CultureInfo.InvariantCulture, $"</div>\n<footer>{Markup.Escape(document.Foot)}</footer>\n</body>\n</html>\n").ToString();
    }

    private static void Append(StringBuilder html, IReadOnlyList<PaperBlock> blocks)
    {
        foreach (PaperBlock block in blocks)
        {
            html.Append(block switch
            {
                PaperBlock.Heading heading => $"<h2>{Markup.Escape(heading.Text)}</h2>",
                PaperBlock.Paragraph paragraph => $"<p{(paragraph.Strong ? " class=\"strong\"" : paragraph.Small ? " class=\"small\"" : "")}>{Markup.Escape(paragraph.Text)}</p>",
                PaperBlock.Facts facts => $"<table class=\"facts\">{string.Concat(facts.Rows.Select(row => $"<tr><th scope=\"row\">{Markup.Escape(row.Label)}</th><td>{Markup.Escape(row.Value)}</td></tr>"))}</table>",
                PaperBlock.Table table => $"<table><thead><tr>{Cells(table.Columns, "th")}</tr></thead><tbody>{string.Concat(table.Rows.Select(row => $"<tr>{Cells(row, "td")}</tr>\n"))}</tbody></table>",
                PaperBlock.Picture picture => DrawingSvg.Of(picture.Drawing).TrimEnd(),
                PaperBlock.Caution caution => $"<p class=\"caution\">{Markup.Escape(caution.Text)}</p>",
                PaperBlock.Code code => $"<div class=\"code\">{DrawingSvg.Of(CodeDrawing.Of(code, CodeDrawing.Side)).TrimEnd()}<p>{Markup.Escape(code.Text)}</p></div>",
                _ => throw new System.Diagnostics.UnreachableException(),
            }).Append('\n');
        }
    }

    private const int ShortCell = 16;   // characters: such a cell stays on one line

    private static string Cells(IReadOnlyList<string> cells, string tag) => string.Concat(cells.Select(PrintableText.Escape).Select(cell => $"<{tag}{(cell.Length <= ShortCell ? " class=\"n\"" : "")}>{Markup.Escape(cell)}</{tag}>"));
}

/// <summary>A code's modules as a drawing.</summary>
public static class CodeDrawing
{
    /// <summary>How wide and high a code is with its quiet zone: modules of more than half a millimetre, which a worn printer and a plain camera still tell apart.</summary>
    public const double Side = 32;

    private const int QuietZone = 4;   // modules (ISO/IEC 18004:2015, 6.3.8)

    /// <summary>The code in a white square. Modules side by side in a row are one area, so that no hairline shows between them.</summary>
    public static Drawing Of(PaperBlock.Code code, double side)
    {
        double module = side / (code.Modules.Count + (2 * QuietZone));
        List<IReadOnlyList<DrawPoint>> rings = [];
        for (int row = 0; row < code.Modules.Count; row++)
        {
            IReadOnlyList<bool> modules = code.Modules[row];
            for (int from = 0; from < modules.Count; from++)
            {
                int to = from;
                while (to < modules.Count && modules[to])
                {
                    to++;
                }

                if (to > from)
                {
                    (double left, double right, double top) = ((from + QuietZone) * module, (to + QuietZone) * module, (row + QuietZone) * module);
                    rings.Add([new(left, top), new(right, top), new(right, top + module), new(left, top + module)]);
                    from = to;
                }
            }
        }

        DrawPoint[] paper = [new(0, 0), new(side, 0), new(side, side), new(0, side)];
        return new Drawing(side, side, [new Mark.Area([paper], null, "#ffffff"), new Mark.Area(rings, null, "#000000")], "A code that says what is written below it");
    }
}
