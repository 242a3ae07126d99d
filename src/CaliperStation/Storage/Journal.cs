using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using CaliperStation.Core.Records;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>The journal: every event of the store, one line each, in segments by month. It is the truth; all else can be made from it.</summary>
/// <remarks>
/// <para>An append is one write and one flush to the disk; only then is the event acknowledged. A write that fails leaves at
/// most half a line, a flush that fails leaves a line nobody may count on: both are cut off at once if the disk allows,
/// and in any case before the next append, and after a failed flush the segment is read again first, because a system may forget
/// what it could not write.</para>
/// <para>The segment is opened by its name for each append, and its length and last line must be those that this journal knows. What
/// another program wrote, cut or put in its place is never written over, cut or followed, whatever became of the store's lock.</para>
/// <para>Segments are named by a month and never go back: a clock set back goes on in the last segment, so the order of names is
/// the order of events. A later month opens a segment only for an event within a day of the event before it: one instant far in
/// the future stays where it is and does not capture all that follows, and after a pause the second event opens the month. A clock
/// that stays wrong may still open a segment far ahead; a segment of <see cref="MaxSegment"/> bytes is followed by one of the next
/// month's name whatever the clock says, so that no file grows without end.</para>
/// </remarks>
internal sealed partial class Journal : IJournal, IDisposable
{
    private const int ReportEvery = 2_000;
    private const string NameForm = "yyyy-MM'.jsonl'";

    private static readonly TimeSpan _maxStep = TimeSpan.FromDays(1);

    private readonly Lock _lock = new();
    private readonly IJournalFolder _folder;
    private readonly bool _writable;
    private readonly List<Segment> _segments;
    private IRecordSigner? _signer;
    private long _maxSegment = MaxSegment;
    private IDisposable? _hold;       // the folder, against other writers
    private byte[]? _attempt;         // bytes that were never acknowledged; some of them may lie behind the end
    private bool _proveFirst;         // a flush failed
    private bool _nameUnflushed;      // the last segment is new and its name may not be on the disk

    private Journal(IJournalFolder folder, bool writable, List<Segment> segments, JournalChain chain, OpenReport report)
    {
        (_folder, _writable, _segments, Report) = (folder, writable, segments, report);
        (LastNumber, LastHash, LastAt, IsSigned) = (chain.LastNumber, chain.LastHash, chain.LastAt, chain.IsSigned);
    }

    /// <summary>True when its last event was signed when it was opened.</summary>
    public bool IsSigned { get; }

    /// <summary>From this many bytes on a segment takes no more events; a busy month has a quarter of it.</summary>
    public const long MaxSegment = 32 * 1024 * 1024;

    /// <summary>What is said while the journal is proven.</summary>
    internal const string Proving = "proving the journal";

    /// <summary>What was found when it was opened.</summary>
    public OpenReport Report { get; private set; }

    /// <summary>The number of the last acknowledged event; 0 when there is none.</summary>
    public long LastNumber { get; private set; }

    /// <summary>Its hash.</summary>
    public string LastHash { get; private set; }

    /// <summary>When it was, by the clock of then; the earliest instant there is when there is none.</summary>
    public DateTimeOffset LastAt { get; private set; }

    /// <summary>Tells that events at the end, which the index has seen, are gone.</summary>
    public void TellMissing(long seen) => Report = Report with
    {
        Damage = [.. Report.Damage, new JournalDamage(_segments.Count > 0 ? _segments[^1].Name : "", _segments.Count > 0 ? _segments[^1].Lines + 1 : 1, DamageKind.Missing, $"events {LastNumber + 1} to {seen} were filed and are missing")],
    };

    /// <summary>Where the event appended last stands; meaningless before the first append.</summary>
    public LinePlace LastPlace { get; private set; }

    /// <summary>Opens the journal of a store on this machine's disk. The store's lock must be held for writing.</summary>
    /// <param name="paths">The store.</param>
    /// <param name="forWriting">Whether events will be added.</param>
    /// <param name="clock">The clock.</param>
    /// <param name="progress">Called now and then while its lines are proven; in bytes.</param>
    /// <param name="keys">Who signs its events and whose signatures count; null where that is not looked at.</param>
    public static Journal Open(StorePaths paths, bool forWriting, TimeProvider clock, Action<StoreProgress>? progress = null, JournalKeys? keys = null) =>
        Open(new DiskJournalFolder(paths.Journal), forWriting, clock, progress, keys: keys);

