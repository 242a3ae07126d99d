using System.CommandLine;
using System.Text.Json;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary>The <c>caliper</c> commands.</summary>
internal static class CaliperCommands
{
    internal static Command Command(TextWriter output, TextWriter error) => new("caliper", "Looks at calipers and ports.")
    {
        PortsCommand(output, error), CaliperListen.Command(output, error), DecodeCommand(output, error), CaliperEmulate.Command(output, error),
        CheckCommand(output, error), CaliperSwitch.Command(output, error),
    };

    private static Command PortsCommand(TextWriter output, TextWriter error)
    {
        Option<bool> all = new("--all") { Description = "Built-in lines with no hardware behind them too." };
        Option<bool> json = JsonOption();
        Command command = new("ports", "Lists what is plugged in, and why a port cannot be opened.") { all, json };
        command.SetAction((parsed, stop) => CaliperPorts.RunAsync(new CaliperPortsOptions(parsed.GetValue(all), parsed.GetValue(json)), output, error, stop));
        return command;
    }

    private static Command DecodeCommand(TextWriter output, TextWriter error)
    {
        Argument<string> format = new("FORMAT") { Description = string.Join(", ", FrameFormats.Names) };
        Option<string?> unit = UnitOption("The unit of ASCII lines that name none.");
        Option<bool> fine = new("--fine") { Description = "24-bit frames that count 0.001 mm or 0.00005 in." };
        Option<bool> first = new("--displayed-first") { Description = "Two words: the first one is the displayed value." };
        Option<bool> inverted = new("--inverted") { Description = "Two words: every bit came inverted." };
        Option<bool> negated = new("--negated") { Description = "Two words: the word is minus the displayed value, as wired directly." };
        Option<bool> json = new("--json") { Description = "One JSON object a line; so it is anyway." };
        Command command = new("decode", "Decodes frames from standard input, one a line as bits, hex nibbles or escaped text.") { format, unit, fine, first, inverted, negated, json };
        command.SetAction((parsed, stop) => CaliperDecode.RunAsync(
            new CaliperDecodeOptions(parsed.GetValue(format)!, new FrameOptions(
                new AsciiOptions(UnitOf(parsed.GetValue(unit))),
                parsed.GetValue(fine) ? Bits24Options.Fine : Bits24Options.Default,
                new TwoWordOptions(parsed.GetValue(first) ? TwoWordOrder.DisplayedFirst : TwoWordOrder.DisplayedSecond, parsed.GetValue(inverted), parsed.GetValue(negated)))),
            Console.In, output, error, stop));
        return command;
    }

    private static Command CheckCommand(TextWriter output, TextWriter error)
    {
        Option<string?> port = PortOption("NAME|auto|emulated|none", "Where the caliper is; none to type what it shows.");
        Option<string?> serial = TextOption("--serial", "RATE-FRAMING|auto", "Rate and framing of the line, such as 9600-8N1 or 4800-7E2; auto finds it while the caliper sends.");
        Option<string?> format = LineFormatOption();
        Option<ulong> seed = new("--seed") { Description = "Seed of the emulated caliper.", HelpName = "NUMBER", DefaultValueFactory = _ => 1 };
        Option<string?> range = TextOption("--range", "LENGTH", "How far the caliper opens; 150 mm unless set.");
        Option<string?> blocks = TextOption("--blocks", "LENGTH,…", "The gauge blocks, 0 for closed jaws, each with far, inside or depth behind it where it is not near; 0, 30, 41.3, 60, 90, 140, 30 far, 140 far in mm unless set.");
        Option<string?> permissible = TextOption("--permissible", "LENGTH", "Largest permissible error; 0.02 mm unless set. Where it grows with the length: \"0.02 mm + L/10000\".");
        Option<bool> plain = new("--plain") { Description = "Lines instead of the screen." };
        Option<bool> json = new("--json") { Description = "One JSON object a line." };
        Option<string?> store = StoreOption();
        Command command = new("check", "Tries the caliper on closed jaws and gauge blocks, and keeps what was found.") { port, serial, format, seed, range, blocks, permissible, plain, json, store };
        command.SetAction((parsed, stop) => CaliperCheckCommand.RunAsync(
            new CaliperCheckOptions(
                parsed.GetValue(port), parsed.GetValue(serial), parsed.GetValue(format), parsed.GetValue(seed), parsed.GetValue(range), parsed.GetValue(blocks),
                parsed.GetValue(permissible), parsed.GetValue(plain), parsed.GetValue(json), parsed.GetValue(store)),
            output, error, stop));
        return command;
    }


}

