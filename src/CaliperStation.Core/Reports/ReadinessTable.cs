using System.Globalization;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>readiness</c>.</summary>
public static class ReadinessTable
{
    /// <summary>A table for a terminal, one blouse a line, and how many are ready; ends with a line feed.</summary>
    /// <param name="blouses">The blouses.</param>
    /// <param name="zone">The zone instants are shown in.</param>
    /// <param name="standardOf">The standard a record of that id was judged by, for its words; null where it is not at hand.</param>
    /// <param name="width">How wide the terminal is.</param>
    public static string Text(IReadOnlyList<Readiness> blouses, TimeZoneInfo zone, Func<string, Standard?> standardOf, int width = TableText.Unbounded)
    {
        string[][] rows =
        [
            ["blouse", "ready", "verified", "countersigned", "rechecked", "signed", "days", "set aside", "why not"],
            .. blouses.Select(blouse => new[]
            {
                blouse.Tag,
                YesNo(blouse.IsReady),
                blouse.Last is { } last ? YesNo(last.Verified) : "-",
                RemeasurementText.Word(blouse.Countersigned, "-"),
                RemeasurementText.Word(blouse.Rechecked, "-"),
                blouse.Last is { } signed ? LocalTime.Show(signed.Closed, zone) : "-",
                blouse.AgeDays?.ToString(CultureInfo.InvariantCulture) ?? "-",
                blouse.Asides.Count == 0 ? "-" : string.Join("; ", blouse.Asides.Select(aside => StandardWords.Aside(standardOf(blouse.Last!.Id), aside))),
                string.Join(", ", blouse.Why),
            }),
        ];
        return TableText.Of(rows, width) + string.Create(CultureInfo.InvariantCulture, $"{blouses.Count(blouse => blouse.IsReady)} of {blouses.Count} ready.\n");
    }

    /// <summary>CSV (RFC 4180), guarded against formulas; a heading, then one blouse a line.</summary>
    public static string Csv(IEnumerable<Readiness> blouses)
    {
        StringBuilder text = new("tag,ready,verified,practice,countersigned,rechecked,record,signed,age_days,open_since,set_aside,why\r\n");
        foreach (Readiness blouse in blouses)
        {
            string[] fields =
            [
                CsvText.Field(blouse.Tag), Truth(blouse.IsReady), blouse.Last is { } last ? Truth(last.Verified) : "", blouse.Last is { } held ? Truth(held.Practice) : "",
                RemeasurementText.Word(blouse.Countersigned), RemeasurementText.Word(blouse.Rechecked), CsvText.Field(blouse.Last?.Id ?? ""),
                blouse.Last is { } signed ? FileWords.Instant(signed.Closed) : "", blouse.AgeDays?.ToString(CultureInfo.InvariantCulture) ?? "",
                blouse.OpenSince is { } open ? FileWords.Instant(open) : "", CsvText.Field(Asides(blouse)), CsvText.Field(string.Join("; ", blouse.Why)),
            ];
            text.Append(string.Join(',', fields)).Append("\r\n");
        }

        return text.ToString();
    }

    /// <summary>The same as JSON, one blouse a line.</summary>
    public static string Json(IEnumerable<Readiness> blouses) => JsonText.Lines(blouses, Write);

    private static void Write(Utf8JsonWriter json, Readiness blouse)
    {
        json.WriteString("tag", blouse.Tag);
        json.WriteBoolean("ready", blouse.IsReady);
        json.WriteBoolean("verified", blouse.Last is { Verified: true });
        json.WriteBoolean("practice", blouse.Last is { Practice: true });
        json.WriteString("countersigned", RemeasurementText.Word(blouse.Countersigned));
        json.WriteString("rechecked", RemeasurementText.Word(blouse.Rechecked));
        json.WriteString("record", blouse.Last?.Id);
        json.WriteString("signed", blouse.Last is { } last ? FileWords.Instant(last.Closed) : null);
        JsonText.Number(json, "ageDays", blouse.AgeDays);
        json.WriteString("openSince", blouse.OpenSince is { } open ? FileWords.Instant(open) : null);
        JsonText.Objects(json, "setAside", blouse.Asides, aside =>
        {
            json.WriteString("relation", aside.Relation);
            json.WriteString("step", aside.Step);
            json.WriteString("reason", aside.Reason);
        });
        JsonText.Strings(json, "why", blouse.Why);
    }

    private static string Asides(Readiness blouse) => string.Join("; ", blouse.Asides.Select(aside => $"{aside.Relation}{(aside.Step is { } step ? $" at {step}" : "")}: {aside.Reason}"));

    private static string YesNo(bool yes) => yes ? "yes" : "no";

    private static string Truth(bool yes) => yes ? "true" : "false";
}
