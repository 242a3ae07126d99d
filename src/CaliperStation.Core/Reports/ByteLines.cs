namespace CaliperStation.Core.Reports;

/// <summary>Bytes of lines, gathered in one buffer that is used again and again.</summary>
public sealed class ByteLines
{
    private byte[] _buffer = new byte[64 * 1024];

    /// <summary>How many bytes there are.</summary>
    public int Length { get; private set; }

    /// <summary>The bytes; valid until the next change.</summary>
    public ReadOnlyMemory<byte> Written => _buffer.AsMemory(0, Length);

    /// <summary>Empties it, or cuts it back to an earlier length.</summary>
    public void Cut(int length = 0) => Length = Math.Min(length, Length);

    /// <summary>Adds bytes.</summary>
    public void Add(ReadOnlySpan<byte> bytes)
    {
        bytes.CopyTo(Room(bytes.Length));
        Length += bytes.Length;
    }

    /// <summary>Room behind the bytes, at least so many; what is put there counts once <see cref="Put"/> says so.</summary>
    public Span<byte> Room(int atLeast)
    {
        if (atLeast > _buffer.Length - Length)
        {
            Array.Resize(ref _buffer, Math.Max(_buffer.Length * 2, Length + atLeast));
        }

        return _buffer.AsSpan(Length);
    }

    /// <summary>Counts bytes that were put into <see cref="Room"/>.</summary>
    public void Put(int bytes) => Length += bytes >= 0 && bytes <= _buffer.Length - Length ? bytes : throw new ArgumentOutOfRangeException(nameof(bytes));
}
