using System.Text.Json;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Records;

/// <summary>Reads records from their bytes, forwards and once, many thousands in a row: the way back of <see cref="RecordBytes"/>, member by member in the same order.</summary>
/// <remarks>
/// <para>Form and seal are not proven here: <see cref="RecordParse"/> and <see cref="SealedRecord"/> do that. What has a member missing, too many or in another place is refused already, so few other bytes come through.</para>
/// <para>Names repeat from record to record and are kept, so many and no more, whatever a stranger's store holds.</para>
/// </remarks>
public sealed class RecordReader
{
    private const int MaxDepth = 20;
    private const int LongestKept = 64;

    private static readonly (byte[] Word, RecordKind Value)[] _kinds = Words<RecordKind>(RecordWords.Of);
    private static readonly (byte[] Word, DecisionRule Value)[] _rules = Words<DecisionRule>(RecordWords.Of);
    private static readonly (byte[] Word, LengthUnit Value)[] _units = Words<LengthUnit>(FileWords.Of);
    private static readonly (byte[] Word, ReadingSource Value)[] _sources = Words<ReadingSource>(FileWords.Of);
    private static readonly (byte[] Word, Dimension Value)[] _dimensions = Words<Dimension>(RecordWords.Of);
    private static readonly (byte[] Word, Verdict Value)[] _verdicts = Words<Verdict>(RecordWords.Of);
    private static readonly (byte[] Word, RelationKind Value)[] _relations = [.. RelationKind.All.Select(kind => (System.Text.Encoding.ASCII.GetBytes(kind.Word), kind))];

    private readonly (byte[]? Bytes, string Text)[] _names = new (byte[]?, string)[1024];

    private delegate T Reading<T>(ref Utf8JsonReader json);

    /// <summary>The record whose bytes these are.</summary>
    /// <exception cref="JsonException">They are no JSON.</exception>
    /// <exception cref="FormatException">A member is missing, too many, in another place, of another type, or what no record says.</exception>
    public Record Read(ReadOnlySpan<byte> bytes) => Whole(bytes, Record);

    /// <summary>The record in a sealed record's text, UTF-8.</summary>
    /// <inheritdoc cref="Read" path="/exception"/>
    public Record ReadSealed(ReadOnlySpan<byte> bytes) => Whole(bytes, (ref json) =>
    {
        Open(ref json);
        Text(ref json, "hash"u8);
        Text(ref json, "publicKey"u8);
        Member(ref json, "record"u8);
        Record record = Record(ref json);
        Member(ref json, "signature"u8);
        Text(ref json);
        Close(ref json);
        return record;
    });

    private static T Whole<T>(ReadOnlySpan<byte> bytes, Reading<T> read)
    {
        try
        {
            Utf8JsonReader json = new(bytes, new JsonReaderOptions { MaxDepth = MaxDepth });
            Next(ref json);
            T whole = read(ref json);
            return json.Read() ? throw new FormatException("more than one") : whole;
        }
        catch (Exception fault) when (fault is InvalidOperationException or KeyNotFoundException or OverflowException or ArgumentException)
        {
            throw new FormatException(fault.Message, fault);   // what the reader and the words throw for an ill-typed member or broken text
        }
    }

