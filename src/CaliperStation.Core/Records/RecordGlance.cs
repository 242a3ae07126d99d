using System.Text;
using System.Text.Json;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Records;

/// <summary>Takes what a trend needs out of sealed records' bytes, many thousands in a row.</summary>
/// <remarks>
/// <para>It reads forwards once and makes no <see cref="Record"/>: neither form nor seal is proven, so it is for bytes that are proven otherwise, as lines of a journal are by its chain and signatures.
/// <see cref="RecordParse"/> and <see cref="SealedRecord"/> are for everything else; a test holds that both say the same of every record.</para>
/// <para>Only sittings that are not for practice make a coat: a second measurement is of a coat that was counted.</para>
/// </remarks>
/// <param name="filter">What is wanted: of other coats only as much is read as tells that.</param>
public sealed class RecordGlance(TrendFilter filter)
{
    private const int FirstLength = 24;   // of an instant to the millisecond
    private const int MaxNames = 4_096;   // names repeat from record to record; a store of a stranger must not fill the memory with them

    private readonly HashSet<string> _names = new(StringComparer.Ordinal);
    private readonly List<(byte[] Bytes, string Text)> _expected = [];   // the names of the record before, in their order: those of the next one are mostly the same
    private int _next;
    private readonly Dictionary<string, RelationKind?> _kinds = [];
    private readonly List<StepSeen> _steps = [];
    private readonly List<VerdictSeen> _verdicts = [];   // used again for the next record: the first _judged of them count
    private int _judged;
    private bool _allWithin;
    private readonly List<string> _withdrawn = [];
    private readonly List<string> _hands = [];
    private char[] _text = new char[256];
    private string _hand = "", _signedBy = "", _id = "", _tag = "", _closed = "", _standard = "", _edition = "", _sha256 = "", _kind = "";
    private readonly byte[] _first = new byte[FirstLength];
    private bool _hasFirst;
    private int _schema, _asides, _moves;
    private bool _practice;

    private readonly record struct StepSeen(string Step, string Of, string From, int Takes, double Sum, string? Hand);

    private sealed class VerdictSeen
    {
        internal string Relation = "", Kind = "", Dimension = "", Verdict = "";
        internal double Value;
        internal double? Lower, Upper, Nominal;
        internal readonly List<string> Steps = [];

        internal void Clear()
        {
            (Relation, Kind, Dimension, Verdict, Value, Lower, Upper, Nominal) = ("", "", "", "", 0, null, null, null);
            Steps.Clear();
        }
    }

    /// <summary>How many records were looked at.</summary>
    public long Seen { get; private set; }

    /// <summary>How many of them were for practice.</summary>
    public long Practice { get; private set; }

    /// <summary>How many bytes were no record.</summary>
    public long Unreadable { get; private set; }

    /// <summary>The coat of a sealed record; null for what makes none, or is not wanted.</summary>
    /// <param name="sealedRecord">The text of a sealed record, UTF-8.</param>
    public TrendCoat? Read(ReadOnlySpan<byte> sealedRecord)
    {
        Seen++;
        _steps.Clear();
        _withdrawn.Clear();
        _hands.Clear();
        (_hand, _signedBy, _id, _tag, _closed, _standard, _edition, _sha256, _kind) = ("", "", "", "", "", "", "", "", "");
        (_schema, _asides, _moves, _practice, _judged, _next, _hasFirst) = (0, 0, 0, false, 0, 0, false);
        try
        {
            Utf8JsonReader json = new(sealedRecord, new JsonReaderOptions { MaxDepth = 20 });
            json.Read();
            while (Member(ref json))
            {
                if (json.ValueTextEquals("record"u8))
                {
                    Record(ref json);
                }
                else
                {
                    json.Skip();
                }
            }

            if (_schema is < Records.Record.FirstSchema or > Records.Record.CurrentSchema)
            {
                throw new FormatException("a form that is not known");
            }

            if (FileWords.Back<RecordKind>(_kind, RecordWords.Of) != RecordKind.Sitting)
            {
                return null;
            }

            if (_practice)
            {
                Practice++;
                return null;
            }

            DateTimeOffset closed = FileWords.InstantOf(_closed);
            return filter.Wants(closed, _standard) ? Coat(closed) : null;
        }
        catch (Exception fault) when (fault is JsonException or InvalidOperationException or FormatException or OverflowException or ArgumentException)
        {
            Unreadable++;   // what the reader and the words throw for a broken text, an ill-typed member, an unknown word
            return null;
        }
    }

