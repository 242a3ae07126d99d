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
        json.WriteStartArray("readings");
        foreach (StudyTake take in report.Takes)
        {
            json.WriteStartObject();
            json.WriteString("hand", take.Hand);
            json.WriteString("point", take.Slot.Point);
            json.WriteNumber("repeat", take.Slot.Repeat);
            json.WriteNumber("valueNm", take.Reading.Value.Nanometres);
            json.WriteString("source", FileWords.Of(take.Reading.Source));
            json.WriteString("at", FileWords.Instant(take.Reading.At));
            json.WriteEndObject();
        }

        json.WriteEndArray();
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
        json.WriteStartArray("missing");
        foreach (MissingReadings gap in study.Missing)
        {
            json.WriteStartObject();
            json.WriteString("hand", gap.Hand);
            json.WriteString("point", gap.Point);
            json.WriteNumber("count", gap.Count);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        JsonText.Strings(json, "remarks", report.Remarks);
        if (study.OneReading is null)
        {
            json.WriteNull("analysis");
            return;
        }

        json.WriteStartObject("analysis");
        json.WriteStartArray("rows");
        foreach (VarianceRow row in study.Rows)
        {
            json.WriteStartObject();
            json.WriteString("source", JsonNamingPolicy.CamelCase.ConvertName(row.Source.ToString()));
            json.WriteNumber("degrees", row.Square.Degrees);
            json.WriteNumber("sumOfSquaresNm2", row.SumOfSquares);
            json.WriteNumber("meanSquareNm2", row.Square.Value);
            Maybe(json, "f", row.F);
            Maybe(json, "p", row.P);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteNumber("totalSumOfSquaresNm2", study.TotalSumOfSquares);
        json.WriteBoolean("pooled", study.IsPooled);
        json.WriteNumber("pooledAbove", report.PooledAbove);
        json.WriteNumber("confidence", report.Confidence);
        foreach ((string _, string key, VariationShare share, double? byRanges) in StudyText.Shares(report))
        {
            json.WriteStartObject(key);
            Share(json, share);
            Maybe(json, "percentOfStudy", study.PercentOfStudy(share));
            Maybe(json, "percentOfTolerance", study.PercentOfTolerance(share));
            Maybe(json, "byRangesNm", byRanges);
            json.WriteEndObject();
        }

        Maybe(json, "categories", study.Categories);
        Maybe(json, "toleranceNm", study.Tolerance?.Nanometres);
        json.WriteStartArray("byHand");
        foreach (HandShare hand in study.Hands)
        {
            json.WriteStartObject();
            json.WriteString("hand", hand.Hand);
            json.WriteNumber("aboveMeanNm", hand.AboveMean);
            Share(json, hand.Repeatability);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        if (report.Days is { } days)
        {
            json.WriteStartObject("days");
            json.WriteNumber("days", days.Days);
            json.WriteNumber("repeats", days.Repeats);
            Maybe(json, "withinDayNm", days.WithinDay?.Deviation);
            Maybe(json, "dayMeansNm", days.OfDayMeans?.Deviation);
            Maybe(json, "addedNm", days.DayVariance is { } added ? Math.Sqrt(added) : null);
            Maybe(json, "oneReadingNm", days.OneReading);
            Maybe(json, "f", days.DayTest?.F);
            Maybe(json, "p", days.DayTest?.P);
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
        Maybe(json, "degrees", double.IsInfinity(share.Degrees) ? null : share.Degrees);
    }

    private static void Maybe(Utf8JsonWriter json, string name, double? number)
    {
        if (number is { } known)
        {
            json.WriteNumber(name, known);
        }
        else
        {
            json.WriteNull(name);
        }
    }
}
