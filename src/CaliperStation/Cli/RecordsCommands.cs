using System.CommandLine;
using System.Globalization;
using System.Text;
using CaliperStation.Bench;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Files;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Cli;

/// <summary>The <c>records</c> commands.</summary>
internal static class RecordsCommands
{
    internal static Command Command(TextWriter output, TextWriter error) => new("records", "Looks at, checks and takes out what was filed.")
    {
        ListCommand(output, error), ShowCommand(output, error), HistoryCommand(output, error), VerifyCommand(output, error), ExportCommand(output, error), ImportCommand(output, error),
        NewKeyCommand(output, error), HeadCommand(output, error), AcceptLossCommand(output, error),
        BackupCommand("backup", "Copies a consistent state of the store, also while the bench works; the copy is checked.", RecordsBackup.Make, output, error),
        BackupCommand("restore", "Makes a store from a backup, where there is none; it is checked.", RecordsBackup.Restore, output, error),
    };

    private static Command ListCommand(TextWriter output, TextWriter error)
    {
        FilterOptions filter = new();
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Option<bool> abandoned = new("--abandoned") { Description = "The sittings that were given up instead; of the filters only --tag holds for them." };
        Command command = new("list", "Lists records, the oldest first.") { json, abandoned, store };
        filter.AddTo(command);
        command.SetAction(parsed => RecordsList.Run(new RecordsListOptions(parsed.GetValue(store), filter.Of(parsed), parsed.GetValue(json), parsed.GetValue(abandoned)), TimeProvider.System, output, error));
        return command;
    }

    private static Command ShowCommand(TextWriter output, TextWriter error)
    {
        Argument<string> id = TagArgument("ID", "A record, or a tag for the last record of that blouse.");
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("show", "Shows one record.") { id, json, store };
        command.SetAction(parsed => RecordsShow.Run(new RecordsShowOptions(parsed.GetValue(store), parsed.GetValue(id)!, parsed.GetValue(json)), TimeProvider.System, output, error));
        return command;
    }

    private static Command HistoryCommand(TextWriter output, TextWriter error)
    {
        Argument<string> tag = TagArgument("TAG", "The blouse.");
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("history", "Shows one blouse over time: what was measured, by whom, what was set right, and what moved since.") { tag, json, store };
        command.SetAction(parsed => RecordsHistory.Run(new RecordsHistoryOptions(parsed.GetValue(store), parsed.GetValue(tag)!, parsed.GetValue(json)), TimeProvider.System, output, error));
        return command;
    }

    private static Command VerifyCommand(TextWriter output, TextWriter error)
    {
        Argument<string?> target = new("ID|FILE") { Description = "One record, or an exported file; without it the whole store.", Arity = ArgumentArity.ZeroOrOne };
        Option<string[]> key = new("--key") { Description = "A public key that counts for an exported file; may be repeated.", HelpName = "FILE", DefaultValueFactory = _ => [] };
        Option<bool> part = new("--part") { Description = "The file is a part of a chain: records missing from it are not told." };
        Option<bool> noEnd = NoEndOption();
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Option<string?> head = TextOption("--head", "TEXT|FILE", "A head that records head printed: is all of it still here?");
        Option<string?> card = TextOption("--card", "TEXT|-", "What the code of a printed card says, or - to read it from standard input: does the store still hold exactly that record?");
        Command command = new("verify", "Finds any changed, missing or re-ordered byte and names it.") { target, key, part, noEnd, head, card, json, store };
        command.Validators.Add(result =>
        {
            if (result.GetValue(card) is not null && (result.GetValue(target) is not null || result.GetValue(head) is not null || result.GetValue(part) || result.GetValue(noEnd) || result.GetResult(key) is { Implicit: false }))
            {
                result.AddError("--card is compared with the store alone; leave the others out.");
            }
        });
        command.SetAction(parsed => parsed.GetValue(card) is { } text ? RecordsVerifyCard.Run(parsed.GetValue(store), text, parsed.GetValue(json), Console.In, output, error) : RecordsVerify.Run(
            new RecordsVerifyOptions(parsed.GetValue(store), parsed.GetValue(target), parsed.GetValue(key) ?? [], parsed.GetValue(part), parsed.GetValue(json), parsed.GetValue(head), parsed.GetValue(noEnd)), output, error));
        return command;
    }

    private static Option<bool> NoEndOption() => new("--no-end") { Description = "Takes a file without the last line that counts its records: versions of before wrote none." };

