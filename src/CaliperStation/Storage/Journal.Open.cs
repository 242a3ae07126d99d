using System.Text.RegularExpressions;

namespace CaliperStation.Storage;

/// <content>Opening: every line is proven, a torn end is cut off, damage is told.</content>
internal sealed partial class Journal
{
    /// <summary>Opens a journal. For writing, a torn last line is cut off and kept beside it; for reading nothing is touched.</summary>
    /// <exception cref="StoreException">It cannot be read, or a torn end cannot be cut off.</exception>
    public static Journal Open(IJournalFolder folder, bool forWriting, TimeProvider clock, IReadOnlyList<ProvenSegment>? proven = null)
    {
        try
        {
            return OpenAll(folder, forWriting, clock, proven ?? []);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new StoreException($"The journal in {folder.Path} cannot be {(forWriting ? "opened for writing" : "read")}: {e.Message}", e);
        }
    }

    private static Journal OpenAll(IJournalFolder folder, bool forWriting, TimeProvider clock, IReadOnlyList<ProvenSegment> proven)
    {
        List<Segment> segments = [];
        List<JournalDamage> damage = [];
        TornTail? torn = null;
        long lines = 0;
        JournalChain chain = new(0, JournalFormat.FirstHash);
        string[] names = [.. folder.Names().Where(name => SegmentName().IsMatch(name)).Order(StringComparer.Ordinal)];
        foreach (string name in names)
        {
            using IJournalFile file = folder.Open(name, forWriting: false);
            bool last = name == names[^1];
            if (!last && damage.Count == 0 && proven.FirstOrDefault(known => known.Name == name) is { } before && before.Agrees(file, chain.LastNumber, chain.LastHash))
            {
                chain = new JournalChain(before.LastNumber, before.LastHash);
                segments.Add(new Segment(name, before.AfterNumber, before.AfterHash, before.Length, before.Lines) { Changed = before.Changed, Trusted = true });
                lines += before.Lines;
                continue;
            }

            Segment segment = new(name, chain.LastNumber, chain.LastHash, 0, 0) { Changed = file.Changed };
            segments.Add(segment);
            int damageBefore = damage.Count;
            foreach (RawLine raw in JournalLines.Read(file, file.Length))
            {
                if (!raw.Ended && last && chain.WouldHold(raw.Bytes.Span))
                {
                    _ = chain.Prove(raw, name);
                    torn = EndLine(folder, name, raw, forWriting);
                    (segment.End, segment.Lines, lines) = (raw.Next + (forWriting ? 1 : 0), raw.Line, lines + 1);
                    continue;
                }

                if (chain.Prove(raw, name) is { } found)
                {
                    damage.Add(found);
                    continue;
                }

                lines++;
                (segment.End, segment.Lines) = (raw.Next, raw.Line);
                damageBefore = damage.Count;
            }

            if (damage.Count > damageBefore && last && IsTorn(file, segment.End))
            {
                damage.RemoveRange(damageBefore, damage.Count - damageBefore);
                torn = Cut(folder, segment, file, forWriting && damage.Count == 0, clock);
            }
            else if (damage.Count > damageBefore)
            {
                segment.End = file.Length;   // damaged lines at the end of a segment are still looked at
            }
        }

        return new Journal(folder, forWriting, segments, chain, new OpenReport(torn, damage, lines));
    }

    /// <summary>True when the bytes behind the last good line are the rest of a write that never ended, not a line that was once whole.</summary>
    private static bool IsTorn(IJournalFile file, long from)
    {
        if (file.Length - from > JournalFormat.MaximumLine)
        {
            return false;   // one event is under way at a time, so this is more than a crash can leave
        }

        return !TornTest.HoldsAWholeLine(Rest(file, from));
    }

    private static byte[] Rest(IJournalFile file, long from)
    {
        byte[] rest = new byte[file.Length - from];
        int filled = 0;
        for (int read = 1; read > 0 && filled < rest.Length; filled += read)
        {
            read = file.Read(rest.AsSpan(filled), from + filled);
        }

        return filled == rest.Length ? rest : rest[..filled];
    }

    private static TornTail Cut(IJournalFolder folder, Segment segment, IJournalFile file, bool mayCut, TimeProvider clock)
    {
        long length = file.Length - segment.End;
        if (!mayCut)
        {
            return new TornTail(segment.Name, segment.Lines + 1, length, null);
        }

        string keptAs = Keep(folder, segment.Name, Rest(file, segment.End), clock);
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

        using IJournalFile kept = folder.Open(name, forWriting: true);
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

    [GeneratedRegex(@"\A[0-9]{4}-[0-9]{2}\.jsonl\z")]
    private static partial Regex SegmentName();
}
