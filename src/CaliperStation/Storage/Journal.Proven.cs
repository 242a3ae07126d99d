namespace CaliperStation.Storage;

/// <content>Closed segments, which are never written again, are proven once and then trusted while they look the same: decision 0007.</content>
internal sealed partial class Journal
{
    /// <summary>The last event that was trusted and not proven when the journal was opened; 0 when all was proven.</summary>
    public long TrustedThrough => _segments.FindLastIndex(segment => segment.Trusted) is >= 0 and int index ? _segments[index + 1].AfterNumber : 0;

    /// <summary>The closed segments, all but the newest, as a next start may trust them; none when anything is wrong with the journal.</summary>
    public IReadOnlyList<ProvenSegment> Closed()
    {
        lock (_lock)
        {
            return Report.IsSound
                ? [.. _segments.Zip(_segments.Skip(1), (segment, next) => new ProvenSegment(
                    segment.Name, segment.End, segment.Changed, segment.AfterNumber, segment.AfterHash, next.AfterNumber, next.AfterHash, segment.Lines))]
                : [];
        }
    }

    /// <summary>Proves what was trusted; what is found is in the report from then on.</summary>
    /// <exception cref="StoreException">A segment cannot be read.</exception>
    public void ProveTrusted()
    {
        List<JournalDamage> found = [];
        for (int index = 0; index < _segments.Count; index++)
        {
            if (_segments[index] is { Trusted: true } segment)
            {
                JournalChain chain = new(segment.AfterNumber, segment.AfterHash);
                using IJournalFile file = Told(() => _folder.Open(segment.Name, forWriting: false));
                int line = 0;
                foreach (RawLine raw in JournalLines.Read(file, segment.End))
                {
                    line = raw.Line;
                    if (chain.Prove(raw, segment.Name) is { } damage)
                    {
                        found.Add(damage);
                    }
                }

                if (found.Count == 0 && chain.LastHash != _segments[index + 1].AfterHash)
                {
                    found.Add(new(segment.Name, line, DamageKind.Missing, "events at its end are missing"));
                }

                segment.Trusted = false;
            }
        }

        Report = Report with { Damage = [.. found, .. Report.Damage], Lines = Report.Lines - found.Count };
    }
}
