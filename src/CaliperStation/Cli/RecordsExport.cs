using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

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
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} cannot be written: {PrintableText.Escape(e.Message)}", e);
        }
    }
}
