using System.Diagnostics.CodeAnalysis;
using System.Text.Json;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

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
    public static RecordParse Of(ReadOnlyMemory<byte> bytes)
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(bytes, new JsonDocumentOptions { MaxDepth = 16 });
            JsonElement root = document.RootElement;
            if (root.GetProperty("schema").GetInt32() is < Record.FirstSchema or > Record.CurrentSchema)
            {
                return Refused("a record of a form this program does not know; a newer program may");
            }

            Record record = Read(root, root.GetProperty("schema").GetInt32());
            if (!IsName(record.Id) || !IsName(record.Chain) || record.Number is < 1 or > LargestNumber)
            {
                return Refused("a record whose id, chain or number cannot be");
            }

            return RecordBytes.Write(record).AsSpan().SequenceEqual(bytes.Span)
                ? new RecordParse(record, null)
                : Refused("a record that is not in its one form");
        }
        catch (JsonException)
        {
            return Refused("not JSON");
        }
        catch (Exception fault) when (JsonText.IsFault(fault))
        {
            return Refused("JSON, but not a record");
        }
    }

    /// <summary>An id also names lines of the journal: letters, digits, points, underscores and hyphens.</summary>
    private static bool IsName(string text) => text.Length is >= 1 and <= 100 && text.All(c => char.IsAsciiLetterOrDigit(c) || c is '.' or '_' or '-');

    private static RecordParse Refused(string fault) => new(null, fault);

    private static Record Read(JsonElement root, int schema)
    {
        (bool first, bool third) = (schema == Record.FirstSchema, schema > Record.SecondSchema);
        string hand = Text(root, "hand");
        string all = hand.Length > 0 ? hand : Text(root, "signedBy");   // in schema 1 one hand took all
        return Read(root, take => first ? all : Text(take, "hand")) with
        {
            Hands = !first ? List(root, "hands", Text) : all.Length > 0 ? [all] : [],
            Practice = !first && root.GetProperty("practice").GetBoolean(),
            TagCorrections = first ? [] : List(root, "tagCorrections", correction => new RecordTagCorrection(Text(correction, "from"), Text(correction, "reason"), Instant(correction, "at"))),
            Events = third && root.GetProperty("events") is { ValueKind: not JsonValueKind.Null } events ? new RecordEvents(Mark(events, "first"), Mark(events, "last")) : null,
            Confirmed = third ? List(root, "confirmed", confirmation => new RecordConfirmation(Text(confirmation, "line"), Instant(confirmation, "at"))) : [],
            NotSo = third && root.TryGetProperty("notSo", out _) ? List(root, "notSo", not => new RecordConfirmation(Text(not, "line"), Instant(not, "at"))) : [],
            Withdrawn = third ? List(root, "withdrawn", Withdrawal) : [],
        };
    }

    private static Record Read(JsonElement root, Func<JsonElement, string> handOf) => new(
        root.GetProperty("schema").GetInt32(),
        Text(root, "chain"),
        root.GetProperty("number").GetInt64(),
        Text(root, "previous"),
        Text(root, "id"),
        FileWords.Back<RecordKind>(Text(root, "kind"), RecordWords.Of),
        TextOrNull(root.GetProperty("ofRecord")),
        Text(root, "tag"),
        Text(root, "hand"),
        Text(root, "signedBy"),
        Standard(root.GetProperty("standard")),
        Judging(root.GetProperty("judging")),
        root.GetProperty("answers").EnumerateObject().ToDictionary(answer => Plain(answer.Name), answer => Text(answer.Value)),
        Instant(root, "started"),
        Instant(root, "closed"),
        List(root, "readings", reading => new RecordReading(Text(reading, "step"), Text(reading, "of"), Text(reading, "from"), List(reading, "takes", take => Take(take, handOf(take))))),
        List(root, "verdicts", Verdict),
        List(root, "asides", aside => new RecordAside(Text(aside, "relation"), TextOrNull(aside.GetProperty("step")), Text(aside, "reason"), Instant(aside, "at"))),
        List(root, "moves", move => new RecordMove(List(move, "items", Text), Instant(move, "at"))),
        List(root, "comparisons", Comparison),
        root.GetProperty("seed") is { ValueKind: not JsonValueKind.Null } seed ? seed.GetInt64() : null,
        root.GetProperty("verified").GetBoolean());

    private static EventMark Mark(JsonElement at, string name) => new(at.GetProperty(name).GetProperty("number").GetInt64(), Text(at.GetProperty(name), "hash"));

    /// <summary>Any other word for why is refused with the bytes' form.</summary>
    private static RecordWithdrawal Withdrawal(JsonElement at) =>
        new(Text(at, "step"), Text(at, "why") == RecordWords.Moved, Instant(at, "at"), List(at, "takes", take => Take(take, Text(take, "hand"))));

    private static RecordStandard Standard(JsonElement at) => new(Text(at, "name"), Text(at, "edition"), Text(at, "sha256"));

    private static JudgingSettings Judging(JsonElement at) => new(
        FileWords.Back<DecisionRule>(Text(at, "rule"), RecordWords.Of),
        Number(at, "confidence"),
        LengthOf(at, "withinNm"),
        LengthOf(at, "handNm"),
        LengthOf(at, "caliperNm"))
    {
        Figures = at.TryGetProperty("studies", out JsonElement figures) ? [.. figures.EnumerateArray().Select(HandFigureJson.Read)] : [],
    };

    private static Reading Take(JsonElement at, string hand) => new(
        LengthOf(at, "valueNm"),
        FileWords.Back<LengthUnit>(Text(at, "unit"), FileWords.Of),
        LengthOf(at, "resolutionNm"),
        FileWords.Back<ReadingSource>(Text(at, "source"), FileWords.Of),
        Instant(at, "at"),
        Text(at, "raw"))
    {
        Hand = hand,
    };

    private static RecordVerdict Verdict(JsonElement at) => new(
        Text(at, "relation"),
        RelationKind.Find(Text(at, "kind")) ?? throw new FormatException("kind"),
        List(at, "steps", Text),
        FileWords.Back<Dimension>(Text(at, "dimension"), RecordWords.Of),
        Number(at, "value"),
        Maybe(at, "lower"),
        Maybe(at, "upper"),
        Maybe(at, "nominal"),
        Number(at, "uncertainty"),
        Number(at, "conformance"),
        FileWords.Back<Verdict>(Text(at, "verdict"), RecordWords.Of))
    {
        Degrees = at.TryGetProperty("degrees", out JsonElement degrees) ? degrees.GetInt64() : null,
        LowerExcluded = Excludes(at) is "lower" or "both",
        UpperExcluded = Excludes(at) is "upper" or "both",
    };

    /// <summary>Which limits were not allowed themselves; not there where both were, as in records of before. Another word is refused with the bytes' form.</summary>
    private static string? Excludes(JsonElement at) => at.TryGetProperty("excludes", out JsonElement excludes) ? Text(excludes) : null;

    private static RecordComparison Comparison(JsonElement at) => new(
        Text(at, "step"), Text(at, "why"), Number(at, "firstNm"), Number(at, "secondNm"), Number(at, "en"), at.GetProperty("agrees").GetBoolean());

    private static List<T> List<T>(JsonElement at, string name, Func<JsonElement, T> read) => [.. at.GetProperty(name).EnumerateArray().Select(read)];

    private static string Plain(string text) => PrintableText.Escape(text) == text ? text : throw new FormatException();

    private static string Text(JsonElement at, string name) => Text(at.GetProperty(name));

    /// <summary>Only plain text: what a record says may be shown anywhere, also where it came from a stranger's file.</summary>
    private static string Text(JsonElement at) => Plain(at.GetString() ?? throw new FormatException());

    private static string? TextOrNull(JsonElement at) => at.ValueKind == JsonValueKind.Null ? null : Text(at);

    private static double Number(JsonElement at, string name) => at.GetProperty(name).GetDouble();

    private static double? Maybe(JsonElement at, string name) => at.GetProperty(name).ValueKind == JsonValueKind.Null ? null : Number(at, name);

    private static Length LengthOf(JsonElement at, string name) => Length.FromNanometres(at.GetProperty(name).GetInt64());

    private static DateTimeOffset Instant(JsonElement at, string name) => FileWords.InstantOf(Text(at, name));
}
