using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Running;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>What <c>readiness</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="File">A file of tags; null for every blouse the store knows.</param>
/// <param name="MostDays">The oldest a record may be; null for any age.</param>
/// <param name="Countersigned">Only what is countersigned is ready.</param>
/// <param name="Csv">CSV instead of a table.</param>
/// <param name="Json">JSON instead of a table.</param>
internal sealed record ReadinessOptions(string? Store, string? File, int? MostDays, bool Countersigned, bool Csv, bool Json);

/// <summary><c>readiness</c>: who is ready; exit 1 when one is not.</summary>
internal static class ReadinessCommand
{
    private const int WorthOnePass = 100;   // with more tags than that one look at all records is quicker than one for each
    private const int MostTold = 20;

    internal static int Run(ReadinessOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        IReadOnlyList<string>? wanted = options.File is { } path ? Tags(path) : null;
        using Store store = StoreLook.Open(options.Store, error);
        ReadinessRule rule = new(clock.GetUtcNow(), options.MostDays, options.Countersigned);
        bool onePass = wanted is null || wanted.Count > WorthOnePass;
        ILookup<string, RecordSummary>? all = onePass ? store.Records.Latest().ToLookup(record => record.Tag) : null;
        ILookup<string, OpenSitting> open = store.Records.OpenSittings().ToLookup(sitting => sitting.Tag);
        IEnumerable<string> tags = wanted ?? [.. all!.Select(blouse => blouse.Key).Union(open.Select(blouse => blouse.Key)).Order(StringComparer.Ordinal)];
        List<Readiness> blouses =
        [
            .. tags.Select(tag => Readiness.Of(
                tag,
                [.. all?[tag] ?? store.Records.Summaries(new RecordFilter(tag))],
                record => store.Records.Find(record.Id)?.Sealed?.Record?.Asides ?? [],
                open[tag].Select(sitting => (DateTimeOffset?)sitting.Started).LastOrDefault(),
                rule)),
        ];
        output.Write(options.Json ? ReadinessTable.Json(blouses) : options.Csv ? ReadinessTable.Csv(blouses) : ReadinessTable.Text(blouses));
        return StoreLook.Result(store, blouses.TrueForAll(blouse => blouse.IsReady) ? ExitCode.Good : ExitCode.NotWithin);
    }

    private static IReadOnlyList<string> Tags(string path)
    {
        TagList list = TagList.Read(StandardSource.ReadText(path));
        string shown = PrintableText.Escape(path);
        return list.Faults.Count > 0
            ? throw new StationException(ExitCode.BadFile, string.Join('\n', list.Faults.Take(MostTold).Select(fault => $"{shown}:{fault.Line}:{fault.Column}: {fault.Message}; {fault.Instead}").Append(list.Faults.Count > MostTold ? $"{shown}: and {list.Faults.Count - MostTold} more" : "").Where(line => line.Length > 0)))
            : list.Tags.Count > 0 ? list.Tags
            : throw new StationException(ExitCode.BadFile, $"{shown}: there is no tag in it; write one a line.");
    }
}
