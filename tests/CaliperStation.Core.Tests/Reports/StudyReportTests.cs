using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Studies;

namespace CaliperStation.Core.Tests.Reports;

public sealed class StudyReportTests
{
    private static readonly DateTimeOffset At = new(2026, 12, 1, 9, 0, 0, TimeSpan.Zero);

    [Fact]
    public void The_figure_of_every_hand_is_the_studies_with_whole_degrees_rounded_away_from_acceptance()
    {
        StudyReport report = Simulated(0.06, 0.05);
        HandFigure figure = report.FigureFor(null, out string? why)!;

        Assert.Null(why);
        Assert.Null(figure.Hand);
        Assert.Equal(Math.Ceiling(report.Analysis.Repeatability!.Deviation), figure.Repeatability.Nanometres);
        Assert.Equal(Math.Ceiling(report.Analysis.Reproducibility!.Deviation), figure.Reproducibility.Nanometres);
        Assert.Equal(Math.Floor(report.Analysis.Repeatability.Degrees + 1e-9), figure.RepeatabilityDegrees);
        Assert.InRange(figure.ReproducibilityDegrees, 1, 2);
        Assert.Equal((report.Plan.Id, new DateOnly(2026, 12, 2)), (figure.Study, figure.Date));
        Assert.Null(figure.Fault);
    }

    [Fact]
    public void A_hand_has_its_own_repeatability_beside_what_hands_differ_by()
    {
        StudyReport report = Simulated(0.06, 0.05);
        HandFigure figure = report.FigureFor("cd", out _)!;

        Assert.Equal("CD", figure.Hand);
        Assert.Equal(Math.Ceiling(report.Analysis.Hands[1].Repeatability.Deviation), figure.Repeatability.Nanometres);
        Assert.Equal(report.FigureFor(null, out _)!.Reproducibility, figure.Reproducibility);
    }

    [Fact]
    public void What_cannot_be_used_says_why()
    {
        Assert.Null(Simulated(0.06, 0.05).FigureFor("XY", out string? nobody));
        Assert.NotNull(nobody);
        Assert.Null(Simulated(0, 0.05).FigureFor(null, out string? coarse));
        Assert.NotNull(coarse);
        Assert.Null(Simulated(0.06, 0.05, leaveOut: 1).FigureFor(null, out string? missing));
        Assert.NotNull(missing);
        Assert.Null(Simulated(0.06, 0.05, source: ReadingSource.Emulated).FigureFor(null, out string? practice));
        Assert.NotNull(practice);
        StudyReport alone = Simulated(0.06, 0.05, hands: ["AB"]);
        Assert.Null(alone.FigureFor(null, out string? one));
        Assert.NotNull(one);
        Assert.Equal(Length.Zero, alone.FigureFor("AB", out _)!.Reproducibility);
    }

    /// <summary>Two rounds on each of two days, with a day that adds a constant: it is seen, and it is not seen where it adds none.</summary>
    [Fact]
    public void Days_are_told_from_the_instants_of_the_readings()
    {
        StudyReport report = Simulated(0.01, 0.01, repeats: 4, perDay: 0.5);

        Assert.Equal((2, 2, 1), (report.Days!.Repeats, report.Days.Days, report.Days.Runs));
        Assert.InRange(Math.Sqrt(report.Days.DayVariance!.Value), 330_000, 370_000);   // 0.5 mm between two days is a standard deviation of 0.5/√2
        Assert.True(report.Days.DayTest!.Value.P < 0.001);
        Assert.Null(Simulated(0.01, 0.01, repeats: 3).Days);
        Assert.NotNull(Simulated(0.01, 0.01, repeats: 3).WhyNoDays);
    }