    private Record Record(ref Utf8JsonReader json)
    {
        Open(ref json);
        Dictionary<string, string> answers = Answers(ref json);
        List<RecordAside> asides = List(ref json, "asides"u8, Aside);
        string chain = Name(ref json, "chain"u8);
        DateTimeOffset closed = Instant(ref json, "closed"u8);
        List<RecordComparison> comparisons = List(ref json, "comparisons"u8, Comparison);
        List<RecordConfirmation> confirmed = ListIfThere(ref json, "confirmed"u8, Confirmation);
        RecordEvents? events = IsThere(ref json, "events"u8) ? Events(ref json) : null;
        string hand = Name(ref json, "hand"u8);
        List<string> hands = ListIfThere(ref json, "hands"u8, Name);
        string id = Text(ref json, "id"u8);
        Member(ref json, "judging"u8);
        JudgingSettings judging = Judging(ref json);
        RecordKind kind = Word(ref json, "kind"u8, _kinds);
        List<RecordMove> moves = List(ref json, "moves"u8, Move);
        List<RecordConfirmation> notSo = ListIfThere(ref json, "notSo"u8, Confirmation);
        long number = Whole(ref json, "number"u8);
        string? ofRecord = TextOrNull(ref json, "ofRecord"u8);
        bool practice = IsThere(ref json, "practice"u8) && Truth(ref json);
        string previous = Text(ref json, "previous"u8);
        List<RecordReading> readings = List(ref json, "readings"u8, Step);
        int schema = checked((int)Whole(ref json, "schema"u8));
        long? seed = WholeOrNull(ref json, "seed"u8);
        string signedBy = Name(ref json, "signedBy"u8);
        Member(ref json, "standard"u8);
        RecordStandard standard = Standard(ref json);
        DateTimeOffset started = Instant(ref json, "started"u8);
        string tag = Text(ref json, "tag"u8);
        List<RecordTagCorrection> corrections = ListIfThere(ref json, "tagCorrections"u8, Correction);
        List<RecordVerdict> verdicts = List(ref json, "verdicts"u8, Judged);
        bool verified = Truth(ref json, "verified"u8);
        List<RecordWithdrawal> withdrawn = ListIfThere(ref json, "withdrawn"u8, Withdrawal);
        Close(ref json);
        if (schema is < Records.Record.FirstSchema or > Records.Record.CurrentSchema)
        {
            throw new FormatException("a form that is not known");
        }

        if (schema == Records.Record.FirstSchema)
        {
            string all = hand.Length > 0 ? hand : signedBy;   // one hand took all
            hands = all.Length > 0 ? [all] : [];
            readings = [.. readings.Select(reading => reading with { Takes = [.. reading.Takes.Select(take => take with { Hand = all })] })];
        }

        return new Record(
            schema, chain, number, previous, id, kind, ofRecord, tag, hand, signedBy, standard, judging, answers, started, closed, readings, verdicts, asides, moves, comparisons, seed, verified)
        {
            Hands = hands,
            Practice = practice,
            TagCorrections = corrections,
            Events = events,
            Confirmed = confirmed,
            NotSo = notSo,
            Withdrawn = withdrawn,
        };
    }

    private Dictionary<string, string> Answers(ref Utf8JsonReader json)
    {
        Member(ref json, "answers"u8);
        Open(ref json);
        Dictionary<string, string> answers = [];
        while (json.TokenType == JsonTokenType.PropertyName)
        {
            string question = Name(ref json);
            answers.Add(question, Name(ref json));
        }

        Close(ref json);
        return answers;
    }

    private RecordAside Aside(ref Utf8JsonReader json)
    {
        Open(ref json);
        DateTimeOffset at = Instant(ref json, "at"u8);
        string reason = Text(ref json, "reason"u8);
        string relation = Name(ref json, "relation"u8);
        string? step = TextOrNull(ref json, "step"u8);
        Close(ref json);
        return new(relation, step, reason, at);
    }

    private RecordComparison Comparison(ref Utf8JsonReader json)
    {
        Open(ref json);
        bool agrees = Truth(ref json, "agrees"u8);
        double en = Number(ref json, "en"u8);
        double first = Number(ref json, "firstNm"u8);
        double second = Number(ref json, "secondNm"u8);
        string step = Name(ref json, "step"u8);
        string why = Name(ref json, "why"u8);
        Close(ref json);
        return new(step, why, first, second, en, agrees);
    }

    private RecordConfirmation Confirmation(ref Utf8JsonReader json)
    {
        Open(ref json);
        DateTimeOffset at = Instant(ref json, "at"u8);
        string line = Name(ref json, "line"u8);
        Close(ref json);
        return new(line, at);
    }

