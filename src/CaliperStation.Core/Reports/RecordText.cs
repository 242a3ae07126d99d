using System.Globalization;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>records show</c>: all that a record says.</summary>
public static class RecordText
{
    /// <summary>For a terminal; ends with a line feed.</summary>
    /// <param name="seal">The sealed record.</param>
    /// <param name="record">What it holds.</param>
    /// <param name="standard">The standard it was judged by, for its words and its unit; null when it is not at hand.</param>
    /// <param name="zone">The zone instants are shown in.</param>
    /// <param name="width">How wide the terminal is.</param>
    public static string Text(SealedRecord seal, Record record, Standard? standard, TimeZoneInfo zone, int width = TableText.Unbounded)
    {
        StringBuilder text = new();
        LengthDisplay show = StandardWords.Display(standard, record);
        string At(DateTimeOffset at) => LocalTime.Show(at, zone);
        void Line(string label, string value) => text.Append(TableText.Lines(value, width, label.PadRight(12), new string(' ', 12)));
        Line("Record", $"{record.Id}, {RecordWords.Of(record.Kind)}{(record.OfRecord is { } of ? $" of {of}" : "")}, {Standing(record.IsVerified, record.IsPractice)}");
        if (record.IsPractice)
        {
            Line("Practice", "it holds readings that no person took, or looks back at such a record: it makes no blouse ready");
        }

        Line("Blouse", record.Tag);
        Line("Standard", $"{record.Standard.Name}, {record.Standard.Edition} (sha256 {record.Standard.Sha256})");
        Line("Hands", $"measured by {Or(Hands(record.Hands, record.Hand))}, signed by {Or(record.SignedBy)}");
        Line("Time", $"{At(record.Started)} to {At(record.Closed)}");
        Line("Judged", Judging(record.Judging, show));
        Line("Answers", Or(string.Join("; ", record.Answers.OrderBy(answer => answer.Key, StringComparer.Ordinal).Select(answer => StandardWords.Answer(standard, answer.Key, answer.Value)))));
        Line("Seal", string.Create(CultureInfo.InvariantCulture, $"number {record.Number} of chain {record.Chain}, key {RecordSignature.KeyId(seal.PublicKey) ?? "none"}, sha256 {seal.Hash}"));
        if (record.Events is { } events)
        {
            Line("Events", string.Create(CultureInfo.InvariantCulture, $"{events.First.Number} to {events.Last.Number} of the journal"));
        }

        Block("Tag corrected", record.TagCorrections.Select(correction => (string[])[$"was {correction.From}", correction.Reason, At(correction.At)]));
        Block("Readings", record.Readings.SelectMany(reading => reading.Takes.Select(take => (string[])
            [StandardWords.Step(standard, reading.Step), Length(take.Value), FileWords.Of(take.Source), Or(take.Hand), At(take.At), $"as read: {take.Raw}"])));
        Block("Confirmed", record.Confirmed.Select(confirmed => (string[])[StandardWords.Line(standard, confirmed.Line), At(confirmed.At)]));
        Block("Not so at first", record.NotSo.Select(not => (string[])[StandardWords.Line(standard, not.Line), At(not.At)]));
        Block("Withdrawn", record.Withdrawn.SelectMany(withdrawn => withdrawn.Takes.Select(take => (string[])
            [StandardWords.Step(standard, withdrawn.Step), Length(take.Value), FileWords.Of(take.Source), Or(take.Hand), At(take.At), $"{RecordWords.Why(withdrawn)} {At(withdrawn.At)}"])));
        Block("Verdicts", record.Verdicts.Select(verdict => (string[])
            [RecordWords.Of(verdict.Verdict), StandardWords.Relation(standard, verdict.Relation, verdict.Steps), Both(verdict, show, numbers => numbers.Value), Both(verdict, show, numbers => numbers.Limits), $"conformance {VerdictText.Percent(verdict.Conformance)}"]));
        Block("Set aside", record.Asides.Select(aside => (string[])[StandardWords.Aside(standard, aside), At(aside.At)]));
        Block("Moved", record.Moves.Select(move => (string[])[string.Join(", ", move.Items.Select(item => StandardWords.Item(standard, item))), At(move.At)]));
        Block("Compared", record.Comparisons.Select(c => (string[])
        [
            StandardWords.Step(standard, c.Step), RemeasurementText.Reason(c.Why), Shown(c.FirstNanometres, show), Shown(c.SecondNanometres, show),
            string.Create(CultureInfo.InvariantCulture, $"En {c.En:0.00}"), RemeasurementText.Word(c.Agrees),
        ]));
        return text.ToString();
        string Length(Quantities.Length length) => LengthFormat.WithMillimetres(length, show);
        void Block(string heading, IEnumerable<string[]> given)
        {
            string[][] rows = [.. given];
            if (rows.Length > 0)
            {
                text.Append('\n').Append(heading).Append('\n').Append(TableText.Of(rows, width, "  "));
            }
        }
    }

