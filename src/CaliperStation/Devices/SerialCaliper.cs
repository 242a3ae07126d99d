using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;

namespace CaliperStation.Devices;

/// <summary>A caliper on a serial line: opened, polled, asked, lost, closed and opened again, all by its steps.</summary>
/// <remarks>
/// Polling was chosen by measurement: every byte arrives, an unplugged line shows within one poll, and it costs under
/// 1 % of a core. The other ways of reading lose bytes at their time-outs or fall silent when the line is unplugged.
/// </remarks>
internal sealed class SerialCaliper : ICaliper
{
    internal static readonly TimeSpan PollEvery = TimeSpan.FromMilliseconds(8);

    /// <summary>How often the port's node is looked for, and looked at while the line is open; and how often the line is judged.</summary>
    internal static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(0.25);

    /// <summary>After an open that failed; twice as long after each more, up to <see cref="MaxWait"/>.</summary>
    internal static readonly TimeSpan FirstWait = TimeSpan.FromSeconds(0.25);
    internal static readonly TimeSpan MaxWait = TimeSpan.FromSeconds(5);

    private readonly SerialSettings _settings;
    private readonly Func<IFrameDecoder> _decoder;
    private readonly LengthUnit _bareUnit;
    private readonly ISerialPorts _ports;
    private readonly TimeProvider _time;
    private readonly ByteTap? _tap;
    private readonly CaliperRequest? _request;
    private readonly FootSwitch _footSwitch;
    private readonly Lock _gate = new();   // of the two below: a request is made on another thread
    private bool _mayBeAsked;
    private bool _isAsked;

    private Action<CaliperEvent> _post = _ => { };
    private Opening? _open;
    private ClosingLine? _closing;
    private (string? Node, long At)? _failed;   // what could not be opened, or was lost
    private TimeSpan _wait;                      // before it is opened again
    private LossKind? _told;
    private string? _identity;

    /// <summary>A caliper on the port of the settings.</summary>
    /// <param name="settings">Port, rate and framing.</param>
    /// <param name="decoder">Makes a decoder for each opening.</param>
    /// <param name="bareUnit">The unit of a frame that names none; the decoder has the same.</param>
    /// <param name="time">The bench's time.</param>
    /// <param name="ports">The machine's ports; null for the real ones.</param>
    /// <param name="tap">Gets every byte as it came, or null.</param>
    /// <param name="modem">How the modem lines are used; null leaves them alone.</param>
    /// <param name="request">How it is asked; null for one that is not.</param>
    internal SerialCaliper(
        SerialSettings settings, Func<IFrameDecoder> decoder, LengthUnit bareUnit, TimeProvider time, ISerialPorts? ports = null, ByteTap? tap = null,
        ModemSettings? modem = null, CaliperRequest? request = null)
    {
        _settings = settings;
        _decoder = decoder;
        _bareUnit = bareUnit;
        _time = time;
        _ports = ports ?? SystemPorts.Instance;
        _tap = tap;
        _request = request;
        _footSwitch = new FootSwitch(modem ?? ModemSettings.Unused, one => _post(one), time);
    }

    /// <inheritdoc />
    public string Name => PrintableText.Escape(_settings.Port);

    /// <inheritdoc />
    public ReadingSource Source => ReadingSource.Serial;

    /// <inheritdoc />
    public bool Asks => _request is not null;

    /// <inheritdoc />
    public bool Request()
    {
        lock (_gate)
        {
            _isAsked |= _mayBeAsked;
            return _mayBeAsked;
        }
    }

    /// <inheritdoc />
    public TimeSpan Step(Action<CaliperEvent> post)
    {
        _post = post;
        if (_open is { } open)
        {
            return Listen(open);
        }

        return _closing is { IsOver: false } ? PollEvery : TryOpen();
    }

    /// <inheritdoc />
    public void Close() => Leave()?.Wait();

    /// <summary>Begins to close what is open, for good; null when nothing was opened.</summary>
    internal ClosingLine? Leave()
    {
        if (_open is not null)
        {
            StopListening();
        }

        return _closing;
    }

