using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Devices;

/// <summary>Plays a capture back with its own timing.</summary>
internal sealed class ReplayCaliper : ICaliper
{
    // A day of a 9600 baud line that never pauses; it is read into memory.
    private const long LargestFile = 100_000_000;

    private readonly IReadOnlyList<CaptureLine> _lines;
    private readonly Func<IFrameDecoder> _decoder;
    private readonly LengthUnit _bareUnit;
    private readonly TimeProvider _time;
    private readonly ByteTap? _tap;

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
        _decoder = decoder;
        _bareUnit = bareUnit;
        _time = time;
        _tap = tap;
    }

    /// <inheritdoc />
    public string Name { get; }

    /// <inheritdoc />
    public ReadingSource Source => ReadingSource.Replay;

    /// <summary>A capture from a file.</summary>
    /// <exception cref="CaptureException">It cannot be read, or a line is damaged.</exception>
    internal static ReplayCaliper Load(string path, Func<IFrameDecoder> decoder, LengthUnit bareUnit, TimeProvider time, ByteTap? tap = null)
    {
        try
        {
            using StreamReader reader = new(path);
            if (reader.BaseStream.CanSeek && reader.BaseStream.Length > LargestFile)
            {
                throw new CaptureException($"{PrintableText.Escape(path)} is larger than any capture of a caliper ({LargestFile / 1_000_000} MB).");
            }

            return new ReplayCaliper(Path.GetFileName(path), CaptureText.Read(reader, path), decoder, bareUnit, time, tap);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            throw new CaptureException($"{PrintableText.Escape(path)} cannot be read: {PrintableText.Escape(e.Message)}");
        }
    }

    /// <inheritdoc />
    public async Task RunAsync(Action<CaliperEvent> post, CancellationToken stop)
    {
        CaliperSink sink = new(post, _bareUnit);
        IFrameDecoder decoder = _decoder();
        post(new CaliperEvent.Opened());
        TimeSpan now = TimeSpan.Zero;
        foreach (CaptureLine line in _lines)
        {
            TimeSpan gap = line.SinceOpen - now;
            if (!await WaitAsync(gap, stop).ConfigureAwait(false))
            {
                return;
            }

            if (gap > TimeSpan.Zero)
            {
                decoder.Silence(gap, sink);
            }

            now = line.SinceOpen;
            sink.Timestamp = _time.GetTimestamp();
            _tap?.Invoke(now, line.Bytes);
            decoder.Feed(line.Bytes, sink);
        }

        if (await WaitAsync(SerialLink.LongSilence, stop).ConfigureAwait(false))
        {
            decoder.Silence(SerialLink.LongSilence, sink);   // a half line at the end is told, as on a live line
            post(new CaliperEvent.Lost($"The {Name} has come to its end."));
        }
    }

    private async ValueTask<bool> WaitAsync(TimeSpan wait, CancellationToken stop)
    {
        if (wait > TimeSpan.Zero)
        {
            await Task.Delay(wait, _time, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }

        return !stop.IsCancellationRequested;
    }
}
