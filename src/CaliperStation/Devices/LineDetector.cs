using System.IO.Ports;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;

namespace CaliperStation.Devices;

/// <summary>What was found on a line.</summary>
/// <param name="Settings">Rate and framing; null when no format was found.</param>
/// <param name="Probe">What the bytes say.</param>
/// <param name="Words">What was found, or why nothing was, for a person.</param>
/// <param name="Loss">Why nothing was found.</param>
internal sealed record FoundLine(SerialSettings? Settings, ProbeResult Probe, string Words, LossKind Loss = LossKind.Unknown);

/// <summary>One search for the rate, framing and format at which an instrument sends that sends by itself; stepped each <see cref="SerialCaliper.PollEvery"/>.</summary>
/// <remarks>
/// Each rate is listened to as 8N1, because parity shows in the eighth bit; a rate whose bytes cannot be text is left after a dozen of them. It decides only when
/// <see cref="FormatProbe"/> does, so never on lines that a few wrong frames could make. Bytes come at any rate once something sends, so silence says nothing about the rate.
/// </remarks>
internal sealed class LineDetector(ISerialPorts ports, TimeProvider time, string port)
{
    /// <summary>The rates of published instruments, the commonest first, and of the bridge.</summary>
    internal static readonly IReadOnlyList<int> Rates = [9600, 4800, 115200, SlowRate];

    /// <summary>How long a whole search lasts at most; steady sending is found within 3 s.</summary>
    internal static readonly TimeSpan Patience = TimeSpan.FromSeconds(8);

    // Enough for a wrong rate to show: half of its bytes have the eighth bit set at random.
    private const int FewBytes = 12;

    // A line opened in the middle of text hears nonsense up to the next pause; one that never pauses is taken as it comes.
    private const int MaxDropped = 40;
    private static readonly TimeSpan _pause = TimeSpan.FromMilliseconds(20);
    private const int MaxBytes = 4096;
    private const int SlowRate = 1200;

    private readonly long _began = time.GetTimestamp();
    private readonly byte[] _bytes = new byte[MaxBytes];
    private readonly byte[] _piece = new byte[MaxBytes];
    private FoundLine _last = new(null, default, "Nothing comes. Is the caliper on, and does it send by itself? One that sends only at its key must be set by hand.");
    private FoundLine? _result;
    private ISerialLine? _line;
    private ClosingLine? _closing;
    private int _turn;
    private int _count;
    private int _dropped;
    private long _heard;
    private bool _begun;

    /// <summary>Does what is due. The result once the search is over and its line is closed again; null until then.</summary>
    internal FoundLine? Step()
    {
        if (_closing is { IsOver: false })
        {
            return null;
        }

        if (_result is not null || (_line is null && IsOver))
        {
            return _result ?? _last;
        }

        try
        {
            if (_line is null)
            {
                Open();
            }
            else if (Hear(_line) is { } heard)
            {
                _result = heard.Settings is not null ? heard : null;
                _last = heard.Probe.Bytes > 0 ? heard : _last;
                Close(_line);
            }
        }
        catch (Exception e) when (SerialLink.IsLineFailure(e))
        {
            PortTrouble trouble = ports.After(port, e);
            _result = new FoundLine(null, default, trouble.Words, trouble.Loss);
            Close(_line!);
        }

        return null;
    }

    /// <summary>Ends the search and closes its line, waiting as long as <see cref="LineCloser.Limit"/> at most.</summary>
    internal void Close()
    {
        if (_line is { } line)
        {
            Close(line);
        }

        _closing?.Wait();
    }

    private bool IsOver => time.GetElapsedTime(_began) >= Patience;

    private SerialSettings At => new(port, Rates[_turn % Rates.Count]);

    private void Open()
    {
        _line = ports.Create(At);
        _line.Open();
        (_count, _dropped, _begun, _heard) = (0, 0, false, time.GetTimestamp());
    }

