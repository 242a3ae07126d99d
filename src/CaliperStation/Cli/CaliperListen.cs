using System.Threading.Channels;
using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Devices;

namespace CaliperStation.Cli;

/// <summary>What <c>caliper listen</c> was asked for.</summary>
/// <param name="Settings">The port with rate and framing.</param>
/// <param name="Ascii">What the wire does not say: unit, bit 8.</param>
/// <param name="Replay">A capture file to play instead of the port, or null.</param>
/// <param name="Save">A new capture file, or null.</param>
/// <param name="Json">One object a line.</param>
/// <param name="Decoder">Makes the decoder; null for ASCII lines.</param>
/// <param name="Find">Makes the decoder for a line whose rate and format are to be found; null to use the settings.</param>
internal sealed record CaliperListenOptions(SerialSettings Settings, AsciiOptions Ascii, string? Replay = null, string? Save = null, bool Json = false, Func<IFrameDecoder>? Decoder = null,
    Func<FoundLine, Func<IFrameDecoder>>? Find = null);

/// <summary>Shows live what a caliper sends, and says in words what is wrong with the line.</summary>
internal static class CaliperListen
{
    private static readonly TimeSpan _second = TimeSpan.FromSeconds(1);

    /// <summary>Returns 0 when it was stopped or the capture ended, 3 for a bad file, 4 when the port cannot be opened.</summary>
    internal static async Task<int> RunAsync(
        CaliperListenOptions options, TextWriter output, TextWriter errors, CancellationToken stop, TimeProvider? time = null, ISerialPorts? ports = null)
    {
        TimeProvider clock = time ?? TimeProvider.System;
        ISerialPorts machine = ports ?? SystemPorts.Instance;
        if (options.Replay is null && machine.Before(options.Settings.Port) is { } trouble)
        {
            await errors.WriteLineAsync(trouble.Words).ConfigureAwait(false);
            return 4;
        }

        CaptureWriter? save = null;
        try
        {
            save = options.Save is null ? null : CaptureWriter.Create(options.Save, options.Settings);
            ByteTap? tap = save is null ? null : save.Take;
            LengthUnit bare = options.Ascii.AssumedUnit ?? LengthUnit.Millimetre;
            Func<IFrameDecoder> decoder = options.Decoder ?? (() => new AsciiLineDecoder(options.Ascii));
            ICaliper caliper = options.Replay is null
                ? options.Find is { } find ? new FindingCaliper(options.Settings.Port, find, bare, clock, machine, tap)
                    : new SerialCaliper(options.Settings, decoder, bare, clock, machine, tap)
                : ReplayCaliper.Load(options.Replay, decoder, bare, clock, tap);
            ListenReport report = new(output, options.Json);
            return await ListenAsync(caliper, report, save, errors, clock, stop).ConfigureAwait(false);
        }
        catch (CaptureException e)
        {
            await errors.WriteLineAsync(e.Message).ConfigureAwait(false);
            return 3;
        }
        catch (Exception e) when (options.Save is not null && save is null && e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            await errors.WriteLineAsync($"{PrintableText.Escape(options.Save!)} cannot be made: {PrintableText.Escape(e.Message)}").ConfigureAwait(false);
            return 3;
        }
        finally
        {
            save?.Dispose();
        }
    }

    private static async Task<int> ListenAsync(
        ICaliper caliper, ListenReport report, CaptureWriter? save, TextWriter errors, TimeProvider time, CancellationToken stop)
    {
        using CancellationTokenSource done = CancellationTokenSource.CreateLinkedTokenSource(stop);
        Channel<CaliperEvent?> events = Channel.CreateUnbounded<CaliperEvent?>(new UnboundedChannelOptions { SingleReader = true });
        using ITimer seconds = time.CreateTimer(_ => events.Writer.TryWrite(null), null, _second, _second);
        Task run = caliper.RunAsync(one => Post(one, save, events.Writer), done.Token);
        int code = 0;
        bool opened = false;
        try
        {
            await foreach (CaliperEvent? one in events.Reader.ReadAllAsync(stop).ConfigureAwait(false))
            {
                opened |= one is CaliperEvent.Opened;
                if (one is CaliperEvent.Lost lost && !opened)
                {
                    await errors.WriteLineAsync(lost.Words).ConfigureAwait(false);
                    code = 4;
                    break;
                }

                report.Take(one);
                if (one is CaliperEvent.Lost && caliper is ReplayCaliper)
                {
                    break;
                }
            }
        }
        catch (OperationCanceledException)
        {
            // Asked to stop.
        }

        await done.CancelAsync().ConfigureAwait(false);
        await run.ConfigureAwait(false);
        return code;
    }

    private static void Post(CaliperEvent one, CaptureWriter? save, ChannelWriter<CaliperEvent?> events)
    {
        if (one is CaliperEvent.Lost)
        {
            save?.Lost();   // on the caliper's own task, like the bytes
        }

        events.TryWrite(one);
    }
}
