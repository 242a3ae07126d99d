using System.Diagnostics.CodeAnalysis;
using System.Text.Json;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using LiteDB;

namespace CaliperStation.Storage;

/// <summary>Finds records, blouses and open sittings without reading the whole journal. It holds nothing the journal does not.</summary>
/// <remarks>
/// One process writes it, under its own lock, because two that open the file lose each other's work. It is written after the journal.
/// Any error of the database makes it stale: it is then left alone, callers read the journal, and the next start builds it anew.
/// </remarks>
internal sealed class StoreIndex : IDisposable
{
    private const string HeadId = "head";
    private readonly FileStream _lock;
    private readonly string _path;
    private readonly LiteDatabase _database;
    private readonly ILiteCollection<BsonDocument> _meta;
    private readonly ILiteCollection<BsonDocument> _records;
    private readonly ILiteCollection<BsonDocument> _open;
    private readonly ILiteCollection<BsonDocument> _abandoned;
    private readonly ILiteCollection<BsonDocument> _checks;
    private readonly ILiteCollection<BsonDocument> _blouses;
    private readonly ILiteCollection<BsonDocument> _seconds;   // countersigns and rechecks, by the record they look back at
    private Dictionary<string, BsonDocument>? _catchingUp;     // blouses not yet written: once at the end, not once a record
    private bool _hasSeconds;
    private JournalLine? _last;   // taken, but not yet noted in the file

    private StoreIndex(string path, FileStream held)
    {
        (_path, _lock) = (path, held);
        BsonMapper mapper = new() { TrimWhitespace = false, EmptyStringToNull = false };
        _database = new LiteDatabase(new ConnectionString { Filename = path, Connection = ConnectionType.Direct, Collation = Collation.Binary }, mapper);
        _meta = _database.GetCollection("meta");
        _records = _database.GetCollection("records");
        _open = _database.GetCollection("open");
        _abandoned = _database.GetCollection("abandoned");
        _checks = _database.GetCollection("checks");
        _blouses = _database.GetCollection("blouses");
        _seconds = _database.GetCollection("seconds");
    }

    /// <summary>Why the index is not used any more; null while it is.</summary>
    public string? Stale { get; private set; }

    /// <summary>The number of the last event it knows; 0 for none.</summary>
    public long LastNumber { get; private set; }

    private string LastHash { get; set; } = JournalFormat.FirstHash;

    /// <summary>Takes an event that the journal has acknowledged. Never throws for what the database does.</summary>
    public void Take(JournalLine line, LinePlace place) => Guard<object?>(() =>
    {
        _last = line;
        switch (line.Kind)
        {
            case "started":
                _open.Upsert(new BsonDocument
                {
                    ["_id"] = line.Sitting,
                    ["schema"] = IndexDocuments.Schema,
                    ["tag"] = TextOf(line.Body, "tag"),
                    [IndexDocuments.Key] = BlouseTag.Key(TextOf(line.Body, "tag")),
                    ["started"] = line.At.ToUnixTimeMilliseconds(),
                    ["first"] = line.Number,
                });
                break;
            case RecordStore.Kind:
                TakeRecord(line, place);
                _open.Delete(line.Sitting);
                break;
            case "tag" when _open.FindById(line.Sitting) is { } open && TextOf(line.Body, "tag") is { Length: > 0 } tag:
                (open["tag"], open[IndexDocuments.Key]) = (tag, BlouseTag.Key(tag));
                _open.Update(open);
                break;
            case "abandoned" when _open.FindById(line.Sitting) is { } given:
                _abandoned.Upsert(new BsonDocument
                {
                    ["_id"] = line.Sitting,
                    ["schema"] = IndexDocuments.Schema,
                    ["number"] = line.Number,
                    ["tag"] = given["tag"],
                    ["at"] = line.At.ToUnixTimeMilliseconds(),
                    ["reason"] = TextOf(line.Body, "reason"),
                });
                _open.Delete(line.Sitting);
                break;
            case JournalCheck.Kind when JournalCheck.PortOf(line.Body) is { } port:
                _checks.Upsert(new BsonDocument { ["_id"] = port, ["schema"] = IndexDocuments.Schema, ["at"] = line.At.ToUnixTimeMilliseconds(), ["body"] = line.Body });
                break;
            default:
                return null;   // the head is noted with the next event that matters, or at the end; a start reads on from there
        }

        if (_catchingUp is null)
        {
            Note(line);
        }

        return null;
    }, null);

