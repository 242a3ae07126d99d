using System.CommandLine;
using System.CommandLine.Completions;
using System.CommandLine.Help;
using System.CommandLine.Parsing;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>The command line: names, options and help. It parses to plain records and touches neither disk nor port.</summary>
internal static class CommandLine
{
    private static readonly ParserConfiguration _asWritten = new() { ResponseFileTokenReplacer = null };   // a tag may begin with @

    /// <summary>Parses and runs; gives the exit code.</summary>
    internal static async Task<int> RunAsync(string[] args, TextWriter output, TextWriter error, CancellationToken stop)
    {
        ParseResult parsed = Build(output, error).Parse(args, _asWritten);
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
    internal static List<string> Faults(string[] args) => Faults(Build(TextWriter.Null, TextWriter.Null).Parse(args, _asWritten));

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
            "A bench station for dress coats: leads through a company's placement standard with a caliper, judges each gap, says which pin to move, and files a signed record. Alone it opens the first page: the day's blouses, or the demonstration with a pretended caliper.");
        Day.AddTo(root, output, error);
        foreach (HelpOption help in root.Options.OfType<HelpOption>())
        {
            _ = help.Aliases.Remove("/h");   // a slash begins a path here
            _ = help.Aliases.Remove("/?");
        }

        root.Add(Measure.Command(output, error));
        root.Add(StandardCommands.Command(output));
        root.Add(CaliperCommands.Command(output, error));
        root.Add(AdviseCommand.Command(output));
        root.Add(RecordsCommands.Command(output, error));
        root.Add(RemeasureCommands.Countersign(output, error));
        root.Add(RemeasureCommands.Recheck(output, error));
        root.Add(StudyCommands.Command(output, error));
        root.Add(ReadinessCommand.Command(output, error));
        root.Add(TrendCommand.Command(output, error));
        root.Add(CardCommand.Command(output, error));
        root.Add(TemplateCommand.Command(output, error));
        root.Add(SoundsCommand.Command(output, error));
        return root;
    }

    internal static Option<string[]> AnswerOption() => new("--answer")
    {
        Description = "What this blouse carries, by a question of the standard; may be repeated.",
        HelpName = "id=value",
        DefaultValueFactory = _ => [],
    };

    internal static Option<bool> JsonOption() => new("--json") { Description = "The result as JSON." };

    internal static Option<string?> StoreOption() => TextOption("--store", "DIR", "The folder of the store, instead of the usual one.");

    internal static Option<string?> TextOption(string name, string value, string description) => new(name) { Description = description, HelpName = value };

    /// <summary>An option that names a port; a shell completes it with what is plugged in.</summary>
    internal static Option<string?> PortOption(string value, string description)
    {
        Option<string?> port = TextOption("--port", value, description);
        port.CompletionSources.Add(_ => [.. value.Split('|').Where(word => word.All(char.IsAsciiLetterLower)).Concat(Quietly(() => PortList.OfMachine().Read(false).Select(entry => entry.Name))).Select(word => new CompletionItem(word))]);
        return port;
    }

    /// <summary>An option that names a blouse; a shell completes it with the tags of the usual store.</summary>
    internal static Option<string?> TagOption(string description)
    {
        Option<string?> tag = TextOption("--tag", "TAG", description);
        tag.CompletionSources.Add(_ => Tags());
        return tag;
    }

    /// <summary>A record or a blouse that must be named; a shell completes it with the tags of the usual store, which help does not ask for.</summary>
    internal static Argument<string> TagArgument(string name, string description)
    {
        Argument<string> tag = new(name) { Description = description, HelpName = name };
        tag.CompletionSources.Add(_ => Tags());
        return tag;
    }

    /// <summary>Who measures: initials, in capitals however they are typed.</summary>
    internal static Option<string?> HandOption(string description, bool required = false) => new("--hand")
    {
        Description = description,
        HelpName = "INITIALS",
        Required = required,
        CustomParser = typed => Initials.Of(typed.Tokens[0].Value),
    };

    /// <summary>The tags of the usual store, for a shell.</summary>
    private static IEnumerable<CompletionItem> Tags() => Quietly(() =>
    {
        using Store store = Store.OpenToLook(StorePaths.OnThisMachine(null), TimeProvider.System, _ => { });
        return store.Records.Latest().Select(record => record.Tag).Concat(store.Records.OpenSittings().Select(sitting => sitting.Tag)).Distinct(BlouseTag.Comparer).Order(BlouseTag.Comparer).ToList();
    }).Select(tag => new CompletionItem(tag));

    /// <summary>What a shell asks for while a person types: nobody reads a fault there.</summary>
    private static IReadOnlyList<string> Quietly(Func<IEnumerable<string>> words)
    {
        try
        {
            return [.. words().Select(PrintableText.Escape)];
        }
        catch (Exception fault) when (FileFault.Is(fault) || fault is StoreException or StationException)
        {
            return [];
        }
    }

    internal static Option<string?> LineFormatOption()
    {
        Option<string?> format = TextOption("--format", string.Join('|', LineDecoders.Names), "What kind of lines come: ASCII, a bridge board's, or whichever is heard.");
        format.AcceptOnlyFromAmong([.. LineDecoders.Names]);
        return format;
    }

    internal static Option<string?> UnitOption(string description)
    {
        Option<string?> unit = TextOption("--unit", "in|mm", description);
        unit.AcceptOnlyFromAmong("in", "mm");
        return unit;
    }

    internal static LengthUnit? UnitOf(string? name) => FileWords.Find<LengthUnit>(name, FileWords.Of);

    /// <summary>A length that an option gives.</summary>
    /// <param name="option">The option, for the message.</param>
    /// <param name="text">What was written.</param>
    /// <param name="unit">The unit of a bare number.</param>
    /// <exception cref="StationException">Exit 2: it is none.</exception>
    internal static Length LengthOf(string option, string text, LengthUnit unit)
    {
        LengthParse parse = LengthText.Parse(text, unit);
        return parse.IsLength ? parse.Value.Value
            : throw new StationException(ExitCode.Usage, $"{option}: \"{PrintableText.Escape(text)}\" at character {parse.Fault.Position + 1}: {parse.Fault.Message}");
    }
}

