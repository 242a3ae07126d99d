using System.Globalization;
using System.Net;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>A study of hands as one page that needs nothing else: no script, no outside address, charts as SVG in it. Marks differ in shape as well as in colour.</summary>
public static class StudyHtml
{
    private const int Width = 760;
    private const int Height = 300;
    private const int Left = 76;
    private const int Bottom = 46;
    private const int Top = 14;

    /// <summary>Colours that colour-blind eyes tell apart: M. Okabe and K. Ito, Color Universal Design (2008), jfly.uni-koeln.de/color.</summary>
    private static readonly string[] _colours = ["#0072b2", "#d55e00", "#009e73", "#cc79a7", "#56b4e9", "#e69f00", "#000000"];

    /// <summary>The page.</summary>
    public static string Of(StudyReport report, TimeZoneInfo zone)
    {
        StringBuilder page = new();
        string title = $"Study {report.Plan.Id}";
        page.Append("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n<title>")
            .Append(Safe(title)).Append("</title>\n<style>\n")
            .Append("body{font:16px/1.5 sans-serif;max-width:60em;margin:2em auto;padding:0 1em;color:#111;background:#fff}\n")
            .Append("table{border-collapse:collapse;margin:.5em 0}th,td{padding:.2em .8em;text-align:right;border-bottom:1px solid #bbb}th:first-child,td:first-child{text-align:left}\n")
            .Append("svg{max-width:100%;height:auto}text{font:12px sans-serif;fill:#111}.mind{border-left:4px solid #d55e00;padding-left:.8em}\n")
            .Append("</style>\n</head>\n<body>\n<h1>").Append(Safe(title)).Append("</h1>\n");
        Paragraph(page, FormattableString.Invariant($"{report.Plan.Title}. {report.Takes.Count} of {report.Plan.Readings} readings: {report.Plan.Hands.Count} hands ({string.Join(", ", report.Plan.Hands)}), {report.Plan.Points.Count} points, {report.Plan.Repeats} repeats; begun {LocalTime.Show(report.Plan.At, zone)}, order by lot with seed {report.Plan.Seed}, blind."));
        foreach (string remark in report.Remarks)
        {
            page.Append("<p class=\"mind\">").Append(Safe(remark)).Append("</p>\n");
        }

        if (report.Takes.Count > 0)
        {
            page.Append("<h2>Readings, from the mean of their point</h2>\n");
            ReadingsChart(page, report);
        }

        if (report.Analysis.OneReading is not null)
        {
            page.Append("<h2>Means of hands, from the mean of their point</h2>\n");
            MeansChart(page, report);
            Tables(page, report);
        }

        return page.Append("</body>\n</html>\n").ToString();
    }

    private static void Tables(StringBuilder page, StudyReport report)
    {
        CrossedStudy study = report.Analysis;
        page.Append("<h2>Standard deviations</h2>\n");
        SharesChart(page, report);
        Table(page, ["what", "mm", "from", "to", "degrees", "of the study", "of the tolerance", "by ranges mm"], StudyText.Shares(report).Select(share => (string[])
        [
            share.Words, StudyText.Mm(share.Share.Deviation), StudyText.Mm(share.Share.Interval.Lower), StudyText.Mm(share.Share.Interval.Upper), StudyText.DegreesOf(share.Share.Degrees),
            Percent(study.PercentOfStudy(share.Share)), Percent(study.PercentOfTolerance(share.Share)), share.ByRanges is { } ranges ? StudyText.Mm(ranges) : "-",
        ]));
        Paragraph(page, FormattableString.Invariant($"Intervals of {100 * report.Confidence:0.#} %. {StudyText.CategoryWords(report)}"));
        page.Append("<h2>Analysis of variance</h2>\n");
        Table(page, ["source", "degrees", "sum of squares mm²", "mean square mm²", "F", "p"], study.Rows.Select(row => (string[])
        [
            StudyText.SourceOf(row.Source), row.Square.Degrees.ToString(CultureInfo.InvariantCulture), Number(row.SumOfSquares / 1e12, "0.00000000"), Number(row.Square.Value / 1e12, "0.00000000"),
            row.F is { } f ? Number(f, "0.00") : "-", row.P is { } p ? StudyText.P(p) : "-",
        ]));
        Paragraph(page, StudyText.PoolWords(report));
        page.Append("<h2>Hands</h2>\n");
        Table(page, ["hand", "reads more than all by mm", "repeats mm", "from", "to", "degrees"], study.Hands.Select(hand => (string[])
        [
            hand.Hand, Number(hand.AboveMean / 1e6, "+0.0000;-0.0000;0.0000"), StudyText.Mm(hand.Repeatability.Deviation), StudyText.Mm(hand.Repeatability.Interval.Lower),
            StudyText.Mm(hand.Repeatability.Interval.Upper), StudyText.DegreesOf(hand.Repeatability.Degrees),
        ]));
        page.Append("<h2>Days</h2>\n");
        Paragraph(page, StudyText.DayWords(report));
    }

