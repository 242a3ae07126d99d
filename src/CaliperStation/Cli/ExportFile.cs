using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>Reads an exported file line by line; memory stays bounded whatever the file holds.</summary>
internal static class ExportFile
{
    /// <summary>A line of the file; the text is null when it is no UTF-8 or longer than a record can be.</summary>
    internal readonly record struct Line(long Number, string? Text);

    /// <summary>The lines that are not empty.</summary>
    /// <exception cref="StationException">The file cannot be read.</exception>
    internal static IEnumerable<Line> Read(string path)
    {
        using FileStream stream = Open(path);
        byte[] buffer = new byte[JournalFormat.MaximumLine];
        int filled = 0;
        bool tooLong = false;
        long number = 1;
        while (true)
        {
            int read = stream.Read(buffer, filled, buffer.Length - filled);
            int start = 0;
            filled += read;
            for (int feed = buffer.AsSpan(start, filled - start).IndexOf((byte)'\n'); feed >= 0; feed = buffer.AsSpan(start, filled - start).IndexOf((byte)'\n'))
            {
                if (tooLong || feed > 0)
                {
                    yield return new Line(number, tooLong ? null : Text(buffer.AsSpan(start, feed)));
                }

                (tooLong, number, start) = (false, number + 1, start + feed + 1);
            }

            buffer.AsSpan(start, filled - start).CopyTo(buffer);
            filled -= start;
            if (filled == buffer.Length)
            {
                (tooLong, filled) = (true, 0);
            }

            if (read == 0)
            {
                if (tooLong || filled > 0)
                {
                    yield return new Line(number, tooLong ? null : Text(buffer.AsSpan(0, filled)));
                }

                yield break;
            }
        }
    }

    private static FileStream Open(string path)
    {
        try
        {
            return new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, bufferSize: 1);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} cannot be read: {PrintableText.Escape(e.Message)}", e);
        }
    }

    private static string? Text(ReadOnlySpan<byte> bytes) => System.Text.Unicode.Utf8.IsValid(bytes) ? Encoding.UTF8.GetString(bytes).TrimEnd('\r') : null;
}