/// <summary>The options of every command that opens the bench for one hand and something that is there: a record, a study.</summary>
internal sealed class BenchOptions
{
    private readonly Option<string?> _hand = CommandLine.HandOption("Who measures now.", required: true);
    private readonly Option<string?> _port = CommandLine.PortOption("NAME|auto|emulated|none|replay:FILE", "Where the caliper is.");
    private readonly Option<string?> _serial = CommandLine.TextOption("--serial", "RATE-FRAMING|auto", "Rate and framing of the line, such as 9600-8N1 or 4800-7E2; auto finds it while the caliper sends.");
    private readonly Option<bool> _plain = new("--plain") { Description = "Lines instead of the screen." };
    private readonly Option<bool> _json = new("--json") { Description = "One JSON object a line." };
    private readonly Option<string?> _store = CommandLine.StoreOption();

    internal void AddTo(Command command)
    {
        foreach (Option option in (Option[])[_hand, _port, _serial, _plain, _json, _store])
        {
            command.Add(option);
        }
    }

    internal BenchRequest Of(ParseResult parsed) => new(
        parsed.GetValue(_hand)!, parsed.GetValue(_port), parsed.GetValue(_serial), parsed.GetValue(_plain), parsed.GetValue(_json), parsed.GetValue(_store));
}

/// <summary>What the bench was asked for, parsed but not yet looked at.</summary>
/// <param name="Hand">Initials of who measures.</param>
/// <param name="Port">Where the caliper is, or null for the settings' place.</param>
/// <param name="Serial">Rate and framing as written, or null.</param>
/// <param name="Plain">Lines instead of the screen.</param>
/// <param name="Json">One JSON object a line.</param>
/// <param name="Store">Where the store is; null for the usual place.</param>
internal sealed record BenchRequest(string Hand, string? Port, string? Serial, bool Plain, bool Json, string? Store);
