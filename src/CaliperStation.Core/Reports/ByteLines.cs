using System.Globalization;

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
        if (bytes.Length > _buffer.Length - Length)
        {
            Array.Resize(ref _buffer, Math.Max(_buffer.Length * 2, Length + bytes.Length));
        }

        bytes.CopyTo(_buffer.AsSpan(Length));
        Length += bytes.Length;
    }

    /// <summary>Adds one byte.</summary>
    public void Add(byte value) => Add([value]);

    /// <summary>Adds a whole number in digits.</summary>
    public void Add(int number)
    {
        Span<byte> digits = stackalloc byte[11];
        number.TryFormat(digits, out int written, provider: CultureInfo.InvariantCulture);
        Add(digits[..written]);
    }
}
