using System.Globalization;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>records list</c>.</summary>
public static class RecordTable
{
    /// <summary>A table for a terminal, one record a line; ends with a line feed.</summary>
    public static string Text(IReadOnlyList<RecordSummary> records, TimeZoneInfo zone, int width = TableText.Unbounded)
    {
        if (records.Count == 0)
        {
            return "No record.\n";
        }

        string[][] rows =
        [
            ["record", "blouse", "closed", "hands", "signed", "verdicts", "", "standard"],
            .. records.Select(record => new[]
            {
                record.Id,
                record.Tag,
                LocalTime.Show(record.Closed, zone),
                RecordText.Hands(record.Hands, record.Hand),
                record.SignedBy,
                Verdicts(record),
                RecordText.Standing(record.Verified, record.Practice),
                $"{record.Standard}, {record.Edition}",
            }),
        ];
        return TableText.Of(rows, width);
    }

    /// <summary>The same as JSON, one record a line.</summary>
    public static string Json(IEnumerable<RecordSummary> records) => JsonText.Lines(records, Write);

    /// <summary>The sittings that were given up, one a line; ends with a line feed.</summary>
    public static string Abandoned(IReadOnlyList<AbandonedSitting> sittings, TimeZoneInfo zone, int width = TableText.Unbounded) => sittings.Count == 0
        ? "No sitting was given up.\n"
        : TableText.Of([["sitting", "blouse", "given up", "reason"], .. sittings.Select(sitting => new[] { sitting.Sitting, sitting.Tag, LocalTime.Show(sitting.At, zone), sitting.Reason })], width);

    /// <summary>The same as JSON, one sitting a line.</summary>
    public static string AbandonedJson(IEnumerable<AbandonedSitting> sittings) => JsonText.Lines(sittings, (json, sitting) =>
    {
        json.WriteString("sitting", sitting.Sitting);
        json.WriteString("tag", sitting.Tag);
        json.WriteString("at", FileWords.Instant(sitting.At));
        json.WriteString("reason", sitting.Reason);
    });

    private static void Write(Utf8JsonWriter json, RecordSummary record)
    {
        json.WriteString("record", record.Id);
        json.WriteString("kind", RecordWords.Of(record.Kind));
        json.WriteString("ofRecord", record.OfRecord);
        json.WriteString("tag", record.Tag);
        json.WriteString("hand", record.Hand);
        JsonText.Strings(json, "hands", record.Hands);
        json.WriteString("signedBy", record.SignedBy);
        json.WriteString("started", FileWords.Instant(record.Started));
        json.WriteString("closed", FileWords.Instant(record.Closed));
        json.WriteString("standard", record.Standard);
        json.WriteString("edition", record.Edition);
        JsonText.Strings(json, "items", record.Items);
        json.WriteNumber("within", record.Within);
        json.WriteNumber("borderline", record.Borderline);
        json.WriteNumber("outside", record.Outside);
        json.WriteNumber("aside", record.Asides);
        json.WriteBoolean("practice", record.Practice);
        json.WriteBoolean("verified", record.Verified);
    }

    /// <summary>A remeasurement has no verdicts of its own, so its kind is shown.</summary>
    private static string Verdicts(RecordSummary record)
    {
        if (record.Kind != RecordKind.Sitting)
        {
            return RecordWords.Of(record.Kind);
        }

        string text = string.Create(CultureInfo.InvariantCulture, $"{record.Within} within");
        text += record.Borderline > 0 ? string.Create(CultureInfo.InvariantCulture, $", {record.Borderline} borderline") : "";
        return text + (record.Outside > 0 ? string.Create(CultureInfo.InvariantCulture, $", {record.Outside} outside") : "");
    }
}
