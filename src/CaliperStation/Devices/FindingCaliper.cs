using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Devices;

/// <summary>A caliper on a port whose rate, framing and format are found first.</summary>
internal sealed class FindingCaliper : ICaliper
{
    private static readonly TimeSpan _again = TimeSpan.FromSeconds(0.5);

    private readonly string _port;
    private readonly Func<FoundLine, Func<IFrameDecoder>> _decoder;
    private readonly LengthUnit _bareUnit;
    private readonly TimeProvider _time;
    private readonly ISerialPorts _ports;
    private readonly ByteTap? _tap;
    private readonly ModemSettings? _modem;
    private volatile SerialCaliper? _found;

    /// <summary>A caliper on a port.</summary>
    /// <param name="port">The port's name.</param>
    /// <param name="decoder">Makes decoders for what was found.</param>
    /// <param name="bareUnit">The unit of a frame that names none; the decoder is told the same.</param>
    /// <param name="time">The bench's time.</param>
    /// <param name="ports">The machine's ports; null for the real ones.</param>
    /// <param name="tap">Gets every byte as it came once the line is found, or null.</param>
    /// <param name="modem">How the modem lines are used; null leaves them alone.</param>
    internal FindingCaliper(
        string port, Func<FoundLine, Func<IFrameDecoder>> decoder, LengthUnit bareUnit, TimeProvider time, ISerialPorts? ports = null, ByteTap? tap = null, ModemSettings? modem = null)
    {
        (_port, _decoder, _bareUnit, _time, _ports, _tap, _modem) = (port, decoder, bareUnit, time, ports ?? SystemPorts.Instance, tap, modem);
    }

    /// <inheritdoc />
    public string Name => PrintableText.Escape(_port);

    /// <inheritdoc />
    public ReadingSource Source => ReadingSource.Serial;

    /// <summary>Asks the caliper for a reading. False, and nothing is sent, while the line is not found or lost.</summary>
    internal bool Request(CaliperRequest request) => _found is { } found && found.Request(request);

    /// <inheritdoc />
    public async Task RunAsync(Action<CaliperEvent> post, CancellationToken stop)
    {
        await Task.Yield();   // opening may take long; the caller's thread is the bench's
        string? told = null;
        while (!stop.IsCancellationRequested)
        {
            FoundLine line = _ports.Before(_port) is { } trouble
                ? new FoundLine(null, default, trouble.Words)
                : await new LineFinder(_ports, _time).FindAsync(_port, stop).ConfigureAwait(false);
            if (line.Settings is { } settings)
            {
                post(new CaliperEvent.Noted(NoteKind.LineFound, line.Words));
                told = null;
                await ListenAsync(new SerialCaliper(settings, _decoder(line), _bareUnit, _time, _ports, _tap, _modem), post, stop).ConfigureAwait(false);
                continue;
            }

            if (line.Words != told && !stop.IsCancellationRequested)
            {
                told = line.Words;   // once, not at each try
                post(new CaliperEvent.Lost(told));
            }

            await Task.Delay(_again, _time, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    /// <summary>Until asked to stop, for it finds its port again by itself; or until another device is on the line, which may send in another way.</summary>
    private async Task ListenAsync(SerialCaliper found, Action<CaliperEvent> post, CancellationToken stop)
    {
        using CancellationTokenSource other = CancellationTokenSource.CreateLinkedTokenSource(stop);
        _found = found;
        await found.RunAsync(one =>
        {
            post(one);
            if (one is CaliperEvent.Noted { Kind: NoteKind.OtherDevice })
            {
                other.Cancel();
            }
        }, other.Token).ConfigureAwait(false);
        _found = null;
    }
}
