using System.Collections.Concurrent;
using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Devices;

/// <summary>A caliper on a serial line. One task opens, polls, writes and closes the port for its whole life.</summary>
/// <remarks>
/// Polling was chosen by measurement: every byte arrives, an unplugged line shows within one poll, and it costs under
/// 1 % of a core. The other ways of reading lose bytes at their time-outs or fall silent when the line is unplugged.
/// </remarks>
internal sealed class SerialCaliper : ICaliper
{
    internal static readonly TimeSpan PollEvery = TimeSpan.FromMilliseconds(8);
    internal static readonly TimeSpan LookAtNodeEvery = TimeSpan.FromSeconds(1);
    internal static readonly TimeSpan FirstWait = TimeSpan.FromSeconds(0.5);
    internal static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(5);

    private readonly SerialSettings _settings;
    private readonly Func<IFrameDecoder> _decoder;
    private readonly LengthUnit _bareUnit;
    private readonly ISerialPorts _ports;
    private readonly TimeProvider _time;
    private readonly ByteTap? _tap;
    private readonly ModemSettings _modem;
    private readonly ConcurrentQueue<CaliperRequest> _requests = new();
    private volatile bool _open;
    private string? _identity;

    /// <summary>A caliper on the port of the settings.</summary>
    /// <param name="settings">Port, rate and framing.</param>
    /// <param name="decoder">Makes a decoder for each opening.</param>
    /// <param name="bareUnit">The unit of a frame that names none; the decoder was told the same.</param>
    /// <param name="time">The bench's time.</param>
    /// <param name="ports">The machine's ports; null for the real ones.</param>
    /// <param name="tap">Gets every byte as it came, or null.</param>
    /// <param name="modem">How the modem lines are used; null leaves them alone.</param>
    internal SerialCaliper(
        SerialSettings settings, Func<IFrameDecoder> decoder, LengthUnit bareUnit, TimeProvider time, ISerialPorts? ports = null, ByteTap? tap = null,
        ModemSettings? modem = null)
    {
        _settings = settings;
        _decoder = decoder;
        _bareUnit = bareUnit;
        _time = time;
        _ports = ports ?? SystemPorts.Instance;
        _tap = tap;
        _modem = modem ?? ModemSettings.Unused;
    }

    /// <inheritdoc />
    public string Name => PrintableText.Escape(_settings.Port);

    /// <inheritdoc />
    public ReadingSource Source => ReadingSource.Serial;

    /// <summary>Asks the caliper for a reading. False, and nothing is sent, while the line is lost.</summary>
    internal bool Request(byte[] bytes) => Request(new CaliperRequest(bytes));

    /// <summary>Asks the caliper for a reading. False, and nothing is sent, while the line is lost.</summary>
    internal bool Request(CaliperRequest request)
    {
        if (!_open)
        {
            return false;
        }

        _requests.Enqueue(request);
        return true;
    }

    /// <inheritdoc />
    public async Task RunAsync(Action<CaliperEvent> post, CancellationToken stop)
    {
        ModemDesk desk = new(_modem, post, _time);
        await Task.Yield();   // opening may take long; the caller's thread is the bench's
        TimeSpan wait = FirstWait;
        string? told = null;
        while (!stop.IsCancellationRequested)
        {
            PortTrouble? trouble = TryOpen(out ISerialLine? line);
            if (line is not null)
            {
                wait = FirstWait;
                told = await ListenAndCloseAsync(line, desk, post, stop).ConfigureAwait(false);
            }
            else if (trouble is not null && trouble.Words != told)
            {
                told = trouble.Words;   // once, not at each try
                post(new CaliperEvent.Lost(told));
            }

            await Task.Delay(wait, _time, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            wait = wait + wait < LongestWait ? wait + wait : LongestWait;
        }
    }

    private PortTrouble? TryOpen(out ISerialLine? line)
    {
        line = null;
        PortTrouble? trouble = _ports.Before(_settings.Port);
        if (trouble is not null)
        {
            return trouble;
        }

        ISerialLine opening = _ports.Create(_settings);
        try
        {
            opening.Open();
            line = opening;
            return null;
        }
        catch (Exception e) when (SerialLink.IsLineFailure(e))
        {
            opening.Dispose();
            return _ports.After(_settings.Port, e);
        }
    }

    private async Task<string?> ListenAndCloseAsync(ISerialLine line, ModemDesk desk, Action<CaliperEvent> post, CancellationToken stop)
    {
        string? lost;
        try
        {
            // A thread of its own: waking the pool each few milliseconds was measured to cost four times as much.
            lost = await Task.Factory.StartNew(
                () => Listen(line, desk, post, stop), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default).ConfigureAwait(false);
        }
        finally
        {
            _open = false;
            _requests.Clear();   // never written to a lost port, nor to the next one
        }

        if (lost is not null)
        {
            lost = $"{Name} is lost: {lost}. Plug it in again.";
            post(new CaliperEvent.Lost(lost));   // before closing, which may take its time
        }

        await LineCloser.CloseAsync(line, _time).ConfigureAwait(false);
        return lost;
    }

    private string? Listen(ISerialLine line, ModemDesk desk, Action<CaliperEvent> post, CancellationToken stop)
    {
        CaliperSink sink = new(post, _bareUnit);
        SerialLink link = new(line, _decoder(), sink, _time, _tap);
        string? node = _ports.Node(_settings.Port);
        string? lost = link.Begin();
        if (lost is null)
        {
            _requests.Clear();
            _open = true;
            post(new CaliperEvent.Opened());
            desk.Begin(line);
            TellIfOther(post);
        }

        long looked = _time.GetTimestamp();
        while (lost is null && !stop.WaitHandle.WaitOne(PollEvery))
        {
            lost = link.Poll();
            if (lost is null)
            {
                desk.Poll();
            }

            while (lost is null && _requests.TryDequeue(out CaliperRequest? request))
            {
                lost = Ask(request, link, desk);
            }

            if (lost is null && _time.GetElapsedTime(looked) >= LookAtNodeEvery)
            {
                looked = _time.GetTimestamp();
                lost = _ports.Node(_settings.Port) == node ? null : "its device is gone";
            }
        }

        return lost;
    }

    /// <summary>A caliper of the same port's name may be another one after a loss: it may not be zeroed, and was not checked.</summary>
    private void TellIfOther(Action<CaliperEvent> post)
    {
        string? identity = _ports.Identity(_settings.Port);
        if (identity is not null && _identity is not null && identity != _identity)
        {
            post(new CaliperEvent.Noted(NoteKind.OtherDevice, $"another device than before is on this line: {PrintableText.Escape(identity)}"));
        }

        _identity = identity ?? _identity;
    }

    private static string? Ask(CaliperRequest request, SerialLink link, ModemDesk desk)
    {
        if (request.Bytes is { } bytes)
        {
            return link.Send(bytes);
        }

        desk.Toggle();
        return null;
    }
}