    private static RecordEvents? Events(ref Utf8JsonReader json)
    {
        if (json.TokenType == JsonTokenType.Null)
        {
            Next(ref json);
            return null;
        }

        Open(ref json);
        Member(ref json, "first"u8);
        EventMark first = Mark(ref json);
        Member(ref json, "last"u8);
        EventMark last = Mark(ref json);
        Close(ref json);
        return new(first, last);
    }

    private static EventMark Mark(ref Utf8JsonReader json)
    {
        Open(ref json);
        string hash = Text(ref json, "hash"u8);
        long number = Whole(ref json, "number"u8);
        Close(ref json);
        return new(number, hash);
    }

    private static JudgingSettings Judging(ref Utf8JsonReader json)
    {
        Open(ref json);
        Length caliper = LengthOf(ref json, "caliperNm"u8);
        double confidence = Number(ref json, "confidence"u8);
        Length hand = LengthOf(ref json, "handNm"u8);
        DecisionRule rule = Word(ref json, "rule"u8, _rules);
        List<HandFigure> figures = ListIfThere(ref json, "studies"u8, Figure);
        Length within = LengthOf(ref json, "withinNm"u8);
        Close(ref json);
        return new(rule, confidence, within, hand, caliper) { Figures = figures.Count == 0 ? [] : [.. figures] };
    }

    private static HandFigure Figure(ref Utf8JsonReader json)
    {
        using JsonDocument figure = JsonDocument.ParseValue(ref json);
        Next(ref json);
        return HandFigureJson.Read(figure.RootElement);
    }

    private RecordMove Move(ref Utf8JsonReader json)
    {
        Open(ref json);
        DateTimeOffset at = Instant(ref json, "at"u8);
        List<string> items = List(ref json, "items"u8, Name);
        Close(ref json);
        return new(items, at);
    }

    private RecordReading Step(ref Utf8JsonReader json)
    {
        Open(ref json);
        string from = Name(ref json, "from"u8);
        string of = Name(ref json, "of"u8);
        string step = Name(ref json, "step"u8);
        List<Readings.Reading> takes = List(ref json, "takes"u8, Take);
        Close(ref json);
        return new(step, of, from, takes);
    }

    private Readings.Reading Take(ref Utf8JsonReader json)
    {
        Open(ref json);
        DateTimeOffset at = Instant(ref json, "at"u8);
        string hand = IsThere(ref json, "hand"u8) ? Name(ref json) : "";
        string raw = Text(ref json, "raw"u8);
        Length resolution = LengthOf(ref json, "resolutionNm"u8);
        ReadingSource source = Word(ref json, "source"u8, _sources);
        LengthUnit unit = Word(ref json, "unit"u8, _units);
        Length value = LengthOf(ref json, "valueNm"u8);
        Close(ref json);
        return new(value, unit, resolution, source, at, raw) { Hand = hand };
    }

    private RecordStandard Standard(ref Utf8JsonReader json)
    {
        Open(ref json);
        string edition = Name(ref json, "edition"u8);
        string name = Name(ref json, "name"u8);
        string sha256 = Name(ref json, "sha256"u8);
        Close(ref json);
        return new(name, edition, sha256);
    }

    private static RecordTagCorrection Correction(ref Utf8JsonReader json)
    {
        Open(ref json);
        DateTimeOffset at = Instant(ref json, "at"u8);
        string from = Text(ref json, "from"u8);
        string reason = Text(ref json, "reason"u8);
        Close(ref json);
        return new(from, reason, at);
    }