    /// <summary>Each reading as a mark above its point, hands side by side.</summary>
    private static void ReadingsChart(StringBuilder page, StudyReport report)
    {
        Dictionary<string, double> means = report.Takes.GroupBy(take => take.Slot.Point).ToDictionary(point => point.Key, point => point.Average(take => (double)take.Reading.Value.Nanometres));
        List<(string Hand, string Point, double Value)> marks = [.. report.Takes.Select(take => (take.Hand, take.Slot.Point, take.Reading.Value.Nanometres - means[take.Slot.Point]))];
        Chart(page, report, "Readings", marks, joined: false);
    }

    /// <summary>The mean of each hand on each point, joined: parallel lines are hands that differ alike everywhere.</summary>
    private static void MeansChart(StringBuilder page, StudyReport report)
    {
        Dictionary<string, double> means = report.Takes.GroupBy(take => take.Slot.Point).ToDictionary(point => point.Key, point => point.Average(take => (double)take.Reading.Value.Nanometres));
        List<(string Hand, string Point, double Value)> marks = [.. report.Takes.GroupBy(take => (take.Hand, take.Slot.Point)).Select(cell => (cell.Key.Hand, cell.Key.Point, cell.Average(take => (double)take.Reading.Value.Nanometres) - means[cell.Key.Point]))];
        Chart(page, report, "Means of hands", marks, joined: true);
    }

