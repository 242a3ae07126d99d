using System.Globalization;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>records show</c>: all that a record says.</summary>
public static class RecordText
{
    /// <summary>For a terminal; ends with a line feed.</summary>
    public static string Text(SealedRecord seal, Record record)
    {
        StringBuilder text = new();
        void Line(string label, string value) => text.Append(label.PadRight(12)).Append(value).Append('\n');
        Line("Record", $"{Safe(record.Id)}, {RecordWords.Of(record.Kind)}{(record.OfRecord is { } of ? $" of {Safe(of)}" : "")}, {(record.Verified ? "verified" : "not verified")}");
        Line("Blouse", Safe(record.Tag));
        Line("Standard", $"{Safe(record.Standard.Name)}, {Safe(record.Standard.Edition)} (sha256 {Safe(record.Standard.Sha256)})");
        Line("Hands", $"measured by {Or(record.Hand)}, signed by {Or(record.SignedBy)}");
        Line("Time", $"{RecordWords.Instant(record.Started)} to {RecordWords.Instant(record.Closed)}");
        Line("Judged", Judging(record.Judging));
        Line("Answers", Or(string.Join("; ", record.Answers.OrderBy(answer => answer.Key, StringComparer.Ordinal).Select(answer => Safe($"{answer.Key}: {answer.Value}")))));
        Line("Seal", string.Create(CultureInfo.InvariantCulture, $"number {record.Number} of chain {Safe(record.Chain)}, key {RecordSignature.KeyId(seal.PublicKey) ?? "none"}, sha256 {Safe(seal.Hash)}"));
        Block(text, "Readings", record.Readings.SelectMany(reading => reading.Takes.Select(take => (string[])
            [Safe(reading.Step), Shown(take.Value), RecordWords.Of(take.Source), RecordWords.Instant(take.At), $"as read: {Safe(take.Raw)}"])));
        Block(text, "Verdicts", record.Verdicts.Select(verdict => (string[])
            [RecordWords.Of(verdict.Verdict), Safe(verdict.Relation), RecordWords.Of(verdict.Kind), Both(verdict, numbers => numbers.Value), Both(verdict, numbers => numbers.Limits), $"conformance {VerdictText.Percent(verdict.Conformance)}"]));
        Block(text, "Set aside", record.Asides.Select(aside => (string[])[Safe(aside.Relation), Safe(aside.Step ?? ""), Safe(aside.Reason), RecordWords.Instant(aside.At)]));
        Block(text, "Moved", record.Moves.Select(move => (string[])[Safe(string.Join(", ", move.Items)), RecordWords.Instant(move.At)]));
        Block(text, "Compared", record.Comparisons.Select(c => (string[])
        [
            Safe(c.Step), Safe(c.Why), Shown(Nearest(c.FirstNanometres)), Shown(Nearest(c.SecondNanometres)),
            string.Create(CultureInfo.InvariantCulture, $"En {c.En:0.00}"), c.Agrees ? "agrees" : "does not agree",
        ]));
        return text.ToString();
    }

    /// <summary>The sealed record as JSON for people and programs; not its canonical bytes, see <c>records export</c>. Ends with a line feed.</summary>
    public static string Json(SealedRecord seal) => JsonText.Write(json =>
    {
        using JsonDocument record = JsonDocument.Parse(seal.Bytes);
        json.WriteStartObject();
        json.WriteString("hash", seal.Hash);
        json.WriteString("publicKey", seal.PublicKey);
        json.WritePropertyName("record");
        record.RootElement.WriteTo(json);
        json.WriteString("signature", seal.Signature);
        json.WriteEndObject();
    });

    private static void Block(StringBuilder text, string heading, IEnumerable<string[]> given)
    {
        string[][] rows = [.. given];
        if (rows.Length == 0)
        {
            return;
        }

        text.Append('\n').Append(heading).Append('\n');
        int[] widths = [.. Enumerable.Range(0, rows[0].Length).Select(column => rows.Max(row => row[column].Length))];
        foreach (string[] row in rows)
        {
            text.Append("  ").Append(string.Join("  ", row.Select((cell, column) => cell.PadRight(widths[column]))).TrimEnd()).Append('\n');
        }
    }

    private static string Judging(JudgingSettings judging) => string.Create(CultureInfo.InvariantCulture,
        $"{RecordWords.Of(judging.Rule)}, confidence {judging.Confidence:0.####}, within ±{Shown(judging.Within)}, hand {Shown(judging.Hand)}, caliper ±{Shown(judging.Caliper)}; the tolerances are the company's own setting");

    /// <summary>In inches and, for a length, in millimetres too.</summary>
    private static string Both(RecordVerdict verdict, Func<VerdictNumbers, string> words)
    {
        string inches = words(VerdictNumbers.Of(verdict, LengthDisplay.Inch));
        return verdict.Dimension == Dimension.Length ? $"{inches} ({words(VerdictNumbers.Of(verdict, LengthDisplay.Millimetre))})" : inches;
    }

    /// <summary>A record's number may come from a stranger's file, so one too large for a length is cut to the largest.</summary>
    private static Length Nearest(double nanometres) => Length.FromNanometres(Math.Clamp(nanometres, -1e18, 1e18), Rounding.HalfEven);

    private static string Shown(Length length) => $"{LengthFormat.Show(length, LengthDisplay.Inch)} ({LengthFormat.Show(length, LengthDisplay.Millimetre)})";

    private static string Or(string text) => text.Length == 0 ? "-" : Safe(text);

    private static string Safe(string text) => PrintableText.Escape(text);
}
