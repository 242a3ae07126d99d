using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary><c>records verify</c>: the whole store, one record, or an exported file with only the public key. Exit 5 when anything is wrong.</summary>
internal static class RecordsVerify
{
    internal static int Run(RecordsVerifyOptions options, TextWriter output, TextWriter error)
    {
        (string what, long records, IReadOnlyList<RecordFinding> findings) = options.Target switch
        {
            null => Whole(options, error),
            { } path when File.Exists(path) => Exported(options, path),
            { } id => One(options, id, error),
        };
        output.Write(options.Json ? CheckText.Json(records, findings) : CheckText.Text(what, records, findings));
        return findings.Count == 0 ? ExitCode.Good : ExitCode.Store;
    }

    private static (string What, long Records, IReadOnlyList<RecordFinding> Findings) Whole(RecordsVerifyOptions options, TextWriter error)
    {
        using Store store = Store.OpenToLook(StoreLook.Paths(options.Store), TimeProvider.System, new StoreBar(error, !Console.IsErrorRedirected).Show);   // a torn end is among the findings
        StoreCheck check = store.Records.Verify();
        return (PrintableText.Escape(store.Paths.Store), check.Records, check.Findings);
    }

    private static (string What, long Records, IReadOnlyList<RecordFinding> Findings) One(RecordsVerifyOptions options, string id, TextWriter error)
    {
        using Store store = StoreLook.Open(options.Store, error);
        FiledRecord found = RecordsShow.Find(store, id);
        return ($"Record {PrintableText.Escape(found.Sealed!.Record!.Id)}", 1, [.. RecordChain.VerifyOne(found, StationKey.Known(store.Paths))]);
    }

    private static (string What, long Records, IReadOnlyList<RecordFinding> Findings) Exported(RecordsVerifyOptions options, string path)
    {
        IReadOnlySet<string> known = Keys(options);
        string name = PrintableText.Escape(Path.GetFileName(path));
        long records = 0;
        IReadOnlyList<RecordFinding> findings = RecordChain.Verify(
            ExportFile.Read(path).Select(line =>
            {
                records++;
                return new FiledRecord($"{name}, line {line.Number}", line.Text is { } text ? SealedRecord.Read(text) : null);
            }),
            known,
            isPart: _ => options.Part);
        return (name, records, findings);
    }

    /// <summary>The keys named, or those of the store.</summary>
    private static IReadOnlySet<string> Keys(RecordsVerifyOptions options) => options.Keys.Count == 0
        ? StationKey.Known(StoreLook.Paths(options.Store))
        : new HashSet<string>(options.Keys.Select(ReadKey));

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