    private TimeSpan TryOpen()
    {
        string? node = _ports.Node(_settings.Port);
        if (_failed is { } failed)
        {
            TimeSpan left = _wait - _time.GetElapsedTime(failed.At);
            if (node != failed.Node)
            {
                (_failed, _wait) = (null, TimeSpan.Zero);   // another device, or the same one plugged in again
            }
            else if (left > TimeSpan.Zero)
            {
                return left < LookEvery ? left : LookEvery;
            }
        }

        if (node is null && _told is LossKind.NotThere or LossKind.Gone)
        {
            return LookEvery;
        }

        PortTrouble? trouble = _ports.Before(_settings.Port) ?? Open();
        if (trouble is null)
        {
            return PollEvery;
        }

        if (_told != trouble.Loss && !(_told == LossKind.Gone && trouble.Loss == LossKind.NotThere))
        {
            _told = trouble.Loss;   // once, not at each try; and that a lost one is not there is no news
            _post(trouble.Told);
        }

        if (trouble.Loss == LossKind.NotThere)
        {
            (_failed, _wait) = (null, TimeSpan.Zero);
        }
        else
        {
            BackOff(node);
        }

        return LookEvery;
    }

    private void BackOff(string? node)
    {
        TimeSpan twice = _wait + _wait;
        _wait = twice < FirstWait ? FirstWait : twice < MaxWait ? twice : MaxWait;
        _failed = (node, _time.GetTimestamp());
    }

    private PortTrouble? Open()
    {
        ISerialLine line = _ports.Create(_settings);
        try
        {
            line.Open();
        }
        catch (Exception e) when (SerialLink.IsLineFailure(e))
        {
            BeginToClose(line);
            return _ports.After(_settings.Port, e);
        }

        CaliperSink sink = new(one => _post(one), _bareUnit, Source, _time);
        SerialLink link = new(line, _decoder(), sink, _time, _tap);
        _open = new Opening(line, link, sink, _ports.Node(_settings.Port), _time.GetTimestamp());
        if (link.Begin() is { } lost)
        {
            Lose(lost);
            return null;
        }

        _told = null;
        lock (_gate)
        {
            (_mayBeAsked, _isAsked) = (_request is not null, false);
        }

        _post(new CaliperEvent.Opened());
        _footSwitch.Begin(line);
        TellIfOther();
        return null;
    }

    private TimeSpan Listen(Opening open)
    {
        if (open.Link.Poll() is { } gone)
        {
            Lose(gone);
            return PollEvery;
        }

        _footSwitch.Poll();
        if (IsAsked() && Ask(open.Link) is { } dead)
        {
            Lose(dead);
            return PollEvery;
        }

        if (_time.GetElapsedTime(open.Looked) < LookEvery)
        {
            return PollEvery;
        }

        open.Looked = _time.GetTimestamp();
        if (_ports.Node(_settings.Port) != open.Node)
        {
            Lose("its device is gone");
            return PollEvery;
        }

        open.Sink.Diagnose(open.Link.SinceOpen, Asks);
        return PollEvery;
    }

    private bool IsAsked()
    {
        lock (_gate)
        {
            bool asked = _isAsked;
            _isAsked = false;
            return asked;
        }
    }

    private string? Ask(SerialLink link)
    {
        if (_request?.Bytes is { } bytes)
        {
            return link.Send(bytes);
        }

        _footSwitch.Toggle();
        return null;
    }

    private void Lose(string why)
    {
        Opening open = StopListening();
        _wait = open.Link.SinceOpen < MaxWait ? _wait : TimeSpan.Zero;   // what opens only to be lost at once is backed off from, too
        BackOff(open.Node);
        if (_told != LossKind.Gone)
        {
            _told = LossKind.Gone;
            _post(new CaliperEvent.Lost(LossKind.Gone, $"{Name} is lost: {why}. Plug it in again."));
        }

        open.Sink.Forget();
    }

    /// <summary>From here nothing is written: neither to a lost port nor, later, to the next one.</summary>
    private Opening StopListening()
    {
        lock (_gate)
        {
            (_mayBeAsked, _isAsked) = (false, false);
        }

        Opening open = _open!;
        _open = null;
        BeginToClose(open.Line);
        return open;
    }

    private void BeginToClose(ISerialLine line) => _closing = new ClosingLine(_ports.Close(line), _time);

    /// <summary>A caliper of the same port's name may be another one after a loss: it may not be zeroed, and was not checked.</summary>
    private void TellIfOther()
    {
        string? identity = _ports.Identity(_settings.Port);
        if (identity is not null && _identity is not null && identity != _identity)
        {
            _post(new CaliperEvent.Noted(NoteKind.OtherDevice, $"another device than before is on this line: {PrintableText.Escape(identity)}"));
        }

        _identity = identity ?? _identity;
    }

    /// <summary>One opening of the port.</summary>
    private sealed class Opening(ISerialLine line, SerialLink link, CaliperSink sink, string? node, long looked)
    {
        internal ISerialLine Line => line;

        internal SerialLink Link => link;

        internal CaliperSink Sink => sink;

        internal string? Node => node;

        /// <summary>When the node was looked at.</summary>
        internal long Looked { get; set; } = looked;
    }
}