    private RecordVerdict Judged(ref Utf8JsonReader json)
    {
        Open(ref json);
        double conformance = Number(ref json, "conformance"u8);
        long? degrees = IsThere(ref json, "degrees"u8) ? Whole(ref json) : null;
        Dimension dimension = Word(ref json, "dimension"u8, _dimensions);
        string? excludes = IsThere(ref json, "excludes"u8) ? Name(ref json) : null;   // any word but these is refused with the bytes' form
        RelationKind kind = Word(ref json, "kind"u8, _relations);
        double? lower = NumberOrNull(ref json, "lower"u8);
        double? nominal = NumberOrNull(ref json, "nominal"u8);
        string relation = Name(ref json, "relation"u8);
        List<string> steps = List(ref json, "steps"u8, Name);
        double uncertainty = Number(ref json, "uncertainty"u8);
        double? upper = NumberOrNull(ref json, "upper"u8);
        double value = Number(ref json, "value"u8);
        Verdict verdict = Word(ref json, "verdict"u8, _verdicts);
        Close(ref json);
        return new(relation, kind, steps, dimension, value, lower, upper, nominal, uncertainty, conformance, verdict)
        {
            Degrees = degrees,
            LowerExcluded = excludes is "lower" or "both",
            UpperExcluded = excludes is "upper" or "both",
        };
    }

    private RecordWithdrawal Withdrawal(ref Utf8JsonReader json)
    {
        Open(ref json);
        DateTimeOffset at = Instant(ref json, "at"u8);
        string step = Name(ref json, "step"u8);
        List<Readings.Reading> takes = List(ref json, "takes"u8, Take);
        bool moved = Name(ref json, "why"u8) == RecordWords.Moved;   // any other word than the two is refused with the bytes' form
        Close(ref json);
        return new(step, moved, at, takes);
    }

    // ---- the parts of JSON; each leaves the reader on what comes next ----

    private static void Next(ref Utf8JsonReader json)
    {
        if (!json.Read())
        {
            throw new FormatException("it ends early");
        }
    }

    private static void Open(ref Utf8JsonReader json) => Past(ref json, JsonTokenType.StartObject);

    /// <summary>Past the end of an object; at the end of all there is nothing behind it.</summary>
    private static void Close(ref Utf8JsonReader json)
    {
        if (json.TokenType != JsonTokenType.EndObject)
        {
            throw new FormatException("a member too many");
        }

        if (json.CurrentDepth > 0)
        {
            Next(ref json);
        }
    }

    private static void Past(ref Utf8JsonReader json, JsonTokenType type)
    {
        if (json.TokenType != type)
        {
            throw new FormatException("of another type");
        }

        Next(ref json);
    }

    private static bool IsThere(ref Utf8JsonReader json, ReadOnlySpan<byte> name)
    {
        bool there = json.TokenType == JsonTokenType.PropertyName && json.ValueTextEquals(name);
        if (there)
        {
            Next(ref json);
        }

        return there;
    }

    private static void Member(ref Utf8JsonReader json, ReadOnlySpan<byte> name)
    {
        if (!IsThere(ref json, name))
        {
            throw new FormatException("a member is missing");
        }
    }

    private static List<T> ListIfThere<T>(ref Utf8JsonReader json, ReadOnlySpan<byte> name, Reading<T> read) => IsThere(ref json, name) ? List(ref json, read) : [];

    private static List<T> List<T>(ref Utf8JsonReader json, ReadOnlySpan<byte> name, Reading<T> read)
    {
        Member(ref json, name);
        return List(ref json, read);
    }

    private static List<T> List<T>(ref Utf8JsonReader json, Reading<T> read)
    {
        Past(ref json, JsonTokenType.StartArray);
        List<T> list = [];
        while (json.TokenType != JsonTokenType.EndArray)
        {
            list.Add(read(ref json));
        }

        Next(ref json);
        return list;
    }

    private static string Text(ref Utf8JsonReader json, ReadOnlySpan<byte> name)
    {
        Member(ref json, name);
        return Text(ref json);
    }

    /// <summary>Only plain text: what a record says may be shown anywhere, also where it came from a stranger's file.</summary>
    private static string Text(ref Utf8JsonReader json)
    {
        string text = json.GetString() ?? throw new FormatException("no text");
        Next(ref json);
        return PrintableText.Escape(text) == text ? text : throw new FormatException("not plain text");
    }

