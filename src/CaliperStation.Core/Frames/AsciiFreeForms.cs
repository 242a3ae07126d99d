using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>Lines that begin with the number: bare, with a unit after it, blank-padded, with a comma before the unit.</summary>
internal static class AsciiFreeForms
{
    /// <summary>Characters of the blank-padded form: 13 blanks, sign, 7 of the number, blank, unit.</summary>
    private const int PaddedLength = 24;

    private const int PaddedBlanks = 13;

    /// <summary>Sign, 8 of the number, comma, blank, unit.</summary>
    private const int CommaLength = 13;

    private const int CommaNumberEnd = 9;

    public static FrameEvent Read(ReadOnlySpan<byte> line, AsciiOptions options, out AsciiGrammar grammar)
    {
        AsciiCursor cursor = new(line);
        grammar = AsciiGrammar.BareNumber;
        int padding = cursor.TakeBlanks();
        bool signed = cursor.TakeSign(out bool negative);
        cursor.TakeBlanks();   // between sign and first digit only
        NumberRead read = AsciiNumber.Read(ref cursor, out AsciiNumber number);
        if (read == NumberRead.None)
        {
            return AsciiWords.TryRead(line, out FrameEvent words, out grammar) ? words : FrameEvent.Refused(AsciiReasons.NoGrammar);
        }

        int numberEnd = cursor.At;
        LengthUnit? unit = null;
        if (cursor.Take((byte)','))
        {
            if (!TakeCommaUnit(ref cursor, out LengthUnit named) || !signed || padding > 0 || numberEnd != CommaNumberEnd || line.Length != CommaLength)
            {
                return FrameEvent.Refused(AsciiReasons.NoGrammar);
            }

            grammar = AsciiGrammar.CommaUnit;
            unit = named;
        }
        else if (!TakeUnitAndMore(ref cursor, ref unit))
        {
            return FrameEvent.Refused(AsciiReasons.NoGrammar);
        }
        else if (unit is not null)
        {
            bool padded = line.Length == PaddedLength && padding >= PaddedBlanks;
            grammar = padded ? AsciiGrammar.Padded : AsciiGrammar.NumberUnit;
        }

        return AsciiLine.Value(read, number, negative, unit, options);
    }

    private static bool TakeCommaUnit(ref AsciiCursor cursor, out LengthUnit unit)
    {
        unit = default;
        return cursor.Take((byte)' ') && cursor.TakeUnit(out unit) && cursor.AtEnd;
    }

    /// <summary>Unit word, verdict sign, unit number and signal strength, each optional but in this order, and trailing blanks.</summary>
    private static bool TakeUnitAndMore(ref AsciiCursor cursor, ref LengthUnit? unit)
    {
        cursor.TakeBlanks();
        if (cursor.TakeUnit(out LengthUnit named))
        {
            unit = named;
            cursor.TakeBlanks();
        }

        if (cursor.Here is (byte)'<' or (byte)'=' or (byte)'>')
        {
            cursor.Skip(1);
            cursor.TakeBlanks();
        }

        for (int extra = 0; extra < 2 && unit is not null && cursor.HereIsDigit; extra++)   // "5.637 IN 3 5"
        {
            cursor.Skip(1);
            if (!cursor.AtEnd && cursor.TakeBlanks() == 0)
            {
                return false;
            }
        }

        return cursor.AtEnd;
    }
}
