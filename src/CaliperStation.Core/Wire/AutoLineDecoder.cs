namespace CaliperStation.Core.Wire;

/// <summary>Reads ASCII lines until a line of a bridge comes, and bridge lines from then on.</summary>
/// <remarks>
/// Only a line of the bridge's own form whose CRC fits turns it over, and no ASCII grammar has that form. After that an ASCII line is refused, so
/// that a damaged bridge line can never pass for a reading. <see cref="Reset"/> starts again: another device may have been plugged in.
/// </remarks>
public sealed class AutoLineDecoder : IFrameDecoder
{
    private readonly LineBuffer _buffer = new(AsciiLineDecoder.MaxLineLength + 1);   // one more, so that a line that is too long stays so
    private readonly AsciiLineDecoder _ascii;
    private readonly BridgeLineDecoder _bridge;
    private bool _isBridge;

    /// <summary>A decoder at the start of a line.</summary>
    public AutoLineDecoder(FrameOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        _ascii = new AsciiLineDecoder(options.Ascii);
        _bridge = new BridgeLineDecoder(options);
    }

    private IFrameDecoder Chosen => _isBridge ? _bridge : _ascii;

    /// <inheritdoc />
    public void Feed(ReadOnlySpan<byte> bytes, IFrameSink sink)
    {
        while (_buffer.TryTake(ref bytes, out ReadOnlySpan<byte> line, out bool overlong))
        {
            if (line.IsEmpty)
            {
                continue;
            }

            _isBridge |= !overlong && BridgeLine.TryRead(line, out _, out _);
            Chosen.Feed(line, sink);
            Chosen.Feed("\r"u8, sink);
        }
    }

    /// <inheritdoc />
    public void Silence(TimeSpan gap, IFrameSink sink)
    {
        if (_buffer.HasPart && gap >= AsciiLineDecoder.BreakOff)
        {
            Chosen.Feed(_buffer.Part, sink);   // the chosen one knows what a broken line means
            _buffer.Clear();
        }

        if (!_buffer.HasPart)
        {
            Chosen.Silence(gap, sink);
        }
    }

    /// <inheritdoc />
    public void Reset()
    {
        _buffer.Clear();
        _ascii.Reset();
        _bridge.Reset();
        _isBridge = false;
    }
}
