using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using System.Threading.Channels;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

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
    internal static Command Command(TextWriter output, TextWriter error)
    {
        Argument<string> port = new("PORT") { Description = "The port, or replay:FILE." };
        Option<string?> serial = TextOption("--serial", "RATE-FRAMING|auto", "Rate and framing of the line, such as 9600-8N1 or 4800-7E2; auto finds it while the caliper sends.");
        Option<string?> unit = UnitOption("The unit of lines that name none.");
        Option<bool> mask = new("--mask-bit-8") { Description = "For instruments that leave bit 8 undefined." };
        Option<string?> format = LineFormatOption();
        Option<string?> save = TextOption("--save", "FILE", "Keeps what comes, with its timing.");
        Option<bool> json = JsonOption();
        Command command = new("listen", "Shows live what a caliper sends, and in words what is wrong with the line.") { port, serial, unit, mask, format, save, json };
        command.SetAction((parsed, stop) =>
        {
            string name = parsed.GetValue(port)!;
            bool isReplay = name.StartsWith("replay:", StringComparison.Ordinal);
            Settings settings = Settings.Load(StorePaths.OnThisMachine(null).Settings);
            string framing = parsed.GetValue(serial) ?? settings.Serial;
            bool find = framing == CaliperChoice.FindSerial && !isReplay;
            SerialSettings line = SerialSettings.Parse(isReplay ? "replay" : name, framing == CaliperChoice.FindSerial ? Settings.Default.Serial : framing, out FramingRefusal? refusal)
                ?? throw new StationException(ExitCode.Usage, $"--serial: {refusal!.Words}");
            settings = settings with
            {
                Unit = UnitOf(parsed.GetValue(unit)) ?? settings.Unit,
                MaskBit8 = parsed.GetValue(mask) || settings.MaskBit8,
                Format = parsed.GetValue(format) is { } kind ? LineDecoders.FormatOf(kind)!.Value : settings.Format,
            };
            return CaliperListen.RunAsync(
                new CaliperListenOptions(
                    line, new AsciiOptions(settings.Unit, settings.MaskBit8), isReplay ? name["replay:".Length..] : null, parsed.GetValue(save), parsed.GetValue(json), LineDecoders.For(settings, line),
                    find ? found => LineDecoders.For(settings, found) : null),
                output, error, stop);
        });
        return command;
    }

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
                ? options.Find is { } find ? new AutoDetectCaliper(options.Settings.Port, find, bare, clock, machine, tap)
                    : new SerialCaliper(options.Settings, decoder, bare, clock, machine, tap)
                : ReplayCaliper.Load(options.Replay, decoder, bare, clock, tap);
            ListenReport report = new(output, options.Json);
            return await ListenAsync(caliper, report, save, errors, clock, stop).ConfigureAwait(false);
        }
        catch (Exception e) when (options.Save is not null && save is null && FileFault.IsOfNamed(e))
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

/// <summary>Writes what a caliper's task tells, each changed value once and the state each second.</summary>
internal sealed class ListenReport(TextWriter output, bool json)
{
    // A wrong framing refuses every line: more than this many a second only push what is wrong off the screen. They are all counted, and all in JSON.
    private const int RefusedShownInASecond = 3;

    private Length? _shown;
    private LengthUnit? _unit;
    private int _inThisSecond;
    private long _refused;
    private int _refusedShown;
    private string _state = "";
    private bool _open;

    /// <summary>One event; null each second.</summary>
    internal void Take(CaliperEvent? one)
    {
        switch (one)
        {
            case CaliperEvent.Opened:
                _open = true;
                Say("open", "the line is open");
                break;
            case CaliperEvent.Lost lost:
                _open = false;
                Say("lost", lost.Words, lost.Kind.ToString());
                break;
            case CaliperEvent.Value value:
                TakeValue(value.Reading);
                break;
            case CaliperEvent.Refused refused:
                _refused++;
                Refuse(refused);
                break;
            case CaliperEvent.Press:
                Say("press", "the caliper's button or a switch on the line was pressed");
                break;
            case CaliperEvent.Noted noted:
                Say("note", noted.Words, noted.Kind.ToString());
                break;
            case CaliperEvent.Diagnosed { Words: { } wrong }:
                Say("wrong", wrong);
                break;
            case CaliperEvent.Diagnosed when _open:
                Say("well", "nothing seems wrong with the line any more");
                break;
            case null:
                Second();
                break;
        }

        output.Flush();
    }

    private void TakeValue(Reading value)
    {
        _inThisSecond++;
        if (_unit is { } before && before != value.Unit)
        {
            Say("unit", $"the caliper's unit changed to {FileWords.Of(value.Unit)}");
        }

        bool changed = value.Value != _shown || value.Unit != _unit;
        (_shown, _unit) = (value.Value, value.Unit);
        if (!changed)
        {
            return;
        }

        output.WriteLine(json
            ? JsonText.Object(writer =>
            {
                writer.WriteString("event", "value");
                writer.WriteNumber("valueNm", value.Value.Nanometres);
                writer.WriteString("unit", FileWords.Of(value.Unit));
                writer.WriteString("raw", value.Raw);
            })
            : $"{LengthFormat.Show(value.Value, LengthDisplay.Millimetre),12}  {LengthFormat.Show(value.Value, LengthDisplay.Inch),12}  {LengthFormat.Show(value.Value, LengthDisplay.Ticks),10}   {value.Raw}");
    }

    private void Refuse(CaliperEvent.Refused refused)
    {
        if (json)
        {
            output.WriteLine(JsonText.Object(writer =>
            {
                writer.WriteString("event", "refused");
                writer.WriteString("kind", Code(refused.Kind.ToString()));
                writer.WriteString("why", refused.Words);
                writer.WriteString("raw", refused.Raw);
            }));
        }
        else if (++_refusedShown <= RefusedShownInASecond)
        {
            output.WriteLine($"refused: {refused.Words}: {refused.Raw}");
        }
    }

    private void Second()
    {
        int rate = _inThisSecond;
        (_inThisSecond, _refusedShown) = (0, 0);
        string unit = _unit is { } known ? FileWords.Of(known) : "none yet";
        string state = string.Create(CultureInfo.InvariantCulture, $"{rate} values a second, {_refused} refused, unit {unit}");
        if (json)
        {
            output.WriteLine(JsonText.Object(writer =>
            {
                writer.WriteString("event", "state");
                writer.WriteNumber("valuesPerSecond", rate);
                writer.WriteNumber("refused", _refused);
                writer.WriteString("unit", _unit is { } shown ? FileWords.Of(shown) : null);
            }));
        }
        else if (state != _state)
        {
            output.WriteLine($"-- {state}");
        }

        _state = state;
    }

    private void Say(string what, string words, string? kind = null) => output.WriteLine(json
        ? JsonText.Object(writer =>
        {
            writer.WriteString("event", what);
            if (kind is not null)
            {
                writer.WriteString("kind", Code(kind));
            }

            writer.WriteString("why", words);
        })
        : $"-- {words}");

    /// <summary><c>NoUnit</c> is <c>no-unit</c>.</summary>
    private static string Code(string kind) => JsonNamingPolicy.KebabCaseLower.ConvertName(kind);
}
