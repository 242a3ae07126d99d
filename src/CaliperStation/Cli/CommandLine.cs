using System.CommandLine;
using System.CommandLine.Parsing;
using CaliperStation.Core.Quantities;
using CaliperStation.Files;

namespace CaliperStation.Cli;

/// <summary>The command line: names, options and help. It parses to plain records and touches neither disk nor port.</summary>
internal static partial class CommandLine
{
    /// <summary>Parses and runs; gives the exit code.</summary>
    internal static async Task<int> RunAsync(string[] args, TextWriter output, TextWriter error, CancellationToken stop)
    {
        ParseResult parsed = Build(output, error).Parse(args);
        List<string> faults = Faults(parsed);
        if (faults.Count > 0)
        {
            foreach (string message in faults.Distinct())
            {
                await error.WriteLineAsync(PrintableText.Escape(message)).ConfigureAwait(false);
            }

            await error.WriteLineAsync("Write --help after a command to see what it takes.").ConfigureAwait(false);
            return ExitCode.Usage;
        }

        InvocationConfiguration configuration = new()
        {
            EnableDefaultExceptionHandler = false,
            ProcessTerminationTimeout = null,
            Output = output,
            Error = error,
        };
        return await parsed.InvokeAsync(configuration, stop).ConfigureAwait(false);
    }

    /// <summary>What is wrong with a command line; empty when it can be run.</summary>
    internal static List<string> Faults(string[] args) => Faults(Build(TextWriter.Null, TextWriter.Null).Parse(args));

    private static List<string> Faults(ParseResult parsed) => [.. parsed.Errors.Select(fault => fault.Message), .. MistakenOptions(parsed)];

    /// <summary>An option that no command knows is taken for an argument where one is wanted; nobody means a file called <c>--tga</c>.</summary>
    private static IEnumerable<string> MistakenOptions(ParseResult parsed) => parsed.CommandResult.Children
        .OfType<ArgumentResult>()
        .SelectMany(argument => argument.Tokens)
        .Where(token => token.Value.StartsWith("--", StringComparison.Ordinal))
        .Select(token => $"There is no option {token.Value} here.");

    private static RootCommand Build(TextWriter output, TextWriter error)
    {
        RootCommand root = new(
            "A bench station for dress coats: leads through a company's placement standard with a caliper, judges each gap, says which pin to move, and files a signed record. Alone it opens the bench with the demonstration standard and the emulated caliper.");
        root.SetAction((_, stop) => Measure.RunAsync(new MeasureOptions { Port = "emulated" }, output, error, stop));
        root.Add(MeasureCommand(output, error));
        root.Add(StandardCommand(output));
        root.Add(CaliperCommand(output, error));
        root.Add(AdviseCommandOf(output));
        root.Add(RecordsCommand(output, error));
        root.Add(CountersignCommand(output, error));
        root.Add(RecheckCommand(output, error));
        root.Add(ReadinessCommandOf(output, error));
        return root;
    }

    private static Command MeasureCommand(TextWriter output, TextWriter error)
    {
        Argument<string?> standard = new("STANDARD") { Description = "The placement standard; without it the demonstration.", Arity = ArgumentArity.ZeroOrOne };
        Option<string?> tag = Text("--tag", "TAG", "The blouse, such as QG-017; an open sitting of it is resumed.");
        Option<string?> hand = Text("--hand", "INITIALS", "Who measures.");
        Option<string[]> answer = Answer();
        Option<bool> ask = new("--ask") { Description = "Asks what the blouse carries before a new sitting, where no --answer says it; else the first answers hold." };
        Option<string?> port = Text("--port", "NAME|auto|emulated|none|replay:FILE", "Where the caliper is.");
        Option<string?> serial = Text("--serial", "RATE-FRAMING|auto", "Rate and framing of the line, such as 9600-8N1 or 4800-7E2; auto finds it while the caliper sends.");
        Option<string?> format = LineFormatOption();
        Option<ulong> seed = new("--seed") { Description = "Seed of the emulated caliper.", HelpName = "NUMBER", DefaultValueFactory = _ => 1 };
        Option<bool> plain = new("--plain") { Description = "The bench in lines, for pipes, screen readers and serial consoles." };
        Option<bool> json = new("--json") { Description = "With --plain: one JSON object a line." };
        Option<string?> store = Store();
        Command command = new("measure", "Works a blouse from tag to signature.") { standard, tag, hand, answer, ask, port, serial, format, seed, plain, json, store };
        command.Validators.Add(result =>
        {
            if (result.GetValue(json) && !result.GetValue(plain))
            {
                result.AddError("--json goes with --plain.");
            }
        });
        command.SetAction((parsed, stop) => Measure.RunAsync(
            new MeasureOptions
            {
                Standard = parsed.GetValue(standard),
                Tag = parsed.GetValue(tag),
                Hand = parsed.GetValue(hand),
                Answers = parsed.GetValue(answer) ?? [],
                Ask = parsed.GetValue(ask),
                Port = parsed.GetValue(port),
                Serial = parsed.GetValue(serial),
                Format = parsed.GetValue(format),
                Seed = parsed.GetValue(seed),
                Plain = parsed.GetValue(plain),
                Json = parsed.GetValue(json),
                Store = parsed.GetValue(store),
            },
            output, error, stop));
        return command;
    }

    private static Command StandardCommand(TextWriter output)
    {
        Argument<string[]> files = new("FILE") { Description = "Standards to check.", Arity = ArgumentArity.OneOrMore };
        Option<bool> json = Json();
        Command check = new("check", "Tells every fault of a standard, with its place and what to write instead.") { files, json };
        check.SetAction(parsed => StandardCommands.Check(parsed.GetValue(files)!, parsed.GetValue(json), output));

        Argument<string?> file = new("FILE") { Description = "The standard; without it the demonstration.", Arity = ArgumentArity.ZeroOrOne };
        Option<string[]> answer = Answer();
        Option<bool> showJson = Json();
        Option<bool> markdown = new("--markdown") { Description = "As a Markdown table." };
        Command show = new("show", "Shows the order of steps, what is judged there and the limits in all displays.") { file, answer, showJson, markdown };
        show.SetAction(parsed => StandardCommands.Show(parsed.GetValue(file), parsed.GetValue(answer) ?? [], parsed.GetValue(showJson), parsed.GetValue(markdown), output));
        return new Command("standard", "Looks at placement standards.") { check, show };
    }

    private static Command AdviseCommandOf(TextWriter output)
    {
        Argument<string> standard = new("STANDARD") { Description = "The placement standard." };
        Option<string> readings = new("--readings") { Description = "Lines of step,length.", HelpName = "FILE", Required = true };
        Option<string[]> answer = Answer();
        Option<bool> json = Json();
        Command command = new("advise", "Tells displacements, pin moves and the fewest re-pins for a file of readings.") { standard, readings, answer, json };
        command.SetAction(parsed => AdviseCommand.Run(parsed.GetValue(standard)!, parsed.GetValue(readings)!, parsed.GetValue(answer) ?? [], parsed.GetValue(json), output));
        return command;
    }

    private static Option<string[]> Answer() => new("--answer")
    {
        Description = "What this blouse carries, by a question of the standard; may be repeated.",
        HelpName = "id=value",
        DefaultValueFactory = _ => [],
    };

    private static Option<bool> Json() => new("--json") { Description = "The result as JSON." };

    private static Option<string?> Store() => Text("--store", "DIR", "The folder of the store, instead of the usual one.");

    private static Option<string?> Text(string name, string value, string description) => new(name) { Description = description, HelpName = value };
}
