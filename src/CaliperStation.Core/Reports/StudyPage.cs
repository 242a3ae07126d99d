using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>A study of hands as a document with its charts. Marks differ in shape as well as in colour.</summary>
public static class StudyPage
{
    private const double Width = 180;   // millimetres
    private const double Height = 76;
    private const double Left = 22;
    private const double Right = 3;
    private const double Bottom = 13;
    private const double Top = 3;
    private const double Letters = 2.8;

    /// <summary>The document.</summary>
    /// <param name="report">The study.</param>
    /// <param name="zone">The zone instants are shown in.</param>
    public static PaperDocument Of(StudyReport report, TimeZoneInfo zone)
    {
        List<PaperBlock> head =
        [
            new PaperBlock.Paragraph(FormattableString.Invariant($"{report.Plan.Title}. {report.Takes.Count} of {report.Plan.Readings} readings: {report.Plan.Hands.Count} hands ({string.Join(", ", report.Plan.Hands)}), {report.Plan.Points.Count} points, {report.Plan.Repeats} repeats; begun {LocalTime.Show(report.Plan.At, zone)}, order by lot with seed {report.Plan.Seed}, blind.")),
            .. report.Remarks.Select(remark => new PaperBlock.Caution(remark)),
        ];
        List<PaperBlock> body = [];
        if (report.Takes.Count > 0)
        {
            body.Add(new PaperBlock.Heading("Readings, from the mean of their point"));
            body.Add(new PaperBlock.Picture(ReadingsChart(report)));
        }

        if (report.Analysis.OneReading is not null)
        {
            body.Add(new PaperBlock.Heading("Means of hands, from the mean of their point"));
            body.Add(new PaperBlock.Picture(MeansChart(report)));
            body.AddRange(Tables(report));
        }

        return new PaperDocument($"Study {report.Plan.Id}", "", "Formulas and their sources: docs/studies.md.", head, body, []);
    }

    private static IEnumerable<PaperBlock> Tables(StudyReport report)
    {
        yield return new PaperBlock.Heading("Standard deviations");
        yield return new PaperBlock.Picture(SharesChart(report));
        yield return Table(StudyText.ShareRows(report));
        yield return new PaperBlock.Paragraph(FormattableString.Invariant($"Intervals of {100 * report.Confidence:0.#} %. {StudyText.CategoryWords(report)}"));
        yield return new PaperBlock.Heading("Analysis of variance");
        yield return Table(StudyText.VarianceRows(report));
        yield return new PaperBlock.Paragraph(StudyText.PoolWords(report));
        yield return new PaperBlock.Heading("Hands");
        yield return Table(StudyText.HandRows(report));
        yield return new PaperBlock.Heading("Days");
        yield return new PaperBlock.Paragraph(StudyText.DayWords(report));
    }

    /// <summary>Each reading as a mark above its point, hands side by side.</summary>
    private static Drawing ReadingsChart(StudyReport report)
    {
        Dictionary<string, double> means = Means(report);
        return Chart(report, "Readings", [.. report.Takes.Select(take => (take.Hand, take.Slot.Point, take.Reading.Value.Nanometres - means[take.Slot.Point]))], joined: false);
    }

    /// <summary>The mean of each hand on each point, joined: parallel lines are hands that differ alike everywhere.</summary>
    private static Drawing MeansChart(StudyReport report)
    {
        Dictionary<string, double> means = Means(report);
        return Chart(
            report, "Means of hands",
            [.. report.Takes.GroupBy(take => (take.Hand, take.Slot.Point)).Select(cell => (cell.Key.Hand, cell.Key.Point, cell.Average(take => (double)take.Reading.Value.Nanometres) - means[cell.Key.Point]))],
            joined: true);
    }

    private static Dictionary<string, double> Means(StudyReport report) =>
        report.Takes.GroupBy(take => take.Slot.Point).ToDictionary(point => point.Key, point => point.Average(take => (double)take.Reading.Value.Nanometres));

