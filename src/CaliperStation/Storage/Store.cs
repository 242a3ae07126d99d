using System.Text;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>An open store: lock, journal, index and records together. Appending through it keeps the index up to date.</summary>
internal sealed class Store : IJournal, IDisposable
{
    private readonly StoreLock? _lock;
    private readonly StationKey? _key;
    private long _headAt;          // the event that the head outside names
    private TimeProvider? _clock;
    private readonly Journal _journal;

    private Store(StorePaths paths, StoreLock? held, StationKey? key, KeyList known, Journal journal, StoreIndex? index, string? noIndex, long seen)
    {
        (Paths, _lock, _key, Known, _journal, Index, NoIndex) = (paths, held, key, known, journal, index, noIndex);
        Records = new RecordStore(paths, journal, index, known, seen);
    }

    /// <summary>The station's key, of a store that was opened to work in.</summary>
    /// <exception cref="InvalidOperationException">It was opened to look.</exception>
    public StationKey Key => _key ?? throw new InvalidOperationException("The store was opened to look.");

    /// <summary>True when it was opened to work in it.</summary>
    public bool IsForWork => _lock is not null;

    /// <summary>The keys whose signatures count here.</summary>
    public KeyList Known { get; }

    /// <summary>Where it is.</summary>
    public StorePaths Paths { get; }

    /// <summary>What the store lacks of the head that was kept outside it, or has other, in words; null when nothing.</summary>
    public string? HeadFault { get; private init; }

    /// <summary>True when it holds all that is known of it.</summary>
    public bool IsSound => Report.IsSound && HeadFault is null;

    /// <summary>Keeps where the store ends now, outside it. What cannot be written there stops no bench.</summary>
    public void KeepHead(DateTimeOffset at)
    {
        if (Paths.Head is not { } path || _key is not { } key)
        {
            return;
        }

        try
        {
            ChainPlace next = Records.NextPlace(key);
            string folder = Path.GetDirectoryName(path)!;
            Directory.CreateDirectory(folder);
            OwnFile.Replace(path, Encoding.ASCII.GetBytes(ChainHead.Sign(next.Chain, next.Number - 1, next.Previous, at, _journal.LastNumber, _journal.LastHash, key).Text + "\n"));
            _headAt = _journal.LastNumber;
        }
        catch (Exception e) when (FileFault.Is(e) || e is StoreException)
        {
            Log.Told(e);
        }
    }

    /// <summary>The head that is kept of it outside; null when there is none.</summary>
    /// <exception cref="StoreException">What is there is none.</exception>
    public static ChainHead? KeptHead(StorePaths paths)
    {
        if (paths.Head is not { } path || !File.Exists(path))
        {
            return null;
        }

        return ChainHead.Read(StationKey.ReadText(path)) ?? throw new StoreException(StoreFault.NoHead, $"{path} says no head of a store. It was changed by hand; remove it, and the next record makes it again.");
    }

    /// <summary>What the store lacks of a head, or has other, in words; null when it holds all of it.</summary>
    public string? Against(ChainHead head) => Against(head, _journal, Known);

    private static string? Against(ChainHead head, Journal journal, KeyList known)
    {
        string when = FileWords.Instant(head.At);
        return !head.IsSignedBy(known.Own) ? $"the head of {when} is signed with the key {head.Key}, which is none of this store's: it is another store, or its keys were changed"
            : journal.LastNumber < head.Event ? $"on {when} it held {head.Event} events and {head.Record} records of its chain; now it ends at event {journal.LastNumber}"
            : head.Event > 0 && HashAt(journal, head.Event) != head.EventHash ? $"it no longer holds what it held on {when}: event {head.Event} is another one"
            : null;
    }

    private static string? HashAt(Journal journal, long number) => number == journal.LastNumber ? journal.LastHash : journal.ReadFrom(number).FirstOrDefault()?.Hash;

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
    /// <param name="acceptsLoss">Goes on though it has less or other than its head.</param>
    /// <exception cref="StoreException">Another bench has it, it cannot be written, or it has less or other than it had.</exception>
    public static Store OpenForWork(StorePaths paths, TimeProvider clock, Action<StoreProgress> progress, bool acceptsLoss = false)
    {
        paths.Validate();
        StoreLock held = StoreLock.Acquire(paths);
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

            string? lost = journal.Report.IsSound && KeptHead(paths) is { } head ? Against(head, journal, known) : null;
            if (lost is not null && !acceptsLoss)
            {
                throw new StoreException(StoreFault.LessThanBefore, $"The store {paths.Store} has less or other than it had: {lost}. Restore a backup; or, to go on without what is missing: records accept-loss --reason.");
            }

            if (acceptsLoss)
            {
                File.Delete(paths.Index);
                File.Delete(paths.IndexToLook);
            }

            StoreIndex? index = StoreIndex.ForWork(paths, known, journal, clock, progress, out string? why, out long seen);
            if (seen > journal.LastNumber)
            {
                index?.Dispose();
                throw new StoreException(StoreFault.EndMissing, $"The journal in {paths.Journal} ends at event {journal.LastNumber}, but event {seen} was filed: events at its end are missing. Restore a backup; or, to go on without them: records accept-loss --reason.");
            }

            return new Store(paths, held, key, known, journal, index, why, acceptsLoss ? 0 : seen) { _headAt = journal.LastNumber, _clock = clock };
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
    /// <param name="lines">Looks at the journal's lines too.</param>
    /// <exception cref="StoreException">It cannot be read.</exception>
    public static Store OpenToLook(StorePaths paths, TimeProvider clock, Action<StoreProgress> progress, IProvenLines? lines = null)
    {
        paths.Validate();
        KeyList known = StationKey.Known(paths);
        Journal Journal() => Storage.Journal.OpenToLook(new DiskJournalFolder(paths.Journal), clock, () => StoreLock.IsHeld(paths), progress, new JournalKeys(known.Own), lines);
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

        return new Store(paths, null, null, known, journal, index, why, seen) { HeadFault = journal.Report.IsSound && KeptHead(paths) is { } head ? Against(head, journal, known) : null };
    }

    /// <inheritdoc />
    public JournalLine Append(DateTimeOffset at, string sitting, string kind, string body)
    {
        JournalLine line = _journal.Append(at, sitting, kind, body);
        Index?.Add(line, _journal.LastPlace);
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

    /// <summary>The event appended last, as it stands on the disk; null when it is not what was appended.</summary>
    public JournalLine? ReadBack(string hash) => _journal.ReadAt(_journal.LastPlace, hash);

    /// <summary>The hash of the last event.</summary>
    public string LastHash => _journal.LastHash;

    /// <summary>The last check of the caliper on a port, or null.</summary>
    public JournalCheck? LastCheck(string port) => Index?.LastCheck(port) is { } known
        ? known
        : Index is { Stale: null } ? null
        : _journal.Read().LastOrDefault(line => line.Kind == JournalCheck.Kind && line.TextOf("port") == port) is { } line ? new JournalCheck(line.At, line.Body) : null;

    /// <inheritdoc />
    public void Dispose()
    {
        if (_clock is { } clock && _journal.LastNumber > _headAt)
        {
            KeepHead(clock.GetUtcNow());
        }

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