    private static Command ExportCommand(TextWriter output, TextWriter error)
    {
        FilterOptions filter = new();
        Option<bool> csv = new("--csv") { Description = "CSV, one take a line; else JSON Lines, one sealed record a line." };
        Option<bool> json = new("--json") { Description = "JSON Lines; so it is unless --csv is said." };
        Option<bool> withoutInitials = new("--without-initials") { Description = "Leaves the hands out; JSON Lines then carry no seal, for a signed record cannot be cut." };
        Option<string?> to = TextOption("--to", "FILE", "The file to write instead of standard output.");
        Option<string?> store = StoreOption();
        Command command = new("export", "Takes records out.") { csv, json, withoutInitials, to, store };
        filter.AddTo(command);
        command.SetAction(parsed => RecordsExport.Run(
            new RecordsExportOptions(parsed.GetValue(store), filter.Of(parsed), parsed.GetValue(csv), parsed.GetValue(withoutInitials), parsed.GetValue(to)), TimeProvider.System, output, error));
        return command;
    }

    private static Command ImportCommand(TextWriter output, TextWriter error)
    {
        Argument<string> file = new("FILE") { Description = "What records export wrote as JSON Lines on another bench." };
        Option<string[]> key = new("--key") { Description = "A public key whose records may come in; may be repeated.", HelpName = "FILE", DefaultValueFactory = _ => [] };
        Option<bool> noEnd = NoEndOption();
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("import", "Brings another bench's records in, all or none; every signature is checked.") { file, key, noEnd, json, store };
        command.SetAction(parsed => RecordsImport.Run(new RecordsImportOptions(parsed.GetValue(store), parsed.GetValue(file)!, parsed.GetValue(key) ?? [], parsed.GetValue(json), parsed.GetValue(noEnd)), output, error));
        return command;
    }

    private static Command NewKeyCommand(TextWriter output, TextWriter error)
    {
        Option<string> reason = new("--reason") { Description = "Why; it is kept with the key and in the journal.", HelpName = "TEXT", Required = true };
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("new-key", "Goes on with a new station key, signed by the present one unless that is lost; records signed before still verify.") { reason, json, store };
        command.SetAction(parsed => RecordsNewKey.Run(parsed.GetValue(store), parsed.GetValue(reason)!, parsed.GetValue(json), output, error));
        return command;
    }

    private static Command HeadCommand(TextWriter output, TextWriter error)
    {
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("head", "Prints where the store ended when a bench last closed it, signed: kept elsewhere it shows later that nothing is missing.") { json, store };
        command.SetAction(parsed => RecordsHead.Run(parsed.GetValue(store), parsed.GetValue(json), output, error));
        return command;
    }

    private static Command AcceptLossCommand(TextWriter output, TextWriter error)
    {
        Option<string> reason = new("--reason") { Description = "Why; it is written into the journal.", HelpName = "TEXT", Required = true };
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("accept-loss", "Goes on with a store that has less or other than it had.") { reason, json, store };
        command.SetAction(parsed => RecordsHead.AcceptLoss(parsed.GetValue(store), parsed.GetValue(reason)!, parsed.GetValue(json), output, error));
        return command;
    }

    private static Command BackupCommand(
        string name, string description, Func<RecordsBackupOptions, TextWriter, TextWriter, int> run, TextWriter output, TextWriter error)
    {
        Argument<string> folder = new("FOLDER") { Description = "The backup's folder." };
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new(name, description) { folder, json, store };
        command.SetAction(parsed => run(new RecordsBackupOptions(parsed.GetValue(store), parsed.GetValue(folder)!, parsed.GetValue(json)), output, error));
        return command;
    }

    /// <summary>The options that choose records.</summary>
    private sealed class FilterOptions
    {
        private readonly Option<string?> _tag = TagOption("Only this blouse.");
        private readonly Option<string?> _from = TextOption("--from", "DAY", "From this day or instant on, such as 2026-11-25.");
        private readonly Option<string?> _until = TextOption("--until", "DAY", "Up to this day, itself included.");
        private readonly Option<string?> _hand = TextOption("--hand", "INITIALS", "Only this hand.");
        private readonly Option<string?> _item = TextOption("--item", "ITEM", "Only records that read this item.");
        private readonly Option<string?> _verdict = TextOption("--verdict", "VERDICT", "Only records with such a verdict: within, borderline, outside.");

        internal void AddTo(Command command)
        {
            foreach (Option option in (Option[])[_tag, _from, _until, _hand, _item, _verdict])
            {
                command.Add(option);
            }
        }

        internal FilterWords Of(ParseResult parsed) => new(
            parsed.GetValue(_tag), parsed.GetValue(_from), parsed.GetValue(_until), parsed.GetValue(_hand), parsed.GetValue(_item), parsed.GetValue(_verdict));
    }
}

/// <summary>What <c>records list</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Filter">Which records.</param>
/// <param name="Json">JSON instead of a table.</param>
/// <param name="Abandoned">The sittings that were given up instead; only the filter's tag holds for them.</param>
internal sealed record RecordsListOptions(string? Store, FilterWords Filter, bool Json, bool Abandoned = false);