/// <summary>What <c>caliper ports</c> was asked for.</summary>
/// <param name="All">With the built-in ports that the machine does not really have.</param>
/// <param name="Json">One object a line.</param>
internal sealed record CaliperPortsOptions(bool All, bool Json);

/// <summary>Lists the serial ports: stable names first, what each is, and why it cannot be opened.</summary>
internal static class CaliperPorts
{
    internal static async Task<int> RunAsync(
        CaliperPortsOptions options, TextWriter output, TextWriter errors, CancellationToken stop, PortList? list = null)
    {
        IReadOnlyList<PortEntry> ports = (list ?? PortList.OfMachine()).Read(options.All);
        if (ports.Count == 0)
        {
            await errors.WriteLineAsync("No serial port was found. Plug the caliper's cable or adapter in and look again.".AsMemory(), stop).ConfigureAwait(false);
        }

        foreach (PortEntry port in ports)
        {
            await output.WriteLineAsync((options.Json ? Json(port) : Words(port)).AsMemory(), stop).ConfigureAwait(false);
        }

        return 0;
    }

    private static string Words(PortEntry port)
    {
        string node = port.Name == port.Node ? "" : $" (now {port.Node})";
        string trouble = port.Trouble is null ? "can be opened" : port.Trouble.Words;
        return $"{port.Name}{node}\n    {port.What}\n    {trouble}";
    }

    private static string Json(PortEntry port) => JsonText.Object(json =>
    {
        json.WriteString("port", port.Name);
        json.WriteString("node", port.Node);
        json.WriteString("what", port.What);
        json.WriteBoolean("stable", port.IsStable);
        json.WriteString("trouble", port.Trouble?.Kind switch
        {
            PortTroubleKind.NoSuchPort => "no-such-port",
            PortTroubleKind.Busy => "busy",
            PortTroubleKind.Denied => "denied",
            PortTroubleKind.NotSerial => "not-serial",
            PortTroubleKind.Failed => "failed",
            null => null,
        });
        json.WriteString("why", port.Trouble?.Words);
    });
}

/// <summary>What <c>caliper decode</c> was asked for.</summary>
/// <param name="Format">The format's name, one of <see cref="FrameFormats.Names"/>.</param>
/// <param name="Frames">The formats' settings.</param>
internal sealed record CaliperDecodeOptions(string Format, FrameOptions Frames);

/// <summary>Decodes frames from a text, one a line, to one JSON object a line.</summary>
internal static class CaliperDecode
{
    /// <summary>Returns 0 when every line is a value, 1 when any was refused, 2 for an unknown format, 130 when interrupted.</summary>
    internal static async Task<int> RunAsync(CaliperDecodeOptions options, TextReader input, TextWriter output, TextWriter errors, CancellationToken stop)
    {
        if (!FrameFormats.TryParse(options.Format, out FrameFormat format))
        {
            await errors.WriteLineAsync(
                $"\"{PrintableText.Escape(options.Format)}\" is no format; say one of: {string.Join(", ", FrameFormats.Names)}.").ConfigureAwait(false);
            return 2;
        }

        bool allValues = true;
        while (!stop.IsCancellationRequested)
        {
            if (await NextLineAsync(input, stop).ConfigureAwait(false) is not { } line)
            {
                return stop.IsCancellationRequested ? 130 : allValues ? 0 : 1;
            }

            if (string.IsNullOrWhiteSpace(line))
            {
                continue;
            }

            FrameEvent found = FrameDecode.Decode(format, line, options.Frames);
            allValues &= found.Kind == FrameEventKind.Value;
            await output.WriteLineAsync(Show(found)).ConfigureAwait(false);
        }

        return 130;
    }

