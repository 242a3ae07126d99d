using System.Buffers;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace CaliperStation.Core.Records;

/// <summary>A piece of text in canonical bytes, without its quotes.</summary>
/// <param name="Start">Its first byte.</param>
/// <param name="Length">Its bytes.</param>
/// <param name="IsSpecial">True when it holds <c>\\</c>, <c>\"</c> or a comma, so that it cannot stand in CSV as it is.</param>
internal readonly record struct Piece(int Start, int Length, bool IsSpecial);

/// <summary>Goes forward through canonical bytes whose order is known; a step that does not fit gives false, and the caller reads them the strict way.</summary>
/// <remarks>
/// Only printable ASCII is taken, so that nothing it gives can do harm on a terminal whatever the bytes are. Texts and numbers of up to 16 bytes, which nearly
/// all are, are looked at in one step: an export reads tens of millions of them.
/// </remarks>
internal ref struct CanonicalCursor(ReadOnlySpan<byte> bytes)
{
    private const int Wide = 16;
    private static readonly SearchValues<byte> _brackets = SearchValues.Create("[]{}\""u8);
    private readonly ReadOnlySpan<byte> _bytes = bytes;
    private int _at;

    /// <summary>True at the end.</summary>
    public readonly bool IsAtEnd => _at == _bytes.Length;

    private readonly ReadOnlySpan<byte> Rest => _bytes[_at..];

    /// <summary>Takes these bytes.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]   // so that the length is known and the comparison is a few words
    public bool Skip(ReadOnlySpan<byte> expected)
    {
        if (_bytes.Length - _at < expected.Length || !_bytes.Slice(_at, expected.Length).SequenceEqual(expected))
        {
            return false;
        }

        _at += expected.Length;
        return true;
    }

    /// <summary>Takes a text in quotes.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool Text(out Piece piece)
    {
        int start = _at + 1;
        if (_bytes.Length - start >= Wide && _bytes[_at] == '"')
        {
            Vector128<byte> next = Vector128.Create(_bytes.Slice(start, Wide));
            int length = BitOperations.TrailingZeroCount(Stops(next));
            if (length < Wide && _bytes[start + length] == '"')
            {
                uint commas = Vector128.Equals(next, Vector128.Create((byte)',')).ExtractMostSignificantBits();
                piece = new(start, length, (commas & ((1u << length) - 1)) != 0);
                _at = start + length + 1;
                return true;
            }
        }

        return AnyText(out piece);
    }

    /// <summary>Takes a text in quotes, or <c>null</c>, which gives an empty piece.</summary>
    public bool TextOrNull(out Piece piece)
    {
        piece = default;
        return Skip("null"u8) || Text(out piece);
    }

    /// <summary>Takes an instant in quotes: <c>2026-11-25T01:19:05.123Z</c>, digits where digits belong.</summary>
    public bool Instant(out Piece piece)
    {
        const int Length = 24;
        piece = new(_at + 1, Length, false);
        if (_bytes.Length - _at < Length + 2 || _bytes[_at] != '"' || _bytes[_at + Length + 1] != '"'
            || !Fits(_bytes.Slice(_at + 1, Wide), Vector128.Create("0000-00-00T00:00"u8))
            || !Fits(_bytes.Slice(_at + 1 + Length - Wide, Wide), Vector128.Create("00T00:00:00.000Z"u8)))
        {
            return false;
        }

        _at += Length + 2;
        return true;
    }

    /// <summary>Takes a number.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool Number(out Piece piece)
    {
        int length = 0;
        if (_bytes.Length - _at >= Wide)
        {
            length = BitOperations.TrailingZeroCount(~NumberLike(Vector128.Create(_bytes.Slice(_at, Wide))) & 0xFFFF | (1u << Wide));
        }

        if (length is 0 or Wide)
        {
            while (_at + length < _bytes.Length && IsNumberLike(_bytes[_at + length]))
            {
                length++;
            }
        }

        piece = new(_at, length, false);
        if (length == 0 || !(char.IsAsciiDigit((char)_bytes[_at]) || (_bytes[_at] == '-' && length > 1 && char.IsAsciiDigit((char)_bytes[_at + 1]))))
        {
            return false;
        }

        _at += length;
        return true;
    }

    /// <summary>Takes a number or <c>null</c>.</summary>
    public bool NumberOrNull() => Number(out _) || Skip("null"u8);

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

    /// <summary>A text of any length, with escapes or near the end.</summary>
    private bool AnyText(out Piece piece)
    {
        piece = default;
        if (!Skip("\""u8))
        {
            return false;
        }

        bool special = false;
        for (int index = _at; index < _bytes.Length; index++)
        {
            switch (_bytes[index])
            {
                case (byte)'"':
                    piece = new(_at, index - _at, special);
                    _at = index + 1;
                    return true;
                case (byte)'\\':
                    index++;
                    if (index >= _bytes.Length || _bytes[index] is not ((byte)'"' or (byte)'\\'))
                    {
                        return false;
                    }

                    special = true;
                    break;
                case < 0x20 or > 0x7E:
                    return false;
                case var plain:
                    special |= plain == ',';
                    break;
            }
        }

        return false;
    }

    /// <summary>A bit for each byte a text may not simply go on with: a quote, a backslash and all that is not printable ASCII.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static uint Stops(Vector128<byte> bytes) =>
        (Vector128.LessThan(bytes.AsSByte(), Vector128.Create((sbyte)0x20)).AsByte()   // as signed bytes 0x80 and more are negative
            | Vector128.Equals(bytes, Vector128.Create((byte)0x7F))
            | Vector128.Equals(bytes, Vector128.Create((byte)'"'))
            | Vector128.Equals(bytes, Vector128.Create((byte)'\\'))).ExtractMostSignificantBits() | (1u << Wide);

    /// <summary>A bit for each byte a number may be made of.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static uint NumberLike(Vector128<byte> bytes) =>
        (Digits(bytes)
            | Vector128.Equals(bytes, Vector128.Create((byte)'.')) | Vector128.Equals(bytes, Vector128.Create((byte)'-'))
            | Vector128.Equals(bytes, Vector128.Create((byte)'+')) | Vector128.Equals(bytes, Vector128.Create((byte)'e'))).ExtractMostSignificantBits();

    private static bool IsNumberLike(byte value) => value is (>= (byte)'0' and <= (byte)'9') or (byte)'.' or (byte)'-' or (byte)'+' or (byte)'e';

    /// <summary>True when there is a digit for each 0 of the pattern and all else is as in the pattern.</summary>
    private static bool Fits(ReadOnlySpan<byte> bytes, Vector128<byte> pattern)
    {
        Vector128<byte> found = Vector128.Create(bytes);
        Vector128<byte> wanted = Vector128.Equals(pattern, Vector128.Create((byte)'0'));
        return Vector128.ConditionalSelect(wanted, Digits(found), Vector128.Equals(found, pattern)) == Vector128<byte>.AllBitsSet;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<byte> Digits(Vector128<byte> bytes) => Vector128.LessThanOrEqual(bytes - Vector128.Create((byte)'0'), Vector128.Create((byte)9));
}