/// <summary>What <c>records show</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Id">The record, or a tag for its last record.</param>
/// <param name="Json">JSON instead of words.</param>
internal sealed record RecordsShowOptions(string? Store, string Id, bool Json);

/// <summary>What <c>records history</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Tag">The blouse.</param>
/// <param name="Json">JSON instead of a table.</param>
internal sealed record RecordsHistoryOptions(string? Store, string Tag, bool Json);

/// <summary>What <c>records verify</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Target">A record's id, or an exported file; null for the whole store.</param>
/// <param name="Keys">Files of public keys that count for an exported file; none: those of the store.</param>
/// <param name="Part">The file is a part of a chain: records missing from it are not told.</param>
/// <param name="Json">JSON instead of words.</param>
/// <param name="Head">A head as text, or a file that holds it; null for that which is kept on this machine alone.</param>
/// <param name="NoEnd">The file may lack the last line that counts its records.</param>
internal sealed record RecordsVerifyOptions(string? Store, string? Target, IReadOnlyList<string> Keys, bool Part, bool Json, string? Head = null, bool NoEnd = false);

/// <summary>What <c>records export</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Filter">Which records.</param>
/// <param name="Csv">CSV, one take a line; else JSON Lines, one sealed record a line.</param>
/// <param name="WithoutInitials">Leave the hands out.</param>
/// <param name="To">The file to write; null for standard output.</param>
internal sealed record RecordsExportOptions(string? Store, FilterWords Filter, bool Csv, bool WithoutInitials, string? To);

/// <summary>A filter as it was written on the command line; null lets everything through.</summary>
/// <param name="Tag">The blouse's tag.</param>
/// <param name="From">A day or an instant, ISO 8601; a day begins at midnight here, an instant without its offset is of here.</param>
/// <param name="Until">A day, itself included, or an instant, not included.</param>
/// <param name="Hand">Initials.</param>
/// <param name="Item">An item's id.</param>
/// <param name="Verdict"><c>within</c>, <c>borderline</c> or <c>outside</c>.</param>
internal sealed record FilterWords(
    string? Tag = null, string? From = null, string? Until = null, string? Hand = null, string? Item = null, string? Verdict = null)
{
    /// <summary>The filter.</summary>
    /// <param name="here">The zone of days and of instants without an offset.</param>
    /// <exception cref="Files.StationException">A word cannot be understood; wrong usage.</exception>
    internal RecordFilter Read(TimeZoneInfo here) => new(Tag, Instant(From, "--from", 0, here), Instant(Until, "--until", 1, here), Hand, Item, VerdictOf(Verdict));

    /// <summary>A day or an instant as it was written; null for none.</summary>
    /// <param name="text">What was written.</param>
    /// <param name="option">Where.</param>
    /// <param name="daysOn">How many days behind a day's beginning is meant.</param>
    /// <param name="here">The zone of days and of instants without an offset.</param>
    /// <exception cref="Files.StationException">It cannot be understood; wrong usage.</exception>
    internal static DateTimeOffset? Instant(string? text, string option, int daysOn, TimeZoneInfo here)
    {
        if (text is null)
        {
            return null;
        }

        bool isDay = DateTime.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateTime local);
        string[] forms = ["yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd'T'HH:mm:ss", "yyyy-MM-dd'T'HH:mm:ss.fff"];
        if ((isDay || DateTime.TryParseExact(text, forms, CultureInfo.InvariantCulture, DateTimeStyles.None, out local))
            && local > DateTime.MinValue.AddDays(2) && local < DateTime.MaxValue.AddDays(-2))
        {
            local = local.AddDays(isDay ? daysOn : 0);
            return new DateTimeOffset(local, here.GetUtcOffset(local));
        }

        return DateTimeOffset.TryParseExact(text, forms.Select(form => form + "K").ToArray(), CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset instant)
            ? instant
            : throw new Files.StationException(Files.ExitCode.Usage, $"{option}: write a day as 2026-11-25 or an instant as 2026-11-25T08:30 or 2026-11-25T08:30Z.");
    }

    private static Verdict? VerdictOf(string? text) => text switch
    {
        null => null,
        "within" => Core.Judging.Verdict.Within,
        "borderline" => Core.Judging.Verdict.Borderline,
        "outside" => Core.Judging.Verdict.Outside,
        _ => throw new Files.StationException(Files.ExitCode.Usage, "--verdict: say within, borderline or outside."),
    };
}