    /// <inheritdoc />
    public JournalLine Append(DateTimeOffset at, string sitting, string kind, string body)
    {
        lock (_lock)
        {
            if (!_writable)
            {
                throw new InvalidOperationException("The journal was opened for reading only.");
            }

            if (!Report.IsSound)
            {
                throw new StoreException(StoreFault.Damaged, $"The journal in {_folder.Path} is damaged ({Report.Damage[0]}), so nothing is added to it. Look at it with \"records verify\"; use another folder (--store) to go on working.") { Damage = Report.Damage };
            }

            byte[] bytes = JournalFormat.Write(LastNumber + 1, at, sitting, kind, body, LastHash, out JournalLine line, _signer);
            try
            {
                Recover();
                Segment segment = SegmentFor(at);
                using IJournalFile file = OpenToAppend(segment);
                _attempt = bytes;
                file.Write(bytes, segment.End);
                _proveFirst = true;
                file.Flush();
                if (file.Length != segment.End + bytes.Length)
                {
                    throw WrittenByAnother(segment.Name);
                }

                (_attempt, _proveFirst) = (null, false);
                LastPlace = new LinePlace(segment.Name, ++segment.Lines, segment.End, bytes.Length - 1);
                segment.End += bytes.Length;
                (LastNumber, LastHash, LastAt) = (line.Number, line.Hash, line.At);
                return line;
            }
            catch (Exception e) when (FileFault.Is(e))
            {
                CutIfPossible();
                throw new StoreException(StoreFault.NotAppended, $"The event could not be put on the disk in {_folder.Path} ({e.Message.TrimEnd('.')}); it does not count. Free some space or mend the disk, then do it again.", e);
            }
        }
    }

    /// <inheritdoc />
    public IEnumerable<JournalLine> Read() => ReadFrom(1);

    /// <summary>The acknowledged lines from a number on, in order; lines that cannot be proven are left out.</summary>
    public IEnumerable<JournalLine> ReadFrom(long number) =>
        Scan(number).Where(line => line.Holds && line.Line!.Number >= number).Select(line => line.Line!);

    /// <summary>Every line with its standing, from the segment that holds a number on.</summary>
    public IEnumerable<ChainedLine> Scan(long number = 1)
    {
        (Segment Segment, long End)[] all = Acknowledged();
        return ScanThrough(all[Math.Max(0, Array.FindLastIndex(all, at => at.Segment.AfterNumber < number))..]);
    }

    /// <summary>The proven lines of one kind, the last first; one segment at a time is held in memory.</summary>
    public IEnumerable<JournalLine> ReadBack(string kind)
    {
        return Acknowledged().Reverse().SelectMany(at => ScanThrough([at]).Where(line => line.Holds && line.Line!.Kind == kind).Select(line => line.Line!).Reverse());
    }

    /// <summary>Opens a journal to look at it while a bench may be writing: one extent of it, up to the last line that is whole.</summary>
    /// <remarks>
    /// What is behind that line, or is damaged, may only be on its way to the disk: so such a journal is looked at once more. Then,
    /// as long as a bench holds the lock, a last line that is not whole is being written, and nothing is said of it.
    /// </remarks>
    /// <param name="folder">The journal's folder.</param>
    /// <param name="clock">The clock.</param>
    /// <param name="isWritten">Whether a bench has the store's lock now.</param>
    /// <param name="progress">Called now and then while its lines are proven; in bytes.</param>
    /// <param name="keys">Whose signatures count; null where that is not looked at.</param>
    /// <param name="lines">Looks at the lines too.</param>
    /// <exception cref="StoreException">It cannot be read.</exception>
    public static Journal OpenToLook(IJournalFolder folder, TimeProvider clock, Func<bool> isWritten, Action<StoreProgress>? progress = null, JournalKeys? keys = null, IProvenLines? lines = null)
    {
        Journal journal = Open(folder, forWriting: false, clock, progress, keys: keys, lines: lines);
        if (journal.Report is { IsSound: true, Torn: null })
        {
            return journal;
        }

        bool written = isWritten();   // asked before the second look: a bench that begins after it cuts off what is torn, and says so
        journal = Open(folder, forWriting: false, clock, progress, keys: keys, lines: lines);
        journal.Report = written || isWritten() ? journal.Report with { Torn = null } : journal.Report;
        return journal;
    }

