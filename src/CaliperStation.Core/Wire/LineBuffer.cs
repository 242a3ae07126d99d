namespace CaliperStation.Core.Wire;

/// <summary>Cuts a stream into lines ended by CR, LF or CRLF, in a buffer that cannot grow.</summary>
internal sealed class LineBuffer(int longest)
{
    private readonly byte[] _kept = new byte[longest];
    private int _length;
    private bool _overlong;

    /// <summary>True when a line has begun and not ended.</summary>
    public bool HasPart => _length > 0 || _overlong;

    /// <summary>What came of the line that has begun, at most as much as fits.</summary>
    public ReadOnlySpan<byte> Part => _kept.AsSpan(0, _length);

    /// <summary>
    /// Takes bytes up to the next terminator off the front. False when there was none: the bytes are kept and the span is empty.
    /// The line is valid until the next call; it is empty between CR and LF, and cut short when <paramref name="overlong"/>.
    /// </summary>
    public bool TryTake(ref ReadOnlySpan<byte> bytes, out ReadOnlySpan<byte> line, out bool overlong)
    {
        int end = bytes.IndexOfAny((byte)'\r', (byte)'\n');
        if (end < 0)
        {
            Keep(bytes);
            bytes = [];
            line = [];
            overlong = false;
            return false;
        }

        if (!HasPart && end <= _kept.Length)
        {
            line = bytes[..end];   // the usual case: no copy
            overlong = false;
        }
        else
        {
            Keep(bytes[..end]);
            line = Part;
            overlong = _overlong;
        }

        Clear();
        bytes = bytes[(end + 1)..];
        return true;
    }

    /// <summary>Forgets the line that has begun.</summary>
    public void Clear()
    {
        _length = 0;
        _overlong = false;
    }

    private void Keep(ReadOnlySpan<byte> bytes)
    {
        int room = Math.Min(bytes.Length, _kept.Length - _length);
        bytes[..room].CopyTo(_kept.AsSpan(_length));
        _length += room;
        _overlong |= room < bytes.Length;
    }
}