    private void Close(ISerialLine line)
    {
        _line = null;
        _turn++;
        _closing = new ClosingLine(ports.Close(line), time);
    }

    /// <summary>What this rate gave, or null while it is listened to.</summary>
    private FoundLine? Hear(ISerialLine line)
    {
        int waiting = line.BytesToRead;
        if (waiting < 0)
        {
            throw new IOException("The line is gone.");
        }

        if (waiting == 0)
        {
            _begun |= time.GetElapsedTime(_heard) >= _pause;
            return IsOver ? Left(Probe(_bytes.AsSpan(0, _count))) : null;
        }

        _heard = time.GetTimestamp();
        int read = line.Read(_piece, Math.Min(waiting, MaxBytes - _count));
        if (!_begun)
        {
            _dropped += read;
            _begun = _dropped >= MaxDropped;
            return IsOver ? Left(FormatProbe.Of([])) : null;
        }

        _piece.AsSpan(0, read).CopyTo(_bytes.AsSpan(_count));
        _count += read;
        ProbeResult probe = Probe(_bytes.AsSpan(0, _count));
        if (probe.Verdict == ProbeVerdict.Fits)
        {
            SerialSettings found = Framed(At, probe.EighthBit);
            return new FoundLine(found, probe, Words(found, probe));
        }

        bool hopeless = probe.Verdict == ProbeVerdict.NoFit || (_count >= FewBytes && !MayBeText(_bytes.AsSpan(0, _count), probe.EighthBit, At.Baud));
        return hopeless || _count == MaxBytes || IsOver ? Left(probe) : null;
    }

    private static FoundLine Left(in ProbeResult probe) =>
        new(null, probe, probe.Hint is { } hint ? $"No format was found: {hint}." : "No format was found.");

    /// <summary>A line opened in the middle of a character begins with a byte that nobody sent: its eighth bit must not speak for all the others.</summary>
    private static ProbeResult Probe(ReadOnlySpan<byte> bytes)
    {
        ProbeResult all = FormatProbe.Of(bytes);
        int end = bytes.IndexOfAny([(byte)'\r', (byte)'\n', (byte)0x8D, (byte)0x8A]);
        if (all.EighthBit != EighthBit.Undefined || end < 0 || end + 1 == bytes.Length)
        {
            return all;
        }

        ProbeResult rest = FormatProbe.Of(bytes[(end + 1)..]);
        return rest.EighthBit == EighthBit.Undefined ? all : rest;
    }

    private static SerialSettings Framed(SerialSettings at, EighthBit eighth) => eighth switch
    {
        EighthBit.Clear => at,
        EighthBit.EvenParity => at with { DataBits = 7, Parity = Parity.Even, StopBits = StopBits.Two },   // two stop bits sent are right for a receiver of one
        EighthBit.OddParity => at with { DataBits = 7, Parity = Parity.Odd, StopBits = StopBits.Two },
        EighthBit.Undefined => at with { StopBits = StopBits.Two },
    };

    /// <summary>Bit 8 is undefined only with instruments of 1200 baud; at another rate it is either clear or a parity.</summary>
    private static bool MayBeText(ReadOnlySpan<byte> bytes, EighthBit eighth, int baud)
    {
        if (eighth == EighthBit.Undefined && baud != SlowRate)
        {
            return false;
        }

        int text = 0;
        foreach (byte value in bytes)
        {
            int seven = eighth == EighthBit.Clear ? value : value & 0x7F;
            text += seven is (>= 0x20 and <= 0x7E) or '\r' or '\n' ? 1 : 0;
        }

        return text >= bytes.Length - (bytes.Length / 8);
    }

    private static string Words(SerialSettings found, in ProbeResult probe)
    {
        string form = probe.Bridge ? "a bridge board" : $"ASCII lines{(probe.NamesUnit ? "" : " that name no unit")}{(probe.EighthBit == EighthBit.Undefined ? ", bit 8 undefined" : "")}";
        return PrintableText.Escape($"found {found.Framing}, {form}");
    }
}
