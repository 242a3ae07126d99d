using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Reports;

/// <summary>Records as CSV (RFC 4180) and as JSON Lines; <c>docs/export-format.md</c> describes both.</summary>
/// <remarks>
/// Texts are fields of <see cref="CsvText"/>. Number columns hold nothing but numbers and get no apostrophe.
/// </remarks>
public static class RecordExport
{
    private static readonly string[] _columns =
    [
        "record", "kind", "of_record", "tag", "signed_by", "standard", "edition", "started", "closed", "verified", "practice",
        "step", "item", "from", "take", "hand", "value_nm", "value_mm", "unit", "resolution_nm", "source", "at", "raw", "verdict", "conformance",
    ];

    /// <summary>The first line, with its line end.</summary>
    public static string CsvHeading { get; } = string.Join(',', _columns) + "\r\n";

    /// <summary>A record's readings, one take a line, each with its line end.</summary>
    /// <param name="record">The record.</param>
    /// <param name="filter">Its item and verdict choose the lines.</param>
    /// <param name="withoutInitials">Leaves the hands out.</param>
    /// <param name="output">Where they go.</param>
    public static void WriteCsv(Record record, RecordFilter filter, bool withoutInitials, TextWriter output)
    {
        string head = string.Join(',',
            CsvText.Field(record.Id), RecordWords.Of(record.Kind), CsvText.Field(record.OfRecord ?? ""), CsvText.Field(record.Tag),
            withoutInitials ? "" : CsvText.Field(record.SignedBy),
            CsvText.Field(record.Standard.Name), CsvText.Field(record.Standard.Edition), FileWords.Instant(record.Started), FileWords.Instant(record.Closed),
            record.IsVerified ? "true" : "false", record.IsPractice ? "true" : "false");
        foreach (RecordReading reading in record.Readings)
        {
            RecordVerdict? worst = record.Verdicts.Where(verdict => verdict.Steps.Contains(reading.Step)).OrderByDescending(verdict => verdict.Verdict).ThenBy(verdict => verdict.Conformance).FirstOrDefault();
            if ((filter.Item is { } item && item != reading.Of) || (filter.Verdict is { } wanted && worst?.Verdict != wanted))
            {
                continue;
            }

            string middle = $"{CsvText.Field(reading.Step)},{CsvText.Field(reading.Of)},{CsvText.Field(reading.From)}";
            string end = worst is null ? "," : $"{RecordWords.Of(worst.Verdict)},{worst.Conformance.ToString("R", CultureInfo.InvariantCulture)}";
            for (int take = 0; take < reading.Takes.Count; take++)
            {
                Reading read = reading.Takes[take];
                output.Write(string.Create(CultureInfo.InvariantCulture,
                    $"{head},{middle},{take + 1},{(withoutInitials ? "" : CsvText.Field(read.Hand))},{read.Value.Nanometres},{Millimetres(read.Value)},{FileWords.Of(read.Unit)},{read.Resolution.Nanometres},{FileWords.Of(read.Source)},{FileWords.Instant(read.At)},{CsvText.Field(read.Raw)},{end}\r\n"));
            }
        }
    }

    /// <summary>A record on one line with its line feed: sealed, or, without initials, only its hash and what is left of it.</summary>
    /// <remarks>What has no initials cannot be checked by its signature: the bytes that were signed have them.</remarks>
    public static string JsonLine(SealedRecord seal, bool withoutInitials)
    {
        if (!withoutInitials || seal.Record is not { } record)
        {
            return seal.ToText() + "\n";
        }

        CanonicalJson json = new();
        json.Object(() =>
        {
            json.Name("hash").Text(seal.Hash);
            json.Name("record").Raw(RecordBytes.Write(WithoutInitials(record)));
        });
        return System.Text.Encoding.UTF8.GetString(json.ToBytes()) + "\n";
    }

    private static Record WithoutInitials(Record record) => record with
    {
        Hand = "",
        Hands = [],
        SignedBy = "",
        Withdrawn = [.. record.Withdrawn.Select(withdrawal => withdrawal with { Takes = [.. withdrawal.Takes.Select(take => take with { Hand = "" })] })],
        Readings = [.. record.Readings.Select(reading => reading with { Takes = [.. reading.Takes.Select(take => take with { Hand = "" })] })],
    };

    private static string Millimetres(Length length)
    {
        Int128 nanometres = Int128.Abs(length.Nanometres);
        return string.Create(CultureInfo.InvariantCulture, $"{(length < Length.Zero ? "-" : "")}{nanometres / 1_000_000}.{(int)(nanometres % 1_000_000):000000}");
    }
}
