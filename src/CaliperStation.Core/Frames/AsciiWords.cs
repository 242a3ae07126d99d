namespace CaliperStation.Core.Frames;

/// <summary>Lines of words: errors, replies, echoes, the instrument's name, a pedal.</summary>
internal static class AsciiWords
{
    /// <summary>An identification line starts with at least so many letters, which no value line does.</summary>
    private const int IdentificationLetters = 3;

    public static bool TryPedal(ReadOnlySpan<byte> line, out FrameEvent found, out AsciiGrammar grammar)
    {
        grammar = AsciiGrammar.Pedal;
        AsciiCursor cursor = new(line);
        bool pedal = cursor.TakeDigits(4) && cursor.Take(",FOOTSWITCH, ,"u8) && cursor.TakeDigits(2) && cursor.AtEnd;
        found = pedal ? FrameEvent.Press(AsciiReasons.Pedal) : default;
        return pedal;
    }

    public static bool TryRead(ReadOnlySpan<byte> line, out FrameEvent found, out AsciiGrammar grammar)
    {
        ReadOnlySpan<byte> words = line.Trim((byte)' ');
        grammar = AsciiGrammar.Error;
        if (Error(words, out FrameReason reason) is string error)
        {
            found = FrameEvent.DeviceError(error, reason);
            return true;
        }

        grammar = AsciiGrammar.Words;
        string? ignored = Harmless(words);
        found = ignored is null ? default : FrameEvent.Ignored(ignored);
        return ignored is not null;
    }

    private static string? Error(ReadOnlySpan<byte> words, out FrameReason reason)
    {
        bool range = words.SequenceEqual("ERR3"u8) || words.SequenceEqual("OR"u8) || words.SequenceEqual("OUT OF BOUNDS"u8);
        reason = range ? FrameReason.Range : FrameReason.Device;
        if (range)
        {
            return AsciiReasons.RangeError;
        }

        if (words.StartsWith("#"u8))
        {
            return IsPrintable(words) ? AsciiReasons.BridgeError : null;
        }

        if (words.Length == 4 && words.StartsWith("ERR"u8) && AsciiCursor.IsDigit(words[3]))
        {
            return words[3] switch
            {
                (byte)'0' => AsciiReasons.SensorError,
                (byte)'1' => AsciiReasons.CommandError,
                (byte)'2' => AsciiReasons.ParityError,
                (byte)'6' => AsciiReasons.FeatureOff,
                _ => AsciiReasons.InstrumentError,
            };
        }

        if (words.SequenceEqual("NOT FOUND"u8))
        {
            return AsciiReasons.CommandError;
        }

        if (words.SequenceEqual("HELP"u8))
        {
            return AsciiReasons.Overload;
        }

        bool alarm = IsNoGood(words)
            || (IsPrintable(words) && (words.StartsWith("ERR"u8) || words.StartsWith("Err"u8) || Contains(words, "Error"u8) || Contains(words, "ERROR"u8)));
        return alarm ? AsciiReasons.InstrumentError : null;
    }

    /// <summary><c>NG</c> and a numeric code.</summary>
    private static bool IsNoGood(ReadOnlySpan<byte> words)
    {
        AsciiCursor cursor = new(words);
        if (!cursor.Take("NG"u8) || cursor.AtEnd)
        {
            return false;
        }

        cursor.TakeBlanks();
        cursor.TakeDigits(4);
        return cursor.AtEnd;
    }

    private static string? Harmless(ReadOnlySpan<byte> words)
    {
        if (words.SequenceEqual("SUCCESS"u8))
        {
            return AsciiReasons.Reply;
        }

        bool echo = words.SequenceEqual("R"u8) || words.SequenceEqual("?"u8) || words.SequenceEqual("A"u8)
            || words.SequenceEqual("PRI"u8) || (words.Length == 3 && words[0] == 'M' && AsciiCursor.IsDigit(words[1]) && words[2] == '?');
        if (echo)
        {
            return AsciiReasons.Echo;
        }

        return IsIdentification(words) ? AsciiReasons.Identification : null;
    }

    private static bool IsIdentification(ReadOnlySpan<byte> words)
    {
        if (words.Length < IdentificationLetters)
        {
            return false;
        }

        for (int i = 0; i < words.Length; i++)
        {
            byte here = words[i];
            bool letter = (here | 0x20) is >= 'a' and <= 'z';
            bool other = AsciiCursor.IsDigit(here) || here is (byte)' ' or (byte)'.' or (byte)'-' or (byte)'/' or (byte)'(' or (byte)')' or (byte)'_' or (byte)':';
            if (!letter && (i < IdentificationLetters || !other))
            {
                return false;
            }
        }

        return true;
    }

    private static bool Contains(ReadOnlySpan<byte> words, ReadOnlySpan<byte> part) => words.IndexOf(part) >= 0;

    private static bool IsPrintable(ReadOnlySpan<byte> words) => !words.ContainsAnyExceptInRange((byte)' ', (byte)'~');
}
