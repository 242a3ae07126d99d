namespace CaliperStation.Core.Wire;

/// <summary>Cuts a stream into lines ended by CR, LF or CRLF and reads each with <see cref="AsciiLine"/>.</summary>
/// <remarks>
/// <para>The sink gets the line without its terminator (with <see cref="AsciiOptions.MaskBit8"/>, without bit 8). Empty lines are nothing: they lie between CR and LF.</para>
/// <para>
/// After <see cref="Reset"/> the stream may begin in the middle of a line, unless a silence of <see cref="QuietStart"/> came
/// first: the tail <c>2.345 mm</c> of <c>+12.345 mm</c> is a legal line with a wrong value. So a first line is taken only when it
/// fits a grammar and begins with more than a bare number; anything else up to the first terminator is ignored. The same
/// holds for the line after one that broke off, until <see cref="NewLine"/> of silence.
/// </para>
/// </remarks>
public sealed class AsciiLineDecoder : IFrameDecoder
{
    /// <summary>The widest published line has 27 characters; 64 leaves room for an instrument's name and is all a hostile stream can fill.</summary>
    public const int MaxLineLength = 64;

    /// <summary>The slowest published line, 25 characters at 1200 baud 8N2, takes 230 ms; a longer gap is a line that broke off.</summary>
    public static readonly TimeSpan BreakOff = TimeSpan.FromMilliseconds(250);

    /// <summary>Three times the pieces of 16 ms in which common USB adapters deliver: after it a line begins.</summary>
    public static readonly TimeSpan QuietStart = TimeSpan.FromMilliseconds(50);

    /// <summary>Nothing sends the rest of a line after so long; a USB stack that stalls comes back sooner.</summary>
    public static readonly TimeSpan NewLine = TimeSpan.FromSeconds(1);

    internal const string TooLong = "the line is longer than any known form";
    internal const string CutBySilence = "the line broke off";
    internal const string BeforeFirstLine = "this came before the first whole line after opening";
    private const string RestOfCutLine = "the line before broke off and this may be its rest";

    private readonly AsciiOptions _options;
    private readonly LineBuffer _buffer = new(MaxLineLength);
    private Start _start = Start.Known;

    /// <summary>A decoder at the start of a line.</summary>
    public AsciiLineDecoder(AsciiOptions? options = null) => _options = options ?? AsciiOptions.Default;

    private enum Start
    {
        /// <summary>A terminator or a silence went before.</summary>
        Known,

        /// <summary>The line was reopened; bytes may be the tail of something.</summary>
        Opened,

        /// <summary>The line before broke off; this may be its rest.</summary>
        AfterCut,
    }

    /// <inheritdoc />
    public void Feed(ReadOnlySpan<byte> bytes, IFrameSink sink)
    {
        if (!_options.MaskBit8)
        {
            Split(bytes, sink);
            return;
        }

        Span<byte> masked = stackalloc byte[MaxLineLength];
        while (!bytes.IsEmpty)
        {
            ReadOnlySpan<byte> piece = bytes[..Math.Min(bytes.Length, masked.Length)];
            for (int i = 0; i < piece.Length; i++)
            {
                masked[i] = (byte)(piece[i] & 0x7F);
            }

            Split(masked[..piece.Length], sink);
            bytes = bytes[piece.Length..];
        }
    }

    /// <inheritdoc />
    public void Silence(TimeSpan gap, IFrameSink sink)
    {
        if (_buffer.HasPart && gap >= BreakOff)
        {
            FrameEvent dropped = _start == Start.Opened
                ? FrameEvent.Ignored(BeforeFirstLine)
                : FrameEvent.Refused(CutBySilence);
            sink.Receive(dropped, _buffer.Part);
            _buffer.Clear();
            _start = Start.AfterCut;
        }

        bool begins = _start == Start.AfterCut ? gap >= NewLine : gap >= QuietStart;
        if (begins && !_buffer.HasPart)
        {
            _start = Start.Known;
        }
    }

    /// <inheritdoc />
    public void Reset()
    {
        _buffer.Clear();
        _start = Start.Opened;
    }

    private void Split(ReadOnlySpan<byte> bytes, IFrameSink sink)
    {
        while (_buffer.TryTake(ref bytes, out ReadOnlySpan<byte> line, out bool overlong))
        {
            if (!line.IsEmpty)
            {
                Line(line, overlong, sink);
            }
        }
    }

    private void Line(ReadOnlySpan<byte> line, bool overlong, IFrameSink sink)
    {
        AsciiGrammar grammar = AsciiGrammar.None;
        FrameEvent found = overlong ? FrameEvent.Refused(TooLong) : AsciiLine.Read(line, _options, out grammar);
        if (_start != Start.Known && (found.Kind == FrameEventKind.Refused || (found.Kind == FrameEventKind.Value && MayBeTail(line[0], grammar))))
        {
            found = _start == Start.Opened
                ? FrameEvent.Ignored(BeforeFirstLine)
                : FrameEvent.Refused(RestOfCutLine);
        }

        _start = Start.Known;
        sink.Receive(found, line);
    }

    /// <summary>A value line that begins with a digit or a blank may have lost its sign and its first digits; a channel shows that the line begins here.</summary>
    private static bool MayBeTail(byte first, AsciiGrammar grammar) =>
        (first == ' ' || char.IsAsciiDigit((char)first)) && grammar is not (AsciiGrammar.ChannelLetter or AsciiGrammar.ChannelType);
}
