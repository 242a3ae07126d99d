using System.Diagnostics.CodeAnalysis;
using LiteDB;

namespace CaliperStation.Storage;

/// <content>Opening: caught up with the journal, or built anew.</content>
internal sealed partial class StoreIndex
{
    private const int ReportEvery = 2_000;

    /// <summary>Opens the index and catches up; null when another process has it, or it cannot be made: callers then read the journal.</summary>
    /// <param name="paths">The store.</param>
    /// <param name="journal">The journal, opened.</param>
    /// <param name="clock">For the progress.</param>
    /// <param name="progress">Called now and then while it is built or catches up.</param>
    /// <param name="why">Why there is none, or null.</param>
    public static StoreIndex? Open(StorePaths paths, Journal journal, TimeProvider clock, Action<IndexProgress> progress, out string? why)
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

    /// <summary>The last event it knew before it caught up; 0 when it was made anew.</summary>
    public long CameFrom { get; private set; }

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
        _readings.EnsureIndex("record", BsonExpression.Create("$.record"));
        _readings.EnsureIndex("step", BsonExpression.Create("$.step"));
        _verdicts.EnsureIndex("record", BsonExpression.Create("$.record"));
        _verdicts.EnsureIndex("tag", BsonExpression.Create("$.tag"));
        _seconds.EnsureIndex("of", BsonExpression.Create("$.of"));
        _open.EnsureIndex(IndexDocuments.Key, BsonExpression.Create("$." + IndexDocuments.Key));
        (LastNumber, LastHash) = head is null ? (0, JournalFormat.FirstHash) : (head["number"].AsInt64, head["hash"].AsString);
        CameFrom = LastNumber;
        _hasSeconds = _seconds.Count() > 0;
        bool disagrees = LastNumber > 0 && LastNumber <= journal.LastNumber && journal.Report.IsSound
            && (LastNumber == journal.LastNumber ? journal.LastHash : journal.ReadFrom(LastNumber).First().Hash) != LastHash;
        return disagrees ? "it belongs to another journal" : null;
    }

    private void CatchUp(Journal journal, TimeProvider clock, Action<IndexProgress> progress, string reason)
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