    private TrendCoat Coat(DateTimeOffset closed)
    {
        bool knows = _schema > Records.Record.SecondSchema;
        string all = _hand.Length > 0 ? _hand : _signedBy;   // in schema 1 one hand took all
        _allWithin = Judged().All(IsWithin);
        List<TrendValue> values = new(_judged);
        foreach (VerdictSeen verdict in Judged())
        {
            if (verdict.Dimension != RecordWords.Of(Dimension.Length) || verdict.Steps.Count == 0 || KindOf(verdict) is not { } kind)
            {
                continue;
            }

            if (kind.JudgesEach && verdict.Steps.Count == 1 && Find(verdict.Steps[0]) is { } step && !IsThere(values, step.Step) && Aim(verdict) is { } aim)
            {
                values.Add(new(TrendOf.Step, step.Step, step.Of, verdict.Value - aim, step.Of != step.From, knows ? StepRight(step.Step) : null, step.Hand ?? (_schema == Records.Record.FirstSchema ? all : null)));
            }
            else if (!kind.JudgesEach && Deviation(kind, verdict) is { } deviation && double.IsFinite(deviation))
            {
                bool? right = knows ? IsWithin(verdict) && !verdict.Steps.Exists(_withdrawn.Contains) : null;
                List<string?> hands = [.. _steps.Where(step => verdict.Steps.Contains(step.Step)).Select(step => step.Hand ?? (_schema == Records.Record.FirstSchema ? all : null)).Distinct()];
                values.Add(new(TrendOf.Rule, verdict.Relation, null, deviation, false, right, hands.Count == 1 ? hands[0] : null));
            }
        }

        bool? coatRight = knows ? _allWithin && _asides == 0 && _moves == 0 && _withdrawn.Count == 0 : null;
        return new TrendCoat(_id, _tag, _standard, _edition, _sha256, closed, _hasFirst ? FileWords.InstantOf(Encoding.ASCII.GetString(_first)) : null, coatRight, _moves, HandOfAll(all), values);
    }

    /// <summary>The one hand of every reading, those withdrawn since too; or null.</summary>
    private string? HandOfAll(string all) => _hands.Count == 0 ? all : _hands.TrueForAll(hand => InitialsComparer.Same(hand, _hands[0])) ? _hands[0] : null;

    /// <summary>What was read at a step, or null. A loop, as the others here: this is asked a million times.</summary>
    private StepSeen? Find(string step)
    {
        foreach (StepSeen seen in _steps)
        {
            if (seen.Step == step)
            {
                return seen;
            }
        }

        return null;
    }

    private static bool IsThere(List<TrendValue> values, string step)
    {
        foreach (TrendValue value in values)
        {
            if (value.Of == TrendOf.Step && value.Id == step)
            {
                return true;
            }
        }

        return false;
    }

    private IEnumerable<VerdictSeen> Judged() => _verdicts.Take(_judged);

    private RelationKind? KindOf(VerdictSeen verdict) => _kinds.TryGetValue(verdict.Kind, out RelationKind? known) ? known
        : RelationKind.Find(verdict.Kind) is { } found ? _kinds[verdict.Kind] = found : null;

    private bool StepRight(string step) => !_withdrawn.Contains(step) && (_allWithin || Judged().All(verdict => IsWithin(verdict) || !verdict.Steps.Contains(step)));

    private static bool IsWithin(VerdictSeen verdict) => verdict.Verdict == RecordWords.Of(Judging.Verdict.Within);

    /// <summary>The nominal, or the middle of a range.</summary>
    private static double? Aim(VerdictSeen verdict) => verdict.Nominal ?? (verdict is { Lower: { } lower, Upper: { } upper } ? (lower + upper) / 2 : null);

    /// <summary>Of a rule over several steps its value less its aim; a spread is never negative and cannot drift both ways, so of two that are to be equal the difference stands for it.</summary>
    private double? Deviation(RelationKind kind, VerdictSeen verdict)
    {
        if (!kind.IsSpread)
        {
            return verdict.Value - Aim(verdict);
        }

        return verdict.Steps.Count == 2 && MeanOf(verdict.Steps[0]) is { } one && MeanOf(verdict.Steps[1]) is { } other ? one - other : null;
    }

    private double? MeanOf(string step) => Find(step) is { Takes: > 0 } seen ? seen.Sum / seen.Takes : null;