    /// <summary><c>verified</c>, <c>not verified</c> or <c>practice</c>.</summary>
    internal static string Standing(bool verified, bool practice) => practice ? "practice" : verified ? "verified" : "not verified";

    /// <summary>All hands that measured, the first one first: <c>AB, EF</c>.</summary>
    internal static string Hands(IReadOnlyList<string> hands, string first) =>
        string.Join(", ", hands.OrderBy(hand => !Initials.Same(hand, first)).DefaultIfEmpty(first));

    /// <summary>
    /// The sealed record as JSON for people and programs; not its canonical bytes, see <c>records export</c>. Beside what the record says of itself stand
    /// <c>practice</c> and <c>verified</c> as they count. Ends with a line feed.
    /// </summary>
    public static string Json(SealedRecord seal, Record held) => JsonText.Object(json =>
    {
        using JsonDocument record = JsonDocument.Parse(seal.Bytes);
        json.WriteString("hash", seal.Hash);
        json.WriteBoolean("practice", held.IsPractice);
        json.WriteString("publicKey", seal.PublicKey);
        json.WritePropertyName("record");
        record.RootElement.WriteTo(json);
        json.WriteString("signature", seal.Signature);
        json.WriteBoolean("verified", held.IsVerified);
    }) + "\n";

    private static string Judging(JudgingSettings judging, LengthDisplay show)
    {
        string Small(Quantities.Length length) => LengthFormat.Show(length, LengthDisplay.Millimetre);   // far below a tick: it would read 0 t
        return string.Create(CultureInfo.InvariantCulture,
            $"{RecordWords.Of(judging.Rule)}, confidence {judging.Confidence:0.####}, within ±{LengthFormat.WithMillimetres(judging.Within, show)}, hand {Small(judging.Hand)}{Studied(judging)}, caliper ±{Small(judging.Caliper)}; the tolerances are the company's own setting");
    }

    /// <summary>The studies that stood in for that figure.</summary>
    private static string Studied(JudgingSettings judging) => judging.Figures.Count == 0 ? ""
        : $" (in its place {string.Join("; ", judging.Figures.Select(figure => $"{HandFigureText.Words(figure)}"))})";

    /// <summary>In the bench's unit and, for a length, in millimetres too.</summary>
    private static string Both(RecordVerdict verdict, LengthDisplay show, Func<VerdictNumbers, string> words)
    {
        string shown = words(VerdictNumbers.Of(verdict, show));
        return verdict.Dimension == Dimension.Length && show != LengthDisplay.Millimetre ? $"{shown} ({words(VerdictNumbers.Of(verdict, LengthDisplay.Millimetre))})" : shown;
    }

    /// <summary>A record's number may come from a stranger's file, so one too large for a length is cut to the largest.</summary>
    internal static Quantities.Length Nearest(double nanometres) => Quantities.Length.FromNanometres(Math.Clamp(nanometres, -1e18, 1e18), Rounding.HalfEven);

    /// <summary>Such a number in the bench's unit, with its millimetres.</summary>
    internal static string Shown(double nanometres, LengthDisplay show) => LengthFormat.WithMillimetres(Nearest(nanometres), show);

    /// <summary>A text, or a dash where there is none.</summary>
    internal static string Or(string text) => text.Length == 0 ? "-" : text;
}