/// <summary><c>records list</c>: the records of a store, the oldest first.</summary>
internal static class RecordsList
{
    internal static int Run(RecordsListOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        RecordFilter filter = options.Filter.Read(clock.LocalTimeZone);
        using Store store = StoreLook.Open(options.Store, error);
        if (options.Abandoned)
        {
            IReadOnlyList<AbandonedSitting> abandoned = Abandoned(store, filter);
            output.Write(options.Json ? RecordTable.AbandonedJson(abandoned) : RecordTable.Abandoned(abandoned, clock.LocalTimeZone, StandardStreams.Width));
            return StoreLook.Result(store);
        }

        IReadOnlyList<RecordSummary> records = [.. store.Records.Summaries(filter)];
        output.Write(options.Json ? RecordTable.Json(records) : RecordTable.Text(records, clock.LocalTimeZone, StandardStreams.Width));
        int givenUp = store.NoIndex is null ? Abandoned(store, filter).Count : 0;   // without the index it would be another pass over the journal
        if (givenUp > 0)
        {
            error.WriteLine(FormattableString.Invariant($"{givenUp} {(givenUp == 1 ? "sitting was" : "sittings were")} given up and made no record; --abandoned lists them."));
        }

        return StoreLook.Result(store);
    }

    private static IReadOnlyList<AbandonedSitting> Abandoned(Store store, RecordFilter filter) =>
        [.. store.Records.Abandoned().Where(sitting => filter.Tag is null || BlouseTag.Comparer.Equals(sitting.Tag, filter.Tag))];
}

/// <summary><c>records show ID</c>: all that a record says; exit 1 when it is not verified.</summary>
internal static class RecordsShow
{
    internal static int Run(RecordsShowOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        using Store store = StoreLook.Open(options.Store, error);
        FiledRecord found = Find(store, options.Id);
        Record record = found.Sealed!.Record!;
        output.Write(options.Json ? RecordText.Json(found.Sealed, record) : RecordText.Text(found.Sealed, record, StoreLook.StandardOf(store, record), clock.LocalTimeZone, StandardStreams.Width));
        IReadOnlyList<RecordFinding> findings = [.. RecordChain.VerifyOne(found, store.Known.All)];
        foreach (RecordFinding finding in findings)
        {
            error.WriteLine($"{finding.Where}: {finding.Words}.");
        }

        return findings.Count > 0 ? ExitCode.Store : StoreLook.Result(store, record.IsVerified ? ExitCode.Good : ExitCode.NotWithin);
    }

    /// <summary>The record of that id, or the last of that tag.</summary>
    /// <exception cref="StationException">There is none; wrong usage.</exception>
    internal static FiledRecord Find(Store store, string id) => store.Records.Find(id) ?? store.Records.LastOf(id)
        ?? throw new StationException(ExitCode.Usage, $"There is no record \"{PrintableText.Escape(id)}\" and no record of such a tag in {store.Paths.Store}; \"records list\" shows what there is.");
}

/// <summary><c>records history TAG</c>: a blouse over time, its open sitting too; exit 5 when one of its records does not hold.</summary>
internal static class RecordsHistory
{
    internal static int Run(RecordsHistoryOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        using Store store = StoreLook.Open(options.Store, error);
        List<FiledRecord> filed = [.. store.Records.Wanted(new RecordFilter(options.Tag))];
        SittingView? open = Open(store, options.Tag, clock.LocalTimeZone, error);
        if (filed.Count == 0 && open is null)
        {
            throw new StationException(ExitCode.Usage, $"There is no record and no open sitting of a blouse \"{PrintableText.Escape(options.Tag)}\" in {store.Paths.Store}; \"records list\" shows what there is.");
        }

        Dictionary<string, Standard?> standards = [];
        Standard? Known(string sha256) => standards.TryGetValue(sha256, out Standard? known) ? known : standards[sha256] = StoreLook.StandardOf(store, sha256);
        IReadOnlyList<HistoryEntry> entries = BlouseHistory.Of(filed.Select(record => record.Sealed!), store.Known.All, open);
        output.Write(options.Json ? HistoryTable.Json(entries) : HistoryTable.Text(entries, Known, clock.LocalTimeZone, StandardStreams.Width));
        List<RecordFinding> findings = [.. filed.SelectMany(record => RecordChain.VerifyOne(record, store.Known.All))];
        foreach (RecordFinding finding in findings)
        {
            error.WriteLine($"{finding.Where}: {finding.Words}.");
        }

        return findings.Count > 0 ? ExitCode.Store : StoreLook.Result(store);
    }

    /// <summary>The open sitting that a bench would go on with, or null; one whose standard is not at hand is told.</summary>
    private static SittingView? Open(Store store, string tag, TimeZoneInfo zone, TextWriter error)
    {
        if (SittingFinder.Newest(store, tag) is not { } open)
        {
            return null;
        }

        if (StoreLook.StandardOf(store, open.Started.StandardSha256) is { } standard)
        {
            return CaliperStation.Bench.Sittings.Resume(Plan.For(standard, open.Started.Answers), open).View;
        }

        error.WriteLine($"A sitting of it is open since {LocalTime.Show(open.Started.At, zone)} and is left out here: the standard it was begun with is not at hand.");
        return null;
    }
}

