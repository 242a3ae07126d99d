using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>One whole line, without its terminator, against all grammars. A pure function: the line's first byte says which may apply.</summary>
public static class AsciiLine
{
    /// <summary>What the line is. Never throws, never allocates.</summary>
    public static FrameEvent Read(ReadOnlySpan<byte> line, AsciiOptions options) => Read(line, options, out _);

    /// <summary>What the line is, and which grammar it fits; <see cref="AsciiGrammar.None"/> when refused.</summary>
    public static FrameEvent Read(ReadOnlySpan<byte> line, AsciiOptions options, out AsciiGrammar grammar)
    {
        FrameEvent found = Dispatch(line, options, out grammar);
        if (found.Kind == FrameEventKind.Refused)
        {
            grammar = AsciiGrammar.None;
        }
        else if (found.Kind == FrameEventKind.Value && options.Only is AsciiGrammar only && only != grammar)
        {
            grammar = AsciiGrammar.None;
            return FrameEvent.Refused(AsciiReasons.OtherGrammar);
        }

        return found;
    }

    private static FrameEvent Dispatch(ReadOnlySpan<byte> line, AsciiOptions options, out AsciiGrammar grammar)
    {
        byte first = line.IsEmpty ? (byte)0 : line[0];
        if (first is (byte)'+' or (byte)'-' or (byte)' ' or (byte)'.')
        {
            return AsciiFreeForms.Read(line, options, out grammar);
        }

        if (AsciiCursor.IsDigit(first))
        {
            if (AsciiChannelForms.TryRead(line, options, out FrameEvent channelled, out grammar) || AsciiWords.TryPedal(line, out channelled, out grammar))
            {
                return channelled;
            }

            FrameEvent free = AsciiFreeForms.Read(line, options, out AsciiGrammar freeGrammar);
            if (free.Kind == FrameEventKind.Refused && AsciiWords.TryRead(line, out FrameEvent words, out grammar))
            {
                return words;   // an alarm word where the number should be
            }

            grammar = freeGrammar;
            return free;
        }

        return AsciiLetterForms.TryRead(line, options, out FrameEvent lettered, out grammar)
            || AsciiWords.TryRead(line, out lettered, out grammar)
            ? lettered
            : FrameEvent.Refused(AsciiReasons.NoGrammar);
    }

    /// <summary>The event for a number that was read, in the unit of the line or else the one that was set.</summary>
    internal static FrameEvent Value(NumberRead read, in AsciiNumber number, bool negative, LengthUnit? unit, AsciiOptions options) => read switch
    {
        NumberRead.Number => (unit ?? options.AssumedUnit) is LengthUnit known
            ? FrameEvent.Of(number.In(known, negative), unit, number.StepIn(known))
            : FrameEvent.Refused(AsciiReasons.NoUnit, FrameReason.NoUnit),
        NumberRead.None => FrameEvent.Refused(AsciiReasons.NoGrammar),
        NumberRead.NoPoint => FrameEvent.Refused(AsciiReasons.NoPoint, FrameReason.NoPoint),
        NumberRead.TooManyDigits => FrameEvent.Refused(AsciiReasons.TooManyDigits),
        NumberRead.Overflow => FrameEvent.DeviceError(AsciiReasons.Overflow, FrameReason.Range),
    };
}
