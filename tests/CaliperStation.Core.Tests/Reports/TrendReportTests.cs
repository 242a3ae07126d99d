using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Tests.Reports;

public sealed partial class TrendReportTests
{
    private static readonly DateTimeOffset At = new(2026, 11, 2, 8, 0, 0, TimeSpan.Zero);

    /// <summary>60 coats with one far out at the end; names that are markup, a script, a formula and a control sequence.</summary>
    private static IReadOnlyList<TrendGroup> Hostile() => Groups("</title><script>alert(1)</script>\u001b[2J", "<img src=x onerror=alert(1)>", 60);

    private static IReadOnlyList<TrendGroup> Groups(string tag, string step, int coats, Func<int, double>? deviation = null)
    {
        Trend trend = new(new TrendFilter());
        for (int n = 0; n < coats; n++)
        {
            double value = deviation?.Invoke(n) ?? (n == coats - 1 ? 9_000_000 : (n % 4 < 2 ? 100_000 : -100_000) + (n % 7 * 3_000));
            trend.Add(new($"s-{n}", tag, "A & B \"standard\"", "1'", "sha", At.AddHours(n), At.AddHours(n).AddMinutes(-10), true, 0, "AB", [new(TrendOf.Step, step, "rack", value, true, true, "AB"), new(TrendOf.Rule, "equal", null, -value, false, true, "AB")]));
        }

        return trend.Groups();
    }

    [Fact]
    public void The_page_is_whole_by_itself_and_takes_nothing_for_markup()
    {
        string page = PageOf(Hostile());

        Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("<img", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain('\u001b', page);
        Assert.DoesNotMatch(OutsideAddress(), page);
        XElement body = XElement.Parse(page[page.IndexOf("<body>", StringComparison.Ordinal)..page.IndexOf("</html>", StringComparison.Ordinal)]);   // every tag closed, every text escaped
        Assert.Equal(3, body.Descendants("svg").Count());
        Assert.Equal(3 * 60, body.Descendants("circle").Count());
        Assert.Equal(3, body.Descendants("circle").Count(circle => circle.Attribute("fill")!.Value == "#ffffff"));
        Assert.All(body.Descendants("circle"), circle => Assert.InRange(double.Parse(circle.Attribute("cy")!.Value, CultureInfo.InvariantCulture), 2, 44));
    }

    [Fact]
    public void Drawn_points_lie_where_their_values_are()
    {
        XElement body = Body(Groups("QG-1", "a", 40, n => n * 1000.0));
        double[] heights = [.. body.Descendants("svg").First().Descendants("circle").Select(circle => double.Parse(circle.Attribute("cy")!.Value, CultureInfo.InvariantCulture))];

        Assert.Equal(heights.OrderDescending(), heights);   // more is higher
        Assert.Equal(heights[0] - heights[20], 20 * (heights[0] - heights[39]) / 39, 0.1);
    }

    [Theory]
    [InlineData(0, 0.0)]
    [InlineData(1, 0.0)]
    [InlineData(5, 2.0)]
    [InlineData(30, 0.0)]
    [InlineData(30, 1e300)]
    public void Few_equal_and_huge_values_make_a_page_a_table_and_a_plot_without_a_number_that_is_none(int coats, double value)
    {
        IReadOnlyList<TrendGroup> groups = Groups("QG-1", "a", coats, n => value > 1e200 && n % 2 == 0 ? -value : value);
        string all = PageOf(groups) + TrendText.Text(groups, _ => null, TimeZoneInfo.Utc, plotted: true) + TrendText.Json(groups, _ => null);

        Assert.DoesNotContain("NaN", all, StringComparison.Ordinal);
        Assert.DoesNotContain("Infinity", all, StringComparison.Ordinal);
        Assert.DoesNotContain("∞", all, StringComparison.Ordinal);
    }

    [Fact]
    public void JSON_has_the_figures_of_the_charts()
    {
        IReadOnlyList<TrendGroup> groups = Hostile();
        using JsonDocument json = JsonDocument.Parse(TrendText.Json(groups, _ => null));
        JsonElement series = json.RootElement.GetProperty("series")[0];
        TrendSeries charted = groups[0].Series[0];

        Assert.Equal((60, "step"), (json.RootElement.GetProperty("coats").GetInt64(), series.GetProperty("of").GetString()));
        Assert.Equal(charted.Chart.Limits!.Upper, series.GetProperty("upperNm").GetDouble());
        Assert.Equal(charted.Chart.RangeLimits!.Upper, series.GetProperty("upperRangeNm").GetDouble());
        Assert.Equal(charted.Ewma!.Limits.Lower, series.GetProperty("averageLowerNm").GetDouble());
        Assert.Equal(charted.Ewma.Averages[^1], series.GetProperty("points")[59].GetProperty("averageNm").GetDouble());
        Assert.Equal((9_000_000.0, "2026-11-04T19:00:00.000Z"), (series.GetProperty("points")[59].GetProperty("deviationNm").GetDouble(), series.GetProperty("points")[59].GetProperty("at").GetString()));
        Assert.Contains(series.GetProperty("signals").EnumerateArray(), signal => signal.GetProperty("rule").GetString() == "beyond-limits" && signal.GetProperty("side").GetString() == "high" && signal.GetProperty("last").GetInt32() == 59);
        Assert.True(series.GetProperty("out").GetBoolean());
        Assert.Equal(JsonValueKind.Null, series.GetProperty("noLimits").ValueKind);
    }

    [Fact]
    public void The_plot_marks_what_is_beyond_and_shows_the_newest_sixty()
    {
        IReadOnlyList<TrendGroup> groups = Groups("QG-1", "a", 150);
        string[] plot = TrendText.Plot(TrendPlot.Of(groups, _ => null, TimeZoneInfo.Utc)[0], new TrendWords(groups[0], null, TimeZoneInfo.Utc)).Split('\n', StringSplitOptions.RemoveEmptyEntries);

        Assert.Equal(13, plot.Length);
        Assert.Equal(1, plot.Sum(row => row.Count(cell => cell == 'X')));
        Assert.EndsWith("X", plot[0], StringComparison.Ordinal);
        int width = plot.Max(row => row.Length) - plot[0].IndexOf('|', StringComparison.Ordinal) - 1;
        Assert.Equal(60, width);
        Assert.All(plot, row => Assert.All(row, cell => Assert.InRange(cell, ' ', '~')));
    }

    /// <summary>The page; the name of SVG's own namespace is no address that anything is fetched from.</summary>
    private static string PageOf(IReadOnlyList<TrendGroup> groups) =>
        PaperHtml.Of(TrendPage.Of(groups, _ => null, TimeZoneInfo.Utc), PaperSize.Find("a4")!).Replace(" xmlns=\"http://www.w3.org/2000/svg\"", "", StringComparison.Ordinal);

    private static XElement Body(IReadOnlyList<TrendGroup> groups)
    {
        string page = PageOf(groups);
        return XElement.Parse(page[page.IndexOf("<body>", StringComparison.Ordinal)..page.IndexOf("</html>", StringComparison.Ordinal)]);
    }

    [GeneratedRegex("(?i)\\s(href|src)\\s*=\\s*[\"]|url\\(|@import|https?:|//")]
    private static partial Regex OutsideAddress();
}
