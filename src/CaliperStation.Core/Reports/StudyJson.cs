using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>Studies of hands as JSON; docs/json.md has the names.</summary>
public static class StudyJson
{
    /// <summary>One object a line, a study each.</summary>
    public static string List(IEnumerable<StudyReport> studies) => JsonText.Lines(studies, Head);

    /// <summary>All of one study on one line.</summary>
    public static string Of(StudyReport report) => JsonText.Object(json =>
    {
        Head(json, report);
        JsonText.Objects(json, "readings", report.Takes, take =>
        {
            json.WriteString("hand", take.Hand);
            json.WriteString("point", take.Slot.Point);
            json.WriteNumber("repeat", take.Slot.Repeat);
            json.WriteNumber("valueNm", take.Reading.Value.Nanometres);
            json.WriteString("source", FileWords.Of(take.Reading.Source));
            json.WriteString("at", FileWords.Instant(take.Reading.At));
        });
        Analysis(json, report);
    }) + "\n";

    /// <summary>A figure of a hand as the settings hold it.</summary>
    public static string Of(HandFigure figure) => JsonText.Object(json =>
    {
        json.WritePropertyName("used");
        HandFigureJson.Write(json, figure);
    }) + "\n";

    private static void Head(Utf8JsonWriter json, StudyReport report)
    {
        json.WriteString("study", report.Plan.Id);
        json.WriteString("title", report.Plan.Title);
        json.WriteString("begun", FileWords.Instant(report.Plan.At));
        json.WriteString("state", StudyText.State(report));
        json.WriteBoolean("practice", report.Study.IsPractice);
        JsonText.Strings(json, "hands", report.Plan.Hands);
        JsonText.Strings(json, "points", report.Plan.Points.Select(point => point.Id));
        json.WriteNumber("repeats", report.Plan.Repeats);
        json.WriteNumber("read", report.Takes.Count);
        json.WriteNumber("wanted", report.Plan.Readings);
        json.WriteNumber("takenAgain", report.Study.Withdrawn);
        json.WriteNumber("seed", report.Plan.Seed);
        json.WriteString("standard", report.Plan.StandardSha256.Length == 0 ? null : report.Plan.StandardSha256);
    }

    private static void Analysis(Utf8JsonWriter json, StudyReport report)
    {
        CrossedStudy study = report.Analysis;
        JsonText.Objects(json, "missing", study.Missing, gap =>
        {
            json.WriteString("hand", gap.Hand);
            json.WriteString("point", gap.Point);
            json.WriteNumber("count", gap.Count);
        });
        JsonText.Strings(json, "remarks", report.Remarks);
        if (study.OneReading is null)
        {
            json.WriteNull("analysis");
            return;
        }

        json.WriteStartObject("analysis");
        JsonText.Objects(json, "rows", study.Rows, row =>
        {
            json.WriteString("source", JsonNamingPolicy.CamelCase.ConvertName(row.Source.ToString()));
            json.WriteNumber("degrees", row.Square.Degrees);
            json.WriteNumber("sumOfSquaresNm2", row.SumOfSquares);
            json.WriteNumber("meanSquareNm2", row.Square.Value);
            JsonText.Number(json, "f", row.F);
            JsonText.Number(json, "p", row.P);
        });
        json.WriteNumber("totalSumOfSquaresNm2", study.TotalSumOfSquares);
        json.WriteBoolean("pooled", study.IsPooled);
        json.WriteNumber("pooledAbove", report.PooledAbove);
        json.WriteNumber("confidence", report.Confidence);
        foreach ((string _, string key, VariationShare share, double? byRanges) in StudyText.Shares(report))
        {
            json.WriteStartObject(key);
            Share(json, share);
            JsonText.Number(json, "percentOfStudy", study.PercentOfStudy(share));
            JsonText.Number(json, "percentOfTolerance", study.PercentOfTolerance(share));
            JsonText.Number(json, "byRangesNm", byRanges);
            json.WriteEndObject();
        }

        JsonText.Number(json, "categories", study.Categories);
        JsonText.Number(json, "toleranceNm", study.Tolerance?.Nanometres);
        JsonText.Objects(json, "byHand", study.Hands, hand =>
        {
            json.WriteString("hand", hand.Hand);
            json.WriteNumber("aboveMeanNm", hand.AboveMean);
            Share(json, hand.Repeatability);
        });
        if (report.Days is { } days)
        {
            json.WriteStartObject("days");
            json.WriteNumber("days", days.Days);
            json.WriteNumber("repeats", days.Repeats);
            JsonText.Number(json, "withinDayNm", days.WithinDay?.Deviation);
            JsonText.Number(json, "dayMeansNm", days.OfDayMeans?.Deviation);
            JsonText.Number(json, "addedNm", days.DayVariance is { } added ? Math.Sqrt(added) : null);
            JsonText.Number(json, "oneReadingNm", days.OneReading);
            JsonText.Number(json, "f", days.DayTest?.F);
            JsonText.Number(json, "p", days.DayTest?.P);
            json.WriteEndObject();
        }
        else
        {
            json.WriteNull("days");
        }

        json.WriteEndObject();
    }

    private static void Share(Utf8JsonWriter json, VariationShare share)
    {
        json.WriteNumber("deviationNm", share.Deviation);
        json.WriteNumber("lowerNm", share.Interval.Lower);
        json.WriteNumber("upperNm", share.Interval.Upper);
        JsonText.Number(json, "degrees", double.IsInfinity(share.Degrees) ? null : share.Degrees);
    }
}
