using System.Buffers;

namespace CaliperStation.Core.Records;

/// <summary>A piece of text in canonical bytes, without its quotes.</summary>
/// <param name="Start">Its first byte.</param>
/// <param name="Length">Its bytes.</param>
/// <param name="HasEscapes">True when it holds <c>\\</c> or <c>\"</c>.</param>
internal readonly record struct Piece(int Start, int Length, bool HasEscapes);

/// <summary>Goes forward through canonical bytes whose order is known; a step that does not fit gives false, and the caller reads them the strict way.</summary>
/// <remarks>Only printable ASCII is taken, so that nothing it gives can do harm on a terminal whatever the bytes are.</remarks>
internal ref struct CanonicalCursor(ReadOnlySpan<byte> bytes)
{
    private static readonly SearchValues<byte> _plain = SearchValues.Create(
        [.. Enumerable.Range(0x20, 0x5F).Select(value => (byte)value).Where(value => value is not ((byte)'"' or (byte)'\\'))]);

    private static readonly SearchValues<byte> _number = SearchValues.Create("0123456789+-.e"u8);
    private static readonly SearchValues<byte> _instant = SearchValues.Create("0123456789-:.TZ"u8);
    private static readonly SearchValues<byte> _brackets = SearchValues.Create("[]{}\""u8);
    private readonly ReadOnlySpan<byte> _bytes = bytes;
    private int _at;

    /// <summary>True at the end.</summary>
    public readonly bool IsAtEnd => _at == _bytes.Length;

    private readonly ReadOnlySpan<byte> Rest => _bytes[_at..];

    /// <summary>Takes these bytes.</summary>
    public bool Skip(ReadOnlySpan<byte> expected)
    {
        bool there = Rest.StartsWith(expected);
        _at += there ? expected.Length : 0;
        return there;
    }

    /// <summary>Takes a text in quotes.</summary>
    public bool Text(out Piece piece)
    {
        piece = default;
        if (!Skip("\""u8))
        {
            return false;
        }

        int start = _at;
        bool escapes = false;
        while (true)
        {
            int plain = Rest.IndexOfAnyExcept(_plain);
            if (plain < 0)
            {
                return false;
            }

            _at += plain;
            if (_bytes[_at] == '"')
            {
                piece = new(start, _at - start, escapes);
                _at++;
                return true;
            }

            if (_bytes[_at] != '\\' || _at + 1 >= _bytes.Length || _bytes[_at + 1] is not ((byte)'"' or (byte)'\\'))
            {
                return false;
            }

            escapes = true;
            _at += 2;
        }
    }

    /// <summary>Takes a text in quotes, or <c>null</c>, which gives an empty piece.</summary>
    public bool TextOrNull(out Piece piece)
    {
        piece = default;
        return Skip("null"u8) || Text(out piece);
    }

    /// <summary>Takes an instant: 24 characters of those an instant is made of.</summary>
    public bool Instant(out Piece piece) =>
        Text(out piece) && piece.Length == 24 && !_bytes.Slice(piece.Start, 24).ContainsAnyExcept(_instant) && char.IsAsciiDigit((char)_bytes[piece.Start]);

    /// <summary>Takes a number.</summary>
    public bool Number(out Piece piece)
    {
        int length = Rest.IndexOfAnyExcept(_number);
        piece = new(_at, Math.Max(length, 0), false);
        if (length <= 0 || !(char.IsAsciiDigit((char)_bytes[_at]) || (_bytes[_at] == '-' && length > 1 && char.IsAsciiDigit((char)_bytes[_at + 1]))))
        {
            return false;
        }

        _at += length;
        return true;
    }

    /// <summary>Takes a number or <c>null</c>.</summary>
    public bool NumberOrNull() => Skip("null"u8) || Number(out _);

    /// <summary>Takes an object or an array with all that is in it.</summary>
    public bool Nested()
    {
        int depth = 0;
        do
        {
            int next = Rest.IndexOfAny(_brackets);
            if (next < 0 || (depth == 0 && next != 0))
            {
                return false;
            }

            _at += next;
            byte found = _bytes[_at];
            if (found == '"')
            {
                if (depth == 0 || !Text(out _))
                {
                    return false;
                }

                continue;
            }

            depth += found is (byte)'[' or (byte)'{' ? 1 : -1;
            _at++;
        }
        while (depth > 0);
        return depth == 0;
    }
}