    private static void Chart(StringBuilder page, StudyReport report, string name, List<(string Hand, string Point, double Value)> marks, bool joined)
    {
        StudyPlan plan = report.Plan;
        double reach = Nice(Math.Max(1, marks.Max(mark => Math.Abs(mark.Value))));
        double step = (Width - Left - 10.0) / plan.Points.Count;
        double Across(string point, int hand) => Left + (step * (IndexOf(plan, point) + 0.5)) + (joined ? 0 : (hand - ((plan.Hands.Count - 1) / 2.0)) * Math.Min(12, step / (plan.Hands.Count + 1)));
        double Up(double value) => Top + ((Height - Top - Bottom) / 2.0 * (1 - (value / reach)));
        page.Append(CultureInfo.InvariantCulture, $"<svg viewBox=\"0 0 {Width} {Height}\" role=\"img\" aria-label=\"{Safe(name)}\">\n");
        foreach (double part in (double[])[-1, -0.5, 0, 0.5, 1])
        {
            page.Append(CultureInfo.InvariantCulture, $"<line x1=\"{Left}\" x2=\"{Width - 10}\" y1=\"{Up(part * reach):0.0}\" y2=\"{Up(part * reach):0.0}\" stroke=\"{(part == 0 ? "#555" : "#ddd")}\"/>");
            page.Append(CultureInfo.InvariantCulture, $"<text x=\"{Left - 6}\" y=\"{Up(part * reach) + 4:0.0}\" text-anchor=\"end\">{Number(part * reach / 1e6, "+0.00##;-0.00##;0")} mm</text>\n");
        }

        int every = Math.Max(1, (int)Math.Ceiling(plan.Points.Count / 12.0));
        for (int at = 0; at < plan.Points.Count; at += every)
        {
            page.Append(CultureInfo.InvariantCulture, $"<text x=\"{Left + (step * (at + 0.5)):0.0}\" y=\"{Height - Bottom + 16}\" text-anchor=\"middle\">{Safe(Cut(Standard.WordsOf(plan.Points[at].Id), (int)(step * every / 7)))}</text>\n");
        }

        for (int hand = 0; hand < plan.Hands.Count; hand++)
        {
            string colour = _colours[hand % _colours.Length];
            List<(double X, double Y)> places = [.. marks.Where(mark => mark.Hand == plan.Hands[hand]).OrderBy(mark => IndexOf(plan, mark.Point)).Select(mark => (Across(mark.Point, hand), Up(mark.Value)))];
            if (joined && places.Count > 1)
            {
                page.Append(CultureInfo.InvariantCulture, $"<polyline fill=\"none\" stroke=\"{colour}\" points=\"{string.Join(' ', places.Select(place => FormattableString.Invariant($"{place.X:0.0},{place.Y:0.0}")))}\"/>");
            }

            foreach ((double x, double y) in places)
            {
                page.Append(Mark(hand, x, y, colour));
            }

            double legend = Left + (hand * 70.0 % (Width - Left - 60));
            double row = Height - 12 + (12 * Math.Floor(hand * 70.0 / (Width - Left - 60)));
            page.Append(Mark(hand, legend, row - 4, colour)).Append(CultureInfo.InvariantCulture, $"<text x=\"{legend + 10:0.0}\" y=\"{row:0.0}\">{Safe(plan.Hands[hand])}</text>\n");
        }

        page.Append("</svg>\n");
    }

    /// <summary>Standard deviations as bars with their intervals.</summary>
    private static void SharesChart(StringBuilder page, StudyReport report)
    {
        (string Words, string Key, VariationShare Share, double? ByRanges)[] shares = [.. StudyText.Shares(report)];
        double reach = Nice(Math.Max(1, shares.Max(share => Math.Max(share.Share.Deviation, Math.Min(share.Share.Interval.Upper, 3 * shares.Max(each => each.Share.Deviation))))));
        int height = 30 + (34 * shares.Length);
        const int Start = 230;
        double Across(double nanometres) => Start + (Math.Min(1, nanometres / reach) * (Width - Start - 20));
        page.Append(CultureInfo.InvariantCulture, $"<svg viewBox=\"0 0 {Width} {height}\" role=\"img\" aria-label=\"Standard deviations\">\n");
        for (int at = 0; at < shares.Length; at++)
        {
            double y = 8 + (34 * at);
            VariationShare share = shares[at].Share;
            bool isCut = share.Interval.Upper > reach;
            page.Append(CultureInfo.InvariantCulture, $"<text x=\"{Start - 8}\" y=\"{y + 15:0.0}\" text-anchor=\"end\">{Safe(shares[at].Words)}</text>")
                .Append(CultureInfo.InvariantCulture, $"<rect x=\"{Start}\" y=\"{y:0.0}\" width=\"{Math.Max(0, Across(share.Deviation) - Start):0.0}\" height=\"22\" fill=\"{_colours[0]}\"/>")
                .Append(CultureInfo.InvariantCulture, $"<line x1=\"{Across(share.Interval.Lower):0.0}\" x2=\"{Across(share.Interval.Upper):0.0}\" y1=\"{y + 11:0.0}\" y2=\"{y + 11:0.0}\" stroke=\"#111\" stroke-width=\"2\"{(isCut ? " stroke-dasharray=\"6 3\"" : "")}/>\n");
        }

        page.Append(CultureInfo.InvariantCulture, $"<text x=\"{Start}\" y=\"{height - 6}\">0</text><text x=\"{Width - 20}\" y=\"{height - 6}\" text-anchor=\"end\">{StudyText.Mm(reach)} mm; a dashed line goes on</text>\n</svg>\n");
    }

    private static string Mark(int hand, double x, double y, string colour) => (hand % 3) switch
    {
        0 => FormattableString.Invariant($"<circle cx=\"{x:0.0}\" cy=\"{y:0.0}\" r=\"3.5\" fill=\"{colour}\"/>"),
        1 => FormattableString.Invariant($"<rect x=\"{x - 3.2:0.0}\" y=\"{y - 3.2:0.0}\" width=\"6.4\" height=\"6.4\" fill=\"{colour}\"/>"),
        _ => FormattableString.Invariant($"<path d=\"M{x:0.0} {y - 4.5:0.0}l4.5 8h-9z\" fill=\"{colour}\"/>"),
    };

    private static int IndexOf(StudyPlan plan, string point)
    {
        int at = 0;
        while (plan.Points[at].Id != point)
        {
            at++;
        }

        return at;
    }

    /// <summary>The next of 1, 2 and 5 times a power of ten.</summary>
    private static double Nice(double reach)
    {
        double power = Math.Pow(10, Math.Floor(Math.Log10(reach)));
        return power * (reach <= power ? 1 : reach <= 2 * power ? 2 : reach <= 5 * power ? 5 : 10);
    }

    private static string Cut(string words, int most) => words.Length <= Math.Max(3, most) ? words : words[..(Math.Max(3, most) - 1)] + "…";

    private static void Paragraph(StringBuilder page, string words) => page.Append("<p>").Append(Safe(words)).Append("</p>\n");

    private static void Table(StringBuilder page, IReadOnlyList<string> heads, IEnumerable<string[]> rows)
    {
        page.Append("<table>\n<tr>").Append(string.Concat(heads.Select(head => $"<th>{Safe(head)}</th>"))).Append("</tr>\n");
        foreach (string[] row in rows)
        {
            page.Append("<tr>").Append(string.Concat(row.Select(cell => $"<td>{Safe(cell)}</td>"))).Append("</tr>\n");
        }

        page.Append("</table>\n");
    }

    private static string Percent(double? part) => part is { } known ? $"{Number(known, "0.0")} %" : "-";

    private static string Number(double number, string format) => number.ToString(format, CultureInfo.InvariantCulture);

    private static string Safe(string text) => WebUtility.HtmlEncode(PrintableText.Escape(text));
}
