using System.IO.Ports;
using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Devices;

/// <summary>What was found on a line.</summary>
/// <param name="Settings">Rate and framing; null when no format was found.</param>
/// <param name="Probe">What the bytes say.</param>
/// <param name="Words">What was found, or why nothing was, for a person.</param>
internal sealed record FoundLine(SerialSettings? Settings, ProbeResult Probe, string Words);

/// <summary>Finds out at which rate, framing and format an instrument sends that sends by itself.</summary>
/// <remarks>
/// Each rate is listened to as 8N1, because parity shows in the eighth bit; a rate whose bytes cannot be text is left after a dozen of them. It decides only when
/// <see cref="FormatProbe"/> does, so never on lines that a few wrong frames could make. Bytes come at any rate once something sends, so silence says nothing about the rate.
/// </remarks>
internal sealed class LineFinder(ISerialPorts ports, TimeProvider time)
{
    /// <summary>The rates of published instruments, the commonest first, and of the bridge.</summary>
    internal static readonly IReadOnlyList<int> Rates = [9600, 4800, 115200, SlowRate];

    /// <summary>How long a whole search lasts at most; steady sending is found within 3 s.</summary>
    internal static readonly TimeSpan Patience = TimeSpan.FromSeconds(8);

    // Enough for a wrong rate to show: half of its bytes have the eighth bit set at random.
    private const int FewBytes = 12;

    // A line opened in the middle of text hears nonsense up to the next pause; one that never pauses is taken as it comes.
    private const int MostDropped = 40;
    private static readonly TimeSpan _pause = TimeSpan.FromMilliseconds(20);
    private const int MostBytes = 4096;
    private const int SlowRate = 1200;

    /// <summary>Searches once over all rates. The line is closed again when it returns.</summary>
    internal async Task<FoundLine> FindAsync(string port, CancellationToken stop)
    {
        long began = time.GetTimestamp();
        FoundLine last = new(null, default, "Nothing comes. Is the caliper on, and does it send by itself? One that sends only at its key must be set by hand.");
        for (int turn = 0; !stop.IsCancellationRequested && time.GetElapsedTime(began) < Patience; turn++)
        {
            SerialSettings at = new(port, Rates[turn % Rates.Count]);
            ISerialLine line = ports.Create(at);
            try
            {
                line.Open();
                FoundLine found = await HearAsync(line, at, began, stop).ConfigureAwait(false);
                if (found.Settings is not null)
                {
                    return found;
                }

                last = found.Probe.Bytes > 0 ? found : last;
            }
            catch (Exception e) when (SerialLink.IsLineFailure(e))
            {
                return new FoundLine(null, default, ports.After(port, e).Words);
            }
            finally
            {
                await LineCloser.CloseAsync(line, time).ConfigureAwait(false);
            }
        }

        return last;
    }

    private async Task<FoundLine> HearAsync(ISerialLine line, SerialSettings at, long began, CancellationToken stop)
    {
        byte[] bytes = new byte[MostBytes];
        byte[] piece = new byte[MostBytes];
        int count = 0;
        ProbeResult probe = FormatProbe.Of([]);
        int dropped = 0;
        long heard = time.GetTimestamp();
        bool begun = false;
        while (!stop.IsCancellationRequested && time.GetElapsedTime(began) < Patience && count < MostBytes)
        {
            await Task.Delay(SerialCaliper.PollEvery, time, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            int waiting = line.BytesToRead;
            if (waiting < 0)
            {
                throw new IOException("The line is gone.");
            }

            if (waiting == 0)
            {
                begun |= time.GetElapsedTime(heard) >= _pause;
                continue;
            }

            heard = time.GetTimestamp();
            int read = line.Read(piece, Math.Min(waiting, MostBytes - count));
            if (!begun)
            {
                dropped += read;
                begun = dropped >= MostDropped;
                continue;
            }

            piece.AsSpan(0, read).CopyTo(bytes.AsSpan(count));
            count += read;
            probe = Probe(bytes.AsSpan(0, count));
            if (probe.Verdict == ProbeVerdict.Fits)
            {
                SerialSettings found = Framed(at, probe.EighthBit);
                return new FoundLine(found, probe, Words(found, probe));
            }

            if (probe.Verdict == ProbeVerdict.NoFit || (count >= FewBytes && !MayBeText(bytes.AsSpan(0, count), probe.EighthBit, at.Baud)))
            {
                break;
            }
        }

        return new FoundLine(null, probe, probe.Hint is { } hint ? $"No format was found: {hint}." : "No format was found.");
    }

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
