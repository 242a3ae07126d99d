using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Running;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary><c>records export</c>: CSV or JSON Lines, one record at a time, so memory does not grow with the store.</summary>
internal static class RecordsExport
{
    internal static int Run(RecordsExportOptions options, TextWriter output, TextWriter error)
    {
        RecordFilter filter = options.Filter.Read();
        using Store store = StoreLook.Open(options.Store, error);
        if (options.To is not { } path)
        {
            Write(store, options, filter, output);
            return StoreLook.Result(store);
        }

        try
        {
            using FileStream disk = new(path, FileMode.Create, FileAccess.Write, FileShare.Read, bufferSize: 0);
            using StreamWriter file = new(disk, new UTF8Encoding(false), bufferSize: 64 * 1024);
            FlushingAhead ahead = new(disk);
            if (IsWhole(store, options, filter))
            {
                file.Write(RecordExport.CsvHeading);
                file.Flush();
                store.Records.WriteCsv(options.WithoutInitials, lines => ahead.Write(lines.Span));
            }
            else
            {
                Write(store, options, filter, file);
                file.Flush();
            }

            ahead.Finish();   // an export is often taken along on a stick: when this command has ended it is there
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} cannot be written: {PrintableText.Escape(e.Message)}", e);
        }

        return StoreLook.Result(store);
    }

    /// <summary>True for the CSV of a whole sound store, which has a quicker way.</summary>
    private static bool IsWhole(Store store, RecordsExportOptions options, RecordFilter filter) =>
        options.Csv && filter == new RecordFilter() && store.Records.CanWriteCsv;

    private static void Write(Store store, RecordsExportOptions options, RecordFilter filter, TextWriter output)
    {
        if (options.Csv)
        {
            output.Write(RecordExport.CsvHeading);
        }

        if (IsWhole(store, options, filter))
        {
            store.Records.WriteCsv(options.WithoutInitials, lines => output.Write(Encoding.UTF8.GetString(lines.Span)));
            return;
        }

        foreach (FiledRecord filed in store.Records.Wanted(filter))
        {
            if (options.Csv)
            {
                RecordExport.WriteCsv(filed.Sealed!.Record!, filter, options.WithoutInitials, output);
            }
            else
            {
                output.Write(RecordExport.JsonLine(filed.Sealed!, options.WithoutInitials));
            }
        }
    }
}
