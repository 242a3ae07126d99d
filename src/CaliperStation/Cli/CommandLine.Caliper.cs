using System.CommandLine;
using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>The <c>caliper</c> commands.</summary>
internal static partial class CommandLine
{
    private static Command CaliperCommand(TextWriter output, TextWriter error) => new("caliper", "Looks at calipers and ports.")
    {
        PortsCommand(output, error), ListenCommand(output, error), DecodeCommand(output, error), EmulateCommand(output, error),
        CheckCommand(output, error), SwitchCommand(output, error),
    };

    private static Command PortsCommand(TextWriter output, TextWriter error)
    {
        Option<bool> all = new("--all") { Description = "Built-in lines with no hardware behind them too." };
        Option<bool> json = Json();
        Command command = new("ports", "Lists what is plugged in, and why a port cannot be opened.") { all, json };
        command.SetAction((parsed, stop) => CaliperPorts.RunAsync(new CaliperPortsOptions(parsed.GetValue(all), parsed.GetValue(json)), output, error, stop));
        return command;
    }

    private static Command ListenCommand(TextWriter output, TextWriter error)
    {
        Argument<string> port = new("PORT") { Description = "The port, or replay:FILE." };
        Option<string?> serial = Text("--serial", "RATE-FRAMING|auto", "Rate and framing of the line, such as 9600-8N1 or 4800-7E2; auto finds it while the caliper sends.");
        Option<string?> unit = Unit("The unit of lines that name none.");
        Option<bool> mask = new("--mask-bit-8") { Description = "For instruments that leave bit 8 undefined." };
        Option<string?> format = LineFormatOption();
        Option<string?> save = Text("--save", "FILE", "Keeps what comes, with its timing.");
        Option<bool> json = Json();
        Command command = new("listen", "Shows live what a caliper sends, and in words what is wrong with the line.") { port, serial, unit, mask, format, save, json };
        command.SetAction((parsed, stop) =>
        {
            string name = parsed.GetValue(port)!;
            bool isReplay = name.StartsWith("replay:", StringComparison.Ordinal);
            Settings settings = Settings.Load(StorePaths.OnThisMachine(null).Settings);
            string framing = parsed.GetValue(serial) ?? settings.Serial;
            bool find = framing == CaliperChoice.FindSerial && !isReplay;
            SerialSettings line = SerialSettings.Parse(isReplay ? "replay" : name, framing == CaliperChoice.FindSerial ? Settings.Usual.Serial : framing, out string? refusal)
                ?? throw new StationException(ExitCode.Usage, $"--serial: {refusal}");
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

    private static Command DecodeCommand(TextWriter output, TextWriter error)
    {
        Argument<string> format = new("FORMAT") { Description = string.Join(", ", FrameFormats.Names) };
        Option<string?> unit = Unit("The unit of ASCII lines that name none.");
        Option<bool> fine = new("--fine") { Description = "24-bit frames that count 0.001 mm or 0.00005 in." };
        Option<bool> first = new("--displayed-first") { Description = "Two words: the first one is the displayed value." };
        Option<bool> inverted = new("--inverted") { Description = "Two words: every bit came inverted." };
        Option<bool> negated = new("--negated") { Description = "Two words: the word is minus the displayed value, as wired directly." };
        Command command = new("decode", "Decodes frames from standard input, one a line as bits, hex nibbles or escaped text.") { format, unit, fine, first, inverted, negated };
        command.SetAction((parsed, stop) => CaliperDecode.RunAsync(
            new CaliperDecodeOptions(parsed.GetValue(format)!, new FrameOptions(
                new AsciiOptions(UnitOf(parsed.GetValue(unit))),
                parsed.GetValue(fine) ? Bits24Options.Fine : Bits24Options.Default,
                new TwoWordOptions(parsed.GetValue(first) ? TwoWordOrder.DisplayedFirst : TwoWordOrder.DisplayedSecond, parsed.GetValue(inverted), parsed.GetValue(negated)))),
            Console.In, output, error, stop));
        return command;
    }

    private static Command EmulateCommand(TextWriter output, TextWriter error)
    {
        Option<string?> unit = Unit("What it displays; mm unless said.");
        Option<string> terminator = new("--terminator") { Description = "The line's end: cr, lf or crlf.", HelpName = "END", DefaultValueFactory = _ => "crlf" };
        terminator.AcceptOnlyFromAmong("cr", "lf", "crlf");
        Option<double> rate = new("--rate") { Description = "Values a second; 0 sends at a press only.", HelpName = "NUMBER", DefaultValueFactory = _ => 10 };
        Option<int> baud = new("--baud") { Description = "How fast the bytes go.", HelpName = "NUMBER", DefaultValueFactory = _ => 9600 };
        Option<ulong> seed = new("--seed") { Description = "The same seed gives the same hand.", HelpName = "NUMBER", DefaultValueFactory = _ => 1 };
        Option<string?> script = Text("--script", "FILE", "Lengths one a line, or wait 500ms, gap 1/8 in, press, send \"text\".");
        Option<string?> link = Text("--link", "PATH", "A stable name for the port.");
        Command command = new("emulate", "A pretend caliper on a pseudo-terminal; prints the port's name.") { unit, terminator, rate, baud, seed, script, link };
        command.SetAction((parsed, stop) => CaliperEmulate.RunAsync(
            new CaliperEmulateOptions(
                new SpeakerSettings(UnitOf(parsed.GetValue(unit)) ?? LengthUnit.Millimetre, CaliperEmulateOptions.TerminatorOf(parsed.GetValue(terminator)!)!, parsed.GetValue(rate), parsed.GetValue(baud), parsed.GetValue(seed)),
                parsed.GetValue(script), parsed.GetValue(link)),
            Console.In, output, error, stop));
        return command;
    }

    private static Option<string?> Unit(string description)
    {
        Option<string?> unit = Text("--unit", "in|mm", description);
        unit.AcceptOnlyFromAmong("in", "mm");
        return unit;
    }

    private static Command CheckCommand(TextWriter output, TextWriter error)
    {
        Option<string?> port = Text("--port", "NAME|auto|emulated|none", "Where the caliper is; none to type what it shows.");
        Option<string?> serial = Text("--serial", "RATE-FRAMING|auto", "Rate and framing of the line, such as 9600-8N1 or 4800-7E2; auto finds it while the caliper sends.");
        Option<string?> format = LineFormatOption();
        Option<ulong> seed = new("--seed") { Description = "Seed of the emulated caliper.", HelpName = "NUMBER", DefaultValueFactory = _ => 1 };
        Option<string?> range = Text("--range", "LENGTH", "How far the caliper opens; 150 mm unless set.");
        Option<string?> blocks = Text("--blocks", "LENGTH,…", "The gauge blocks, 0 for closed jaws; 0, 30, 60, 90, 120, 140 mm unless set.");
        Option<string?> permissible = Text("--permissible", "LENGTH", "Largest permissible error; 0.02 mm unless set.");
        Option<bool> plain = new("--plain") { Description = "Lines instead of the screen." };
        Option<bool> json = new("--json") { Description = "One JSON object a line." };
        Option<string?> store = Store();
        Command command = new("check", "Tries the caliper on closed jaws and gauge blocks, and keeps what was found.") { port, serial, format, seed, range, blocks, permissible, plain, json, store };
        command.SetAction((parsed, stop) => CaliperCheckCommand.RunAsync(
            new CaliperCheckOptions(
                parsed.GetValue(port), parsed.GetValue(serial), parsed.GetValue(format), parsed.GetValue(seed), parsed.GetValue(range), parsed.GetValue(blocks),
                parsed.GetValue(permissible), parsed.GetValue(plain), parsed.GetValue(json), parsed.GetValue(store)),
            output, error, stop));
        return command;
    }

    private static Command SwitchCommand(TextWriter output, TextWriter error)
    {
        Option<string?> port = Text("--port", "NAME", "A serial port whose lines a switch is wired to.");
        Option<int> wait = new("--wait") { Description = "How long to wait for a press.", HelpName = "SECONDS", DefaultValueFactory = _ => 15 };
        wait.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<int>() is < 1 or > 3_600)
            {
                result.AddError("--wait is 1 to 3600 seconds.");
            }
        });
        Option<bool> save = new("--save") { Description = "Writes what was learnt into the settings." };
        Option<bool> json = Json();
        Command command = new("switch", "Learns what a foot switch sends: press it when asked.") { port, wait, save, json };
        command.SetAction((parsed, stop) => CaliperSwitch.RunAsync(
            new CaliperSwitchOptions(parsed.GetValue(port), TimeSpan.FromSeconds(parsed.GetValue(wait)), parsed.GetValue(save), parsed.GetValue(json)), output, error, stop));
        return command;
    }

    private static Option<string?> LineFormatOption()
    {
        Option<string?> format = Text("--format", string.Join('|', LineDecoders.Names), "What kind of lines come: ASCII, a bridge board's, or whichever is heard.");
        format.AcceptOnlyFromAmong([.. LineDecoders.Names]);
        return format;
    }

    private static LengthUnit? UnitOf(string? name) => name switch
    {
        "in" => LengthUnit.Inch,
        "mm" => LengthUnit.Millimetre,
        _ => null,
    };
}