    private void Record(ref Utf8JsonReader json)
    {
        json.Read();
        while (Member(ref json))
        {
            if (json.ValueTextEquals("readings"u8))
            {
                while (Element(ref json))
                {
                    Step(ref json);
                }
            }
            else if (json.ValueTextEquals("verdicts"u8))
            {
                while (Element(ref json))
                {
                    Verdict(ref json);
                }
            }
            else if (json.ValueTextEquals("withdrawn"u8))
            {
                while (Element(ref json))
                {
                    Withdrawal(ref json);
                }
            }
            else if (json.ValueTextEquals("moves"u8))
            {
                while (Element(ref json))
                {
                    Move(ref json);
                }
            }
            else if (json.ValueTextEquals("asides"u8))
            {
                while (Element(ref json))
                {
                    _asides++;
                    json.Skip();
                }
            }
            else if (json.ValueTextEquals("hands"u8))
            {
                while (Element(ref json))
                {
                    _hands.Add(Name(ref json));
                }
            }
            else if (json.ValueTextEquals("standard"u8))
            {
                json.Read();
                while (Member(ref json))
                {
                    _ = Is(ref json, "edition"u8, ref _edition) || Is(ref json, "name"u8, ref _standard) || Is(ref json, "sha256"u8, ref _sha256) || Skipped(ref json);
                }
            }
            else if (json.ValueTextEquals("schema"u8))
            {
                json.Read();
                _schema = json.GetInt32();
            }
            else if (json.ValueTextEquals("practice"u8))
            {
                json.Read();
                _practice |= json.GetBoolean();
            }
            else
            {
                _ = IsOwn(ref json, "closed"u8, ref _closed) || IsOwn(ref json, "id"u8, ref _id) || IsOwn(ref json, "tag"u8, ref _tag)
                    || Is(ref json, "hand"u8, ref _hand) || Is(ref json, "kind"u8, ref _kind) || Is(ref json, "signedBy"u8, ref _signedBy) || Skipped(ref json);
            }
        }
    }

    private void Step(ref Utf8JsonReader json)
    {
        (string step, string of, string from) = ("", "", "");
        string? hand = null;
        int takes = 0;
        double sum = 0;
        while (Member(ref json))
        {
            if (json.ValueTextEquals("takes"u8))
            {
                while (Element(ref json))
                {
                    (string by, double value) = Take(ref json);
                    hand = takes == 0 || (hand is not null && InitialsComparer.Same(hand, by)) ? by : null;
                    sum += value;
                    takes++;
                }
            }
            else
            {
                _ = Is(ref json, "from"u8, ref from) || Is(ref json, "of"u8, ref of) || Is(ref json, "step"u8, ref step) || Skipped(ref json);
            }
        }

        _steps.Add(new(step, of, from, takes, sum, string.IsNullOrEmpty(hand) ? null : hand));
    }

    private (string Hand, double Value) Take(ref Utf8JsonReader json)
    {
        (string hand, string source) = ("", "");
        double value = 0;
        while (Member(ref json))
        {
            if (json.ValueTextEquals("at"u8))
            {
                json.Read();
                First(ref json);
            }
            else if (json.ValueTextEquals("valueNm"u8))
            {
                json.Read();
                value = json.GetInt64();
            }
            else
            {
                _ = Is(ref json, "hand"u8, ref hand) || Is(ref json, "source"u8, ref source) || Skipped(ref json);
            }
        }

        _practice |= source == FileWords.Of(ReadingSource.Emulated) || source == FileWords.Of(ReadingSource.Replay);
        return (hand, value);
    }

    private void Verdict(ref Utf8JsonReader json)
    {
        if (_judged == _verdicts.Count)
        {
            _verdicts.Add(new VerdictSeen());
        }

        VerdictSeen seen = _verdicts[_judged++];
        seen.Clear();
        while (Member(ref json))
        {
            if (json.ValueTextEquals("steps"u8))
            {
                while (Element(ref json))
                {
                    seen.Steps.Add(Name(ref json));
                }
            }
            else if (json.ValueTextEquals("value"u8))
            {
                json.Read();
                seen.Value = json.GetDouble();
            }
            else
            {
                _ = Is(ref json, "dimension"u8, ref seen.Dimension) || Is(ref json, "kind"u8, ref seen.Kind) || Is(ref json, "lower"u8, ref seen.Lower)
                    || Is(ref json, "nominal"u8, ref seen.Nominal) || Is(ref json, "relation"u8, ref seen.Relation) || Is(ref json, "upper"u8, ref seen.Upper)
                    || Is(ref json, "verdict"u8, ref seen.Verdict) || Skipped(ref json);
            }
        }
    }