/// <summary><c>records verify</c>: the whole store, one record, or an exported file with only the public key. Exit 5 when anything is wrong.</summary>
internal static class RecordsVerify
{
    internal static int Run(RecordsVerifyOptions options, TextWriter output, TextWriter error)
    {
        IReadOnlySet<string>? keys = options.Keys.Count == 0 ? null : options.Keys.Select(ReadKey).ToHashSet();
        if (keys is not null && !File.Exists(options.Target))
        {
            throw new StationException(ExitCode.BadFile, $"--key goes with an exported file; {(options.Target is { } named ? $"there is no file {PrintableText.Escape(named)}" : "none is named")}.");
        }

        (string what, long records, IReadOnlyList<RecordFinding> findings) = options.Target switch
        {
            null => Whole(options, error),
            { } path when File.Exists(path) => Exported(options, path, keys ?? StationKey.Known(StoreLook.Paths(options.Store)).All),
            { } id => One(options, id, error),
        };
        output.Write(options.Json ? CheckText.Json(records, findings) : CheckText.Text(what, records, findings));
        return findings.Count == 0 ? ExitCode.Good : ExitCode.Store;
    }

    private static (string What, long Records, IReadOnlyList<RecordFinding> Findings) Whole(RecordsVerifyOptions options, TextWriter error)
    {
        using Store store = Store.OpenToLook(StoreLook.Paths(options.Store), TimeProvider.System, new StoreBar(error, !Console.IsErrorRedirected).Show);   // a torn end is among the findings
        StoreCheck check = store.Records.Verify();
        foreach (string said in check.NewKeys)
        {
            error.WriteLine(PrintableText.Escape(said));
        }

        List<RecordFinding> findings = [.. check.Findings];
        foreach (string fault in new[] { store.HeadFault, options.Head is { } given ? store.Against(ReadHead(given)) : null }.OfType<string>().Distinct())
        {
            findings.Add(new(FindingKind.Missing, "", "", fault));
        }

        return (store.Paths.Store, check.Records, findings);
    }

    private static (string What, long Records, IReadOnlyList<RecordFinding> Findings) One(RecordsVerifyOptions options, string id, TextWriter error)
    {
        using Store store = StoreLook.Open(options.Store, error);
        FiledRecord found = RecordsShow.Find(store, id);
        return ($"Record {found.Sealed!.Record!.Id}", 1, [.. RecordChain.VerifyOne(found, store.Known.All)]);
    }

    private static (string What, long Records, IReadOnlyList<RecordFinding> Findings) Exported(RecordsVerifyOptions options, string path, IReadOnlySet<string> known)
    {
        string name = PrintableText.Escape(Path.GetFileName(path));
        long records = 0;
        List<RecordFinding> findings = [];
        Dictionary<string, long>? heads = null;
        if (options.Head is { } given)
        {
            ChainHead head = ReadHead(given);
            heads = head.IsSignedBy(known)
                ? new() { [head.Chain] = head.Record }
                : throw new StationException(ExitCode.BadFile, $"The head of {Core.Readings.FileWords.Instant(head.At)} is signed with the key {head.Key}, which is none of those that count here.");
        }

        IReadOnlyList<RecordFinding> chains = RecordChain.Verify(ExportFile.Records(path, name, options.NoEnd, findings).Select(filed =>
        {
            records++;
            return filed;
        }), known, heads, isPart: _ => options.Part);
        return (name, records, [.. chains, .. findings]);
    }

    private static ChainHead ReadHead(string given) =>
        ChainHead.Read(given) ?? ChainHead.Read(GivenFile.ReadText(given)) ?? throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(given)} holds no head; \"records head\" prints one.");

    /// <summary>The public key in a PEM file.</summary>
    /// <exception cref="StationException">There is none.</exception>
    internal static string ReadKey(string file)
    {
        try
        {
            return StationKey.ReadPublic(file)
                ?? throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(file)} holds no P-256 public key in PEM.");
        }
        catch (StoreException e)
        {
            throw new StationException(ExitCode.BadFile, e.Message, e);
        }
    }
}

/// <summary><c>records verify --card</c>: 0 when the store holds exactly the card's record, 1 when it knows nothing of it, 5 when the store, not the card, must be wrong.</summary>
internal static class RecordsVerifyCard
{
    private const int LongestLine = 2000;   // a card's text is a few hundred

