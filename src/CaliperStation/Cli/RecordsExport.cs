using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Running;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary><c>records export</c>: CSV or JSON Lines, a few records at a time, so memory does not grow with the store.</summary>
internal static class RecordsExport
{
    internal static int Run(RecordsExportOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        ExportWish wish = new(options.Filter.Read(clock.LocalTimeZone), options.Csv, options.WithoutInitials);
        using Store store = StoreLook.Open(options.Store, error);
        if (options.To is not { } path)
        {
            Write(store, wish, output.Write, lines => output.Write(Encoding.UTF8.GetString(lines.Span)));
            return StoreLook.Result(store);
        }

        ToFile(store, wish, path);
        return StoreLook.Result(store);
    }

    /// <summary>Writes the file; it is on the disk when this returns.</summary>
    /// <exception cref="StationException">Exit 3: it cannot be written.</exception>
    internal static void ToFile(Store store, ExportWish wish, string path)
    {
        try
        {
            using FileStream disk = new(path, FileMode.Create, FileAccess.Write, FileShare.Read, bufferSize: 0);
            FlushingAhead ahead = new(disk);
            Write(store, wish, text => ahead.Write(Encoding.UTF8.GetBytes(text)), lines => ahead.Write(lines.Span));
            ahead.Finish();   // an export is often taken along on a stick: when this command has ended it is there
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} cannot be written: {PrintableText.Escape(e.Message)}", e);
        }
    }

    private static void Write(Store store, ExportWish wish, Action<string> text, Action<ReadOnlyMemory<byte>> lines)
    {
        if (wish.Csv)
        {
            text(RecordExport.CsvHeading);
        }

        if (store.Records.CanExport && wish.Filter.Tag is null)   // of one blouse the index knows where they stand
        {
            store.Records.Export(wish, lines);
            return;
        }

        foreach (FiledRecord filed in store.Records.Wanted(wish.Filter))
        {
            using StringWriter one = new();
            wish.Write(filed.Sealed!, filed.Sealed!.Record!, one);
            text(one.ToString());
        }
    }
}
