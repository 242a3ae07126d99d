
namespace CaliperStation.Storage;

/// <summary>An open store: lock, journal, index and records together. Appending through it keeps the index up to date.</summary>
internal sealed class Store : IJournal, IDisposable
{
    private readonly StoreLock? _lock;
    private readonly StationKey? _key;
    private readonly Journal _journal;

    private Store(StorePaths paths, StoreLock? held, StationKey? key, KeyList known, Journal journal, StoreIndex? index, string? noIndex, long seen)
    {
        (Paths, _lock, _key, Known, _journal, Index, NoIndex) = (paths, held, key, known, journal, index, noIndex);
        Records = new RecordStore(paths, journal, index, known, seen);
    }

    /// <summary>The station's key, of a store that was opened to work in.</summary>
    /// <exception cref="InvalidOperationException">It was opened to look.</exception>
    public StationKey Key => _key ?? throw new InvalidOperationException("The store was opened to look.");

    /// <summary>The keys whose signatures count here.</summary>
    public KeyList Known { get; }

    /// <summary>Where it is.</summary>
    public StorePaths Paths { get; }

    /// <summary>What was found when it was opened: tell it.</summary>
    public OpenReport Report => _journal.Report;

    /// <summary>When the last event was, by the clock of then.</summary>
    public DateTimeOffset LastAt => _journal.LastAt;

    /// <summary>Why records are looked for in the journal itself, slowly; null when the index is used.</summary>
    public string? NoIndex { get; }

    /// <summary>The index; null when there is none to use.</summary>
    internal StoreIndex? Index { get; }

    /// <summary>The records.</summary>
    public RecordStore Records { get; }

    /// <summary>Opens a store to work in it; it is made when there is none.</summary>
    /// <param name="paths">Where it is.</param>
    /// <param name="clock">The clock.</param>
    /// <param name="progress">Called now and then while the journal is proven and the index is made.</param>
    /// <exception cref="StoreException">Another bench has it, it cannot be written, or its end is missing.</exception>
    public static Store OpenForWork(StorePaths paths, TimeProvider clock, Action<StoreProgress> progress)
    {
        StoreLock held = StoreLock.Take(paths);
        Journal? journal = null;
        StationKey? key = null;
        try
        {
            key = StationKey.Open(paths);
            KeyList known = StationKey.Known(paths);
            journal = Journal.Open(paths, forWriting: true, clock, progress, new JournalKeys(known.Own, key));
            if (known.IsAdopted)
            {
                known = key.Adopt(paths, known, journal.IsSigned);
            }

            StoreIndex? index = StoreIndex.ForWork(paths, known, journal, clock, progress, out string? why, out long seen);
            if (seen > journal.LastNumber)
            {
                index?.Dispose();
                throw new StoreException($"The journal in {paths.Journal} ends at event {journal.LastNumber}, but event {seen} was filed: events at its end are missing. Restore a backup; or, to go on without them, delete {paths.Index}.");
            }

            return new Store(paths, held, key, known, journal, index, why, seen);
        }
        catch
        {
            journal?.Dispose();
            key?.Dispose();
            held.Dispose();
            throw;
        }
    }

    /// <summary>Opens a store to look, also while a bench works in it. Nothing of the journal is touched.</summary>
    /// <param name="paths">Where it is.</param>
    /// <param name="clock">The clock.</param>
    /// <param name="progress">Called now and then while the journal is proven and the index is made.</param>
    /// <exception cref="StoreException">It cannot be read.</exception>
    public static Store OpenToLook(StorePaths paths, TimeProvider clock, Action<StoreProgress> progress)
    {
        KeyList known = StationKey.Known(paths);
        Journal Journal() => Storage.Journal.OpenToLook(new DiskJournalFolder(paths.Journal), clock, () => StoreLock.IsHeld(paths), progress, new JournalKeys(known.Own));
        Journal journal = Journal();
        string? why = "there is no store yet";
        long seen = 0;
        StoreIndex? index = Directory.Exists(paths.Store) ? StoreIndex.ToLook(paths, known, journal, clock, progress, out why, out seen) : null;
        if (seen > journal.LastNumber)
        {
            journal = Journal();   // a bench may have filed something meanwhile
            if (seen > journal.LastNumber)
            {
                journal.TellMissing(seen);
            }

            index?.CatchUp(journal, clock, progress, "catching up the index");   // or it would lack what was filed since
        }

        return new Store(paths, null, null, known, journal, index, why, seen);
    }

    /// <inheritdoc />
    public JournalLine Append(DateTimeOffset at, string sitting, string kind, string body)
    {
        JournalLine line = _journal.Append(at, sitting, kind, body);
        Index?.Take(line, _journal.LastPlace);
        return line;
    }

    /// <inheritdoc />
    public IEnumerable<JournalLine> Read() => _journal.Read();

    /// <summary>The events of one sitting, in order.</summary>
    /// <param name="sitting">Its id.</param>
    /// <param name="firstNumber">The number of its first event, where known.</param>
    public IEnumerable<JournalLine> ReadSitting(string sitting, long firstNumber = 1) => _journal.ReadFrom(firstNumber).Where(line => line.Sitting == sitting);

    /// <summary>The events since a record was filed, in order; all where that is not known.</summary>
    /// <param name="record">Its id.</param>
    public IEnumerable<JournalLine> ReadSince(string record) => _journal.ReadFrom(Index?.Find(record)?.Number ?? 1);

    /// <summary>The last check of the caliper on a port, or null.</summary>
    public JournalCheck? LastCheck(string port) => Index?.LastCheck(port) is { } known
        ? known
        : Index is { Stale: null } ? null
        : _journal.Read().LastOrDefault(line => line.Kind == JournalCheck.Kind && JournalCheck.PortOf(line.Body) == port) is { } line ? new JournalCheck(line.At, line.Body) : null;

    /// <inheritdoc />
    public void Dispose()
    {
        Index?.Dispose();
        _journal.Dispose();
        _key?.Dispose();
        _lock?.Dispose();
    }
}

/// <summary>How far the opening of a store is.</summary>
/// <param name="Why">What is being done and why.</param>
/// <param name="Done">How much is done.</param>
/// <param name="Total">How much there is, in the same unit.</param>
/// <param name="Elapsed">How long so far.</param>
internal sealed record StoreProgress(string Why, long Done, long Total, TimeSpan Elapsed);
