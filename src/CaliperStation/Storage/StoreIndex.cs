using System.Diagnostics.CodeAnalysis;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Files;
using LiteDB;

namespace CaliperStation.Storage;

/// <summary>Finds records, blouses and open sittings without reading the whole journal. It holds nothing the journal does not.</summary>
/// <remarks>
/// One process writes it, under its own lock, because two that open the file lose each other's work. It is written after the journal.
/// Any error of the database makes it stale: it is then left alone, callers read the journal, and the next start rebuilds it.
/// Nothing is believed that a flipped bit could have made: <see cref="IndexSeal"/> holds the hash of the closed file, and one that does not
/// give it, or was never closed, is rebuilt without being opened; while it is open, each document read must give its own check.
/// </remarks>
internal sealed class StoreIndex : IDisposable
{
    private readonly IndexSeal _seal;
    private readonly KeyList _known;
    private readonly LiteDatabase _database;
    private readonly ILiteCollection<BsonDocument> _heads;
    private readonly ILiteCollection<BsonDocument> _records;
    private readonly ILiteCollection<BsonDocument> _open;
    private readonly ILiteCollection<BsonDocument> _abandoned;
    private readonly ILiteCollection<BsonDocument> _checks;
    private readonly ILiteCollection<BsonDocument> _blouses;
    private readonly ILiteCollection<BsonDocument> _seconds;   // countersigns and rechecks, by the record they look back at
    private Dictionary<string, BsonDocument>? _catchingUp;     // blouses not yet written: once at the end, not once a record
    private bool _hasSeconds;
    private bool _isNew;
    private bool _written;        // since it was sealed
    private JournalLine? _last;   // taken, but not yet noted in the file

    private StoreIndex(string path, IndexSeal seal, KeyList known)
    {
        _known = known;
        _seal = seal;
        BsonMapper mapper = new() { TrimWhitespace = false, EmptyStringToNull = false };
        _database = new LiteDatabase(new ConnectionString { Filename = path, Connection = ConnectionType.Direct, Collation = Collation.Binary }, mapper);
        _heads = _database.GetCollection("heads");
        _records = _database.GetCollection("records");
        _open = _database.GetCollection("open");
        _abandoned = _database.GetCollection("abandoned");
        _checks = _database.GetCollection("checks");
        _blouses = _database.GetCollection("blouses");
        _seconds = _database.GetCollection("seconds");
    }

    /// <summary>The file's name, for messages.</summary>
    public string Name => Path.GetFileName(_seal.IndexPath);

    /// <summary>Why the index is not used any more; null while it is.</summary>
    public string? Stale { get; private set; }

    /// <summary>The number of the last event it knows; 0 for none.</summary>
    public long LastNumber { get; private set; }

    /// <summary>What was wrong with a closed index that was found changed and rebuilt; null when nothing was.</summary>
    public string? Changed { get; private set; }

    private string LastHash { get; set; } = JournalFormat.FirstHash;