    internal static int Run(string? folder, string text, bool asJson, TextReader input, TextWriter output, TextWriter error)
    {
        string given = text == "-" ? Line(input) : text;
        RecordCard card = RecordCard.Read(given) ?? throw new StationException(
            text == "-" ? ExitCode.BadFile : ExitCode.Usage, "This is no text of a card, or not all of it: it begins with CARD1: and is of capitals, digits, blanks and $%*+-./: (put it in quotes). Scan it again.");
        using Store store = StoreLook.Open(folder, error);
        CardCheck check = CardCheck.Of(card, store.Records.Wanted(new RecordFilter()), store.Known.All);
        string word = check.Finding switch
        {
            CardFinding.Same => "same",
            CardFinding.Other => "other",
            CardFinding.Unknown => "unknown",
            CardFinding.Older => "older",
        };
        output.WriteLine(asJson
            ? JsonText.Object(json =>
            {
                json.WriteString("card", word);
                json.WriteString("record", card.Id);
                json.WriteString("chain", card.Chain);
                json.WriteNumber("number", card.Number);
                json.WriteString("hash", card.Hash);
                json.WriteBoolean("signed", check.IsSigned);
                json.WriteString("words", check.Words);
            })
            : $"{word}: {check.Words}.");
        return check.Finding == CardFinding.Same ? StoreLook.Result(store)
            : check.IsSigned ? ExitCode.Store
            : StoreLook.Result(store, ExitCode.NotWithin);
    }

    /// <summary>The first line, as a scanner gives it; never more than a card can be.</summary>
    private static string Line(TextReader input)
    {
        StringBuilder line = new();
        for (int next = input.Read(); next >= 0 && next != '\n' && line.Length < LongestLine; next = input.Read())
        {
            line.Append((char)next);
        }

        return line.ToString();
    }
}

/// <summary><c>records export</c>: CSV or JSON Lines, a few records at a time, so memory does not grow with the store.</summary>
internal static class RecordsExport
{
    internal static int Run(RecordsExportOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        ExportRequest request = new(options.Filter.Read(clock.LocalTimeZone), options.Csv, options.WithoutInitials);
        using Store store = StoreLook.Open(options.Store, error);
        if (options.To is { } path)
        {
            ToFile(store, request, path);
        }
        else
        {
            store.Records.Export(request, output);
        }

        return StoreLook.Result(store);
    }

    /// <summary>Writes the file; it is on the disk when this returns, for an export is often taken along on a stick.</summary>
    /// <exception cref="StationException">Exit 3: it cannot be written.</exception>
    internal static void ToFile(Store store, ExportRequest request, string path)
    {
        try
        {
            using FileStream disk = new(path, FileMode.Create, FileAccess.Write, FileShare.Read);
            using StreamWriter text = new(disk, new UTF8Encoding(false));
            store.Records.Export(request, text);
            text.Flush();
            disk.Flush(flushToDisk: true);
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} cannot be written: {PrintableText.Escape(e.Message)}", e);
        }
    }
}

/// <summary>What <c>records import</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="File">A file that <c>records export</c> wrote as JSON Lines.</param>
/// <param name="Keys">Files of public keys whose records may come in, beside those known already.</param>
/// <param name="Json">JSON instead of words.</param>
/// <param name="NoEnd">The file may lack the last line that counts its records.</param>
internal sealed record RecordsImportOptions(string? Store, string File, IReadOnlyList<string> Keys, bool Json, bool NoEnd = false);

/// <summary><c>records import</c>: brings another station's records in, all or, when one is not good, none. The same record twice is one.</summary>
internal static class RecordsImport
{
    internal static int Run(RecordsImportOptions options, TextWriter output, TextWriter error)
    {
        HashSet<string> given = [.. options.Keys.Select(RecordsVerify.ReadKey)];
        using Store store = OpenStore.ForWork(StorePaths.OnThisMachine(options.Store), TimeProvider.System, error);
        string name = PrintableText.Escape(Path.GetFileName(options.File));
        IReadOnlyList<RecordFinding> findings = RecordImport.Run(store, options.File, given, options.NoEnd, TimeProvider.System, out long brought, out long here);
        if (findings.Count > 0)
        {
            (options.Json ? output : error).Write(options.Json ? CheckText.Json(0, findings) : CheckText.Text(name, 0, findings));
            throw new StationException(ExitCode.BadFile, $"Nothing was imported from {name}.");
        }

        output.WriteLine(options.Json
            ? JsonText.Object(json =>
            {
                json.WriteNumber("imported", brought);
                json.WriteNumber("here", here);
            })
            : FormattableString.Invariant($"{brought} {(brought == 1 ? "record" : "records")} imported, {here} {(here == 1 ? "was" : "were")} here already."));
        return ExitCode.Good;
    }
}

/// <summary><c>records new-key</c>: a new key for the station; the retired public half stays, so its records still verify.</summary>
internal static class RecordsNewKey
{
    /// <summary>The journal's kind of the line that says it.</summary>
    private const string Kind = "new-key";