    private static Drawing Chart(StudyReport report, string name, List<(string Hand, string Point, double Value)> values, bool joined)
    {
        StudyPlan plan = report.Plan;
        List<Mark> marks = [];
        double reach = Nice(Math.Max(1, values.Max(value => Math.Abs(value.Value))));
        double step = (Width - Left - Right) / plan.Points.Count;
        double Across(string point, int hand) => Left + (step * (IndexOf(plan, point) + 0.5)) + (joined ? 0 : (hand - ((plan.Hands.Count - 1) / 2.0)) * Math.Min(3, step / (plan.Hands.Count + 1)));
        double Up(double value) => Top + ((Height - Top - Bottom) / 2 * (1 - (value / reach)));
        foreach (double part in (double[])[-1, -0.5, 0, 0.5, 1])
        {
            marks.Add(new Mark.Line([new(Left, Up(part * reach)), new(Width - Right, Up(part * reach))], new Stroke(0.2, part == 0 ? "#555555" : "#dddddd")));
            marks.Add(Words(Left - 1.5, Up(part * reach) + 1, $"{StudyText.Number(part * reach / 1e6, "+0.00##;-0.00##;0")} mm", TextAnchor.End));
        }

        int every = Math.Max(1, (int)Math.Ceiling(plan.Points.Count / 12.0));
        for (int at = 0; at < plan.Points.Count; at += every)
        {
            marks.Add(Words(Left + (step * (at + 0.5)), Height - Bottom + 4, Cut(Standard.WordsOf(plan.Points[at].Id), (int)(step * every / 1.8)), TextAnchor.Middle));
        }

        for (int hand = 0; hand < plan.Hands.Count; hand++)
        {
            string colour = ChartColours.All[hand % ChartColours.All.Count];
            List<DrawPoint> places = [.. values.Where(value => value.Hand == plan.Hands[hand]).OrderBy(value => IndexOf(plan, value.Point)).Select(value => new DrawPoint(Across(value.Point, hand), Up(value.Value)))];
            if (joined && places.Count > 1)
            {
                marks.Add(new Mark.Line(places, new Stroke(0.25, colour)));
            }

            marks.AddRange(places.Select(place => Shape(hand, place, colour)));
            int inRow = (int)((Width - Left - 15) / 17);
            double legend = Left + (hand % inRow * 17);
            double row = Height - 4 + (3.5 * (hand / inRow));
            marks.Add(Shape(hand, new DrawPoint(legend, row - 1), colour));
            marks.Add(Words(legend + 2.5, row, plan.Hands[hand], TextAnchor.Start));
        }

        return new Drawing(Width, Height, marks, name);
    }

    /// <summary>Standard deviations as bars with their intervals.</summary>
    private static Drawing SharesChart(StudyReport report)
    {
        (string Words, string Key, VariationShare Share, double? ByRanges)[] shares = [.. StudyText.Shares(report)];
        double reach = Nice(Math.Max(1, shares.Max(share => Math.Max(share.Share.Deviation, Math.Min(share.Share.Interval.Upper, 3 * shares.Max(each => each.Share.Deviation))))));
        double height = 8 + (8 * shares.Length);
        const double Start = 58;
        double Across(double nanometres) => Start + (Math.Min(1, nanometres / reach) * (Width - Start - 5));
        List<Mark> marks = [];
        for (int at = 0; at < shares.Length; at++)
        {
            double y = 2 + (8 * at);
            VariationShare share = shares[at].Share;
            marks.Add(Words(Start - 2, y + 3.6, shares[at].Words, TextAnchor.End));
            marks.Add(new Mark.Area([[new(Start, y), new(Across(share.Deviation), y), new(Across(share.Deviation), y + 5), new(Start, y + 5)]], null, ChartColours.Blue));
            marks.Add(new Mark.Line([new(Across(share.Interval.Lower), y + 2.5), new(Across(share.Interval.Upper), y + 2.5)], new Stroke(0.5, "#111111", share.Interval.Upper > reach ? 1.5 : 0)));
        }

        marks.Add(Words(Start, height - 1, "0", TextAnchor.Start));
        marks.Add(Words(Width - 5, height - 1, $"{StudyText.Mm(reach)} mm; a dashed line goes on", TextAnchor.End));
        return new Drawing(Width, height, marks, "Standard deviations");
    }

    private static Mark.Words Words(double x, double y, string text, TextAnchor anchor) => new(new DrawPoint(x, y), Letters, text, "#111111", anchor);

    private static Mark Shape(int hand, DrawPoint at, string colour) => (hand % 3) switch
    {
        0 => new Mark.Circle(at, 0.9, null, colour),
        1 => new Mark.Area([[new(at.X - 0.8, at.Y - 0.8), new(at.X + 0.8, at.Y - 0.8), new(at.X + 0.8, at.Y + 0.8), new(at.X - 0.8, at.Y + 0.8)]], null, colour),
        _ => new Mark.Area([[new(at.X, at.Y - 1.1), new(at.X + 1.1, at.Y + 0.9), new(at.X - 1.1, at.Y + 0.9)]], null, colour),
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

    private static PaperBlock.Table Table(string[][] rows) => new(rows[0], rows[1..]);
}
