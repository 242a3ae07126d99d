namespace CaliperStation.Core.Wire;

/// <summary>Settings of all formats together.</summary>
/// <param name="Ascii">For lines.</param>
/// <param name="Bits24">For the 24-bit frame.</param>
/// <param name="TwoWord">For the two-word frame.</param>
public sealed record FrameOptions(AsciiOptions Ascii, Bits24Options Bits24, TwoWordOptions TwoWord)
{
    /// <summary>Each format's default.</summary>
    public static FrameOptions Default { get; } = new(AsciiOptions.Default, Bits24Options.Default, TwoWordOptions.Default);
}

/// <summary>One frame, written down, in any format.</summary>
public static class FrameDecode
{
    /// <summary>What the line's frame says.</summary>
    /// <exception cref="ArgumentException">The format's name is none of <see cref="FrameFormats.Names"/>.</exception>
    public static FrameEvent Decode(string format, string line, FrameOptions? options = null) => FrameFormats.TryParse(format, out FrameFormat known)
        ? Decode(known, line, options)
        : throw new ArgumentException("There is no such format.", nameof(format));

    /// <summary>What the line's frame says; for ASCII the first event of the escaped text, which needs no terminator.</summary>
    public static FrameEvent Decode(FrameFormat format, string line, FrameOptions? options = null)
    {
        FrameOptions set = options ?? FrameOptions.Default;
        if (format == FrameFormat.Ascii)
        {
            return DecodeText(line, set.Ascii);
        }

        return FrameText.TryBits(line, format, out FrameBits bits, out string refusal)
            ? Decode(format, bits, set)
            : FrameEvent.Refused(refusal);
    }

    /// <summary>What the bits say.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The format is not one of bits.</exception>
    public static FrameEvent Decode(FrameFormat format, FrameBits bits, FrameOptions options) => format switch
    {
        FrameFormat.Bits24 => Bits24Decoder.Decode(bits, options.Bits24),
        FrameFormat.TwoWord => TwoWordDecoder.Decode(bits, options.TwoWord),
        FrameFormat.Bcd7 => Bcd7Decoder.Decode(bits),
        FrameFormat.Bcd13 => Bcd13Decoder.Decode(bits),
        FrameFormat.Ascii => throw new ArgumentOutOfRangeException(nameof(format), "Lines are not bits."),
    };

    private static FrameEvent DecodeText(string line, AsciiOptions options)
    {
        if (!FrameText.TryBytes(line, out byte[] bytes, out string refusal))
        {
            return FrameEvent.Refused(refusal);
        }

        AsciiLineDecoder decoder = new(options);
        FirstEvent first = new();
        decoder.Feed(bytes, first);
        decoder.Feed("\r"u8, first);
        return first.Found ?? FrameEvent.Refused(FrameText.Empty);
    }

    private sealed class FirstEvent : IFrameSink
    {
        public FrameEvent? Found { get; private set; }

        public void Receive(in FrameEvent frameEvent, ReadOnlySpan<byte> raw) => Found ??= frameEvent;
    }
}