    /// <summary>The records that are wanted, in the order they were filed; null when the index is stale.</summary>
    public IReadOnlyList<IndexedRecord>? Records(RecordFilter filter) => Guard<IReadOnlyList<IndexedRecord>?>(() =>
    {
        IEnumerable<BsonDocument> found = filter switch
        {
            { Tag: { } tag } => _records.Find(Query.EQ(IndexDocuments.Key, BlouseTag.Key(tag))).OrderBy(at => at["_id"].AsInt64),
            { From: { } from } => _records.Find(Query.GTE("closed", from.ToUnixTimeMilliseconds())).OrderBy(at => at["_id"].AsInt64),
            _ => _records.FindAll(),
        };
        return [.. found.Select(IndexDocuments.Indexed).Where(record => filter.Wants(record.Summary))];
    }, null);

    /// <summary>Of each blouse the records that decide its readiness: its last sitting and latest remeasurements; null when the index is stale.</summary>
    public IReadOnlyList<RecordSummary>? Latest() => Guard<IReadOnlyList<RecordSummary>?>(
        () => [.. _blouses.FindAll().SelectMany(LatestOfBlouse.Records).Select(IndexDocuments.Summary)], null);

    /// <summary>How many records it knows; null when it is stale.</summary>
    public long? RecordCount() => Guard<long?>(() => _records.LongCount(), null);

    /// <summary>The record filed last of a blouse; null when there is none, or the index is stale.</summary>
    public IndexedRecord? LastOf(string tag) => Guard(
        () => _records.Find(Query.EQ(IndexDocuments.Key, BlouseTag.Key(tag))).MaxBy(at => at["_id"].AsInt64) is { } last ? IndexDocuments.Indexed(last) : null, null);

    /// <summary>The record of that id; null when there is none, or the index is stale.</summary>
    public IndexedRecord? Find(string id) => Guard(() => _records.FindOne(Query.EQ("id", id)) is { } at ? IndexDocuments.Indexed(at) : null, null);

    /// <summary>Sittings begun and not closed, of one blouse or of all, the oldest first; null when the index is stale.</summary>
    public IReadOnlyList<OpenSitting>? OpenSittings(string? tag) => Guard<IReadOnlyList<OpenSitting>?>(() =>
    [
        .. (tag is null ? _open.FindAll() : _open.Find(Query.EQ(IndexDocuments.Key, BlouseTag.Key(tag))))
            .Select(at => new OpenSitting(at["_id"].AsString, at["tag"].AsString, DateTimeOffset.FromUnixTimeMilliseconds(at["started"].AsInt64), at["first"].AsInt64))
            .OrderBy(sitting => sitting.FirstNumber),
    ], null);

    /// <summary>Sittings given up, in order; null when the index is stale.</summary>
    public IReadOnlyList<AbandonedSitting>? Abandoned() => Guard<IReadOnlyList<AbandonedSitting>?>(() =>
    [
        .. _abandoned.FindAll().OrderBy(at => at["number"].AsInt64)
            .Select(at => new AbandonedSitting(at["_id"].AsString, at["tag"].AsString, DateTimeOffset.FromUnixTimeMilliseconds(at["at"].AsInt64), at["reason"].AsString)),
    ], null);

    /// <summary>The last check of the caliper on a port; null when there is none, or the index is stale.</summary>
    public JournalCheck? LastCheck(string port) => Guard(
        () => _checks.FindById(port) is { } at ? new JournalCheck(DateTimeOffset.FromUnixTimeMilliseconds(at["at"].AsInt64), at["body"].AsString) : null, null);

    /// <summary>Where each chain ended, by its name; null when the index is stale.</summary>
    public IReadOnlyDictionary<string, ChainPlace>? Heads() => Guard<IReadOnlyDictionary<string, ChainPlace>?>(() => _meta.Find(Query.EQ("what", "chain"))
        .ToDictionary(at => at["_id"].AsString, at => new ChainPlace(at["_id"].AsString, at["number"].AsInt64, at["sha"].AsString)), null);

    /// <summary>Gives the index up: from now on callers read the journal.</summary>
    public void Break(Exception why) => Stale = why.Message;

