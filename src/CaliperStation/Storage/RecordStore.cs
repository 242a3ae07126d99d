using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Storage;

/// <summary>The records of a store: filed, found, checked. The journal has them; the index only finds them faster.</summary>
internal sealed class RecordStore(StorePaths paths, Journal journal, StoreIndex? index, KeyList known, long seen = 0)
{
    /// <summary>The journal's kind of a line that holds a sealed record.</summary>
    public const string Kind = "record";

    /// <summary>The index remembers what a damaged line once said; then only the journal is asked.</summary>
    private StoreIndex? Finder => journal.Report.IsSound ? index : null;

    /// <summary>The records that are wanted, in the order they were filed, one at a time.</summary>
    public IEnumerable<RecordSummary> Summaries(RecordFilter filter) => Finder?.Records(filter) is { } indexed
        ? indexed.Select(record => record.Summary)
        : Sound().Select(filed => RecordSummary.Of(filed.Sealed!, known.All)).Where(filter.Wants);

    /// <summary>The sealed records that are wanted, in the order they were filed, one at a time: memory does not grow with the store.</summary>
    public IEnumerable<FiledRecord> Wanted(RecordFilter filter) => filter.Tag is not null && Finder?.Records(filter) is { } indexed
        ? indexed.Select(At)
        : Sound().Where(filed => filter.Wants(RecordSummary.Of(filed.Sealed!, known.All)));

    /// <summary>The record of that id, or null.</summary>
    public FiledRecord? Find(string id) => Finder?.Find(id) is { } indexed
        ? At(indexed)
        : Finder is { Stale: null } ? null : Sound().FirstOrDefault(filed => filed.Sealed!.Record!.Id == id);

    /// <summary>The last record of a blouse, or null.</summary>
    public FiledRecord? LastOf(string tag) => Finder is { } finder && finder.LastOf(tag) is { } indexed
        ? At(indexed)
        : Finder is { Stale: null } ? null : Wanted(new RecordFilter(tag)).LastOrDefault();

    /// <summary>The records that decide readiness: of each blouse its last sitting and latest remeasurements. Unordered; may contain extra records.</summary>
    public IEnumerable<RecordSummary> Latest() => Finder?.Latest() ?? Summaries(new RecordFilter());

    /// <summary>Writes the wanted records as CSV with its heading, or as JSON Lines, in the order they were filed, one at a time.</summary>
    /// <exception cref="StoreException">A record does not give its hash; it was left out, the others were written.</exception>
    public void Export(ExportRequest request, TextWriter output)
    {
        if (request.Csv)
        {
            output.Write(RecordExport.CsvHeading);
        }

        string? leftOut = null;
        ExportEnd end = new();
        foreach (FiledRecord filed in Wanted(request.Filter))
        {
            if (filed.Sealed is { IsWhole: true, Record: { } record } seal)
            {
                request.Write(seal, record, output);
                end.Add(record, seal.Hash);
            }
            else
            {
                leftOut ??= filed.Where;
            }
        }

        if (!request.Csv)
        {
            output.Write(end.ToText() + "\n");
        }

        if (leftOut is not null)
        {
            throw new StoreException(StoreFault.RecordChanged, $"The record in {leftOut} was changed before it was filed and is left out; there may be more. Look at the store with \"records verify\".");
        }
    }

    /// <summary>Sittings begun and not closed, of one blouse or of all, the oldest first.</summary>
    public IReadOnlyList<OpenSitting> OpenSittings(string? tag = null)
    {
        if (Finder?.OpenSittings(tag) is { } indexed)
        {
            return indexed;
        }

        Dictionary<string, OpenSitting> open = [];
        foreach (JournalLine line in journal.Read())
        {
            switch (line.Kind)
            {
                case "started" when SittingEventJson.Read(line.Kind, line.Body, line.At) is SittingEvent.Started started:
                    open[line.Sitting] = new(line.Sitting, started.Tag, line.At, line.Number);
                    break;
                case "tag" when open.TryGetValue(line.Sitting, out OpenSitting? sitting) && line.TextOf("tag") is { Length: > 0 } corrected:
                    open[line.Sitting] = sitting with { Tag = corrected };
                    break;
                case Kind or "abandoned":
                    open.Remove(line.Sitting);
                    break;
                default:
                    break;
            }
        }

        return [.. open.Values.Where(sitting => tag is null || BlouseTag.Comparer.Equals(sitting.Tag, tag)).OrderBy(sitting => sitting.FirstNumber)];
    }

