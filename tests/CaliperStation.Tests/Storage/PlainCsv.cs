using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Tests.Storage;

/// <summary>The export's CSV the slow and obvious way, from the table of <c>docs/export-format.md</c>, and a reader of RFC 4180: the program's own is checked against both.</summary>
internal static class PlainCsv
{
    public static void Write(Record record, bool withoutInitials, StringBuilder output)
    {
        bool practice = record.Practice || record.Readings.Any(reading => reading.Takes.Any(take => take.Source is ReadingSource.Emulated or ReadingSource.Replay));
        foreach (RecordReading reading in record.Readings)
        {
            RecordVerdict? worst = null;
            foreach (RecordVerdict verdict in record.Verdicts.Where(verdict => verdict.Steps.Contains(reading.Step)))
            {
                bool worse = worst is null || verdict.Verdict > worst.Verdict || (verdict.Verdict == worst.Verdict && verdict.Conformance < worst.Conformance);
                worst = worse ? verdict : worst;
            }

            int number = 0;
            foreach (Reading take in reading.Takes)
            {
                number++;
                string[] fields =
                [
                    Text(record.Id), RecordWords.Of(record.Kind), Text(record.OfRecord ?? ""), Text(record.Tag),
                    withoutInitials ? "" : Text(record.SignedBy),
                    Text(record.Standard.Name), Text(record.Standard.Edition), Instant(record.Started), Instant(record.Closed), record.Verified && !practice ? "true" : "false", practice ? "true" : "false",
                    Text(reading.Step), Text(reading.Of), Text(reading.From), number.ToString(CultureInfo.InvariantCulture), withoutInitials ? "" : Text(take.Hand),
                    take.Value.Nanometres.ToString(CultureInfo.InvariantCulture), (take.Value.Nanometres / 1_000_000m).ToString("0.000000", CultureInfo.InvariantCulture),
                    FileWords.Of(take.Unit), take.Resolution.Nanometres.ToString(CultureInfo.InvariantCulture), FileWords.Of(take.Source), Instant(take.At), Text(take.Raw),
                    worst is null ? "" : RecordWords.Of(worst.Verdict), worst is null ? "" : worst.Conformance.ToString("R", CultureInfo.InvariantCulture),
                ];
                output.Append(string.Join(',', fields)).Append("\r\n");
            }
        }
    }

    /// <summary>The rows behind the heading, each with its fields.</summary>
    public static List<string[]> Read(string text)
    {
        List<string[]> rows = [];
        List<string> fields = [];
        StringBuilder field = new();
        bool quoted = false;
        for (int index = 0; index < text.Length; index++)
        {
            char c = text[index];
            if (quoted && c == '"' && index + 1 < text.Length && text[index + 1] == '"')
            {
                field.Append(text[++index]);
            }
            else if (c == '"')
            {
                quoted = !quoted;
            }
            else if (!quoted && (c is ',' or '\n'))
            {
                fields.Add(field.ToString().TrimEnd('\r'));
                field.Clear();
                if (c == '\n')
                {
                    rows.Add([.. fields]);
                    fields.Clear();
                }
            }
            else
            {
                field.Append(c);
            }
        }

        return rows[1..];
    }

    private static string Instant(DateTimeOffset at) => at.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);

    private static string Text(string text)
    {
        string shown = PrintableText.Escape(text);
        string guarded = shown.Length > 0 && "=+-@\t\r".Contains(shown[0], StringComparison.Ordinal) ? "'" + shown : shown;
        return guarded.Any(c => c is ',' or '"' or '\r' or '\n') ? '"' + guarded.Replace("\"", "\"\"", StringComparison.Ordinal) + '"' : guarded;
    }
}
