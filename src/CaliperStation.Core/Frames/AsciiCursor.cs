using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>A place in a line; what the grammars are written with. Nothing here allocates.</summary>
internal ref struct AsciiCursor(ReadOnlySpan<byte> line)
{
    private readonly ReadOnlySpan<byte> _line = line;
    private int _at;

    public readonly bool AtEnd => _at >= _line.Length;

    /// <summary>The byte here, 0 at the end (a 0 in a line fits no grammar).</summary>
    public readonly byte Here => _at < _line.Length ? _line[_at] : (byte)0;

    public readonly int At => _at;

    public readonly bool HereIsDigit => IsDigit(Here);

    public bool Take(byte wanted)
    {
        bool found = Here == wanted && _at < _line.Length;
        _at += found ? 1 : 0;
        return found;
    }

    public bool Take(ReadOnlySpan<byte> word)
    {
        bool found = _line[_at..].StartsWith(word);
        _at += found ? word.Length : 0;
        return found;
    }

    public int TakeBlanks()
    {
        int from = _at;
        while (Here == ' ')
        {
            _at++;
        }

        return _at - from;
    }

    /// <summary>Exactly so many digits.</summary>
    public bool TakeDigits(int count)
    {
        int from = _at;
        while (_at - from < count && HereIsDigit)
        {
            _at++;
        }

        return _at - from == count;
    }

    /// <summary>Exactly so many capital letters.</summary>
    public bool TakeCapitals(int count)
    {
        int from = _at;
        while (_at - from < count && Here is >= (byte)'A' and <= (byte)'Z')
        {
            _at++;
        }

        return _at - from == count;
    }

    public bool TakeSign(out bool negative)
    {
        negative = Here == '-';
        if (Here is not ((byte)'+' or (byte)'-'))
        {
            return false;
        }

        _at++;
        return true;
    }

    /// <summary><c>mm</c>, <c>in</c> or <c>inch</c>, in capitals or not.</summary>
    public bool TakeUnit(out LengthUnit unit)
    {
        ReadOnlySpan<byte> rest = _line[_at..];
        unit = LengthUnit.Millimetre;
        if (rest.Length < 2)
        {
            return false;
        }

        int pair = ((rest[0] | 0x20) << 8) | (rest[1] | 0x20);   // 0x20 makes a capital letter small
        if (pair == (('m' << 8) | 'm'))
        {
            _at += 2;
            return true;
        }

        if (pair != (('i' << 8) | 'n'))
        {
            return false;
        }

        unit = LengthUnit.Inch;
        _at += rest.Length >= 4 && (rest[2] | 0x20) == 'c' && (rest[3] | 0x20) == 'h' ? 4 : 2;
        return true;
    }

    public void Skip(int count) => _at += count;

    public readonly ReadOnlySpan<byte> Rest => _line[_at..];

    internal static bool IsDigit(byte value) => value is >= (byte)'0' and <= (byte)'9';
}