    /// <summary>The segments with their acknowledged bytes, in order: what a backup copies while a bench works.</summary>
    public IReadOnlyList<(string Name, long End)> Extents() => [.. Acknowledged().Select(at => (at.Segment.Name, at.End))];

    /// <summary>The line at a place, or null when it is not the one whose hash is given any more, or does not give that hash.</summary>
    /// <exception cref="StoreException">The segment cannot be read.</exception>
    public JournalLine? ReadAt(LinePlace place, string hash)
    {
        if (place.Length is < JournalFormat.TailLength or > JournalFormat.MaximumLine || place.Position < 0 || _segments.Find(segment => segment.Name == place.File) is not { } segment)
        {
            return null;
        }

        try
        {
            int ahead = place.Position == 0 ? 0 : JournalFormat.TailLength + 1;   // the end of the line before has its hash
            using IJournalFile file = _folder.Open(place.File, forWriting: false);
            byte[] bytes = new byte[ahead + place.Length];
            for (int filled = 0, read = 1; filled < bytes.Length; filled += read)
            {
                read = file.Read(bytes.AsSpan(filled), place.Position - ahead + filled);
                if (read == 0)
                {
                    return null;
                }
            }

            string before = ahead == 0 ? segment.AfterHash : Encoding.Latin1.GetString(bytes.AsSpan(6, JournalFormat.HashLength));
            ReadOnlySpan<byte> line = bytes.AsSpan(ahead);
            return JournalFormat.Read(line) is { } found && found.Hash == hash && JournalFormat.HashMatches(before, line[..^JournalFormat.TailLength], line[^(JournalFormat.HashLength + 2)..^2])
                ? found
                : null;
        }
        catch (Exception e) when (FileFault.Is(e) || e is ArgumentOutOfRangeException)
        {
            throw new StoreException(StoreFault.Disk, $"The journal in {_folder.Path} cannot be read: {e.Message}", e);
        }
    }

    /// <inheritdoc />
    public void Dispose() => _hold?.Dispose();

    /// <summary>The segments with where each ends now, in order: what is appended later is not part of what is read.</summary>
    private (Segment Segment, long End)[] Acknowledged()
    {
        lock (_lock)
        {
            return [.. _segments.Select(segment => (segment, segment.End))];
        }
    }

    private IEnumerable<ChainedLine> ScanThrough((Segment Segment, long End)[] segments)
    {
        JournalChain? chain = null;
        foreach ((Segment segment, RawLine raw) in RawLines(segments))
        {
            chain ??= new JournalChain(segment.AfterNumber, segment.AfterHash);
            yield return chain.Next(raw, segment.Name);
        }
    }

    private IEnumerable<(Segment Segment, RawLine Raw)> RawLines((Segment Segment, long End)[] segments)
    {
        foreach ((Segment segment, long end) in segments)
        {
            using IJournalFile file = OpenToRead(segment);
            foreach (RawLine raw in JournalLines.Read(file, end))
            {
                yield return (segment, raw);
            }
        }
    }

    private Segment SegmentFor(DateTimeOffset at)
    {
        if (NewName(at) is { } name)
        {
            if (_segments.Count > 0)
            {
                OpenToAppend(_segments[^1]).Dispose();   // the chain goes on from its end
            }

            _folder.Create(name).Dispose();
            _nameUnflushed = true;
            _segments.Add(new Segment(name, LastNumber, LastHash, 0, 0));
        }

        if (_nameUnflushed)
        {
            _folder.FlushNames();
            _nameUnflushed = false;
        }

        return _segments[^1];
    }

