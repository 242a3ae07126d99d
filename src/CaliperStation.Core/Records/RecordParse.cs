using System.Diagnostics.CodeAnalysis;
using System.Text.Json;

namespace CaliperStation.Core.Records;

/// <summary>A record, or why the bytes are none.</summary>
public readonly struct RecordParse
{
    private const long LargestNumber = 1_000_000_000_000;   // no bench files more, and counting on from here cannot overflow

    private RecordParse(Record? record, string? fault)
    {
        Record = record;
        Fault = fault;
    }

    /// <summary>The record, or null.</summary>
    public Record? Record { get; }

    /// <summary>What is wrong, in words without anything from the bytes; null when there is a record.</summary>
    public string? Fault { get; }

    /// <summary>True when there is a record.</summary>
    [MemberNotNullWhen(true, nameof(Record))]
    [MemberNotNullWhen(false, nameof(Fault))]
    public bool IsRecord => Record is not null;

    /// <summary>Reads canonical bytes. Anything else, also the same record written in another way, is refused: one record, one form.</summary>
    public static RecordParse Of(ReadOnlySpan<byte> bytes)
    {
        try
        {
            Record record = new RecordReader().Read(bytes);
            return !IsName(record.Id) || !IsName(record.Chain) || record.Number is < 1 or > LargestNumber ? Refused("a record whose id, chain or number cannot be")
                : RecordBytes.Write(record).AsSpan().SequenceEqual(bytes) ? new RecordParse(record, null)
                : Refused("a record that is not in its one form");
        }
        catch (Exception fault) when (fault is JsonException or FormatException)
        {
            return Refused(Why(bytes));
        }
    }

    /// <summary>Why bytes that could not be read are no record.</summary>
    private static string Why(ReadOnlySpan<byte> bytes)
    {
        try
        {
            Utf8JsonReader json = new(bytes);
            using JsonDocument document = JsonDocument.ParseValue(ref json);
            bool isNewer = document.RootElement is { ValueKind: JsonValueKind.Object } root && root.TryGetProperty("schema", out JsonElement schema)
                && schema.ValueKind == JsonValueKind.Number && schema.TryGetInt32(out int number) && number is < Record.FirstSchema or > Record.CurrentSchema;
            return isNewer ? "a record of a form this program does not know; a newer program may" : "JSON, but not a record in its one form";
        }
        catch (JsonException)
        {
            return "not JSON";
        }
    }

    /// <summary>An id also names lines of the journal: letters, digits, points, underscores and hyphens.</summary>
    private static bool IsName(string text) => text.Length is >= 1 and <= 100 && text.All(c => char.IsAsciiLetterOrDigit(c) || c is '.' or '_' or '-');

    private static RecordParse Refused(string fault) => new(null, fault);
}
