using System.Globalization;
using System.Net;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>A trend as one HTML page with its charts drawn in it (SVG 1.1): no script, no address outside, every text escaped.</summary>
public static class TrendPage
{
    private const int Width = 720;
    private const int Left = 84;             // room for the figures of the limits
    private const int Right = 12;
    private const int ValuesHeight = 170;
    private const int RangesHeight = 70;
    private const int Gap = 16;

    private const string Head = """
        <!DOCTYPE html>
        <html lang="en">
        <head>
        <meta charset="utf-8">
        <meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
        <meta name="viewport" content="width=device-width, initial-scale=1">
        <title>What drifts</title>
        <style>
        body { font: 15px/1.45 sans-serif; max-width: 60em; margin: 1.5em auto; padding: 0 1em; color: #111; background: #fff; }
        table { border-collapse: collapse; margin: 1em 0; } th, td { padding: .15em .8em .15em 0; text-align: left; vertical-align: top; } tr + tr { border-top: 1px solid #ccc; }
        h3 { margin-bottom: .2em; } section { break-inside: avoid; } svg { width: 100%; height: auto; } svg text { font: 11px sans-serif; fill: #333; }
        .values { fill: none; stroke: #0072b2; stroke-width: 1; } .point { fill: #0072b2; } .beyond { fill: #fff; stroke: #d55e00; stroke-width: 2; }
        .average { fill: none; stroke: #333; stroke-width: 2; } .limit { stroke: #d55e00; stroke-dasharray: 6 4; } .averagelimit { stroke: #777; stroke-dasharray: 2 3; } .centre { stroke: #777; } .nominal { stroke: #009e73; stroke-width: 1.5; }
        </style>
        </head>
        <body>
        <h1>What drifts</h1>
        <p>Blue: each coat's deviation from its nominal. Black: the moving average. Middle line: the mean, which is what is usual. Dashed: the limits that chance alone keeps to. Dotted: those of the moving average. Green: the nominal itself.
        A ring marks a value beyond the limits. The lower strip is the difference of each coat to the one before.</p>
        """;

    /// <summary>The page.</summary>
    /// <param name="groups">What was gathered.</param>
    /// <param name="standardOf">The standard with that hash, for its words and its unit; null where it is not at hand.</param>
    /// <param name="zone">The zone instants are shown in.</param>
    public static string Html(IReadOnlyList<TrendGroup> groups, Func<string, Standard?> standardOf, TimeZoneInfo zone)
    {
        StringBuilder page = new(Head);
        page.Append(groups.Count == 0 ? "\n<p>There is nothing to chart.</p>" : "");
        foreach (TrendGroup group in groups)
        {
            TrendWords words = new(group, standardOf(group.LastSha256), zone);
            page.Append("\n<h2>").Append(Safe(words.Heading)).Append("</h2>\n");
            Table(page, ["month", .. TrendWords.MonthHeadings], [.. group.Months.Select(month => (string[])[TrendWords.MonthName(month), .. TrendWords.MonthCells(month)]), ["all", .. TrendWords.MonthCells(group.Whole)]]);
            Table(page, ["", .. TrendWords.SeriesHeadings], [.. group.Series.Select(series => (string[])[words.Name(series), .. words.SeriesCells(series)])]);
            foreach (TrendSeries series in group.Series)
            {
                page.Append("<section>\n<h3>").Append(Safe(words.Name(series))).Append("</h3>\n<ul>");
                foreach (string said in words.Said(series).DefaultIfEmpty("Nothing is out."))
                {
                    page.Append("<li>").Append(Safe(said)).Append("</li>");
                }

                page.Append("</ul>\n");
                Chart(page, series, words, zone);
                page.Append("</section>\n");
            }
        }

        return page.Append("</body>\n</html>\n").ToString();
    }

    private static void Table(StringBuilder page, string[] headings, IEnumerable<string[]> rows)
    {
        page.Append("<table>\n<tr>").AppendJoin("", headings.Select(heading => $"<th scope=\"col\">{Safe(heading)}</th>")).Append("</tr>\n");
        foreach (string[] row in rows)
        {
            page.Append("<tr>").AppendJoin("", row.Select(cell => $"<td>{Safe(cell)}</td>")).Append("</tr>\n");
        }

        page.Append("</table>\n");
    }

