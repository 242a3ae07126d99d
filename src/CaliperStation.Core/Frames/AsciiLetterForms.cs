using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>Value lines that begin with a letter: <c>GN01,+0016.2345</c>, <c>V1: …</c>, <c>mm +1.23</c>, <c>A1N mm OK +1.234</c>.</summary>
internal static class AsciiLetterForms
{
    /// <summary>Four digits, a point, four digits.</summary>
    private const int CodedWidth = 9;

    private const int CodedDecimals = 4;

    /// <summary>Five digits, a point, six digits.</summary>
    private const int BoxWidth = 12;

    private const int BoxDecimals = 6;

    private const int BoxUnitWidth = 4;

    private const int BoxVerdictWidth = 3;

    public static bool TryRead(ReadOnlySpan<byte> line, AsciiOptions options, out FrameEvent found, out AsciiGrammar grammar) =>
        TryCoded(line, options, out found, out grammar)
        || TryBox(line, options, out found, out grammar)
        || TryUnitFirst(line, options, out found, out grammar)
        || TryLettered(line, options, out found, out grammar);

    private static bool TryCoded(ReadOnlySpan<byte> line, AsciiOptions options, out FrameEvent found, out AsciiGrammar grammar)
    {
        grammar = AsciiGrammar.Coded;
        found = default;
        AsciiCursor cursor = new(line);
        if (!cursor.TakeCapitals(2) || !(cursor.Take("**"u8) || cursor.TakeDigits(2)) || !cursor.Take((byte)','))   // the manual prints ** for the number
        {
            return false;
        }

        bool signed = cursor.TakeSign(out bool negative);
        NumberRead read = AsciiNumber.Read(ref cursor, out AsciiNumber number);
        bool legal = signed && cursor.AtEnd && (read != NumberRead.Number || (number.Width == CodedWidth && number.Decimals == CodedDecimals));
        found = legal ? AsciiLine.Value(read, number, negative, null, options) : FrameEvent.Refused(AsciiReasons.NoGrammar);
        return signed;
    }

    private static bool TryBox(ReadOnlySpan<byte> line, AsciiOptions options, out FrameEvent found, out AsciiGrammar grammar)
    {
        grammar = AsciiGrammar.Box;
        found = default;
        AsciiCursor cursor = new(line);
        if (cursor.Take((byte)'N'))
        {
            return TryBoxError(line, out found);
        }

        if (!cursor.Take((byte)'V') || line.Length < 3 || line[2] != ':')
        {
            return false;
        }

        cursor.Skip(2);
        found = FrameEvent.Refused(AsciiReasons.NoGrammar);
        if (!cursor.Take((byte)' ') || !TakeUnitField(ref cursor, out LengthUnit unit) || !cursor.Take((byte)' ')
            || !TakeVerdictField(ref cursor) || !cursor.Take((byte)' ') || !cursor.TakeSign(out bool negative))
        {
            return true;
        }

        NumberRead read = AsciiNumber.Read(ref cursor, out AsciiNumber number);
        if (cursor.AtEnd && (read != NumberRead.Number || (number.Width == BoxWidth && number.Decimals == BoxDecimals)))
        {
            found = AsciiLine.Value(read, number, negative, unit, options);
        }

        return true;
    }

    private static bool TryBoxError(ReadOnlySpan<byte> line, out FrameEvent found)
    {
        bool error = line.Length == 6 && line[3] == ':' && line[4] == 'E';
        found = !error ? default : line[5] switch
        {
            (byte)'1' => FrameEvent.DeviceError(AsciiReasons.BoxCommunication),
            (byte)'3' => FrameEvent.DeviceError(AsciiReasons.BoxReading),
            _ => FrameEvent.DeviceError(AsciiReasons.InstrumentError),
        };
        return error;
    }

    private static bool TakeUnitField(ref AsciiCursor cursor, out LengthUnit unit)
    {
        int from = cursor.At;
        cursor.TakeBlanks();
        bool named = cursor.TakeUnit(out unit);
        while (named && cursor.At - from < BoxUnitWidth && cursor.Take((byte)' '))
        {
            // the field is filled with blanks
        }

        return named && cursor.At - from == BoxUnitWidth;
    }

    private static bool TakeVerdictField(ref AsciiCursor cursor)
    {
        for (int i = 0; i < BoxVerdictWidth; i++)
        {
            bool legal = (cursor.Here | 0x20) is >= 'a' and <= 'z' || cursor.Here is (byte)' ' or (byte)'+' or (byte)'-' or (byte)'<' or (byte)'=' or (byte)'>';
            if (!legal)
            {
                return false;
            }

            cursor.Skip(1);
        }

        return true;
    }

    private static bool TryUnitFirst(ReadOnlySpan<byte> line, AsciiOptions options, out FrameEvent found, out AsciiGrammar grammar)
    {
        grammar = AsciiGrammar.UnitFirst;
        found = default;
        AsciiCursor cursor = new(line);
        if (!cursor.TakeUnit(out LengthUnit unit))
        {
            return false;
        }

        cursor.TakeBlanks();
        cursor.TakeSign(out bool negative);
        cursor.TakeBlanks();
        NumberRead read = AsciiNumber.Read(ref cursor, out AsciiNumber number);
        found = AsciiLine.Value(read, number, negative, unit, options);
        return read != NumberRead.None && cursor.AtEnd;
    }

    /// <summary>Station (a letter or digit, and a digit), a mode letter, optional unit, up to two verdict letters, sign, number.</summary>
    private static bool TryLettered(ReadOnlySpan<byte> line, AsciiOptions options, out FrameEvent found, out AsciiGrammar grammar)
    {
        grammar = AsciiGrammar.Lettered;
        found = default;
        AsciiCursor cursor = new(line);
        if (!cursor.TakeCapitals(1) || !cursor.TakeDigits(1))
        {
            return false;
        }

        cursor.TakeBlanks();
        if (!cursor.TakeCapitals(1))
        {
            return false;
        }

        cursor.TakeBlanks();
        LengthUnit? unit = cursor.TakeUnit(out LengthUnit named) ? named : null;
        cursor.TakeBlanks();
        _ = cursor.TakeCapitals(2);
        cursor.TakeBlanks();
        if (!cursor.TakeSign(out bool negative))
        {
            return false;
        }

        cursor.TakeBlanks();
        NumberRead read = AsciiNumber.Read(ref cursor, out AsciiNumber number);
        found = AsciiLine.Value(read, number, negative, unit, options);
        return read != NumberRead.None && cursor.AtEnd;
    }
}