    internal static int Run(string? store, string reason, bool asJson, TextWriter output, TextWriter error)
    {
        if (Sitting.ValidateReason(reason, "--reason") is { } fault)
        {
            throw new StationException(ExitCode.Usage, fault);
        }

        StorePaths paths = StorePaths.OnThisMachine(store);
        DateTimeOffset now = TimeProvider.System.GetUtcNow();
        bool wasLost;
        paths.Validate();
        using (StoreLock.Acquire(paths))   // no bench signs meanwhile
        using (StationKey.Renew(paths, reason.Trim(), now, out wasLost))
        {
        }

        using Store open = OpenStore.ForWork(paths, TimeProvider.System, error);
        open.Append(now, "", Kind, JsonText.Object(json =>
        {
            json.WriteString("key", open.Key.Id);
            json.WriteString("reason", reason.Trim());
            json.WriteBoolean("signedByTheOneBefore", !wasLost);
        }));
        string publicHalf = Path.Combine(paths.Keys, open.Key.Id + ".pub.pem");
        if (wasLost)
        {
            error.WriteLine("The key before was not there to sign the new one: \"records verify\" says so from now on. Tell whoever checks your records.");
        }

        output.WriteLine(asJson
            ? JsonText.Object(json =>
            {
                json.WriteString("key", open.Key.Id);
                json.WriteString("publicKeyFile", publicHalf);
                json.WriteBoolean("signedByTheOneBefore", !wasLost);
            })
            : $"New key {open.Key.Id}. Give its public half to whoever checks your records: {PrintableText.Escape(publicHalf)}");
        return ExitCode.Good;
    }
}

/// <summary><c>records head</c> and <c>records accept-loss</c>: the witness outside the store.</summary>
internal static class RecordsHead
{
    /// <summary>The journal's kind of the line that says a loss was accepted.</summary>
    private const string Kind = "accepted-loss";

    internal static int Run(string? store, bool asJson, TextWriter output, TextWriter error)
    {
        using Store open = StoreLook.Open(store, error);
        ChainHead head = Store.KeptHead(open.Paths)
            ?? throw new StationException(ExitCode.Usage, "No head of this store is kept on this machine yet; the next record makes one.");
        Write(head, asJson, output);
        return StoreLook.Result(open);
    }

    internal static int AcceptLoss(string? store, string reason, bool asJson, TextWriter output, TextWriter error)
    {
        if (Sitting.ValidateReason(reason, "--reason") is { } fault)
        {
            throw new StationException(ExitCode.Usage, fault);
        }

        StorePaths paths = StorePaths.OnThisMachine(store);
        StoreLook.Paths(store);
        ChainHead? before = Store.KeptHead(paths);
        using Store open = OpenStore.ForWork(paths, TimeProvider.System, error, acceptsLoss: true);
        DateTimeOffset now = TimeProvider.System.GetUtcNow();
        open.Append(now, "", Kind, JsonText.Object(json =>
        {
            json.WriteString("reason", reason.Trim());
            json.WriteString("head", before?.Text ?? "");
        }));
        open.KeepHead(now);
        if (Store.KeptHead(paths) is { } head)
        {
            Write(head, asJson, output);
        }

        return ExitCode.Good;
    }

    private static void Write(ChainHead head, bool asJson, TextWriter output) => output.WriteLine(asJson
        ? JsonText.Object(json =>
        {
            json.WriteString("head", head.Text);
            json.WriteString("key", head.Key);
            json.WriteString("chain", head.Chain);
            json.WriteNumber("number", head.Record);
            json.WriteString("hash", head.RecordHash);
            json.WriteString("at", Core.Readings.FileWords.Instant(head.At));
            json.WriteNumber("event", head.Event);
            json.WriteString("eventHash", head.EventHash);
        })
        : head.Text);
}

/// <summary>What <c>records backup</c> or <c>records restore</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="Folder">The backup's folder.</param>
/// <param name="Json">JSON instead of words.</param>
internal sealed record RecordsBackupOptions(string? Store, string Folder, bool Json);

/// <summary><c>records backup FOLDER</c> and <c>records restore FOLDER</c>: both check the copy and end with 5 when it does not hold.</summary>
internal static class RecordsBackup
{
    internal static int Make(RecordsBackupOptions options, TextWriter output, TextWriter error) =>
        Tell(options, StoreBackup.Make(StoreLook.Paths(options.Store), options.Folder, TimeProvider.System), output, error,
            "The backup is made. It does not hold the station's private key.");

    internal static int Restore(RecordsBackupOptions options, TextWriter output, TextWriter error) =>
        Tell(options, StoreBackup.Restore(options.Folder, StorePaths.OnThisMachine(options.Store), TimeProvider.System), output, error,
            "The backup is restored.");

