using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>records verify</c>.</summary>
public static class CheckText
{
    /// <summary>For a terminal; ends with a line feed.</summary>
    /// <param name="what">What was looked at.</param>
    /// <param name="records">How many records.</param>
    /// <param name="findings">Everything wrong.</param>
    public static string Text(string what, long records, IReadOnlyList<RecordFinding> findings)
    {
        StringBuilder text = new();
        foreach (RecordFinding finding in findings)
        {
            text.Append(TableText.Line($"{Word(finding.Kind)}: {(finding.Where.Length > 0 ? finding.Where + ": " : "")}{finding.Words}"));
        }

        string counted = Counted.Of(records, "record");
        text.Append(TableText.Line(findings.Count == 0
            ? $"{what}: {counted}, nothing changed, nothing missing, every signature good."
            : string.Create(CultureInfo.InvariantCulture, $"{what}: {counted}, {findings.Count} {(findings.Count == 1 ? "thing is" : "things are")} wrong.")));
        return text.ToString();
    }

    /// <summary>The same as one JSON object; ends with a line feed.</summary>
    public static string Json(long records, IReadOnlyList<RecordFinding> findings) => JsonText.Object(json =>
    {
        json.WriteBoolean("sound", findings.Count == 0);
        json.WriteNumber("records", records);
        JsonText.Objects(json, "findings", findings, finding =>
        {
            json.WriteString("kind", Word(finding.Kind));
            json.WriteString("where", finding.Where);
            json.WriteString("record", finding.Record);
            json.WriteString("words", finding.Words);
        });
    }) + "\n";

    private static string Word(FindingKind kind) => kind switch
    {
        FindingKind.Changed => "changed",
        FindingKind.Missing => "missing",
        FindingKind.OutOfOrder => "out-of-order",
        FindingKind.Inserted => "inserted",
        FindingKind.Contradiction => "contradiction",
        FindingKind.UnknownKey => "unknown-key",
        FindingKind.BadSignature => "bad-signature",
    };
}
