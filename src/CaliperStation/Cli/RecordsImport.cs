using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>What <c>records import</c> was asked.</summary>
/// <param name="Store">Where the store is; null for the usual place.</param>
/// <param name="File">A file that <c>records export</c> wrote as JSON Lines.</param>
/// <param name="Keys">Files of public keys whose records may come in, beside those known already.</param>
internal sealed record RecordsImportOptions(string? Store, string File, IReadOnlyList<string> Keys);

/// <summary><c>records import</c>: brings another station's records in, all or, when one is not good, none. The same record twice is one.</summary>
internal static class RecordsImport
{
    internal static int Run(RecordsImportOptions options, TextWriter output, TextWriter error)
    {
        HashSet<string> given = [.. options.Keys.Select(RecordsVerify.ReadKey)];
        using Store store = OpenStore.ForWork(StorePaths.OnThisMachine(options.Store), TimeProvider.System, error);
        HashSet<string> known = [.. StationKey.Known(store.Paths), .. given];
        string name = PrintableText.Escape(Path.GetFileName(options.File));
        List<RecordFinding> findings = [.. RecordChain.Verify(Filed(options.File, name), known, isPart: _ => true)];
        findings.AddRange(Filed(options.File, name).Where(filed => Differs(store, filed)).Select(filed => new RecordFinding(
            FindingKind.Inserted, filed.Where, PrintableText.Escape(filed.Sealed!.Record!.Id), "a record of that id is here already, and it says something else")));
        if (findings.Count > 0)
        {
            error.Write(CheckText.Text(name, 0, findings));
            throw new StationException(ExitCode.BadFile, $"Nothing was imported from {name}.");
        }

        (long brought, long here) = (0, 0);
        foreach (FiledRecord filed in Filed(options.File, name))
        {
            SealedRecord seal = filed.Sealed!;
            if (store.Records.Find(seal.Record!.Id) is not null)
            {
                here++;
                continue;
            }

            if (given.Remove(seal.PublicKey) && !StationKey.Known(store.Paths).Contains(seal.PublicKey))
            {
                StationKey.KeepOther(store.Paths, seal.PublicKey);   // before the record, so that no record is ever here with a key nobody knows
            }

            store.Append(TimeProvider.System.GetUtcNow(), seal.Record.Id, RecordStore.Kind, seal.ToText());
            brought++;
        }

        output.WriteLine(FormattableString.Invariant($"{brought} {(brought == 1 ? "record" : "records")} imported, {here} {(here == 1 ? "was" : "were")} here already."));
        return ExitCode.Good;
    }

    private static IEnumerable<FiledRecord> Filed(string path, string name) => ExportFile.Read(path)
        .Select(line => new FiledRecord($"{name}, line {line.Number}", line.Text is { } text ? SealedRecord.Read(text) : null));

    private static bool Differs(Store store, FiledRecord filed) =>
        filed.Sealed?.Record is { } record && store.Records.Find(record.Id) is { } present && present.Sealed!.Hash != filed.Sealed.Hash;
}
