namespace CaliperStation.Core.Wire;

/// <summary>Decodes the lines of a bridge: CRC and sequence first, then silence and the frame itself.</summary>
/// <remarks>
/// One line gives its own event and, before it, an event for each thing that was noticed: lines lost, a bridge that started again, a
/// cell that ran low. Stored and computed values of the 13-digit format are ignored here: they are not what the caliper shows now.
/// </remarks>
public sealed class BridgeLineDecoder : IFrameDecoder
{
    /// <summary>A bridge line has at most 49 characters; what a bridge says after <c>#</c> may be longer and is cut.</summary>
    public const int MaxLineLength = 64;

    /// <summary>Lines between this one and the one before never came.</summary>
    internal const string Lost = "one or more lines of the bridge were lost on their way";
    /// <summary>The same line came twice; the second is left out.</summary>
    internal const string Repeated = "the bridge sent this line before";
    /// <summary>The bridge counts from the beginning again.</summary>
    internal const string Restarted = "the bridge started again";
    /// <summary>The bridge measured a low cell in the caliper.</summary>
    internal const string LowPower = "the bridge says that the caliper's cell is low";
    internal const string NoSilence = "the frame began without the silence that shows where a frame starts";
    internal const string NotShownNow = "a stored or computed value, not what the caliper shows now";

    private readonly FrameOptions _options;
    private readonly LineBuffer _buffer = new(MaxLineLength);
    private int _last = -1;
    private FrameBits _lastBits;
    private bool _opened;
    private bool _low;

    /// <summary>A decoder at the start of a line. The two-word setting applies to the levels on the caliper's own wire.</summary>
    public BridgeLineDecoder(FrameOptions? options = null) =>
        _options = options ?? (FrameOptions.Default with { TwoWord = TwoWordOptions.Direct });

    /// <summary>Lines lost since the bridge was first heard.</summary>
    public long LostLines { get; private set; }

    /// <summary>Lines that came twice.</summary>
    public long RepeatedLines { get; private set; }

    /// <inheritdoc />
    public void Feed(ReadOnlySpan<byte> bytes, IFrameSink sink)
    {
        while (_buffer.TryTake(ref bytes, out ReadOnlySpan<byte> text, out bool overlong))
        {
            if (!text.IsEmpty)
            {
                Line(text, overlong, sink);
            }
        }
    }

    /// <inheritdoc />
    public void Silence(TimeSpan gap, IFrameSink sink)
    {
        if (_buffer.HasPart && gap >= AsciiLineDecoder.BreakOff)
        {
            sink.Receive(FrameEvent.Refused(AsciiLineDecoder.CutBySilence), _buffer.Part);
            _buffer.Clear();
        }
    }

    /// <inheritdoc />
    public void Reset()
    {
        _buffer.Clear();
        _last = -1;   // lines sent while the port was lost were not lost by the bridge
        _opened = true;
        _low = false;
    }

    private void Line(ReadOnlySpan<byte> text, bool overlong, IFrameSink sink)
    {
        bool first = _opened;
        _opened = false;
        if (text[0] == '#')
        {
            sink.Receive(FrameEvent.DeviceError(AsciiLine.BridgeError), text);
            return;
        }

        string refusal = AsciiLineDecoder.TooLong;
        if (overlong || !BridgeLine.TryRead(text, out BridgeLine line, out refusal))
        {
            sink.Receive(first ? FrameEvent.Ignored(AsciiLineDecoder.BeforeFirstLine) : FrameEvent.Refused(refusal), text);
            return;
        }

        if (line.Sequence == _last && line.Bits == _lastBits)
        {
            RepeatedLines++;
            sink.Receive(FrameEvent.Noted(FrameReason.LineRepeated, Repeated), text);
            return;
        }

        Notice(line, text, sink);
        sink.Receive(Frame(line), text);
    }

    private void Notice(in BridgeLine line, ReadOnlySpan<byte> text, IFrameSink sink)
    {
        int missing = _last < 0 ? 0 : (line.Sequence - _last - 1) & 0xFFFF;
        if (missing >= 0x8000)
        {
            sink.Receive(FrameEvent.Noted(FrameReason.BridgeRestarted, Restarted), text);   // half the circle back: a counter that started again, not 32768 lost lines
        }
        else if (missing > 0)
        {
            LostLines += missing;
            sink.Receive(FrameEvent.Noted(FrameReason.LinesLost, Lost), text);
        }

        _last = line.Sequence;
        _lastBits = line.Bits;
        bool low = line.Power == BridgePower.Low;
        if (low && !_low)
        {
            sink.Receive(FrameEvent.Noted(FrameReason.CellLow, LowPower), text);
        }

        _low = low;
    }

    private FrameEvent Frame(in BridgeLine line)
    {
        if (line.SilenceMicroseconds < MinSilence(line.Format))
        {
            return FrameEvent.Refused(NoSilence);
        }

        FrameBits levels = line.Inverted ? line.Bits.Inverted() : line.Bits;
        if (line.Format != FrameFormat.Bcd13)
        {
            return FrameDecode.Decode(line.Format, levels, _options);
        }

        FrameEvent found = Bcd13Decoder.Decode(levels, out Bcd13Type type);
        bool shown = type is Bcd13Type.Normal or Bcd13Type.MaximumHold or Bcd13Type.MinimumHold;
        return found.Kind == FrameEventKind.Value && !shown ? FrameEvent.Ignored(NotShownNow) : found;
    }

    /// <summary>
    /// Microseconds that cannot lie inside a frame: 24-bit frames of slow instruments have 700 inside; words are 110 apart; the 7-digit
    /// format is published with 800. The 13-digit format answers a request and has its own check in every nibble.
    /// </summary>
    private static int MinSilence(FrameFormat format) => format switch
    {
        FrameFormat.Bits24 => 5_000,
        FrameFormat.TwoWord => 1_000,
        FrameFormat.Bcd7 => 800,
        FrameFormat.Bcd13 => 0,
        FrameFormat.Ascii => 0,
    };
}