    private static string? TextOrNull(ref Utf8JsonReader json, ReadOnlySpan<byte> name)
    {
        Member(ref json, name);
        if (json.TokenType != JsonTokenType.Null)
        {
            return Text(ref json);
        }

        Next(ref json);
        return null;
    }

    private string Name(ref Utf8JsonReader json, ReadOnlySpan<byte> name)
    {
        Member(ref json, name);
        return Name(ref json);
    }

    /// <summary>A text that most records have, or the name of a member.</summary>
    private string Name(ref Utf8JsonReader json)
    {
        ReadOnlySpan<byte> bytes = json.ValueSpan;
        if (json.TokenType is not (JsonTokenType.String or JsonTokenType.PropertyName) || json.ValueIsEscaped || bytes.Length > LongestKept)
        {
            return Text(ref json);
        }

        uint place = 2_166_136_261;   // FNV-1a: any spread of places will do
        foreach (byte value in bytes)
        {
            place = unchecked((place ^ value) * 16_777_619);
        }

        ref (byte[]? Bytes, string Text) kept = ref _names[place % (uint)_names.Length];
        if (kept.Bytes is { } known && bytes.SequenceEqual(known))
        {
            Next(ref json);
            return kept.Text;
        }

        byte[] copy = bytes.ToArray();
        kept = (copy, Text(ref json));
        return kept.Text;
    }

    private static DateTimeOffset Instant(ref Utf8JsonReader json, ReadOnlySpan<byte> name)
    {
        Member(ref json, name);
        if (json.TokenType != JsonTokenType.String || !FileWords.TryInstant(json.ValueSpan, out DateTimeOffset at))
        {
            throw new FormatException("no instant");
        }

        Next(ref json);
        return at;
    }

    private static bool Truth(ref Utf8JsonReader json, ReadOnlySpan<byte> name)
    {
        Member(ref json, name);
        return Truth(ref json);
    }

    private static bool Truth(ref Utf8JsonReader json)
    {
        bool truth = json.GetBoolean();
        Next(ref json);
        return truth;
    }

    private static double Number(ref Utf8JsonReader json, ReadOnlySpan<byte> name) => NumberOrNull(ref json, name) ?? throw new FormatException("no number");

    private static double? NumberOrNull(ref Utf8JsonReader json, ReadOnlySpan<byte> name)
    {
        Member(ref json, name);
        double? number = json.TokenType == JsonTokenType.Null ? null : json.GetDouble();
        Next(ref json);
        return number is not { } value || double.IsFinite(value) ? number : throw new FormatException("too large a number");
    }

    private static Length LengthOf(ref Utf8JsonReader json, ReadOnlySpan<byte> name) => Length.FromNanometres(Whole(ref json, name));

    private static long Whole(ref Utf8JsonReader json, ReadOnlySpan<byte> name) => WholeOrNull(ref json, name) ?? throw new FormatException("no number");

    private static long? WholeOrNull(ref Utf8JsonReader json, ReadOnlySpan<byte> name)
    {
        Member(ref json, name);
        if (json.TokenType != JsonTokenType.Null)
        {
            return Whole(ref json);
        }

        Next(ref json);
        return null;
    }

    private static long Whole(ref Utf8JsonReader json)
    {
        long number = json.GetInt64();
        Next(ref json);
        return number;
    }

    private static T Word<T>(ref Utf8JsonReader json, ReadOnlySpan<byte> name, (byte[] Word, T Value)[] words)
    {
        Member(ref json, name);
        foreach ((byte[] word, T value) in words)
        {
            if (json.TokenType == JsonTokenType.String && json.ValueTextEquals(word))
            {
                Next(ref json);
                return value;
            }
        }

        throw new FormatException("a word that no record has");
    }

    private static (byte[] Word, T Value)[] Words<T>(Func<T, string> of)
        where T : struct, Enum => [.. Enum.GetValues<T>().Select(value => (System.Text.Encoding.ASCII.GetBytes(of(value)), value))];
}