    private static int Tell(RecordsBackupOptions options, StoreCheck check, TextWriter output, TextWriter error, string done)
    {
        output.Write(options.Json ? CheckText.Json(check.Records, check.Findings) : CheckText.Text(options.Folder, check.Records, check.Findings));
        if (check.Findings.Count > 0)
        {
            return ExitCode.Store;
        }

        error.WriteLine(done);
        return ExitCode.Good;
    }
}

/// <summary>Opens a store for a looking command and tells what there is to tell.</summary>
internal static class StoreLook
{
    private const int MaxTold = 20;   // cap on listed faults; records verify lists all

    /// <summary>Opens the store; a torn end and damage are told on <paramref name="error"/>, what can be read stays readable.</summary>
    /// <exception cref="StationException">Exit 2: the folder that was named holds no store.</exception>
    internal static Store Open(string? store, TextWriter error, IProvenLines? lines = null)
    {
        Store opened = OpenStore.ToLook(Paths(store), TimeProvider.System, error, lines);
        foreach (JournalDamage damage in opened.Report.Damage.Take(MaxTold))
        {
            error.WriteLine(PrintableText.Escape(damage.ToString() + "."));
        }

        return opened;
    }

    /// <summary>The places of a store to be looked at. The usual place may be empty yet; a folder that was named is not: it was mistyped.</summary>
    /// <exception cref="StationException">Exit 2: the folder that was named holds no store.</exception>
    internal static StorePaths Paths(string? store)
    {
        StorePaths paths = StorePaths.OnThisMachine(store);
        return store is null || Directory.Exists(paths.Journal) ? paths
            : throw new StationException(ExitCode.Usage, Directory.Exists(paths.Store)
                ? $"--store: {PrintableText.Escape(paths.Store)} holds no store of a bench (there is no folder \"journal\" in it)."
                : $"--store: there is no folder {PrintableText.Escape(paths.Store)}.");
    }

    /// <summary>The standard a record was judged by, from the texts the store keeps or the program's own; null when neither has it.</summary>
    internal static Standard? StandardOf(Store store, Record record) => StandardOf(store, record.Standard.Sha256);

    /// <summary>The standard whose text has that hash, from the texts the store keeps or the program's own; null when neither has it.</summary>
    internal static Standard? StandardOf(Store store, string sha256)
    {
        byte[]? text = OpenStore.Archive(store).Find(sha256);
        Standard? standard = text is null ? StandardSource.Demonstration().Standard : StandardText.Load(text).Standard;
        return standard?.Sha256 == sha256 ? standard : null;
    }

    private const int WorthOnePass = 100;   // with more tags than that one look at all records is quicker than one for each

    /// <summary>How each blouse stands.</summary>
    /// <param name="store">The store.</param>
    /// <param name="wanted">The blouses; null for all that the store knows.</param>
    /// <param name="asides">What was set aside in a record that says it has such.</param>
    /// <param name="rule">What is asked before one is ready.</param>
    internal static List<Readiness> Blouses(Store store, IReadOnlyList<string>? wanted, Func<RecordSummary, IReadOnlyList<RecordAside>> asides, ReadinessRule rule)
    {
        bool onePass = wanted is null || wanted.Count > WorthOnePass;
        ILookup<string, RecordSummary>? all = onePass ? store.Records.Latest().ToLookup(record => record.Tag, BlouseTag.Comparer) : null;
        ILookup<string, OpenSitting> open = store.Records.OpenSittings().ToLookup(sitting => sitting.Tag, BlouseTag.Comparer);
        IEnumerable<string> tags = wanted ?? [.. all!.Select(blouse => blouse.Key).Union(open.Select(blouse => blouse.Key), BlouseTag.Comparer).Order(BlouseTag.Comparer)];
        // the index was found whole, but anybody may have made it: what is called ready is asked of the record itself
        bool Counts(string id) => store.Records.Find(id)?.Sealed?.Counts(store.Known.All) ?? false;
        return
        [
            .. tags.Select(tag => Readiness.Of(
                tag,
                [.. all?[tag] ?? store.Records.Summaries(new RecordFilter(tag))],
                asides,
                open[tag].Select(sitting => (DateTimeOffset?)sitting.Started).LastOrDefault(),
                rule)).Select(blouse => blouse.IsReady && !Counts(blouse.Last!.Id) ? blouse with { Last = blouse.Last with { Verified = false }, Why = ["its record does not bear a signature that counts here"] } : blouse),
        ];
    }

    /// <summary>The exit code of a command that did its work: 5 when the store it read is damaged.</summary>
    internal static int Result(Store store, int good = ExitCode.Good) => store.IsSound ? good : ExitCode.Store;
}
