
namespace CaliperStation.Storage;

/// <summary>Bytes between two line feeds. The bytes are valid until the next line is asked for.</summary>
/// <param name="Line">Its line in the file, from 1.</param>
/// <param name="Position">Where it begins.</param>
/// <param name="Bytes">Without the line feed; empty when it is longer than any line may be.</param>
/// <param name="Next">Where the next line begins.</param>
/// <param name="Ended">False for the last bytes of a file that does not end in a line feed.</param>
/// <param name="IsTooLong">True when it is longer than any line may be; its bytes are then left out.</param>
internal readonly record struct RawLine(int Line, long Position, ReadOnlyMemory<byte> Bytes, long Next, bool Ended, bool IsTooLong);

/// <summary>Cuts a file into lines; memory stays bounded whatever the file holds.</summary>
internal static class JournalLines
{
    private const int FirstBuffer = 256 * 1024;

    /// <summary>The lines from the file's start up to a position.</summary>
    public static IEnumerable<RawLine> Read(IJournalFile file, long end)
    {
        byte[] buffer = new byte[Math.Clamp(end, 1, FirstBuffer)];
        long start = 0;        // where buffer[0] lies in the file
        int filled = 0;
        int used = 0;
        int searched = 0;      // no line feed in buffer[used..searched]
        bool skipping = false; // inside a line that is too long
        int line = 1;
        while (true)
        {
            int feed = buffer.AsSpan(searched, filled - searched).IndexOf((byte)'\n');
            if (feed >= 0)
            {
                int at = searched + feed;
                yield return new RawLine(line++, start + used, skipping ? default : buffer.AsMemory(used, at - used), start + at + 1, true, skipping);
                used = searched = at + 1;
                skipping = false;
                continue;
            }

            if (filled - used > JournalFormat.MaximumLine)
            {
                skipping = true;
                used = filled;
            }

            buffer.AsSpan(used, filled - used).CopyTo(buffer);
            (start, filled, used) = (start + used, filled - used, 0);
            searched = filled;
            if (filled == buffer.Length)
            {
                Array.Resize(ref buffer, buffer.Length * 2);
            }

            int wanted = (int)Math.Min(buffer.Length - filled, end - start - filled);
            int read = wanted > 0 ? file.Read(buffer.AsSpan(filled, wanted), start + filled) : 0;
            if (read == 0)
            {
                if (filled > 0 || skipping)
                {
                    yield return new RawLine(line, start, skipping ? default : buffer.AsMemory(0, filled), start + filled, false, skipping);
                }

                yield break;
            }

            filled += read;
        }
    }
}
