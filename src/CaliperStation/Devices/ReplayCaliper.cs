using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>Plays a capture back with its own timing.</summary>
internal sealed class ReplayCaliper : ICaliper
{
    // A day of a 9600 baud line that never pauses; it is read into memory.
    private const long LargestFile = 100_000_000;

    private readonly IReadOnlyList<CaptureLine> _lines;
    private readonly LengthUnit _bareUnit;
    private readonly TimeProvider _time;
    private readonly ByteTap? _tap;
    private readonly IFrameDecoder _decoder;
    private Action<CaliperEvent> _post = _ => { };
    private CaliperSink? _playing;
    private long _began;
    private int _next;
    private TimeSpan _played;
    private TimeSpan _judged;
    private bool _ended;

    /// <summary>A capture ready to play.</summary>
    /// <param name="name">What it is called, e.g. the file's name.</param>
    /// <param name="lines">What came, in the order of time.</param>
    /// <param name="decoder">Makes the decoder.</param>
    /// <param name="bareUnit">The unit of a frame that names none.</param>
    /// <param name="time">The bench's time.</param>
    /// <param name="tap">Gets every byte as it is played, or null.</param>
    internal ReplayCaliper(
        string name, IReadOnlyList<CaptureLine> lines, Func<IFrameDecoder> decoder, LengthUnit bareUnit, TimeProvider time, ByteTap? tap = null)
    {
        Name = $"replay of {PrintableText.Escape(name)}";
        _lines = lines;
        _decoder = decoder();
        _bareUnit = bareUnit;
        _time = time;
        _tap = tap;
    }

    /// <inheritdoc />
    public string Name { get; }

    /// <inheritdoc />
    public ReadingSource Source => ReadingSource.Replay;

    /// <summary>A capture from a file.</summary>
    /// <exception cref="StationException">Exit 3: it cannot be read, or a line is damaged.</exception>
    internal static ReplayCaliper Load(string path, Func<IFrameDecoder> decoder, LengthUnit bareUnit, TimeProvider time, ByteTap? tap = null)
    {
        try
        {
            long length = new FileInfo(path).Length;   // a pipe or a device has none, and opening one may wait for ever
            if (length is 0 or > LargestFile)
            {
                throw new StationException(ExitCode.BadFile, length == 0
                    ? $"{PrintableText.Escape(path)} holds nothing; a capture is a file that \"caliper listen --save\" wrote."
                    : $"{PrintableText.Escape(path)} is larger than any capture of a caliper ({LargestFile / 1_000_000} MB).");
            }

            using StreamReader reader = new(path);
            return new ReplayCaliper(Path.GetFileName(path), CaptureText.Read(reader, path), decoder, bareUnit, time, tap);
        }
        catch (Exception e) when (FileFault.IsOfNamed(e))
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} cannot be read: {PrintableText.Escape(e.Message)}", e);
        }
    }

    /// <inheritdoc />
    public bool Asks => false;

    /// <inheritdoc />
    public bool Request() => false;

    /// <inheritdoc />
    public TimeSpan Step(Action<CaliperEvent> post)
    {
        if (_playing is null)
        {
            _playing = new CaliperSink(one => _post(one), _bareUnit, Source, _time);
            _began = _time.GetTimestamp();
            post(new CaliperEvent.Opened());
        }

        _post = post;
        TimeSpan now = _time.GetElapsedTime(_began);
        for (; _next < _lines.Count && _lines[_next].SinceOpen <= now; _next++)
        {
            Play(_lines[_next], _playing);
        }

        if (_next < _lines.Count)
        {
            return _lines[_next].SinceOpen - now;
        }

        TimeSpan left = _played + SerialLink.LongSilence - now;
        if (left > TimeSpan.Zero)
        {
            return left;
        }

        if (!_ended)
        {
            _ended = true;
            _decoder.Silence(SerialLink.LongSilence, _playing);   // a half line at the end is reported, as on a live line
            _playing.Diagnose(_played);
            post(new CaliperEvent.Lost(LossKind.Ended, $"The {Name} has come to its end."));
        }

        return Timeout.InfiniteTimeSpan;
    }

    /// <inheritdoc />
    public void Close()
    {
    }

    private void Play(CaptureLine line, CaliperSink sink)
    {
        if (line.SinceOpen > _played)
        {
            _decoder.Silence(line.SinceOpen - _played, sink);
        }

        _played = line.SinceOpen;
        sink.Heard(line.Bytes, _played);
        _tap?.Invoke(_played, line.Bytes);
        _decoder.Feed(line.Bytes, sink);
        if (_played - _judged >= SerialCaliper.LookEvery)
        {
            _judged = _played;
            sink.Diagnose(_played);
        }
    }
}