    private void Withdrawal(ref Utf8JsonReader json)
    {
        string step = "";
        while (Member(ref json))
        {
            if (json.ValueTextEquals("takes"u8))
            {
                while (Element(ref json))
                {
                    Take(ref json);
                }
            }
            else
            {
                _ = Is(ref json, "step"u8, ref step) || Skipped(ref json);
            }
        }

        _withdrawn.Add(step);
    }

    private void Move(ref Utf8JsonReader json)
    {
        while (Member(ref json))
        {
            if (json.ValueTextEquals("items"u8))
            {
                while (Element(ref json))
                {
                    _moves++;
                    json.Skip();
                }
            }
            else
            {
                Skipped(ref json);
            }
        }
    }

    /// <summary>Keeps the earliest instant. Instants of a record are of one form and in UTC, so the order of their letters is that of time.</summary>
    private void First(ref Utf8JsonReader json)
    {
        ReadOnlySpan<byte> at = json.ValueSpan;
        if (json.TokenType != JsonTokenType.String || at.Length != FirstLength)
        {
            throw new FormatException("no instant");
        }

        if (!_hasFirst || at.SequenceCompareTo(_first) < 0)
        {
            at.CopyTo(_first);
            _hasFirst = true;
        }
    }

    /// <summary>To the name of the next member; false at the end of the object.</summary>
    private static bool Member(ref Utf8JsonReader json) => json.Read() && json.TokenType == JsonTokenType.PropertyName;

    /// <summary>To the next element of the array behind a name; false at its end.</summary>
    private static bool Element(ref Utf8JsonReader json)
    {
        if (json.TokenType == JsonTokenType.PropertyName)
        {
            json.Read();
            if (json.TokenType != JsonTokenType.StartArray)
            {
                throw new FormatException("no list");
            }
        }

        return json.Read() && json.TokenType != JsonTokenType.EndArray;
    }

    private static bool Skipped(ref Utf8JsonReader json)
    {
        json.Skip();
        return true;
    }

    /// <summary>A text that is another one in each record: it is not kept among the names.</summary>
    private bool IsOwn(ref Utf8JsonReader json, ReadOnlySpan<byte> name, ref string text)
    {
        if (!json.ValueTextEquals(name))
        {
            return false;
        }

        json.Read();
        text = Text(ref json).ToString();
        return true;
    }

    private bool Is(ref Utf8JsonReader json, ReadOnlySpan<byte> name, ref string text)
    {
        if (!json.ValueTextEquals(name))
        {
            return false;
        }

        json.Read();
        text = Name(ref json);
        return true;
    }

    private static bool Is(ref Utf8JsonReader json, ReadOnlySpan<byte> name, ref double? number)
    {
        if (!json.ValueTextEquals(name))
        {
            return false;
        }

        json.Read();
        number = json.TokenType == JsonTokenType.Null ? null : json.GetDouble();
        return true;
    }

    private string Name(ref Utf8JsonReader json)
    {
        int at = _next++;
        if (at < _expected.Count && json.TokenType == JsonTokenType.String && !json.ValueIsEscaped && json.ValueSpan.SequenceEqual(_expected[at].Bytes))
        {
            return _expected[at].Text;
        }

        ReadOnlySpan<char> text = Text(ref json);
        if (!_names.GetAlternateLookup<ReadOnlySpan<char>>().TryGetValue(text, out string? name))
        {
            name = text.ToString();
            if (_names.Count < MaxNames)
            {
                _names.Add(name);
            }
        }

        if (at < MaxNames && !json.ValueIsEscaped)
        {
            (byte[], string) expected = (json.ValueSpan.ToArray(), name);
            if (at == _expected.Count)
            {
                _expected.Add(expected);
            }
            else if (at < _expected.Count)
            {
                _expected[at] = expected;
            }
        }

        return name;
    }

    private ReadOnlySpan<char> Text(ref Utf8JsonReader json)
    {
        if (json.TokenType != JsonTokenType.String)
        {
            throw new FormatException("no text");
        }

        if (_text.Length < json.ValueSpan.Length)
        {
            _text = new char[json.ValueSpan.Length];
        }

        return _text.AsSpan(0, json.CopyString(_text));
    }
}
