using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>A trend as a document with its charts.</summary>
public static class TrendPage
{
    private const double Width = 180;        // millimetres
    private const double Left = 24;          // room for the figures of the limits
    private const double Right = 3;
    private const double ValuesHeight = 42;
    private const double RangesHeight = 18;
    private const double Gap = 4;
    private const double Letters = 2.8;

    private const string Grey = "#767676";
    private static readonly Stroke Limit = new(0.3, ChartColours.Vermilion, 1.5), AverageLimit = new(0.3, Grey, 0.6), Centre = new(0.2, Grey), Nominal = new(0.4, ChartColours.Green), Values = new(0.25, ChartColours.Blue), Average = new(0.5, "#333333");

    /// <summary>The document.</summary>
    /// <param name="groups">What was gathered.</param>
    /// <param name="standardOf">The standard with that hash, for its words and its unit; null where it is not at hand.</param>
    /// <param name="zone">The zone instants are shown in.</param>
    public static PaperDocument Of(IReadOnlyList<TrendGroup> groups, Func<string, Standard?> standardOf, TimeZoneInfo zone)
    {
        List<PaperBlock> body = [];
        if (groups.Count == 0)
        {
            body.Add(new PaperBlock.Paragraph("There is nothing to chart."));
        }

        foreach (TrendGroup group in groups)
        {
            TrendWords words = new(group, standardOf(group.LastSha256), zone);
            body.Add(new PaperBlock.Heading(words.Heading));
            body.Add(new PaperBlock.Table(["month", .. TrendWords.MonthHeadings], [.. group.Months.Select(month => (string[])[TrendWords.MonthName(month), .. TrendWords.MonthCells(month)]), ["all", .. TrendWords.MonthCells(group.Whole)]]));
            body.Add(new PaperBlock.Table(["", .. TrendWords.SeriesHeadings], [.. group.Series.Select(series => (string[])[words.Name(series), .. words.SeriesCells(series)])]));
            foreach (TrendSeries series in group.Series)
            {
                body.Add(new PaperBlock.Heading(words.Name(series)));
                body.AddRange(words.Said(series).DefaultIfEmpty("Nothing is out.").Select(said => new PaperBlock.Paragraph(said)));
                if (series.Points.Count > 0)
                {
                    body.Add(new PaperBlock.Picture(Chart(series, words, zone)));
                }
            }
        }

        return new PaperDocument(
            "What drifts", "", "Limits and run rules: docs/trends.md names their sources.",
            [new PaperBlock.Paragraph("Blue: each coat's deviation from its nominal. Black: the moving average. Middle line: the mean, which is what is usual. Dashed: the limits that chance alone keeps to. Dotted: those of the moving average. Green: the nominal itself. A ring marks a value beyond the limits. The lower strip is the difference of each coat to the one before.", Small: true)],
            body, []);
    }

    private static Drawing Chart(TrendSeries series, TrendWords words, TimeZoneInfo zone)
    {
        ControlChart chart = series.Chart;
        List<Mark> marks = [];
        double height = 2 + ValuesHeight + Gap + RangesHeight + 7;
        Band values = new(2, ValuesHeight, [.. chart.Values, 0, .. Ends(chart.Limits), .. Ends(series.Ewma?.Limits)]);
        void Line(Stroke stroke, double y) => marks.Add(new Mark.Line([new(Left, y), new(Width - Right, y)], stroke));
        void Label(double y, string text) => marks.Add(new Mark.Words(new(Left - 1.5, y + 1), Letters, text, "#333333", TextAnchor.End));
        Line(Nominal, values.Y(0));
        if (chart.Limits is { } limits)
        {
            foreach ((double value, Stroke stroke) in (ReadOnlySpan<(double, Stroke)>)[(limits.Lower, Limit), (limits.Centre, Centre), (limits.Upper, Limit)])
            {
                Line(stroke, values.Y(value));
                Label(values.Y(value), words.Signed(value));
            }

            Line(AverageLimit, values.Y(series.Ewma!.Limits.Lower));
            Line(AverageLimit, values.Y(series.Ewma.Limits.Upper));
        }

        double X(int at) => Left + ((Width - Left - Right) * (series.Points.Count == 1 ? 0.5 : (double)at / (series.Points.Count - 1)));
        marks.Add(new Mark.Line([.. chart.Values.Select((value, at) => new DrawPoint(X(at), values.Y(value)))], Values));
        for (int at = 0; at < chart.Values.Count; at++)
        {
            bool beyond = chart.Limits is not null && chart.Limits.IsBeyond(chart.Values[at]);
            marks.Add(new Mark.Circle(new(X(at), values.Y(chart.Values[at])), beyond ? 1 : 0.5, beyond ? new Stroke(0.5, ChartColours.Vermilion) : null, beyond ? "#ffffff" : ChartColours.Blue)
            {
                Tip = $"{series.Points[at].Tag}, {LocalTime.Show(series.Points[at].At, zone)}: {words.Signed(chart.Values[at])}",
            });
        }

        if (series.Ewma is { } ewma)
        {
            marks.Add(new Mark.Line([.. ewma.Averages.Select((value, at) => new DrawPoint(X(at), values.Y(value)))], Average));
        }

        double[] ranges = [.. chart.MovingRanges];
        if (ranges.Length > 0)
        {
            Band strip = new(2 + ValuesHeight + Gap, RangesHeight, [.. ranges, 0, .. Ends(chart.RangeLimits)]);
            if (chart.RangeLimits is { } rangeLimits)
            {
                Line(Centre, strip.Y(rangeLimits.Centre));
                Line(Limit, strip.Y(rangeLimits.Upper));
                Label(strip.Y(rangeLimits.Upper), words.Unsigned(rangeLimits.Upper));
            }

            Line(Centre, strip.Y(0));
            marks.Add(new Mark.Line([.. ranges.Select((range, at) => new DrawPoint(X(at + 1), strip.Y(range)))], Values));
        }

        marks.Add(new Mark.Words(new(Left, height - 1), Letters, LocalTime.Show(series.Points[0].At, zone), "#333333", TextAnchor.Start));
        marks.Add(new Mark.Words(new(Width - Right, height - 1), Letters, LocalTime.Show(series.Points[^1].At, zone), "#333333", TextAnchor.End));
        return new Drawing(Width, height, marks, words.Name(series));
    }

    private static IEnumerable<double> Ends(ControlLimits? limits) => limits is null ? [] : [limits.Lower, limits.Upper];

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
