using System.CommandLine;
using System.Text;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Printing;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary><c>standard check</c> and <c>standard show</c>; <c>standard new</c> is in <see cref="StandardNew"/>.</summary>
internal static class StandardCommands
{
    internal static Command Command(TextWriter output)
    {
        Argument<string[]> files = new("FILE") { Description = "Standards to check.", Arity = ArgumentArity.OneOrMore };
        Option<bool> json = JsonOption();
        Command check = new("check", "Tells every fault of a standard, with its place and what to write instead; warns of what no reading sees and of rules that contradict each other.") { files, json };
        check.SetAction(parsed => StandardCommands.Check(parsed.GetValue(files)!, parsed.GetValue(json), output));

        Argument<string?> file = new("FILE") { Description = "The standard; without it the demonstration.", Arity = ArgumentArity.ZeroOrOne };
        Option<string[]> answer = AnswerOption();
        Option<bool> showJson = JsonOption();
        Option<bool> markdown = new("--markdown") { Description = "As a Markdown table." };
        Option<bool> page = new("--page") { Description = "As the company's page: the rules of one blouse in its own unit; with --format as a file with its drawing." };
        Option<bool> expanded = new("--expanded") { Description = "As a standard in the long form, as TOML: every reading and rule that the lines of sits give." };
        PaperOptionSet paper = new();
        Command show = new("show", "Shows the order of steps, what is judged there and the limits in all displays.") { file, answer, showJson, markdown, page, expanded };
        paper.AddTo(show);
        show.Validators.Add(result =>
        {
            if (new[] { markdown, page, expanded }.Count(result.GetValue) > 1)
            {
                result.AddError("Say one of --markdown, --page and --expanded.");
            }
        });
        show.SetAction(parsed => parsed.GetValue(expanded) ? StandardCommands.Expand(parsed.GetValue(file), output)
            : paper.IsAsked(parsed)
            ? StandardCommands.Paper(parsed.GetValue(file), parsed.GetValue(answer) ?? [], paper.Of(parsed, showJson), output)
            : StandardCommands.Show(parsed.GetValue(file), parsed.GetValue(answer) ?? [], parsed.GetValue(showJson), parsed.GetValue(markdown), parsed.GetValue(page), output));
        return new Command("standard", "Looks at placement standards, and begins one.") { check, show, StandardNew.Command(output) };
    }

    /// <summary>Checks files; every fault of every file in one go.</summary>
    internal static int Check(IReadOnlyList<string> files, bool json, TextWriter output)
    {
        List<CheckedFile> checkedFiles = [];
        foreach (string file in files)
        {
            byte[] bytes = GivenFile.ReadBytes(file);
            checkedFiles.Add(new CheckedFile(file, Encoding.UTF8.GetString(bytes), StandardText.Load(bytes)));
        }

        output.Write(json ? StandardCheck.Json(checkedFiles) : StandardCheck.Text(checkedFiles));
        return checkedFiles.TrueForAll(file => file.IsGood) ? ExitCode.Good : ExitCode.BadFile;
    }

    /// <summary>Writes a standard in the long form.</summary>
    internal static int Expand(string? file, TextWriter output)
    {
        LoadedStandard loaded = file is null ? StandardSource.Demonstration() : StandardSource.FromFile(file);
        output.Write(ExpandedText.Of(Encoding.UTF8.GetString(loaded.Bytes)).Text);
        return ExitCode.Good;
    }

    /// <summary>Shows the order of steps of a standard.</summary>
    internal static int Show(string? file, IReadOnlyList<string> answers, bool json, bool markdown, bool page, TextWriter output)
    {
        Plan plan = PlanOf(file, answers);
        output.Write(json ? StandardTable.Json(plan)
            : markdown ? StandardTable.Markdown(plan)
            : page ? PaperText.Of(StandardPaper.Of(plan, new PaperSettings(PaperOptions.Usual(plan.Standard, small: false), PaperFont.Width, TimeZoneInfo.Utc)), StandardStreams.Width)
            : StandardTable.Text(plan, StandardStreams.Width));
        return ExitCode.Good;
    }

