using System.Buffers.Text;
using System.Globalization;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Reports;

/// <summary>Fields of CSV, put one behind another into room that is known to be enough.</summary>
/// <param name="record">The canonical bytes the pieces lie in.</param>
/// <param name="room">Where the fields go: <see cref="Spare"/> more than all their bytes.</param>
internal ref struct CsvBytes(ReadOnlySpan<byte> record, Span<byte> room)
{
    /// <summary>Most bytes a field can have beyond its piece's: quotes, an apostrophe, a comma, or the zeros before a small number.</summary>
    public const int FieldMore = 12;

    /// <summary>Room wanted behind the last field: short pieces are copied sixteen bytes at a time.</summary>
    public const int Spare = 64;

    private const int Wide = 16;
    private readonly ReadOnlySpan<byte> _record = record;
    private readonly Span<byte> _room = room;

    /// <summary>Bytes put so far.</summary>
    public int Length { get; private set; }

    /// <summary>A comma.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Comma() => _room[Length++] = (byte)',';

    /// <summary>These bytes.</summary>
    public void Add(ReadOnlySpan<byte> bytes)
    {
        bytes.CopyTo(_room[Length..]);
        Length += bytes.Length;
    }

    /// <summary>A piece as it stands, and a comma.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Raw(in Piece piece)
    {
        Copy(piece.Start, piece.Length);
        Comma();
    }

    /// <summary>A text as <see cref="CsvText.Field"/> writes it, and a comma; it is printable ASCII already.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Field(in Piece piece)
    {
        if (piece.IsSpecial || (piece.Length > 0 && IsFormula(_record[piece.Start])))
        {
            Guarded(_record.Slice(piece.Start, piece.Length));
        }
        else
        {
            Copy(piece.Start, piece.Length);
        }

        Comma();
    }

    /// <summary>A whole number, and a comma.</summary>
    public void Whole(int number)
    {
        Utf8Formatter.TryFormat(number, _room[Length..], out int written);
        Length += written;
        Comma();
    }

    /// <summary>Whole nanometres as millimetres with six digits, and a comma.</summary>
    public void Millimetres(in Piece nanometres)
    {
        const int Decimals = 6;
        (int start, int length) = (nanometres.Start, nanometres.Length);
        if (_record[start] == '-')
        {
            _room[Length++] = (byte)'-';
            (start, length) = (start + 1, length - 1);
        }

        if (length > Decimals)
        {
            Copy(start, length - Decimals);
            _room[Length++] = (byte)'.';
            Copy(start + length - Decimals, Decimals);
        }
        else
        {
            Add("0."u8);
            Add("000000"u8[..(Decimals - length)]);
            Copy(start, length);
        }

        Comma();
    }

    /// <summary>The canonical text of most probabilities is the one of the export; where the layouts differ it is made anew.</summary>
    public void Conformance(in Piece piece)
    {
        ReadOnlySpan<byte> text = _record.Slice(piece.Start, piece.Length);
        bool isSame = text is [(byte)'0' or (byte)'1'] || (text.StartsWith("0."u8) && !text.StartsWith("0.0000"u8) && !text.Contains((byte)'e'));
        if (isSame)
        {
            Add(text);
        }
        else
        {
            Number(text).TryFormat(_room[Length..], out int written, "R", CultureInfo.InvariantCulture);
            Length += written;
        }
    }

    /// <summary>The number a text says.</summary>
    public static double Number(ReadOnlySpan<byte> text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);

    private static bool IsFormula(byte first) => first is (byte)'=' or (byte)'+' or (byte)'-' or (byte)'@';

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Copy(int start, int length)
    {
        if (length <= Wide && _record.Length - start >= Wide)
        {
            Vector128.Create(_record.Slice(start, Wide)).CopyTo(_room[Length..]);
        }
        else
        {
            _record.Slice(start, length).CopyTo(_room[Length..]);
        }

        Length += length;
    }

    private void Guarded(ReadOnlySpan<byte> text)
    {
        bool quotes = text.ContainsAny((byte)',', (byte)'"');
        if (quotes)
        {
            _room[Length++] = (byte)'"';
        }

        if (IsFormula(text[0]))
        {
            _room[Length++] = (byte)'\'';
        }

        for (int index = 0; index < text.Length; index++)
        {
            index += text[index] == '\\' ? 1 : 0;
            if (text[index] == '"')
            {
                _room[Length++] = (byte)'"';
            }

            _room[Length++] = text[index];
        }

        if (quotes)
        {
            _room[Length++] = (byte)'"';
        }
    }
}
