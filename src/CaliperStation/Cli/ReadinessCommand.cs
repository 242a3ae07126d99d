using System.CommandLine;
using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary>What <c>readiness</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="File">A file of tags; null for every blouse the store knows.</param>
/// <param name="MaxDays">The oldest a record may be; null for any age.</param>
/// <param name="Countersigned">Only what is countersigned is ready.</param>
/// <param name="Csv">CSV instead of a table.</param>
/// <param name="Json">JSON instead of a table.</param>
/// <param name="Paper">A paper instead of a table, with what is to be set right; null for none.</param>
internal sealed record ReadinessOptions(string? Store, string? File, int? MaxDays, bool Countersigned, bool Csv, bool Json, PaperOptions? Paper = null);

/// <summary><c>readiness</c>: who is ready; exit 1 when one is not.</summary>
internal static class ReadinessCommand
{
    internal static Command Command(TextWriter output, TextWriter error)
    {
        Argument<string?> file = new("FILE") { Description = "Tags, one a line, or CSV with a column called tag; without it every blouse the store knows.", Arity = ArgumentArity.ZeroOrOne };
        Option<bool> all = new("--all") { Description = "Every blouse the store knows; so it is without FILE." };
        Option<int?> older = new("--older-than") { Description = "A record older than so many days does not count as ready.", HelpName = "DAYS" };
        Option<bool> countersigned = new("--countersigned") { Description = "Only a countersigned blouse counts as ready." };
        Option<bool> csv = new("--csv") { Description = "The result as CSV." };
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("readiness", "Tells which blouses are verified, countersigned, too old, open or set aside.") { file, all, older, countersigned, csv, json, store };
        PaperOptionSet paper = new();
        paper.AddTo(command);
        command.Validators.Add(result =>
        {
            if (result.GetValue(all) && result.GetValue(file) is not null)
            {
                result.AddError("Say either FILE or --all.");
            }

            if (result.GetValue(csv) && result.GetValue(json))
            {
                result.AddError("Say either --csv or --json.");
            }

            if (result.GetValue(older) is < 0)
            {
                result.AddError("--older-than: days are not negative.");
            }
        });
        command.SetAction(parsed => ReadinessCommand.Run(
            new ReadinessOptions(
                parsed.GetValue(store), parsed.GetValue(file), parsed.GetValue(older), parsed.GetValue(countersigned), parsed.GetValue(csv), parsed.GetValue(json),
                paper.IsAsked(parsed) ? paper.Of(parsed, json) : null),
            TimeProvider.System, output, error));
        return command;
    }

    internal static int Run(ReadinessOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        IReadOnlyList<string>? wanted = options.File is { } path ? TagFile.Read(path) : null;
        using Store store = StoreLook.Open(options.Store, error);
        Dictionary<string, string> judgedBy = [];   // the text each record with something set aside was judged by
        Dictionary<string, Standard?> standards = [];
        IReadOnlyList<RecordAside> Asides(RecordSummary summary)
        {
            if (store.Records.Find(summary.Id)?.Sealed?.Record is not { } record)
            {
                return [];
            }

            judgedBy[record.Id] = record.Standard.Sha256;
            if (!standards.ContainsKey(record.Standard.Sha256))
            {
                standards[record.Standard.Sha256] = StoreLook.StandardOf(store, record);
            }

            return record.Asides;
        }

        ReadinessRule rule = new(clock.GetUtcNow(), options.MaxDays, options.Countersigned || Settings.Load(StoreLook.Paths(options.Store).Settings).Countersign);
        List<Readiness> blouses = StoreLook.Blouses(store, wanted, Asides, rule);
        if (options.Paper is { } paper)
        {
            Paper(store, blouses, rule, paper, clock, output);
        }
        else
        {
            output.Write(options.Json ? ReadinessTable.Json(blouses) : options.Csv ? ReadinessTable.Csv(blouses) : ReadinessTable.Text(blouses, clock.LocalTimeZone, id => judgedBy.TryGetValue(id, out string? sha256) ? standards[sha256] : null, StandardStreams.Width));
        }

        return StoreLook.Result(store, blouses.TrueForAll(blouse => blouse.IsReady) ? ExitCode.Good : ExitCode.NotWithin);
    }

    private static void Paper(Store store, List<Readiness> blouses, ReadinessRule rule, PaperOptions options, TimeProvider clock, TextWriter output)
    {
        Dictionary<string, Standard?> standards = [];
        ListedBlouse Listed(Readiness blouse)
        {
            if (blouse.IsReady || blouse.Last is not { } last || store.Records.Find(last.Id)?.Sealed?.Record is not { } record)
            {
                return new ListedBlouse(blouse, null, null);
            }

            if (!standards.TryGetValue(record.Standard.Sha256, out Standard? standard))
            {
                standards[record.Standard.Sha256] = standard = StoreLook.StandardOf(store, record);
            }

            return new ListedBlouse(blouse, record, standard);
        }

        ListedBlouse[] listed = [.. blouses.Select(Listed)];
        PaperSettings settings = options.Settings(PaperOptions.Usual(listed.Select(each => each.Standard).FirstOrDefault(standard => standard is not null), small: false));
        PaperOutput.Document(
            ReadinessPaper.Of(listed, rule, clock.LocalTimeZone), settings.Size, $"readiness-{rule.Now.UtcDateTime.ToString("yyyyMMdd'T'HHmmss'Z'", CultureInfo.InvariantCulture)}", options, output,
            json => json.WriteNumber("ready", blouses.Count(blouse => blouse.IsReady)));
    }
}

/// <summary>The list of blouses a person gave as a file.</summary>
internal static class TagFile
{
    /// <summary>Its tags, each once, in the order of the file.</summary>
    /// <exception cref="StationException">Exit 3: it cannot be read, holds no tag, or every line of it that is wrong, with what to write instead.</exception>
    internal static IReadOnlyList<string> Read(string path)
    {
        string text = GivenFile.ReadText(path);
        TagList list = TagList.Read(text);
        return list.Faults.Count > 0 ? throw new StationException(ExitCode.BadFile, FaultText.All(path, text, list.Faults))
            : list.Tags.Count > 0 ? list.Tags
            : throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)}: there is no tag in it; write one a line.");
    }
}