    [Fact]
    public void The_page_needs_nothing_else_and_nothing_in_it_is_believed()
    {
        const string Hostile = "<script>alert(1)</script>\"'&\u202e\u0007";
        string page = PageOf(Simulated(0.06, 0.05, title: Hostile));

        Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("http:", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("https:", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("url(", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain(" on", page.Split("<svg")[1].Split("</svg>")[0], StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain('\u202e', page);
        Assert.DoesNotContain('\u0007', page);
        Assert.Contains("&lt;script&gt;", page, StringComparison.Ordinal);
        Assert.Equal(3, page.Split("<svg").Length - 1);
        System.Xml.Linq.XElement[] charts = [.. page.Split("<svg").Skip(1).Select(part => System.Xml.Linq.XElement.Parse("<svg" + part[..(part.IndexOf("</svg>", StringComparison.Ordinal) + 6)]))];
        int marks = charts[0].Elements().Count(element => element.Name.LocalName is "circle" or "path");
        Assert.Equal(48, marks);   // 45 readings and three in the legend
    }

    [Fact]
    public void No_number_of_JSON_is_none_whatever_the_study()
    {
        foreach (StudyReport report in (StudyReport[])[Simulated(0, 0), Simulated(0.06, 0.05), Simulated(0.06, 0.05, hands: ["AB"]), Simulated(0.06, 0.05, leaveOut: 3), Simulated(0.06, 0.05, repeats: 1), Simulated(0.06, 0.05, leaveOut: 45)])
        {
            using JsonDocument json = JsonDocument.Parse(StudyJson.Of(report));
            Assert.Equal(report.Takes.Count, json.RootElement.GetProperty("readings").GetArrayLength());
            Assert.Equal(report.Analysis.OneReading is null ? JsonValueKind.Null : JsonValueKind.Object, json.RootElement.GetProperty("analysis").ValueKind);
            string text = StudyText.Of(report, TimeZoneInfo.Utc);
            Assert.DoesNotContain("NaN", text, StringComparison.Ordinal);
            Assert.DoesNotContain("∞", text, StringComparison.Ordinal);
            Assert.DoesNotContain("NaN", PageOf(report), StringComparison.Ordinal);
        }
    }

    /// <summary>Its page; the name of SVG's own namespace is no address that anything is fetched from.</summary>
    private static string PageOf(StudyReport report) =>
        PaperHtml.Of(StudyPage.Of(report, TimeZoneInfo.Utc), PaperSize.Find("a4")!).Replace(" xmlns=\"http://www.w3.org/2000/svg\"", "", StringComparison.Ordinal);

    /// <summary>A study that was read: invented, with a known spread, in an order by lot, one round a quarter of an hour; with <paramref name="perDay"/> half of it on the next day.</summary>
    private static StudyReport Simulated(
        double repeat, double hand, int repeats = 3, int leaveOut = 0, ReadingSource source = ReadingSource.Serial, string title = "free points", double? perDay = null, params string[] hands)
    {
        StudyPlan plan = StudyPlanTests.Plan(5, repeats, 5, hands) with { Title = title };
        StudyReading[] readings = CrossedStudyTests.Simulated(plan.Hands, [.. plan.Points.Select(point => point.Id)], repeats, 3, repeat, hand, 0);
        StudySitting study = StudySitting.Begin(plan);
        int left = plan.Readings - leaveOut;
        foreach (string who in plan.Hands)
        {
            study = who == study.Hand ? study : study.Apply(new SittingEvent.HandChanged(who) { At = At })!;
            foreach (StudySlot slot in plan.OrderOf(who))
            {
                bool isLater = perDay is null ? who == "CD" : slot.Repeat > repeats / 2;
                DateTimeOffset at = At.AddMinutes(slot.Repeat * 15).AddDays(isLater ? 1 : 0);
                Length value = readings.Where(reading => reading.Hand == who && reading.Point == slot.Point).ElementAt(slot.Repeat - 1).Value
                    + Length.FromNanometres((long)(isLater ? (perDay ?? 0) * 1e6 : 0));
                study = left-- > 0
                    ? study.Apply(new SittingEvent.Took(slot.Step, new Reading(value, LengthUnit.Millimetre, Length.FromNanometres(10), source, at, "x") { Hand = who }) { At = at })!
                    : study;
            }
        }

        return StudyReport.Of(study, StudyOptions.Default, at => DateOnly.FromDateTime(at.UtcDateTime));
    }
}