    /// <summary>Sittings that were given up, in the order they were; they made no record.</summary>
    public IReadOnlyList<AbandonedSitting> Abandoned()
    {
        if (Finder?.Abandoned() is { } indexed)
        {
            return indexed;
        }

        Dictionary<string, string> tags = [];
        List<AbandonedSitting> abandoned = [];
        foreach (JournalLine line in journal.Read())
        {
            if (line.Kind == "started" || (line.Kind == "tag" && tags.ContainsKey(line.Sitting)))
            {
                tags[line.Sitting] = line.TextOf("tag") is { Length: > 0 } tag ? tag : tags.GetValueOrDefault(line.Sitting, "");
            }
            else if (line.Kind == "abandoned" && tags.TryGetValue(line.Sitting, out string? blouse))
            {
                abandoned.Add(new(line.Sitting, blouse, line.At, line.TextOf("reason")));
            }
        }

        return abandoned;
    }

    /// <summary>Where this station's next record goes: behind the last one in the journal that is of its chain and signed by its key, whatever the index says.</summary>
    /// <param name="key">The station's key: it names the chain when there is none yet.</param>
    public ChainPlace NextPlace(IRecordSigner key)
    {
        IReadOnlySet<string> own = known.OwnIds;
        SealedRecord? last = journal.ReadBack(Kind).Select(line => SealedRecord.Read(line.Body)).FirstOrDefault(seal =>
            seal is { IsWhole: true } && own.Contains(seal.Record.Chain) && RecordSignature.KeyId(seal.PublicKey) is { } signer && own.Contains(signer));
        return last?.Record is { } record ? new(record.Chain, record.Number + 1, last.Hash) : new(key.Id, 1, Record.NoPrevious);
    }

    /// <summary>Seals a record and files it; the sitting is closed when it is there as <see cref="Store.ReadBack"/> finds it.</summary>
    /// <exception cref="StoreException">It could not be filed.</exception>
    public static SealedRecord Close(IJournal writer, Record record, IRecordSigner key, DateTimeOffset at)
    {
        SealedRecord seal = SealedRecord.Seal(record, key);
        writer.Append(at, record.Id, Kind, seal.ToText());
        return seal;
    }

    /// <summary>Checks the whole store: the journal line by line, every record by itself, and the chains.</summary>
    public StoreCheck Verify()
    {
        List<RecordFinding> findings = [];
        long lines = 0;
        long records = 0;
        if (journal.Report.Torn is { } torn)
        {
            findings.Add(new(FindingKind.Changed, $"{torn.File}, line {torn.Line}", "", torn.Words));
        }

        Dictionary<string, RecordEvents> open = [];   // of each sitting without a record yet, its events so far

        IEnumerable<(ChainedLine At, RecordEvents? Events)> Lines()
        {
            foreach (ChainedLine line in journal.Scan())
            {
                lines++;
                if (line.Damage is { } damage)
                {
                    findings.Add(Finding(damage));
                }

                if (line.Line is { Kind: Kind })
                {
                    records++;
                    _ = open.Remove(line.Line.Sitting, out RecordEvents? events);
                    yield return (line, events);
                }
                else if (line is { Holds: true, Line: { Sitting.Length: > 0 } happened })
                {
                    EventMark mark = new(happened.Number, happened.Hash);
                    open[happened.Sitting] = open.TryGetValue(happened.Sitting, out RecordEvents? so) ? so with { Last = mark } : new(mark, mark);
                }
            }
        }

        IReadOnlySet<string> own = known.OwnIds;
        StoreIndex? compared = Finder is { Stale: null } usable ? usable : null;   // one given up before is not used anyway
        IReadOnlyDictionary<string, long>? heads = index?.Heads();
        Dictionary<long, long>? indexed = compared?.Checks();
        bool differs = false;
        FiledRecord Compared((FiledRecord Filed, long Number, long? Check, RecordEvents? Events) at)
        {
            if (at.Filed.Sealed?.Record is { Events: { } said } record && own.Contains(record.Chain) && said != at.Events)
            {
                string id = Core.Quantities.PrintableText.Escape(record.Id);
                findings.Add(new(FindingKind.Changed, at.Filed.Where, id, $"record {id} was made of the events {said.First.Number} to {said.Last.Number}, and the journal holds other events of that sitting"));
            }

            differs |= indexed is not null && at.Check is { } check && !(indexed.Remove(at.Number, out long found) && found == check);
            return at.Filed;
        }

        IReadOnlyList<RecordFinding> chain = RecordChain.Verify(
            Lines().AsParallel().AsOrdered().Select(Checked).AsSequential().Select(Compared), known.All, heads, chain => !own.Contains(chain));   // of another station only what was imported is here
        findings.AddRange(chain);
        findings.AddRange(journal.Report.Damage.Where(damage => damage.Kind == DamageKind.NotSigned).Select(Finding));   // the chain of hashes alone does not show it
        if (seen > journal.LastNumber)
        {
            findings.Add(new(FindingKind.Missing, "", "", $"the journal ends at event {journal.LastNumber}, but the index has seen event {seen}: events at the end are missing"));
        }

        if (index is not null && (index.Changed ?? (Differs() ? "it does not agree with the journal; delete it, and the next start rebuilds it" : null)) is { } fault)
        {
            findings.Add(new(FindingKind.Changed, index.Name, "", $"this is only the index, the journal is asked instead: {fault}"));
        }

        bool Differs()
        {
            RecordStore plain = new(paths, journal, null, known);
            return compared is not null && seen <= journal.LastNumber && (indexed is null || differs || indexed.Count > 0 || compared.BlousesFollow() != true
                || compared.OpenSittings(null)?.SequenceEqual(plain.OpenSittings()) != true || compared.Abandoned()?.SequenceEqual(plain.Abandoned()) != true);
        }

        findings.AddRange(new StandardArchive(paths.Standards).Changed().Select(name => new RecordFinding(
            FindingKind.Changed, $"standards/{Core.Quantities.PrintableText.Escape(name)}", "", "this is not the text it is named after; put the company's own file of that edition in its place")));
        return new StoreCheck(lines, records, findings)
        {
            NewKeys = [.. known.Unsigned.Select(key => $"The station's key {RecordSignature.KeyId(key.Public)} of {Core.Readings.FileWords.Instant(key.At)} was not signed by the one before it; the reason given: {key.Reason}. Whoever did not do that should trust nothing since.")],
        };
    }

