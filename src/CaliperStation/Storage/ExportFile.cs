using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>Reads an exported file line by line; memory stays bounded whatever the file holds.</summary>
internal static class ExportFile
{
    /// <summary>A line of the file; the text is null when it is no UTF-8 or longer than a record can be.</summary>
    internal readonly record struct Line(long Number, string? Text);

    /// <summary>The lines that are not empty.</summary>
    /// <exception cref="StationException">The file cannot be read.</exception>
    internal static IEnumerable<Line> Read(string path)
    {
        using IJournalFile file = Open(path);
        foreach (RawLine line in JournalLines.Read(file, long.MaxValue))   // to its end: a pipe has no length
        {
            if (line.IsTooLong || !line.Bytes.IsEmpty)
            {
                yield return new Line(line.Line, line.IsTooLong ? null : Text(line.Bytes.Span));
            }
        }
    }

    /// <summary>The records of an export, in order. Several exports in one file, each with its last line, are as good as one.</summary>
    /// <param name="path">The file.</param>
    /// <param name="name">What it is called to the reader.</param>
    /// <param name="noEnd">It may lack the last line that counts its records.</param>
    /// <param name="findings">Told what is missing at its end; null where that was looked at before.</param>
    internal static IEnumerable<FiledRecord> Records(string path, string name, bool noEnd = true, List<RecordFinding>? findings = null)
    {
        ExportEnd counted = new();
        bool ended = false;
        foreach (Line line in Read(path))
        {
            string where = $"{name}, line {line.Number}";
            if (line.Text is { } end && ExportEnd.IsEnd(end))
            {
                if (end != counted.ToText())
                {
                    findings?.Add(new(FindingKind.Missing, where, "", "this line counts other records than stand before it: some are missing, or were put in"));
                }

                (counted, ended) = (new ExportEnd(), true);
                continue;
            }

            FiledRecord filed = new(where, line.Text is { } text ? SealedRecord.Read(text) : null);
            if (filed.Sealed is { Record: { } record } seal)
            {
                counted.Add(record, seal.Hash);
            }

            ended = false;
            yield return filed;
        }

        if (!ended && !noEnd)
        {
            findings?.Add(new(FindingKind.Missing, name, "", "it does not end with the line that counts its records: it is cut off; or a version before wrote it, then say --no-end"));
        }
    }

    /// <summary>Copies it, to the disk.</summary>
    /// <exception cref="StationException">It cannot be read.</exception>
    /// <exception cref="StoreException">The copy cannot be written.</exception>
    internal static void Copy(string path, string copy)
    {
        using IJournalFile from = Open(path);
        StoreException.Wrap(() => OwnFile.Write(copy, (buffer, done) => from.Read(buffer, done)), e => $"{copy} cannot be written: {e.Message}");
    }

    private static IJournalFile Open(string path)
    {
        try
        {
            return new DiskJournalFolder(Path.GetDirectoryName(Path.GetFullPath(path))!).Open(Path.GetFileName(path), forWriting: false);
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} cannot be read: {PrintableText.Escape(e.Message)}", e);
        }
    }

    private static string? Text(ReadOnlySpan<byte> bytes) => System.Text.Unicode.Utf8.IsValid(bytes) ? Encoding.UTF8.GetString(bytes).TrimEnd('\r') : null;
}
