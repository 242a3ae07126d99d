using System.Text;
using System.Xml.Linq;
using CaliperStation.Cli;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Printing;

namespace CaliperStation.Tests.Printing;

/// <summary>What the PDF says is read back by a program that shares no code with the one that wrote it.</summary>
public sealed class PdfTests
{
    private const double Limit = 0.02;   // millimetres

    [ToolTheory("mutool")]
    [InlineData("a5", 148, 210)]
    [InlineData("half-letter", 139.7, 215.9)]
    [InlineData("a4", 210, 297)]
    [InlineData("letter", 215.9, 279.4)]
    public void A_template_is_at_true_size_on_every_sheet(string word, double width, double height)
    {
        PdfTrace trace = Template(Lantern(), word, ScaleBars.Exact);

        Assert.Equal(2, trace.Pages.Count);
        Assert.All(trace.Pages, page =>
        {
            Assert.Equal(width, page.Width, Limit);
            Assert.Equal(height, page.Height, Limit);
            Assert.Contains(page.Paths, path => path.Count == 2 && Near(Math.Abs(path[1].X - path[0].X), 100) && Near(path[1].Y, path[0].Y));
            Assert.Contains(page.Paths, path => path.Count == 2 && Near(Math.Abs(path[1].Y - path[0].Y), 100) && Near(path[1].X, path[0].X));
        });

        // The demonstration's figures: ribbons of 1 3/8 × 3/8 in, badge of 1 3/4 × 1 in 5/16 above a rack of two rows, nameplate of 3 × 5/8 in.
        (double Left, double Top, double Right, double Bottom)[] boxes = [.. trace.Pages[0].Paths.Where(path => path.Count is 4 or 5).Select(Box)];
        (double Left, double Top, double Right, double Bottom) badge = Assert.Single(boxes, box => Near(box.Right - box.Left, 1.75 * 25.4) && Near(box.Bottom - box.Top, 25.4));
        (double Left, double Top, double Right, double Bottom)[] ribbons = [.. boxes.Where(box => Near(box.Right - box.Left, 1.375 * 25.4) && Near(box.Bottom - box.Top, 0.375 * 25.4))];
        Assert.Equal(5, ribbons.Length);
        Assert.Equal(5 / 16.0 * 25.4, ribbons.Min(ribbon => ribbon.Top) - badge.Bottom, Limit);
        Assert.Equal((badge.Left + badge.Right) / 2, (ribbons.Min(ribbon => ribbon.Left) + ribbons.Max(ribbon => ribbon.Right)) / 2, Limit);
        Assert.Contains(trace.Pages[1].Paths.Where(path => path.Count is 4 or 5).Select(Box), box => Near(box.Right - box.Left, 76.2) && Near(box.Bottom - box.Top, 15.875));

        // The outline reaches 1/8 in beyond the rack's lower edge.
        Assert.Equal(ribbons.Max(ribbon => ribbon.Bottom) + 3.175, trace.Pages[0].Paths.Where(path => path.Count > 20).Max(path => path.Max(point => point.Y)), Limit);
    }

    [ToolFact("mutool")]
    public void A_printer_set_right_by_its_bars_gets_everything_so_much_larger()
    {
        PdfTrace trace = Template(Lantern(), "a4", new ScaleBars(Length.FromMicrometres(99_600), Length.FromMicrometres(100_500)));

        (double Left, double Top, double Right, double Bottom) plate = Assert.Single(
            trace.Pages[1].Paths.Where(path => path.Count is 4 or 5).Select(Box), box => Near(box.Right - box.Left, 76.2 / 0.996));
        Assert.Equal(15.875 / 1.005, plate.Bottom - plate.Top, Limit);
        Assert.Contains(trace.Pages[0].Paths, path => path.Count == 2 && Near(Math.Abs(path[1].X - path[0].X), 100 / 0.996));
    }

    [ToolTheory("mutool")]
    [InlineData("a5", 6)]
    [InlineData("a4", 2)]
    public void A_backing_larger_than_a_sheet_is_tiled_and_its_crosses_are_a_sheets_step_apart(string word, int sheets)
    {
        string wide = Encoding.UTF8.GetString(StandardSource.Demonstration().Bytes).Replace("size = [\"3\", \"5/8\"]", "size = [\"13\", \"8\"]", StringComparison.Ordinal).Replace("pins = [\"-1 1/4\", \"1 1/4\"]", "pins = [\"-6\", \"6\"]", StringComparison.Ordinal);
        PdfTrace trace = Template(Plan.For(StandardText.Load(wide).Standard!, new Dictionary<string, string>()), word, ScaleBars.Exact, "plate pocket");

        Assert.Equal(sheets, trace.Pages.Count);
        foreach (IReadOnlyList<IReadOnlyList<(double X, double Y)>> paths in trace.Pages.Select(page => page.Paths))
        {
            (double Left, double Top, double Right, double Bottom) plate = Assert.Single(paths.Where(path => path.Count is 4 or 5).Select(Box), box => Near(box.Right - box.Left, 13 * 25.4));
            Assert.Equal(8 * 25.4, plate.Bottom - plate.Top, Limit);
            Assert.True(paths.Count(path => path.Count == 2 && Near(Math.Abs(path[1].X - path[0].X), 6) && Near(path[0].Y, path[1].Y)) >= 3, "three crosses on a seam at least");
        }
    }

