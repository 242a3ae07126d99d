using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary><c>records show ID</c>: all that a record says; exit 1 when it is not verified.</summary>
internal static class RecordsShow
{
    internal static int Run(RecordsShowOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        using Store store = StoreLook.Open(options.Store, error);
        FiledRecord found = Find(store, options.Id);
        Record record = found.Sealed!.Record!;
        output.Write(options.Json ? RecordText.Json(found.Sealed, record) : RecordText.Text(found.Sealed, record, StoreLook.StandardOf(store, record), clock.LocalTimeZone));
        IReadOnlyList<RecordFinding> findings = [.. RecordChain.VerifyOne(found, StationKey.Known(store.Paths))];
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