    /// <inheritdoc />
    public void Dispose()
    {
        if (Stale is null && _last is { } last && last.Number > LastNumber)
        {
            Guard<object?>(() => { Note(last); return null; }, null);
        }

        Close(this);
        _lock.Dispose();
    }

    /// <summary>A member of a body that is a text; empty where there is none.</summary>
    internal static string TextOf(string body, string member)
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(body);
            return document.RootElement.TryGetProperty(member, out JsonElement text) && text.ValueKind == JsonValueKind.String ? text.GetString()! : "";
        }
        catch (Exception e) when (e is System.Text.Json.JsonException or InvalidOperationException)
        {
            return "";
        }
    }

    private void TakeRecord(JournalLine line, LinePlace place)
    {
        if (SealedRecord.Read(line.Body) is not { Record: { } record } seal)
        {
            return;   // "records verify" tells; the index only finds what can be read
        }

        BsonDocument document = IndexDocuments.Record(line, place, record, seal);
        _records.Upsert(document);
        if (record.Kind != RecordKind.Sitting)
        {
            _seconds.Upsert(document);
            _hasSeconds = true;
        }

        string key = BlouseTag.Key(record.Tag);
        BsonDocument? known = _catchingUp?.GetValueOrDefault(key) ?? _blouses.FindById(key);
        BsonDocument blouse = LatestOfBlouse.With(known, document, id => _hasSeconds ? _seconds.Find(Query.EQ("of", id)).OrderBy(at => at["_id"].AsInt64) : []);
        if (_catchingUp is not null)
        {
            _catchingUp[key] = blouse;
        }
        else
        {
            _blouses.Upsert(blouse);
        }

        BsonDocument? head = _meta.FindById(record.Chain);
        if (head is null || head["number"].AsInt64 < record.Number)
        {
            _meta.Upsert(new BsonDocument { ["_id"] = record.Chain, ["what"] = "chain", ["number"] = record.Number, ["sha"] = seal.Hash });
        }
    }

    private void Note(JournalLine line)
    {
        _meta.Upsert(new BsonDocument { ["_id"] = HeadId, ["what"] = HeadId, ["schema"] = IndexDocuments.Schema, ["number"] = line.Number, ["hash"] = line.Hash });
        (LastNumber, LastHash) = (line.Number, line.Hash);
    }

    /// <summary>Whatever the database throws makes the index stale and stops nothing: it is known to throw anything for a damaged file.</summary>
    private T Guard<T>(Func<T> work, T otherwise)
    {
        if (Stale is not null)
        {
            return otherwise;
        }

        try
        {
            return work();
        }
        catch (Exception e) when (e is not OutOfMemoryException)
        {
            Break(e);
            return otherwise;
        }
    }

    // ---- opening: caught up with the journal, or built anew ----

    private const int ReportEvery = 2_000;

    /// <summary>Opens the index and catches up; null when another process has it, or it cannot be made: callers then read the journal.</summary>
    /// <param name="paths">The store.</param>
    /// <param name="journal">The journal, opened.</param>
    /// <param name="clock">For the progress.</param>
    /// <param name="progress">Called now and then while it is built or catches up.</param>
    /// <param name="why">Why there is none, or null.</param>
    public static StoreIndex? Open(StorePaths paths, Journal journal, TimeProvider clock, Action<StoreProgress> progress, out string? why)
    {
        why = null;
        if (TakeLock(paths) is not { } held)
        {
            why = "the index is in use by another process, or cannot be written";
            return null;
        }

        string reason = File.Exists(paths.Index) ? "catching up the index" : "making the index";
        StoreIndex? index = TryOpen(paths.Index, held, journal, out string? fault);
        if (index is null && fault is not null)
        {
            reason = $"making the index anew: {fault}";
            if (!MoveAside(paths.Index, out why))
            {
                held.Dispose();
                return null;
            }

            index = TryOpen(paths.Index, held, journal, out why);
        }

        if (index is null)
        {
            held.Dispose();
            return null;
        }

        index.CatchUp(journal, clock, progress, reason);
        if (index.Stale is not null)
        {
            why = index.Stale;
            index.Dispose();
            return null;
        }

        return index;
    }

    /// <summary>True when it knows events that the journal does not have: the journal was cut off at its end.</summary>
    public bool IsAheadOf(Journal journal) => LastNumber > journal.LastNumber;

    private static StoreIndex? TryOpen(string path, FileStream held, Journal journal, out string? fault)
    {
        fault = null;
        StoreIndex? index = null;
        try
        {
            if (!File.Exists(path))
            {
                File.Delete(LogOf(path));   // what a killed process left of an index that was taken away is no part of a new one
            }

            index = new StoreIndex(path, held);
            fault = index.ReadHead(journal);
        }
        catch (Exception e) when (e is not OutOfMemoryException)
        {
            fault = $"it is damaged ({e.Message})";
        }

        if (fault is not null)
        {
            Close(index);
            return null;
        }

        return index;
    }

    [SuppressMessage("Design", "CA1031", Justification = "a damaged database throws anything, also when it is closed")]
    private static void Close(StoreIndex? index)
    {
        try
        {
            index?._database.Dispose();
        }
        catch (Exception)
        {
            // it is moved aside next
        }
    }

    /// <summary>What is wrong with the file, or null.</summary>
    private string? ReadHead(Journal journal)
    {
        BsonDocument? head = _meta.FindById(HeadId);
        if (head is not null && (!head["schema"].IsInt32 || head["schema"].AsInt32 != IndexDocuments.Schema))
        {
            return "it was made by another version of the program";
        }

        if (head is null && _records.Count() > 0)
        {
            return "it does not say how far it goes";
        }

        _records.EnsureIndex("id", BsonExpression.Create("$.id"));
        _records.EnsureIndex(IndexDocuments.Key, BsonExpression.Create("$." + IndexDocuments.Key));
        _records.EnsureIndex("closed", BsonExpression.Create("$.closed"));
        _seconds.EnsureIndex("of", BsonExpression.Create("$.of"));
        _open.EnsureIndex(IndexDocuments.Key, BsonExpression.Create("$." + IndexDocuments.Key));
        (LastNumber, LastHash) = head is null ? (0, JournalFormat.FirstHash) : (head["number"].AsInt64, head["hash"].AsString);
        _hasSeconds = _seconds.Count() > 0;
        bool disagrees = LastNumber > 0 && LastNumber <= journal.LastNumber && journal.Report.IsSound
            && (LastNumber == journal.LastNumber ? journal.LastHash : journal.ReadFrom(LastNumber).First().Hash) != LastHash;
        return disagrees ? "it belongs to another journal" : null;
    }

    private void CatchUp(Journal journal, TimeProvider clock, Action<StoreProgress> progress, string reason)
    {
        if (LastNumber >= journal.LastNumber)
        {
            return;
        }

        long begin = clock.GetTimestamp();
        long first = LastNumber;
        long done = 0;
        progress(new(reason, 0, journal.LastNumber - first, TimeSpan.Zero));
        Guard<object?>(() => { _database.BeginTrans(); return null; }, null);   // bound to this thread; one transaction for many events
        _catchingUp = [];
        foreach (ChainedLine line in journal.Scan(first + 1))
        {
            if (line.Holds && line.Line!.Number > first)
            {
                Take(line.Line, line.Place);
                if (Stale is not null)
                {
                    return;
                }

                if (++done % ReportEvery == 0)
                {
                    // how far it goes is noted at the end: when this is cut short, the next start does it again
                    Guard<object?>(() => { _database.Commit(); _database.BeginTrans(); return null; }, null);
                    progress(new(reason, done, journal.LastNumber - first, clock.GetElapsedTime(begin)));
                }
            }
        }

        if (_last is { } last)
        {
            Guard<object?>(() => { _blouses.Upsert(_catchingUp.Values); Note(last); _database.Commit(); return null; }, null);
        }

        _catchingUp = null;

        progress(new(reason, done, done, clock.GetElapsedTime(begin)));
    }

    private static bool MoveAside(string path, out string? why)
    {
        try
        {
            File.Delete(LogOf(path));
            File.Move(path, path + ".damaged", overwrite: true);
            why = null;
            return true;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            why = e.Message;
            return false;
        }
    }

    /// <summary>The database's own name for its log.</summary>
    private static string LogOf(string path) => Path.Combine(Path.GetDirectoryName(path)!, Path.GetFileNameWithoutExtension(path) + "-log.db");

    private static FileStream? TakeLock(StorePaths paths)
    {
        try
        {
            return new FileStream(paths.Index + ".lock", FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }
}