    /// <summary>Writes the company's page.</summary>
    internal static int Paper(string? file, IReadOnlyList<string> answers, PaperOptions options, TextWriter output)
    {
        Plan plan = PlanOf(file, answers);
        PaperSettings settings = options.Settings(PaperOptions.Usual(plan.Standard, small: false));
        PaperOutput.Document(StandardPaper.Of(plan, settings), settings.Size, $"standard-{plan.Standard.Name}", options, output);
        return ExitCode.Good;
    }

    internal static Plan PlanOf(string? file, IReadOnlyList<string> answers)
    {
        LoadedStandard loaded = file is null ? StandardSource.Demonstration() : StandardSource.FromFile(file);
        return Plan.For(loaded.Standard, GivenAnswers.Of(loaded.Standard, answers));
    }
}

/// <summary><c>advise</c>: displacements, pin moves and the fewest re-pins for a file of readings, without a bench.</summary>
internal static class AdviseCommand
{
    internal static Command Command(TextWriter output)
    {
        Argument<string> standard = new("STANDARD") { Description = "The placement standard." };
        Option<string> readings = new("--readings") { Description = "Lines of step,length.", HelpName = "FILE", Required = true };
        Option<string[]> answer = AnswerOption();
        Option<bool> json = JsonOption();
        Command command = new("advise", "Tells displacements, pin moves and the fewest re-pins for a file of readings.") { standard, readings, answer, json };
        command.SetAction(parsed => AdviseCommand.Run(parsed.GetValue(standard)!, parsed.GetValue(readings)!, parsed.GetValue(answer) ?? [], parsed.GetValue(json), output));
        return command;
    }

    /// <summary>Ends with 0 when everything that could be judged is within, else 1.</summary>
    internal static int Run(string standardFile, string readingsFile, IReadOnlyList<string> answers, bool json, TextWriter output)
    {
        LoadedStandard loaded = StandardSource.FromFile(standardFile);
        Plan plan = Plan.For(loaded.Standard, GivenAnswers.Of(loaded.Standard, answers));
        string text = GivenFile.ReadText(readingsFile);
        ReadingsFile readings = ReadingsFile.Read(plan, text);
        if (readings.Faults.Count > 0)
        {
            throw new StationException(ExitCode.BadFile, FaultText.All(readingsFile, text, readings.Faults));
        }

        CorrectingSettings hand = CorrectingSettings.For(plan.Standard, Settings.Load(StorePaths.OnThisMachine(null).Settings).SmallestMove);
        Advice advice = Advise.For(plan, readings.Readings, hand, plan.Relations.Select(relation => relation.Id).ToHashSet());   // a file has no further takes: what is borderline is mended too
        output.Write(json ? AdviceJson.All(advice) : AdviceText.All(plan, advice, StandardStreams.Width));
        return new RelationEvaluation(plan, readings.Readings).All.All(judgement => judgement.Verdict == Verdict.Within)
            ? ExitCode.Good
            : ExitCode.NotWithin;
    }
}

/// <summary>A standard and the exact bytes it was read from.</summary>
internal sealed record LoadedStandard(Standard Standard, byte[] Bytes);

/// <summary>Reads standards from files and from the program itself.</summary>
internal static class StandardSource
{
    /// <summary>What the demonstration is called where a file's name is asked for.</summary>
    internal const string DemonstrationName = "harbour-lantern.toml";

    /// <summary>The demonstration standard, of an invented company.</summary>
    internal static LoadedStandard Demonstration()
    {
        using Stream stream = typeof(StandardSource).Assembly.GetManifestResourceStream(DemonstrationName)
            ?? throw new InvalidOperationException($"The program was built without {DemonstrationName}.");
        byte[] bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return FromBytes(bytes, DemonstrationName);
    }

    /// <summary>A standard from a file.</summary>
    /// <exception cref="StationException">Exit 3: it cannot be read, or every fault of it.</exception>
    internal static LoadedStandard FromFile(string path) => FromBytes(GivenFile.ReadBytes(path), path);

    /// <summary>A standard from bytes; <paramref name="name"/> is what its faults are told under.</summary>
    /// <exception cref="StationException">Exit 3: every fault of it.</exception>
    internal static LoadedStandard FromBytes(byte[] bytes, string name)
    {
        StandardLoad load = StandardText.Load(bytes);
        return load.IsStandard
            ? new LoadedStandard(load.Standard, bytes)
            : throw new StationException(ExitCode.BadFile, FaultText.All(name, Encoding.UTF8.GetString(bytes), load.Faults));
    }
}