    private static string Show(FrameEvent found) => JsonText.Object(json =>
    {
        switch (found.Kind)
        {
            case FrameEventKind.Value:
                json.WriteNumber("valueNm", found.Value.Nanometres);
                json.WriteString("unit", found.Unit is { } unit ? FileWords.Of(unit) : null);
                break;
            case FrameEventKind.Press:
                Refuse(json, found, "press");
                break;
            case FrameEventKind.Ignored or FrameEventKind.Noted:
                Refuse(json, found, "ignored");
                break;
            case FrameEventKind.DeviceError:
                Refuse(json, found, "device-error");
                break;
            case FrameEventKind.Refused:
                Refuse(json, found, "bad-frame");
                break;
        }
    });

    /// <summary>Everything that is no value is refused; the kind says how.</summary>
    private static void Refuse(Utf8JsonWriter json, FrameEvent found, string kind)
    {
        json.WriteString("refused", found.Why);
        json.WriteString("kind", kind);
    }

    private static async ValueTask<string?> NextLineAsync(TextReader input, CancellationToken stop)
    {
        try
        {
            return await input.ReadLineAsync(stop).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            return null;
        }
    }
}

/// <summary>What <c>caliper check</c> was asked for; nulls for what the settings say.</summary>
internal sealed record CaliperCheckOptions(
    string? Port, string? Serial, string? Format, ulong Seed, string? Range, string? Blocks, string? Permissible, bool Plain, bool Json, string? Store);

/// <summary>Tries a caliper on closed jaws and gauge blocks and keeps what was found.</summary>
internal static class CaliperCheckCommand
{
    /// <summary>Returns 0 when every point is within the permissible error, 1 when one is not, 130 when it was stopped.</summary>
    internal static async Task<int> RunAsync(CaliperCheckOptions options, TextWriter output, TextWriter error, CancellationToken stop)
    {
        TimeProvider clock = TimeProvider.System;
        StorePaths paths = StorePaths.OnThisMachine(options.Store);
        Settings settings = Settings.Load(paths.Settings);
        CheckSettings check = Asked(options, settings.Check);
        CaliperCheck asked = check.Asked;
        if (asked.Fault is { } fault)
        {
            throw new StationException(ExitCode.Usage, $"This is no check: {fault}.");
        }

        string? shortfall = asked.Shortfall is { } less ? $"This is less than published procedures ask: {less}." : null;

        using Store store = OpenStore.ForWork(paths, clock, error);
        CaliperChoice caliper = CaliperChoice.ForCheck(
            new PortRequest(options.Port ?? settings.Port, options.Serial, options.Format, options.Seed, settings.Unit ?? LengthUnit.Millimetre, false),
            settings, step => asked.Points[int.Parse(step["point-".Length..], System.Globalization.CultureInfo.InvariantCulture) - 1].Block, clock);
        BenchSetup setup = new() { Port = caliper.PortName, Remarks = [.. new[] { shortfall, caliper.Remark }.OfType<string>()] };
        Work work = Work.Checking.Begin(asked, Instants.Now(clock));
        int result = await new OpenBench(work, setup, caliper, null, null).RunAsync(options.Plain, options.Json, store, settings, output, error, stop).ConfigureAwait(false);
        if (result == ExitCode.Interrupted)
        {
            await error.WriteLineAsync("Stopped; nothing of this check is kept.").ConfigureAwait(false);
        }

        return result;
    }

    private static CheckSettings Asked(CaliperCheckOptions options, CheckSettings settings) => settings with
    {
        Range = options.Range is { } range ? CommandLine.LengthOf("--range", range, LengthUnit.Millimetre) : settings.Range,
        Permissible = options.Permissible is { } permissible ? settings.Permissible with { Outside = PermissibleOf(permissible) } : settings.Permissible,
        Points = options.Blocks is { } blocks ? [.. blocks.Split(',').Select(PointOf)] : settings.Points,
    };

    private static PermissibleError PermissibleOf(string text) => PermissibleError.Parse(text, LengthUnit.Millimetre)
        ?? throw new StationException(ExitCode.Usage, $"--permissible: \"{PrintableText.Escape(text)}\" is not written so; write a length above zero such as 0.02 mm, or \"0.02 mm + L/10000\" where it grows with the length.");

    private static CheckPoint PointOf(string text)
    {
        (string length, CheckPlace place) = CheckWords.Split(text);
        return CheckPoint.Asked(CommandLine.LengthOf("--blocks", length, LengthUnit.Millimetre), place);
    }
}