    /// <summary>The record of a line, and the check its document in the index must bear; hash and signature, which cost the most, are looked at here, on any core.</summary>
    private (FiledRecord Filed, long Number, long? Check, RecordEvents? Events) Checked((ChainedLine At, RecordEvents? Events) line)
    {
        ChainedLine at = line.At;
        SealedRecord? seal = SealedRecord.Read(at.Line!.Body);
        _ = seal is { IsWhole: true, IsSigned: true };
        long? check = at.Holds && seal?.Record is { } record ? IndexDocuments.CheckOf(IndexDocuments.Record(at.Line, at.Place, record, seal, known.All)) : null;
        return (new FiledRecord(at.Place.ToString(), seal), at.Line.Number, check, line.Events);
    }

    private static RecordFinding Finding(JournalDamage damage) => new(
        damage.Kind switch
        {
            DamageKind.Missing => FindingKind.Missing,
            DamageKind.OutOfOrder => FindingKind.OutOfOrder,
            DamageKind.NotSigned => FindingKind.BadSignature,
            _ => FindingKind.Changed,
        },
        $"{damage.File}, line {damage.Line}",
        "",
        damage.Words);

    private IEnumerable<FiledRecord> Sound() => journal.Scan()
        .Where(line => line is { Holds: true, Line.Kind: Kind })
        .Select(line => new FiledRecord(line.Place.ToString(), SealedRecord.Read(line.Line!.Body)))
        .Where(filed => filed.Sealed?.Record is not null);

    private FiledRecord At(IndexedRecord indexed) => journal.ReadAt(indexed.Place, indexed.Hash) is { } line && SealedRecord.Read(line.Body) is { Record: not null } seal
        ? new FiledRecord(indexed.Place.ToString(), seal)
        : throw new StoreException(StoreFault.RecordChanged, $"The record {Core.Quantities.PrintableText.Escape(indexed.Summary.Id)} is no longer where the index says ({indexed.Place}). Look at the store with \"records verify\".");
}

/// <summary>What a check of the whole store found.</summary>
/// <param name="Lines">Lines of the journal.</param>
/// <param name="Records">Records among them.</param>
/// <param name="Findings">Everything wrong; empty when the store is sound.</param>
internal sealed record StoreCheck(long Lines, long Records, IReadOnlyList<RecordFinding> Findings)
{
    /// <summary>Of each new key that the one before it did not sign, a sentence: the station may have lost it, or somebody may have taken the store over.</summary>
    public IReadOnlyList<string> NewKeys { get; init; } = [];
}

/// <summary>What an export is to hold.</summary>
/// <param name="Filter">Which records; of CSV also which lines.</param>
/// <param name="Csv">CSV, one take a line; else one sealed record a line.</param>
/// <param name="WithoutInitials">Leave the hands out.</param>
internal sealed record ExportRequest(RecordFilter Filter, bool Csv, bool WithoutInitials)
{
    /// <summary>Writes a record's lines.</summary>
    public void Write(SealedRecord seal, Record record, TextWriter output)
    {
        if (Csv)
        {
            RecordExport.WriteCsv(record, Filter, WithoutInitials, output);
        }
        else
        {
            output.Write(RecordExport.JsonLine(seal, WithoutInitials));
        }
    }
}