    /// <summary>Takes an event that the journal has acknowledged. Never throws for what the database does.</summary>
    public void Add(JournalLine line, LinePlace place) => Guard<object?>(() =>
    {
        _last = line;
        if (!_written)
        {
            _written = true;
            _seal.Write(LastNumber, LastHash, null);
        }

        switch (line.Kind)
        {
            case "started":
                _open.Upsert(IndexDocuments.Checked(new BsonDocument
                {
                    ["_id"] = line.Sitting,
                    ["schema"] = IndexDocuments.Schema,
                    ["tag"] = line.TextOf("tag"),
                    [IndexDocuments.Key] = BlouseTag.Key(line.TextOf("tag")),
                    ["started"] = line.At.ToUnixTimeMilliseconds(),
                    ["first"] = line.Number,
                }));
                break;
            case RecordStore.Kind:
                TakeRecord(line, place);
                _open.Delete(line.Sitting);
                break;
            case "tag" when ById(_open, line.Sitting) is { } open && line.TextOf("tag") is { Length: > 0 } tag:
                (open["tag"], open[IndexDocuments.Key]) = (tag, BlouseTag.Key(tag));
                _open.Update(IndexDocuments.Checked(open));
                break;
            case "abandoned" when ById(_open, line.Sitting) is { } given:
                _abandoned.Upsert(IndexDocuments.Checked(new BsonDocument
                {
                    ["_id"] = line.Sitting,
                    ["schema"] = IndexDocuments.Schema,
                    ["number"] = line.Number,
                    ["tag"] = given["tag"],
                    ["at"] = line.At.ToUnixTimeMilliseconds(),
                    ["reason"] = line.TextOf("reason"),
                }));
                _open.Delete(line.Sitting);
                break;
            case JournalCheck.Kind when line.TextOf("port") is { Length: > 0 } port:
                _checks.Upsert(IndexDocuments.Checked(new BsonDocument { ["_id"] = port, ["schema"] = IndexDocuments.Schema, ["at"] = line.At.ToUnixTimeMilliseconds(), ["body"] = line.Body }));
                break;
            default:
                return null;   // how far it goes is noted with the next event that matters, or at the end
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
        return [.. found.Select(at => IndexDocuments.Indexed(IndexDocuments.Proven(at))).Where(record => filter.Wants(record.Summary))];
    }, null);

    /// <summary>Of each blouse the records that decide its readiness: its last sitting and latest remeasurements; null when the index is stale.</summary>
    public IReadOnlyList<RecordSummary>? Latest() => Guard<IReadOnlyList<RecordSummary>?>(
        () => [.. _blouses.FindAll().Select(IndexDocuments.Proven).SelectMany(LatestOfBlouse.Records).Select(IndexDocuments.Summary)], null);

    /// <summary>How many records it knows; null when it is stale.</summary>
    public long? RecordCount() => Guard<long?>(() => _records.LongCount(), null);

    /// <summary>The record filed last of a blouse; null when there is none, or the index is stale.</summary>
    public IndexedRecord? LastOf(string tag) => Guard(
        () => _records.Find(Query.EQ(IndexDocuments.Key, BlouseTag.Key(tag))).MaxBy(at => at["_id"].AsInt64) is { } last ? IndexDocuments.Indexed(IndexDocuments.Proven(last)) : null, null);

    /// <summary>The record of that id; null when there is none, or the index is stale.</summary>
    public IndexedRecord? Find(string id) => Guard(() => _records.FindOne(Query.EQ("id", id)) is { } at ? IndexDocuments.Indexed(IndexDocuments.Proven(at)) : null, null);

    /// <summary>Sittings begun and not closed, of one blouse or of all, the oldest first; null when the index is stale.</summary>
    public IReadOnlyList<OpenSitting>? OpenSittings(string? tag) => Guard<IReadOnlyList<OpenSitting>?>(() =>
    [
        .. (tag is null ? _open.FindAll() : _open.Find(Query.EQ(IndexDocuments.Key, BlouseTag.Key(tag))))
            .Select(IndexDocuments.Proven).Select(at => new OpenSitting(at["_id"].AsString, at["tag"].AsString, DateTimeOffset.FromUnixTimeMilliseconds(at["started"].AsInt64), at["first"].AsInt64))
            .OrderBy(sitting => sitting.FirstNumber),
    ], null);

    /// <summary>Sittings given up, in order; null when the index is stale.</summary>
    public IReadOnlyList<AbandonedSitting>? Abandoned() => Guard<IReadOnlyList<AbandonedSitting>?>(() =>
    [
        .. _abandoned.FindAll().Select(IndexDocuments.Proven).OrderBy(at => at["number"].AsInt64)
            .Select(at => new AbandonedSitting(at["_id"].AsString, at["tag"].AsString, DateTimeOffset.FromUnixTimeMilliseconds(at["at"].AsInt64), at["reason"].AsString)),
    ], null);

    /// <summary>The last check of the caliper on a port; null when there is none, or the index is stale.</summary>
    public JournalCheck? LastCheck(string port) => Guard(
        () => ById(_checks, port) is { } at ? new JournalCheck(DateTimeOffset.FromUnixTimeMilliseconds(at["at"].AsInt64), at["body"].AsString) : null, null);

    /// <summary>The highest number seen in each chain, by its name; null when the index is stale. Only a check asks: what is filed next follows from the journal.</summary>
    public IReadOnlyDictionary<string, long>? Heads() => Guard<IReadOnlyDictionary<string, long>?>(
        () => _heads.FindAll().Select(IndexDocuments.Proven).ToDictionary(at => at["_id"].AsString, at => at["number"].AsInt64), null);

    /// <summary>The check of each record's document by its journal number, for a comparison with the journal; null when the index is stale.</summary>
    public Dictionary<long, long>? Checks() => Guard<Dictionary<long, long>?>(
        () => _records.FindAll().Select(IndexDocuments.Proven).ToDictionary(at => at["_id"].AsInt64, IndexDocuments.CheckOf), null);

    /// <summary>True when the blouses in it follow from its records; null when the index is stale.</summary>
    public bool? BlousesFollow() => Guard<bool?>(
        () =>
        {
            Dictionary<string, BsonDocument> made = [];
            ILookup<string, BsonDocument> seconds = _seconds.FindAll().Select(IndexDocuments.Proven).ToLookup(at => at["of"].AsString);
            foreach (BsonDocument record in _records.FindAll())
            {
                string key = record[IndexDocuments.Key].AsString;
                made[key] = LatestOfBlouse.With(made.GetValueOrDefault(key), record, id => seconds[id].Where(second => second["_id"].AsInt64 < record["_id"].AsInt64));
            }

            Dictionary<string, long> found = _blouses.FindAll().Select(IndexDocuments.Proven).ToDictionary(at => at["_id"].AsString, IndexDocuments.CheckOf);
            return found.Count == made.Count && made.All(blouse => found.TryGetValue(blouse.Key, out long check) && check == IndexDocuments.CheckOf(IndexDocuments.Checked(blouse.Value)));
        },
        null);

    /// <summary>Gives the index up: from now on callers read the journal.</summary>
    public void Break(Exception why) => Stale = why.Message;

    /// <inheritdoc />
    public void Dispose()
    {
        if (Stale is null && _last is { } last && last.Number > LastNumber)
        {
            Guard<object?>(() => { Note(last); return null; }, null);
        }

        if (Close(this) && Stale is null && _written)
        {
            Guard<object?>(() => { _seal.Write(LastNumber, LastHash, IndexSeal.HashOf(_seal.IndexPath)); return null; }, null);
        }

        _seal.Dispose();
    }

    private static BsonDocument? ById(ILiteCollection<BsonDocument> documents, string id) => documents.FindById(id) is { } found ? IndexDocuments.Proven(found) : null;

    private void TakeRecord(JournalLine line, LinePlace place)
    {
        if (SealedRecord.Read(line.Body) is not { Record: { } record } seal)
        {
            return;   // "records verify" reports it; the index only finds what can be read
        }

        BsonDocument document = IndexDocuments.Record(line, place, record, seal, _known.All);
        _records.Upsert(document);
        if (record.Kind != RecordKind.Sitting)
        {
            _seconds.Upsert(document);
            _hasSeconds = true;
        }

        string key = BlouseTag.Key(record.Tag);
        BsonDocument? known = _catchingUp?.GetValueOrDefault(key) ?? ById(_blouses, key);
        BsonDocument blouse = IndexDocuments.Checked(LatestOfBlouse.With(
            known, document, id => _hasSeconds ? _seconds.Find(Query.EQ("of", id)).Select(IndexDocuments.Proven).OrderBy(at => at["_id"].AsInt64) : []));
        if (_catchingUp is not null)
        {
            _catchingUp[key] = blouse;
        }
        else
        {
            _blouses.Upsert(blouse);
        }

        if (ById(_heads, record.Chain) is not { } head || head["number"].AsInt64 < record.Number)
        {
            _heads.Upsert(IndexDocuments.Checked(new BsonDocument { ["_id"] = record.Chain, ["schema"] = IndexDocuments.Schema, ["number"] = record.Number }));
        }
    }

    private void Note(JournalLine line)
    {
        (LastNumber, LastHash) = (line.Number, line.Hash);
        _seal.Write(LastNumber, LastHash, null);
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

    // ---- opening: caught up with the journal, or rebuilt ----

    private const int ReportEvery = 2_000;
    private const int BenchTries = 100;   // a bench that began without the index would go without it all day
    private const int LookTries = 50;

    /// <summary>Opens the index for the bench, and leaves a copy of it, as it was closed, to those who look meanwhile.</summary>
    /// <inheritdoc cref="Open" path="/param|/returns"/>
    public static StoreIndex? ForWork(StorePaths paths, KeyList known, Journal journal, TimeProvider clock, Action<StoreProgress> progress, out string? why, out long seen)
    {
        StoreIndex? index = Open(paths.Index, BenchTries, paths.IndexToLook, known, journal, clock, progress, out why, out seen);
        if (index is { _isNew: true, LastNumber: > 0 })
        {
            index.Dispose();   // it can only be copied closed
            index = Open(paths.Index, BenchTries, paths.IndexToLook, known, journal, clock, progress, out why, out seen);
        }

        return index;
    }

    /// <summary>Opens the index to look; while a bench has it, its copy, which takes what was filed since.</summary>
    /// <inheritdoc cref="Open" path="/param|/returns"/>
    public static StoreIndex? ToLook(StorePaths paths, KeyList known, Journal journal, TimeProvider clock, Action<StoreProgress> progress, out string? why, out long seen)
    {
        StoreIndex? index = Open(paths.Index, 1, null, known, journal, clock, progress, out why, out seen);
        return index is not null || seen > journal.LastNumber ? index : Open(paths.IndexToLook, LookTries, null, known, journal, clock, progress, out why, out seen);
    }

    /// <summary>Opens an index and catches up.</summary>
    /// <param name="path">Its file.</param>
    /// <param name="tries">How often the right to use it is asked for.</param>
    /// <param name="copy">Where a copy is left before it is opened; null for none.</param>
    /// <param name="known">The keys whose signatures count.</param>
    /// <param name="journal">The journal, opened.</param>
    /// <param name="clock">For the progress.</param>
    /// <param name="progress">Called now and then while it is built or catches up.</param>
    /// <param name="why">Why there is none, or null.</param>
    /// <param name="seen">The last event it has seen, 0 for none: more than the journal has means that events at the end are missing.</param>
    /// <returns>Null when another process has it, or it cannot be made: callers then read the journal.</returns>
    private static StoreIndex? Open(string path, int tries, string? copy, KeyList known, Journal journal, TimeProvider clock, Action<StoreProgress> progress, out string? why, out long seen)
    {
        (why, seen) = (null, 0);
        if (IndexSeal.Acquire(path, tries) is not { } seal)
        {
            why = "the index is in use by another process, or cannot be written";
            return null;
        }

        bool exists = File.Exists(path);
        string reason = exists ? "catching up the index" : "making the index";
        string? changed = null;
        if (exists)
        {
            seen = seal.Number;
            string? fault = Fault(seal, journal, out bool isChanged);
            changed = isChanged ? fault : null;
            if (fault is not null && seen > journal.LastNumber)
            {
                why = fault;   // what it has seen is the only witness of what is missing: it stays
                seal.Dispose();
                return null;
            }

            if (fault is not null && !MoveAside(path, out why))
            {
                seal.Dispose();
                return null;
            }

            (exists, reason) = fault is null ? (true, reason) : (false, $"rebuilding the index: {fault}");
        }

        if (exists && copy is not null)
        {
            Copy(seal, copy);
        }

        if (TryOpen(path, exists, seal, known, out why) is not { } index)
        {
            seal.Dispose();
            return null;
        }

        index.Changed = changed;
        index.CatchUp(journal, clock, progress, reason);
        if (index.Stale is not null)
        {
            why = index.Stale;
            index.Dispose();
            return null;
        }

        return index;
    }

    /// <summary>Copies the closed index for those who look, unless what they have is as far or in use. Nothing hangs on it: who finds none makes one.</summary>
    private static void Copy(IndexSeal seal, string copy)
    {
        using IndexSeal? other = IndexSeal.Acquire(copy);
        if (other is null || (other is { IndexHash: not null } && other.Number >= seal.Number && File.Exists(copy)))
        {
            return;
        }

        try
        {
            other.Write(0, JournalFormat.FirstHash, null);
            File.Delete(LogOf(copy));
            File.Copy(seal.IndexPath, copy, overwrite: true);
            other.Write(seal.Number, seal.Hash, seal.IndexHash);
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            // its seal says that it is not closed
        }
    }

    /// <summary>Why the file is not opened but rebuilt, or null; <paramref name="isChanged"/> when it was closed and is not as it was.</summary>
    private static string? Fault(IndexSeal seal, Journal journal, out bool isChanged)
    {
        isChanged = false;
        if (seal.IndexHash is null)
        {
            return "it was not closed, or was made by another version of the program";
        }

        try
        {
            isChanged = (File.Exists(LogOf(seal.IndexPath)) && new FileInfo(LogOf(seal.IndexPath)).Length > 0) || IndexSeal.HashOf(seal.IndexPath) != seal.IndexHash;
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            return $"it cannot be read ({e.Message})";
        }

        if (isChanged)
        {
            return "it was changed since it was closed";
        }

        bool disagrees = seal.Number > 0 && seal.Number <= journal.LastNumber && journal.Report.IsSound
            && (seal.Number == journal.LastNumber ? journal.LastHash : journal.ReadFrom(seal.Number).First().Hash) != seal.Hash;
        return disagrees ? "it belongs to another journal" : null;
    }

    private static StoreIndex? TryOpen(string path, bool exists, IndexSeal seal, KeyList known, out string? fault)
    {
        fault = null;
        StoreIndex? index = null;
        try
        {
            if (!exists)
            {
                File.Delete(LogOf(path));   // what a killed process left of an index that was taken away is no part of a new one
                seal.Write(0, JournalFormat.FirstHash, null);
            }

            index = new StoreIndex(path, seal, known) { _written = !exists, _isNew = !exists };
            (index.LastNumber, index.LastHash) = (seal.Number, seal.Hash);
            if (!exists)
            {
                index._records.EnsureIndex("id", BsonExpression.Create("$.id"));
                index._records.EnsureIndex(IndexDocuments.Key, BsonExpression.Create("$." + IndexDocuments.Key));
                index._records.EnsureIndex("closed", BsonExpression.Create("$.closed"));
                index._seconds.EnsureIndex("of", BsonExpression.Create("$.of"));
                index._open.EnsureIndex(IndexDocuments.Key, BsonExpression.Create("$." + IndexDocuments.Key));
            }

            index._hasSeconds = index._seconds.Count() > 0;
            return index;
        }
        catch (Exception e) when (e is not OutOfMemoryException)
        {
            fault = $"it cannot be opened ({e.Message})";
            Close(index);
            return null;
        }
    }

    /// <summary>True when the file was closed whole.</summary>
    [SuppressMessage("Design", "CA1031", Justification = "a damaged database throws anything, also when it is closed")]
    private static bool Close(StoreIndex? index)
    {
        try
        {
            index?._database.Dispose();
            return true;
        }
        catch (Exception)
        {
            return false;   // it is moved aside by the next start
        }
    }

    /// <summary>Takes the events it has not seen yet.</summary>
    public void CatchUp(Journal journal, TimeProvider clock, Action<StoreProgress> progress, string reason)
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
                Add(line.Line, line.Place);
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
        catch (Exception e) when (FileFault.Is(e))
        {
            why = e.Message;
            return false;
        }
    }

    /// <summary>The database's own name for its log.</summary>
    private static string LogOf(string path) => Path.Combine(Path.GetDirectoryName(path)!, Path.GetFileNameWithoutExtension(path) + "-log.db");
}
