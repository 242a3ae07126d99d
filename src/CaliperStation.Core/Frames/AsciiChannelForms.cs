using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>Lines that begin with a channel number: <c>01A+0000.123</c> and <c>2 MW-00088.29 mm</c>.</summary>
internal static class AsciiChannelForms
{
    /// <summary>Two digits, a letter, a sign, 8 of the number.</summary>
    private const int LetterLength = 12;

    /// <summary>Of the number itself, point included.</summary>
    private const int NumberWidth = 8;

    public static bool TryRead(ReadOnlySpan<byte> line, AsciiOptions options, out FrameEvent found, out AsciiGrammar grammar)
    {
        grammar = AsciiGrammar.None;
        found = default;
        if (line.Length < 3)
        {
            return false;
        }

        return line[1] == ' '
            ? TryType(line, options, out found, ref grammar)
            : TryLetter(line, options, out found, ref grammar);
    }

    /// <summary>True for a channelled line, whose prefix shows that it begins here.</summary>
    public static bool Fits(ReadOnlySpan<byte> line) => TryRead(line, AsciiOptions.Default, out _, out _);

    private static bool TryLetter(ReadOnlySpan<byte> line, AsciiOptions options, out FrameEvent found, ref AsciiGrammar grammar)
    {
        found = default;
        AsciiCursor cursor = new(line);
        if (!cursor.TakeDigits(2) || !cursor.TakeCapitals(1) || !cursor.TakeSign(out bool negative))
        {
            return false;
        }

        grammar = AsciiGrammar.ChannelLetter;
        NumberRead read = AsciiNumber.Read(ref cursor, out AsciiNumber number);
        found = cursor.AtEnd && line.Length == LetterLength
            ? AsciiLine.Value(read, number, negative, null, options)
            : FrameEvent.Refused(AsciiReasons.NoGrammar);
        return true;
    }

    private static bool TryType(ReadOnlySpan<byte> line, AsciiOptions options, out FrameEvent found, ref AsciiGrammar grammar)
    {
        found = default;
        AsciiCursor cursor = new(line);
        cursor.Skip(2);
        ReadOnlySpan<byte> type = cursor.Rest;
        if (!cursor.TakeCapitals(2) || !(cursor.HereIsDigit || cursor.Here is (byte)'+' or (byte)'-'))
        {
            return false;
        }

        grammar = AsciiGrammar.ChannelType;
        bool signed = cursor.TakeSign(out bool negative);
        NumberRead read = AsciiNumber.Read(ref cursor, out AsciiNumber number);
        bool whole = cursor.Take((byte)' ') & cursor.TakeUnit(out LengthUnit unit) & cursor.AtEnd;
        found = (whole, type[0], type[1]) switch
        {
            (false, _, _) => FrameEvent.Refused(AsciiReasons.NoGrammar),
            (true, (byte)'T', (byte)'O') => FrameEvent.DeviceError(AsciiReasons.Timeout),
            (true, (byte)'M', (byte)'W') when read == NumberRead.Overflow => FrameEvent.DeviceError(AsciiReasons.Overflow, FrameReason.Range),
            (true, (byte)'M', (byte)'W') when signed && number.Width == NumberWidth => AsciiLine.Value(read, number, negative, unit, options),
            (true, (byte)'M', (byte)'W') => FrameEvent.Refused(AsciiReasons.NoGrammar),
            (true, _, _) => FrameEvent.Refused(AsciiReasons.NotMeasuredType),
        };
        return true;
    }
}
