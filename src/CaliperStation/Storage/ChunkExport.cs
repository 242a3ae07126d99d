using System.Text;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;

namespace CaliperStation.Storage;

/// <summary>Turns one chunk of a segment into exported lines. One instance serves one thread at a time and is used again.</summary>
internal sealed class ChunkExport(ExportWish wish)
{
    /// <summary>Bytes of a segment in one chunk: some hundred records, little enough to stay in a processor's cache.</summary>
    public const int Size = 1024 * 1024;

    private const int KindWithin = 260;   // the kind begins within the first 170 bytes: number, instant, a sitting of 100 characters
    private readonly RecordCsvBytes _fast = new(wish.Filter, wish.WithoutInitials);
    private byte[] _bytes = new byte[Size + (16 * 1024)];

    /// <summary>The lines.</summary>
    public ByteLines Output { get; } = new();

    /// <summary>Records read; those that are wanted among them are written.</summary>
    public int Records { get; private set; }

    /// <summary>Where the first record stands that could not be proven and was left out, or null.</summary>
    public string? LeftOut { get; private set; }

    /// <summary>Takes the lines that begin in a chunk; the last may end behind it.</summary>
    public ChunkExport Take(IJournalFile file, string name, long start, long end)
    {
        Output.Cut();
        (Records, LeftOut) = (0, null);
        long first = Math.Max(0, start - 1);   // with the byte before: a line that begins at the chunk's first byte is seen to
        int chunk = (int)(Math.Min(start + Size, end) - first);
        int filled = Fill(file, first, 0, (int)Math.Min(_bytes.Length, end - first));
        int used = 0;
        if (start > 0)
        {
            int feed = _bytes.AsSpan(0, Math.Min(filled, chunk)).IndexOf((byte)'\n');
            used = feed < 0 ? chunk : feed + 1;
        }

        while (used < chunk)
        {
            int feed = _bytes.AsSpan(used, filled - used).IndexOf((byte)'\n');
            if (feed < 0 && first + filled < end && filled - used <= JournalFormat.MaximumLine)
            {
                filled = More(file, first, filled, end);
                continue;
            }

            feed = feed < 0 ? filled - used : feed;
            Line(_bytes.AsSpan(used, feed), name, first + used);
            used += feed + 1;
        }

        return this;
    }

    private int More(IJournalFile file, long first, int filled, long end)
    {
        if (filled == _bytes.Length)
        {
            Array.Resize(ref _bytes, _bytes.Length * 2);
        }

        return Fill(file, first, filled, (int)Math.Min(_bytes.Length, end - first));
    }

    private int Fill(IJournalFile file, long first, int filled, int wanted)
    {
        while (filled < wanted)
        {
            int read = file.Read(_bytes.AsSpan(filled, wanted - filled), first + filled);
            if (read == 0)
            {
                throw new IOException("the segment is shorter than it was");
            }

            filled += read;
        }

        return filled;
    }

    private void Line(ReadOnlySpan<byte> line, string name, long position)
    {
        if (line[..Math.Min(KindWithin, line.Length)].IndexOf("\"kind\":\"record\""u8) < 0)
        {
            return;
        }

        bool fits = JournalFormat.TrySplit(line, checkBody: false, out JournalParts parts);
        if (fits && !parts.Kind.SequenceEqual("record"u8))
        {
            return;
        }

        // the quick way looks at each byte itself and at the hash; only what it cannot take is checked as a body before it is read
        if (!fits || !(Quick(parts.Body) || Strict(line)))
        {
            LeftOut ??= string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{name}, at byte {position}");
        }
    }

    private bool Quick(ReadOnlySpan<byte> body)
    {
        if (!SealedBytes.TryRecord(body, out ReadOnlySpan<byte> record, out ReadOnlySpan<byte> hash) || !SealedBytes.Give(record, hash)
            || !(wish.Csv ? _fast.TryWrite(record, Output) : Seal(body, record)))
        {
            return false;
        }

        Records++;
        return true;
    }

    /// <summary>A sealed record as JSON is the journal's own bytes; without initials it has to be made anew.</summary>
    private bool Seal(ReadOnlySpan<byte> body, ReadOnlySpan<byte> record)
    {
        if (wish.WithoutInitials || !_fast.TryLook(record, out bool wanted))
        {
            return false;
        }

        if (wanted)
        {
            Output.Add(body);
            Output.Add("\n"u8);
        }

        return true;
    }

    /// <summary>False when the record could not be proven.</summary>
    private bool Strict(ReadOnlySpan<byte> line)
    {
        if (!JournalFormat.TrySplit(line, out JournalParts parts))
        {
            return false;
        }

        if (SealedBytes.TryRecord(parts.Body, out ReadOnlySpan<byte> record, out ReadOnlySpan<byte> hash) && !SealedBytes.Give(record, hash))
        {
            return false;
        }

        if (SealedRecord.Read(Encoding.UTF8.GetString(parts.Body)) is { Record: { } strict } seal)   // what is no record, "records verify" tells
        {
            using StringWriter text = new();
            wish.Write(seal, strict, text);
            Output.Add(Encoding.UTF8.GetBytes(text.ToString()));
            Records++;
        }

        return true;
    }
}