    [ToolFact("mutool")]
    public void What_cannot_be_printed_is_seen_as_what_it_is_in_every_part_of_a_paper_and_measured_so()
    {
        const string Hostile = "A\u001b[2J\r\n\u202eB", Shown = "A\\x1B[2J\\x0D\\x0A\\u202EB";
        Drawing drawing = new(60, 10, [new Mark.Words(new(1, 5), 3, Hostile, "#000000", TextAnchor.Start)], Hostile);
        PaperBlock[] blocks = [new PaperBlock.Heading(Hostile), new PaperBlock.Paragraph(Hostile), new PaperBlock.Facts([(Hostile, Hostile)]), new PaperBlock.Table([Hostile], [[Hostile]]), new PaperBlock.Caution(Hostile), new PaperBlock.Picture(drawing)];
        byte[] pdf = PdfPaper.Of(new PaperDocument(Hostile, Hostile, Hostile, blocks, [], []), PaperSize.Find("a4")!);

        Assert.Equal(11, Written(pdf).Split(Shown).Length - 1);
        Assert.Equal(PaperFont.Width(Shown, 3, true), PaperFont.Width(Hostile, 3, true));
    }

    [ToolFact("mutool")]
    public void Hostile_text_stays_text()
    {
        const string Hostile = "Q</rdf:li> & ) Tj /JS (app.alert) <</S/JavaScript>> endstream \\ %";
        byte[] pdf = PdfPaper.Of(new PaperDocument(Hostile, Hostile, Hostile, [new PaperBlock.Paragraph(Hostile)], [new PaperBlock.Table([Hostile], [[Hostile]])], [new PaperBlock.Caution(Hostile)]), PaperSize.Find("a4")!);

        string text = Written(pdf);

        Assert.True(text.Split("/JS (app.alert)").Length >= 4);   // whole where no line breaks it
        string raw = Encoding.Latin1.GetString(pdf);
        int metadata = raw.IndexOf("<x:xmpmeta", StringComparison.Ordinal), end = raw.IndexOf("</x:xmpmeta>", StringComparison.Ordinal) + "</x:xmpmeta>".Length;
        Assert.Contains(XElement.Parse(raw[metadata..end]).Descendants(), element => !element.HasElements && element.Value == Hostile.Replace('<', ' ').Replace('>', ' ').Replace('&', ' '));
        Assert.DoesNotContain("/JS (app", raw.Remove(metadata, end - metadata), StringComparison.Ordinal);   // in a string its brackets are escaped
    }

    [ToolFact("mutool")]
    public void Letters_of_many_scripts_fractions_and_marks_are_in_the_font()
    {
        const string Letters = "½ ⅝ ⁄ √ ≈ ± × é Ж λ …";

        Assert.Contains(Letters, Written(PdfPaper.Of(new PaperDocument("T", "", "", [new PaperBlock.Paragraph(Letters)], [], []), PaperSize.Find("a5")!)), StringComparison.Ordinal);
    }

    [Fact]
    public void A_dialog_offers_true_size_and_the_same_document_gives_the_same_bytes()
    {
        PaperDocument Page() => StandardPaper.Of(Lantern(), new PaperSettings(PaperSize.Find("a4")!, PaperFont.Width, TimeZoneInfo.Utc));

        byte[] once = PdfPaper.Of(Page(), PaperSize.Find("a4")!), again = PdfPaper.Of(Page(), PaperSize.Find("a4")!);

        Assert.Equal(once, again);
        Assert.Matches(@"/PrintScaling\s*/None", Encoding.Latin1.GetString(once));
        Assert.DoesNotContain(DateTime.UtcNow.ToString("yyyyMMdd", System.Globalization.CultureInfo.InvariantCulture), Encoding.Latin1.GetString(once), StringComparison.Ordinal);
    }

    [ToolFact("mutool")]
    public void A_long_document_goes_on_over_pages_and_loses_nothing()
    {
        string[][] rows = [.. Enumerable.Range(0, 200).Select(row => (string[])[$"row{row}row", new string('x', 400)])];
        byte[] pdf = PdfPaper.Of(new PaperDocument("Long", "", "foot", [], [new PaperBlock.Table(["No.", "What"], rows)], [.. Enumerable.Range(0, 60).Select(n => new PaperBlock.Caution($"caution{n}end {string.Join(' ', Enumerable.Repeat("word", 40))}"))]), PaperSize.Find("a5")!);

        string text = Written(pdf);

        Assert.All(Enumerable.Range(0, 200), row => Assert.Contains($"row{row}row", text, StringComparison.Ordinal));
        Assert.All(Enumerable.Range(0, 60), caution => Assert.Contains($"caution{caution}end", text, StringComparison.Ordinal));
        Assert.Equal(200 * 400, text.Count(c => c == 'x'));
        Assert.True(PdfTrace.Of(pdf).Pages.Count > 5);
    }

    internal static string Written(byte[] pdf) => PdfTrace.Drawn(pdf, "txt");

    private static PdfTrace Template(Plan plan, string paper, ScaleBars bars, string? on = null) => PdfTrace.Of(PdfFile.Of(
        TemplatePaper.Of(plan.Standard, [.. BackingOutline.Of(plan, []).Where(backing => on is null || backing.Landmark == on)], "nominal places", bars, new PaperSettings(PaperSize.Find(paper)!, PaperFont.Width, TimeZoneInfo.Utc)),
        PaperSize.Find(paper)!, "template"));

    private static Plan Lantern() => Plan.For(StandardSource.Demonstration().Standard, new Dictionary<string, string>());

    private static (double Left, double Top, double Right, double Bottom) Box(IReadOnlyList<(double X, double Y)> path) =>
        (path.Min(point => point.X), path.Min(point => point.Y), path.Max(point => point.X), path.Max(point => point.Y));

    private static bool Near(double one, double other) => Math.Abs(one - other) <= Limit;
}