    /// <summary>A segment for writing, when it ends where this journal left it.</summary>
    /// <exception cref="StoreException">It does not.</exception>
    /// <exception cref="IOException">It cannot be opened.</exception>
    private IJournalFile OpenToAppend(Segment segment)
    {
        IJournalFile file = _folder.Open(segment.Name, forWriting: true);
        try
        {
            byte[] tail = segment.End == 0 ? [] : Encoding.ASCII.GetBytes($"{LastHash}\"}}\n");
            long behind = file.Length - segment.End;
            if (behind < 0 || behind > (_attempt?.Length ?? 0)
                || !Rest(file, segment.End - tail.Length, segment.End).AsSpan().SequenceEqual(tail)
                || !IsOfTheAttempt(Rest(file, segment.End, segment.End + behind)))
            {
                throw WrittenByAnother(segment.Name);
            }

            return file;
        }
        catch
        {
            file.Dispose();
            throw;
        }
    }

    private StoreException WrittenByAnother(string segment) =>
        new(StoreFault.WrittenByAnother, $"{segment} in {_folder.Path} is not as this bench left it: another program wrote, cut or replaced it. The event does not count, and nothing of that file is changed. Close this bench and every other program that uses the store, then look at it with \"records verify\".");

    /// <summary>True for the bytes that a failed append may have left: those it wanted to write, or noughts where the system did not get to write them.</summary>
    private bool IsOfTheAttempt(ReadOnlySpan<byte> left)
    {
        for (int index = 0; index < left.Length; index++)
        {
            if (left[index] != 0 && left[index] != _attempt![index])
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>The name of the segment that an event opens; null when it goes into the last one.</summary>
    private string? NewName(DateTimeOffset at)
    {
        string month = NameOf(at.UtcDateTime);
        if (_segments.Count == 0 || (string.CompareOrdinal(month, _segments[^1].Name) > 0 && (at - LastAt).Duration() <= _maxStep))
        {
            return month;
        }

        DateTime last = DateTime.ParseExact(_segments[^1].Name, NameForm, CultureInfo.InvariantCulture);
        return _segments[^1].End >= _maxSegment && (last.Year, last.Month) != (9999, 12) ? NameOf(last.AddMonths(1)) : null;
    }

    private static string NameOf(DateTime month) => month.ToString(NameForm, CultureInfo.InvariantCulture);

    private void Recover()
    {
        if (_attempt is null)
        {
            return;
        }

        Segment segment = _segments[^1];
        using IJournalFile file = OpenToAppend(segment);
        file.Cut(segment.End);
        file.Flush();
        if (_proveFirst)
        {
            Prove(segment, file);
        }

        (_attempt, _proveFirst) = (null, false);
    }

    private void Prove(Segment segment, IJournalFile file)
    {
        JournalChain chain = new(segment.AfterNumber, segment.AfterHash);
        foreach (RawLine raw in JournalLines.Read(file, segment.End))
        {
            if (chain.Prove(raw, segment.Name, out _) is { } damage)
            {
                throw new IOException($"after a failed flush the journal no longer holds: {damage}");
            }
        }

        if (chain.LastHash != LastHash)
        {
            throw new IOException($"after a failed flush {segment.Name} no longer holds its last event");
        }
    }

    private void CutIfPossible()
    {
        try
        {
            if (_attempt is not null)
            {
                using IJournalFile file = OpenToAppend(_segments[^1]);
                file.Cut(_segments[^1].End);   // Recover cuts again and flushes; this only keeps a crash from finding the line
            }
        }
        catch (Exception e) when (FileFault.Is(e) || e is StoreException)
        {
            // told by the exception that is on its way; Recover tries again before anything is written
        }
    }

    private IJournalFile OpenToRead(Segment segment) => StoreException.Wrap(() => _folder.Open(segment.Name, forWriting: false), e => $"The journal in {_folder.Path} cannot be read: {e.Message}");

    // ---- opening: every line is proven, a torn end is cut off, damage is reported ----

    /// <summary>Opens a journal. For writing, a torn last line is cut off and kept beside it; for reading nothing is touched.</summary>
    /// <exception cref="StoreException">It cannot be read, or a torn end cannot be cut off.</exception>
    public static Journal Open(IJournalFolder folder, bool forWriting, TimeProvider clock, Action<StoreProgress>? progress = null, long maxSegment = MaxSegment, JournalKeys? keys = null, IProvenLines? lines = null)
    {
        IDisposable? hold = null;
        try
        {
            hold = forWriting ? folder.Hold() : null;
            Journal journal = OpenAll(folder, forWriting, clock, progress ?? (_ => { }), keys, lines);
            (journal._hold, journal._maxSegment, hold) = (hold, maxSegment, null);
            return journal;
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            throw new StoreException(StoreFault.Disk, $"The journal in {folder.Path} cannot be {(forWriting ? "opened for writing" : "read")}: {e.Message}", e);
        }
        finally
        {
            hold?.Dispose();
        }
    }

    private static Journal OpenAll(IJournalFolder folder, bool forWriting, TimeProvider clock, Action<StoreProgress> progress, JournalKeys? keys, IProvenLines? looking)
    {
        List<Segment> segments = [];
        List<JournalDamage> damage = [];
        TornTail? torn = null;
        long lines = 0;
        looking?.Begin();
        JournalChain chain = new(0, JournalFormat.FirstHash);
        string[] names = [.. folder.Names().Where(name => SegmentName().IsMatch(name)).Order(StringComparer.Ordinal)];
        long begin = clock.GetTimestamp();
        long before = 0;   // bytes of the segments before
        long[] lengths = [.. names.Select(name =>
        {
            using IJournalFile file = folder.Open(name, forWriting: false);
            return file.Length;   // read once: a bench may add to it while this looks
        })];
        long total = lengths.Sum();
        foreach ((string name, long length) in names.Zip(lengths))
        {
            using IJournalFile file = folder.Open(name, forWriting: false);
            bool isLast = name == names[^1];
            Segment segment = new(name, chain.LastNumber, chain.LastHash, 0, 0);
            segments.Add(segment);
            int damageBefore = damage.Count;
            foreach (RawLine raw in JournalLines.Read(file, length))
            {
                if (!raw.Ended && isLast && chain.WouldHold(raw.Bytes.Span))
                {
                    _ = chain.Prove(raw, name, out JournalParts last);
                    looking?.Take(last);
                    torn = EndLine(folder, name, raw, forWriting);
                    (segment.End, segment.Lines, lines) = (raw.Next + (forWriting ? 1 : 0), raw.Line, lines + 1);
                    continue;
                }

                if (chain.Prove(raw, name, out JournalParts parts) is { } found)
                {
                    damage.Add(found);
                    continue;
                }

                looking?.Take(parts);
                lines++;
                (segment.End, segment.Lines) = (raw.Next, raw.Line);
                damageBefore = damage.Count;
                if (lines % ReportEvery == 0)
                {
                    progress(new(Proving, before + raw.Next, total, clock.GetElapsedTime(begin)));
                }
            }

            before += length;

            if (damage.Count > damageBefore && isLast && IsTorn(file, segment.End, length))
            {
                damage.RemoveRange(damageBefore, damage.Count - damageBefore);
                torn = Cut(folder, segment, file, length, forWriting && damage.Count == 0, clock);
            }
            else if (damage.Count > damageBefore)
            {
                segment.End = length;   // damaged lines at the end of a segment are still looked at
            }
        }

        looking?.End();
        progress(new(Proving, total, total, clock.GetElapsedTime(begin)));
        Journal journal = new(folder, forWriting, segments, chain, new OpenReport(torn, damage, lines)) { _signer = keys?.Signer };
        if (keys is not null && damage.Count == 0 && chain.IsSigned && !chain.IsSignedBy(keys.Own))
        {
            damage.Add(journal.FirstNotSigned(keys.Own));
        }

        return journal;
    }

    /// <summary>The first event whose signature is not the station's: it, or one before it, was changed and hashed again.</summary>
    private JournalDamage FirstNotSigned(IReadOnlyList<string> own)
    {
        JournalChain chain = new(0, JournalFormat.FirstHash);
        foreach ((Segment segment, RawLine raw) in RawLines(Acknowledged()))
        {
            if (chain.Prove(raw, segment.Name) is null && chain.IsSigned && !chain.IsSignedBy(own))
            {
                return new(segment.Name, raw.Line, DamageKind.NotSigned, $"event {chain.LastNumber} is not signed by a key of this station: it, or an event since the last one that is, was changed or put in");
            }
        }

        return new("", 0, DamageKind.NotSigned, "the journal changed while it was looked at");
    }

    /// <summary>True when the bytes behind the last good line are a torn (unfinished) write, not later corruption of a complete line.</summary>
    private static bool IsTorn(IJournalFile file, long from, long end)
    {
        if (end - from > JournalFormat.MaximumLine)
        {
            return false;   // one event is under way at a time, so this is more than a crash can leave
        }

        return !TornWrite.HoldsAWholeLine(Rest(file, from, end));
    }

    private static byte[] Rest(IJournalFile file, long from, long end)
    {
        byte[] rest = new byte[end - from];
        int filled = 0;
        for (int read = 1; read > 0 && filled < rest.Length; filled += read)
        {
            read = file.Read(rest.AsSpan(filled), from + filled);
        }

        return filled == rest.Length ? rest : rest[..filled];
    }

    private static TornTail Cut(IJournalFolder folder, Segment segment, IJournalFile file, long end, bool mayCut, TimeProvider clock)
    {
        long length = end - segment.End;
        if (!mayCut)
        {
            return new TornTail(segment.Name, segment.Lines + 1, length, null);
        }

        string keptAs = Keep(folder, segment.Name, Rest(file, segment.End, end), clock);
        using IJournalFile writable = folder.Open(segment.Name, forWriting: true);
        writable.Cut(segment.End);
        writable.Flush();
        return new TornTail(segment.Name, segment.Lines + 1, length, keptAs);
    }

    private static string Keep(IJournalFolder folder, string segment, ReadOnlySpan<byte> bytes, TimeProvider clock)
    {
        string stem = $"{segment}.torn-{clock.GetUtcNow().UtcDateTime.ToString("yyyyMMdd'T'HHmmssfff'Z'", System.Globalization.CultureInfo.InvariantCulture)}";
        string name = stem;
        IReadOnlyList<string> taken = folder.Names();
        for (int count = 2; taken.Contains(name); count++)
        {
            name = $"{stem}-{count}";
        }

        using IJournalFile kept = folder.Create(name);
        kept.Write(bytes, 0);
        kept.Flush();
        folder.FlushNames();
        return name;
    }

    /// <summary>The last line is whole and proven but for its line feed: nothing is lost, the feed is put back.</summary>
    private static TornTail EndLine(IJournalFolder folder, string name, RawLine raw, bool forWriting)
    {
        if (forWriting)
        {
            using IJournalFile writable = folder.Open(name, forWriting: true);
            writable.Write("\n"u8, raw.Next);
            writable.Flush();
        }

        return new TornTail(name, raw.Line, 0, null);
    }

    [GeneratedRegex(@"\A(?!0000)[0-9]{4}-(0[1-9]|1[0-2])\.jsonl\z")]
    private static partial Regex SegmentName();

    private sealed class Segment(string name, long afterNumber, string afterHash, long end, int lines)
    {
        public string Name => name;

        public long AfterNumber => afterNumber;   // the last event before this segment

        public string AfterHash => afterHash;

        public long End { get; set; } = end;      // where the next line goes

        public int Lines { get; set; } = lines;
    }
}

/// <summary>Who signs the journal's events, and whose signatures of them count.</summary>
/// <param name="Own">The station's public keys, base64.</param>
/// <param name="Signer">The key that signs; null where nothing is added.</param>
internal sealed record JournalKeys(IReadOnlyList<string> Own, IRecordSigner? Signer = null);

/// <summary>Looks at the journal's lines while it is opened, so that their bytes are read and proven once.</summary>
internal interface IProvenLines
{
    /// <summary>All lines follow, from the first one: the journal is looked at, or once more.</summary>
    void Begin();

    /// <summary>The next line that is proven; its parts are valid during the call.</summary>
    void Take(JournalParts line);

    /// <summary>The last line was taken.</summary>
    void End();
}