    private static void Chart(StringBuilder page, TrendSeries series, TrendWords words, TimeZoneInfo zone)
    {
        if (series.Points.Count == 0)
        {
            return;
        }

        ControlChart chart = series.Chart;
        int height = ValuesHeight + Gap + RangesHeight + 34;
        page.Append(Invariant($"<svg viewBox=\"0 0 {Width} {height}\" role=\"img\"><title>{Safe(words.Name(series))}</title>\n"));
        Band values = new(10, ValuesHeight, [.. chart.Values, 0, .. Ends(chart.Limits), .. Ends(series.Ewma?.Limits)]);
        Line(page, "nominal", values.Y(0));
        if (chart.Limits is { } limits)
        {
            Lines(page, values, limits, "limit", words);
            Line(page, "averagelimit", values.Y(series.Ewma!.Limits.Lower));
            Line(page, "averagelimit", values.Y(series.Ewma.Limits.Upper));
        }

        double X(int at) => Left + ((Width - Left - Right) * (series.Points.Count == 1 ? 0.5 : (double)at / (series.Points.Count - 1)));
        Path(page, "values", chart.Values.Select((value, at) => (X(at), values.Y(value))));
        for (int at = 0; at < chart.Values.Count; at++)
        {
            bool beyond = chart.Limits is not null && chart.Limits.IsBeyond(chart.Values[at]);
            page.Append(Invariant($"<circle class=\"{(beyond ? "beyond" : "point")}\" cx=\"{X(at):0.#}\" cy=\"{values.Y(chart.Values[at]):0.#}\" r=\"{(beyond ? 4 : 2)}\"><title>{Safe($"{series.Points[at].Tag}, {LocalTime.Show(series.Points[at].At, zone)}: {words.Signed(chart.Values[at])}")}</title></circle>\n"));
        }

        if (series.Ewma is { } ewma)
        {
            Path(page, "average", ewma.Averages.Select((value, at) => (X(at), values.Y(value))));
        }

        double[] ranges = [.. chart.MovingRanges];
        if (ranges.Length > 0)
        {
            Band strip = new(10 + ValuesHeight + Gap, RangesHeight, [.. ranges, 0, .. Ends(chart.RangeLimits)]);
            if (chart.RangeLimits is { } rangeLimits)
            {
                Line(page, "centre", strip.Y(rangeLimits.Centre));
                Line(page, "limit", strip.Y(rangeLimits.Upper));
                Label(page, strip.Y(rangeLimits.Upper), words.Unsigned(rangeLimits.Upper));
            }

            Line(page, "centre", strip.Y(0));
            Path(page, "values", ranges.Select((range, at) => (X(at + 1), strip.Y(range))));
        }

        page.Append(Invariant($"<text x=\"{Left}\" y=\"{height - 4}\">{Safe(LocalTime.Show(series.Points[0].At, zone))}</text><text x=\"{Width - Right}\" y=\"{height - 4}\" text-anchor=\"end\">{Safe(LocalTime.Show(series.Points[^1].At, zone))}</text>\n</svg>\n"));
    }

    private static void Lines(StringBuilder page, Band band, ControlLimits limits, string kind, TrendWords words)
    {
        foreach ((double value, string style) in (ReadOnlySpan<(double, string)>)[(limits.Lower, kind), (limits.Centre, "centre"), (limits.Upper, kind)])
        {
            Line(page, style, band.Y(value));
            Label(page, band.Y(value), words.Signed(value));
        }
    }

    private static void Line(StringBuilder page, string style, double y) =>
        page.Append(Invariant($"<line class=\"{style}\" x1=\"{Left}\" x2=\"{Width - Right}\" y1=\"{y:0.#}\" y2=\"{y:0.#}\"/>\n"));

    private static void Label(StringBuilder page, double y, string text) =>
        page.Append(Invariant($"<text x=\"{Left - 6}\" y=\"{y + 4:0.#}\" text-anchor=\"end\">{Safe(text)}</text>\n"));

    private static void Path(StringBuilder page, string style, IEnumerable<(double X, double Y)> points) =>
        page.Append(Invariant($"<polyline class=\"{style}\" points=\"{string.Join(' ', points.Select(point => Invariant($"{point.X:0.#},{point.Y:0.#}")))}\"/>\n"));

    private static IEnumerable<double> Ends(ControlLimits? limits) => limits is null ? [] : [limits.Lower, limits.Upper];

    /// <summary>Text of a file, safe for a page: nothing unprintable, nothing that a page reads as its own.</summary>
    private static string Safe(string text) => WebUtility.HtmlEncode(PrintableText.Escape(text));

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    /// <summary>A strip of the drawing and the values it reaches over.</summary>
    private sealed class Band
    {
        private readonly double _top;
        private readonly double _height;
        private readonly double _low;
        private readonly double _range;

        internal Band(double top, double height, double[] values)
        {
            (_top, _height, _low) = (top, height, values.Min());
            _range = values.Max() - _low is > 0 and var wide && double.IsFinite(wide) ? wide : 1;
        }

        internal double Y(double value) => Math.Clamp(_top + (_height * (1 - ((value - _low) / _range))), _top, _top + _height);
    }
}
