using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;

namespace CaliperStation.Devices;

/// <summary>A caliper on a port whose rate, framing and format are found first.</summary>
internal sealed class AutoDetectCaliper : ICaliper
{
    private static readonly TimeSpan _again = TimeSpan.FromSeconds(0.5);

    private readonly string _port;
    private readonly Func<FoundLine, Func<IFrameDecoder>> _decoder;
    private readonly LengthUnit _bareUnit;
    private readonly TimeProvider _time;
    private readonly ISerialPorts _ports;
    private readonly ByteTap? _tap;
    private readonly ModemSettings? _modem;
    private readonly CaliperRequest? _request;
    private volatile SerialCaliper? _found;
    private LineDetector? _detector;
    private ClosingLine? _leaving;   // another device's line, before it is searched
    private (LossKind Kind, bool Heard)? _told;
    private long _tryAt;

    /// <summary>A caliper on a port.</summary>
    /// <param name="port">The port's name.</param>
    /// <param name="decoder">Makes decoders for what was found.</param>
    /// <param name="bareUnit">The unit of a frame that names none; the decoder has the same.</param>
    /// <param name="time">The bench's time.</param>
    /// <param name="ports">The machine's ports; null for the real ones.</param>
    /// <param name="tap">Gets every byte as it came once the line is found, or null.</param>
    /// <param name="modem">How the modem lines are used; null leaves them alone.</param>
    /// <param name="request">How it is asked once it is found; null for one that is not.</param>
    internal AutoDetectCaliper(
        string port, Func<FoundLine, Func<IFrameDecoder>> decoder, LengthUnit bareUnit, TimeProvider time, ISerialPorts? ports = null, ByteTap? tap = null,
        ModemSettings? modem = null, CaliperRequest? request = null)
    {
        (_port, _decoder, _bareUnit, _time, _ports, _tap, _modem, _request) = (port, decoder, bareUnit, time, ports ?? SystemPorts.Instance, tap, modem, request);
    }

    /// <inheritdoc />
    public string Name => PrintableText.Escape(_port);

    /// <inheritdoc />
    public ReadingSource Source => ReadingSource.Serial;

    /// <inheritdoc />
    public bool Asks => _request is not null;

    /// <inheritdoc />
    public bool Request() => _found is { } found && found.Request();

    /// <inheritdoc />
    public TimeSpan Step(Action<CaliperEvent> post)
    {
        if (_found is { } found)
        {
            return Listen(found, post);
        }

        if (_leaving is { IsOver: false })
        {
            return SerialCaliper.PollEvery;
        }

        TimeSpan left = _time.GetElapsedTime(_time.GetTimestamp(), _tryAt);
        if (_detector is null && left > TimeSpan.Zero)
        {
            return left;
        }

        if (_detector is null && _ports.Before(_port) is { } trouble)
        {
            return TryAgain(trouble.Told, false, post);
        }

        _detector ??= new LineDetector(_ports, _time, _port);
        if (_detector.Step() is not { } line)
        {
            return SerialCaliper.PollEvery;
        }

        _detector = null;
        if (line.Settings is not { } settings)
        {
            return TryAgain(new CaliperEvent.Lost(line.Loss, line.Words), line.Probe.Bytes > 0, post);
        }

        _told = null;
        post(new CaliperEvent.Noted(NoteKind.LineFound, line.Words));
        _found = new SerialCaliper(settings, _decoder(line), _bareUnit, _time, _ports, _tap, _modem, _request);
        return TimeSpan.Zero;
    }

    /// <inheritdoc />
    public void Close()
    {
        _found?.Close();
        _detector?.Close();
        _leaving?.Wait();
    }

    /// <summary>It finds its port again by itself; but another device on the line may send in another way and is searched for.</summary>
    private TimeSpan Listen(SerialCaliper found, Action<CaliperEvent> post)
    {
        bool isOther = false;
        TimeSpan rest = found.Step(one =>
        {
            isOther |= one is CaliperEvent.Noted { Kind: NoteKind.OtherDevice };
            post(one);
        });
        if (isOther)
        {
            _found = null;
            _leaving = found.Leave();
        }

        return rest;
    }

    private TimeSpan TryAgain(CaliperEvent.Lost lost, bool heard, Action<CaliperEvent> post)
    {
        if (_told != (lost.Kind, heard))
        {
            _told = (lost.Kind, heard);   // once, not at each try
            post(lost);
        }

        TimeSpan wait = lost.Kind == LossKind.NotThere ? SerialCaliper.LookEvery : _again;
        _tryAt = _time.GetTimestamp() + (long)(wait.TotalSeconds * _time.TimestampFrequency);
        return wait;
    }
}
