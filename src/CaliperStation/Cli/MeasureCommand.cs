using System.CommandLine;
using CaliperStation.Bench;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Screen;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary>The bench: opens the store, begins or resumes the sitting, and opens the bench on it.</summary>
internal static class Measure
{
    internal static Command Command(TextWriter output, TextWriter error)
    {
        Argument<string?> standard = new("STANDARD") { Description = "The placement standard; without it the demonstration.", Arity = ArgumentArity.ZeroOrOne };
        Option<string?> tag = TagOption("The blouse, such as QG-017; an open sitting of it is resumed.");
        Option<string?> hand = HandOption("Who measures.");
        Option<string[]> answer = AnswerOption();
        Option<bool> ask = new("--ask") { Description = "Asks what the blouse carries before a new sitting, where no --answer says it; else the first answers hold." };
        Option<string?> port = PortOption("NAME|auto|emulated|none|replay:FILE", "Where the caliper is.");
        Option<string?> serial = TextOption("--serial", "RATE-FRAMING|auto", "Rate and framing of the line, such as 9600-8N1 or 4800-7E2; auto finds it while the caliper sends.");
        Option<string?> format = LineFormatOption();
        Option<ulong> seed = new("--seed") { Description = "Seed of the emulated caliper.", HelpName = "NUMBER", DefaultValueFactory = _ => 1 };
        Option<bool> plain = new("--plain") { Description = "The bench in lines, for pipes, screen readers and serial consoles." };
        Option<bool> json = new("--json") { Description = "With --plain: one JSON object a line." };
        Option<string?> store = StoreOption();
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

    private const string DemonstrationTag = "DEMO-";
    private const string DemonstrationHand = "DH";

    /// <summary>True for a blouse of the demonstration: its tags are its own.</summary>
    internal static bool IsDemonstration(string tag) => tag.StartsWith(DemonstrationTag, StringComparison.OrdinalIgnoreCase);

    internal static async Task<int> RunAsync(MeasureOptions options, TextWriter output, TextWriter error, CancellationToken stop)
    {
        TimeProvider clock = TimeProvider.System;
        LoadedStandard standard = options.Standard is { } path ? StandardSource.FromFile(path) : StandardSource.Demonstration();
        Dictionary<string, string> answers = GivenAnswers.Of(standard.Standard, options.Answers);
        Refuse(options.Tag is { } tag ? BlouseTag.Validate(tag) : null, "--tag");
        Refuse(options.Hand is { } hand ? Initials.Validate(hand) : null, "--hand");
        StorePaths paths = StorePaths.OnThisMachine(options.Store);
        Settings settings = Settings.Load(paths.Settings);
        using Store store = OpenStore.ForWork(paths, clock, error);
        LineReader? lines = options.Plain || options.Json ? LineReader.OfConsole(settings.PressText, settings.NotSoText) : null;
        List<string> remarks = [];
        (Work work, Resume? resume) = Session(options, standard, answers, settings, store, clock, lines, output, remarks, stop);
        CaliperChoice caliper = CaliperChoice.Of(
            new PortRequest(options.Port ?? settings.Port, options.Serial, options.Format, options.Seed, settings.Unit ?? standard.Standard.Unit, options.Standard is null), settings, work.View.State.Plan, clock, Misplaced(options, work.View.State));
        CheckReminder? reminder = caliper.WantsChecks ? CheckJournal.Reminder(CheckJournal.Last(store, caliper.PortName), settings.Check.Days, clock.GetUtcNow(), work.View.State.Plan.Standard.Judging.Caliper) : null;
        JudgingSettings judging = work.View.State.Plan.Standard.Judging;
        string? hands = HandFigureText.Reminder(judging.Figures, options.Hand ?? work.View.State.Hand, judging.Hand, settings.HandDays, DateOnly.FromDateTime(clock.GetLocalNow().DateTime));
        BenchSetup setup = new()
        {
            SmallestMove = settings.SmallestMove,
            Reasons = settings.Reasons,
            KeyboardUnit = settings.Unit,
            Hand = options.Hand ?? "",
            Resume = resume,
            Remarks = [.. remarks, .. new[] { caliper.Remark, reminder?.Words, hands }.OfType<string>()],
        };
        int result = await new OpenBench(work, setup, caliper, null, lines).RunAsync(options.Plain, options.Json, store, settings, output, error, stop).ConfigureAwait(false);
        if (result == ExitCode.Interrupted)
        {
            await error.WriteLineAsync($"Stopped; every reading is kept. To go on: caliper-station measure{Given("", options.Standard)} --tag {work.View.State.Tag}{Given("--store", options.Store)}").ConfigureAwait(false);
        }

        return result;
    }

    /// <summary>An argument as it is typed again; empty where it was not given.</summary>
    private static string Given(string option, string? value) => value is null ? "" : $" {option}{(option.Length > 0 ? " " : "")}{(value.Contains(' ', StringComparison.Ordinal) ? $"\"{value}\"" : value)}";

    /// <summary>The demonstration begins with its first item in a wrong place, so that it shows what is then to be done.</summary>
    private static string? Misplaced(MeasureOptions options, SittingState state) =>
        options.Standard is null && state.Moves.IsEmpty && state.Plan.Items is [var first, ..] ? first.Id : null;

    /// <summary>The open sitting of the tag goes on; without a tag a new blouse begins, and what is open is told.</summary>
    private static (Work Work, Resume? Resume) Session(
        MeasureOptions options, LoadedStandard standard, Dictionary<string, string> answers, Settings settings, Store store, TimeProvider clock, LineReader? lines, TextWriter output, List<string> remarks,
        CancellationToken stop)
    {
        if (options.Tag is not null && SittingFinder.Newest(store, options.Tag) is { } open)
        {
            return Resumed(options, standard, answers, open, store, clock);
        }

        bool isPretended = options is { Standard: null, Hand: null } && (options.Port ?? settings.Port) is "auto" or "emulated";   // typed lengths are somebody's, who signs with own initials
        string tag = options.Tag ?? SittingFinder.NextTag(store, options.Standard is null ? DemonstrationTag : "BLOUSE-");
        if (options.Tag is null)
        {
            string[] left = [.. store.Records.OpenSittings().Select(sitting => sitting.Tag).Distinct(BlouseTag.Comparer)];
            string named = $"This blouse is called {tag}, as no tag was given{(isPretended ? $"; its hand is called {DemonstrationHand}" : "")}.";
            remarks.Add(left.Length == 0 ? named : $"{named} Left open: {string.Join(", ", left)}; --tag goes on with one.");
        }

        if (options.Ask)
        {
            LineOutput asking = new(output, standard.Standard.Show, options.Json);
            BlouseQuestions.Ask(standard.Standard, answers, lines is null ? Console.In.ReadLine : () => lines.Ask(stop), asking.Say);
        }

        OpenStore.Archive(store).Keep(standard.Standard.Sha256, standard.Bytes);
        if (options.Standard is not null && BlouseQuestions.Assumed(standard.Standard, answers) is { Length: > 0 } assumed)
        {
            remarks.Add(assumed);
        }

        return (Sittings.Begin(store, clock, Plan.For(Studied(standard.Standard, settings.Hands), answers), tag, options.Hand ?? (isPretended ? DemonstrationHand : "")), null);
    }

    private static (Work Work, Resume? Resume) Resumed(
        MeasureOptions options, LoadedStandard standard, Dictionary<string, string> answers, OpenSittingEvents open, Store store, TimeProvider clock)
    {
        LoadedStandard begun = open.Started.StandardSha256 == standard.Standard.Sha256 ? standard
            : OpenStore.Archive(store).Find(open.Started.StandardSha256) is { } text ? StandardSource.FromBytes(text, "the standard this sitting was begun with")
            : throw new StationException(ExitCode.Store, $"The sitting of {open.Started.Tag} was begun with another text of the standard, which the store no longer holds.");
        if (answers.FirstOrDefault(answer => open.Started.Answers.GetValueOrDefault(answer.Key) != answer.Value) is { Key: { } question })
        {
            throw new StationException(ExitCode.Usage, $"The open sitting of {open.Started.Tag} was begun with {question} = {PrintableText.Escape(open.Started.Answers.GetValueOrDefault(question, "nothing"))}; close it first, or leave that --answer out.");
        }

        Work work = Sittings.Resume(Plan.For(Studied(begun.Standard, open.Started.Figures), open.Started.Answers), open);
        return (work, Sittings.Found(work, open.Events.Select(happened => happened.At).Append(open.Started.At).Max(), begun != standard && options.Standard is not null, clock));
    }

    /// <summary>The standard with what studies found of hands in place of its own figure.</summary>
    private static Standard Studied(Standard standard, IReadOnlyList<HandFigure> figures) => standard with { Judging = standard.Judging with { Figures = figures } };

    private static void Refuse(string? fault, string option)
    {
        if (fault is not null)
        {
            throw new StationException(ExitCode.Usage, $"{option}: {fault}.");
        }
    }
}

/// <summary>What was asked of the bench, parsed but not yet looked at: no disk or port was touched.</summary>
internal sealed record MeasureOptions
{
    /// <summary>Path of the standard; null for the demonstration.</summary>
    internal string? Standard { get; init; }

    /// <summary>The blouse; null to be chosen or asked.</summary>
    internal string? Tag { get; init; }

    /// <summary>Initials of the hand, or null.</summary>
    internal string? Hand { get; init; }

    /// <summary>Answers as given, <c>id=value</c>.</summary>
    internal IReadOnlyList<string> Answers { get; init; } = [];

    /// <summary>Asks what the blouse carries where <see cref="Answers"/> does not say; else the first answers hold.</summary>
    internal bool Ask { get; init; }

    /// <summary>A port's name, <c>auto</c>, <c>emulated</c>, <c>none</c> or <c>replay:FILE</c>; null for what the settings say, else <c>auto</c>.</summary>
    internal string? Port { get; init; }

    /// <summary>Rate and framing, <c>9600-8N1</c>; null for what the settings say.</summary>
    internal string? Serial { get; init; }

    /// <summary>What kind of lines come, one of <see cref="Devices.LineDecoders.Names"/>; null for what the settings say.</summary>
    internal string? Format { get; init; }

    /// <summary>Seed of the emulated caliper.</summary>
    internal ulong Seed { get; init; } = 1;

    /// <summary>Lines instead of a screen.</summary>
    internal bool Plain { get; init; }

    /// <summary>JSON Lines instead of words; only with <see cref="Plain"/>.</summary>
    internal bool Json { get; init; }

    /// <summary>Where the store is; null for the usual place.</summary>
    internal string? Store { get; init; }
}

/// <summary>A bench about to open: every kind of work has the same screen and the same lines.</summary>
/// <param name="Work">What is worked on.</param>
/// <param name="Setup">How the bench is set.</param>
/// <param name="Caliper">The caliper.</param>
/// <param name="First">The record that a remeasurement looks back at, or null.</param>
/// <param name="Lines">The lines, when they are read already; else null.</param>
internal sealed record OpenBench(Work Work, BenchSetup Setup, CaliperChoice Caliper, Record? First, LineReader? Lines)
{
    /// <summary>Works to the end; gives the exit code.</summary>
    /// <param name="plain">Lines instead of the screen.</param>
    /// <param name="json">The lines as JSON.</param>
    /// <param name="store">The store.</param>
    /// <param name="settings">The bench's settings.</param>
    /// <param name="output">Lines, and the result of a screen.</param>
    /// <param name="error">Messages.</param>
    /// <param name="stop">Ends it; everything acknowledged is kept.</param>
    internal async Task<int> RunAsync(bool plain, bool json, Store store, Settings settings, TextWriter output, TextWriter error, CancellationToken stop)
    {
        Filer filer = new(store, TimeProvider.System, First, Caliper.PortName);
        if (!plain && !json)
        {
            ScreenSettings screenSettings = ScreenSettings.Of(settings, store.Paths.Settings);
            BenchRun shown = Run(filer, store, true, null);
            using BenchScreen? screen = BenchScreen.TryOpen(BenchPresenter.Of(shown.State, shown.Now.Since), screenSettings);
            if (screen is not null)
            {
                return await OnScreenAsync(shown, screen, settings, output, stop).ConfigureAwait(false);
            }

            await error.WriteLineAsync("There is no terminal to draw on: the bench works in lines.").ConfigureAwait(false);
        }

        string[] how = json || Console.IsInputRedirected ? [] : [HowToAnswer];
        foreach (string remark in Setup.Remarks.Concat(how))
        {
            await error.WriteAsync(Core.Reports.TableText.Lines(remark, StandardStreams.Width, "", "  ")).ConfigureAwait(false);
        }

        BenchRun run = (this with { Setup = Setup with { Remarks = [] } }).Run(filer, store, false, Lines ?? LineReader.OfConsole(settings.PressText, settings.NotSoText));
        LineOutput lines = new(output, Work.View.State.Plan.Standard.Show, json);
        if (json)
        {
            return await run.RunAsync(lines, stop).ConfigureAwait(false);   // a program listens: nothing is to be heard
        }

        await using OutsideCommand? play = Outside(settings.Play, run, OutsideCommand.LongestTone), speak = Outside(settings.Speak, run, OutsideCommand.LongestSpeech);
        return await run.RunAsync(new AudibleOutput(lines, play, speak, Work.View.State.Plan.Standard.Show), stop).ConfigureAwait(false);
    }

    /// <summary>What a person at a terminal can say; a press takes something only where there is a caliper.</summary>
    private string HowToAnswer =>
        $"{(Caliper.Caliper is null ? "Type each length; Enter says yes" : "Enter takes the caliper's value, and says yes; or type a length")}; or say {(Work is Work.Measuring ? "no, retake, moved, aside REASON, stop" : "retake, stop")}.";

    private static OutsideCommand? Outside(IReadOnlyList<string>? words, BenchRun run, TimeSpan longest) =>
        words is null ? null : new OutsideCommand(words, why => run.Post(new BenchInput.Remark(why)), TimeProvider.System, longest);

    private static async Task<int> OnScreenAsync(BenchRun run, BenchScreen screen, Settings settings, TextWriter output, CancellationToken stop)
    {
        await using OutsideCommand? play = Outside(settings.Play, run, OutsideCommand.LongestTone), speak = Outside(settings.Speak, run, OutsideCommand.LongestSpeech);
        using CancellationTokenSource leave = CancellationTokenSource.CreateLinkedTokenSource(stop);
        ScreenOutput shown = new(screen);
        if (settings.Large && screen.Size is var (width, height) && !BenchLayout.IsLargeAt(width, height))
        {
            run.Post(new BenchInput.Remark(FormattableString.Invariant($"The large face wants {BenchLayout.Large.Width} columns and {BenchLayout.Large.Height} rows; this terminal has {width} and {height}: the usual one is shown.")));
        }

        Task<int> work = Task.Run(
            async () =>
            {
                try
                {
                    return await run.RunAsync(new AudibleOutput(shown, play, speak, run.State.Work.View.State.Plan.Standard.Show), leave.Token).ConfigureAwait(false);
                }
                finally
                {
                    screen.Close();
                }
            },
            CancellationToken.None);
        screen.Run(run.Post);   // the terminal is given back when this returns
        await leave.CancelAsync().ConfigureAwait(false);
        int result = await work.ConfigureAwait(false);
        if (screen.SurvivedFaults > 0)
        {
            Log.Note($"The terminal kit survived {screen.SurvivedFaults} faults.");
        }

        LengthDisplay show = run.State.Work.View.State.Plan.Standard.Show;
        foreach (Said said in run.State.End is BenchEnd.Good or BenchEnd.NotGood ? shown.Results : [])
        {
            new LineOutput(output, show, json: false).Say(said);
        }

        if (run.State.Closed is { } closed)
        {
            string words = Core.Reports.BenchText.Words(closed, show);
            await output.WriteLineAsync(PrintableText.Escape($"{char.ToUpperInvariant(words[0])}{words[1..]}.")).ConfigureAwait(false);
        }

        return result;
    }

    private BenchRun Run(Filer filer, Store store, bool onScreen, LineReader? lines) =>
        new(Work, Setup, Caliper.Caliper, Caliper.IsAsked(onScreen), store, filer.File, TimeProvider.System) { Guide = Caliper.Guide, Moved = Caliper.Move, Lines = lines };
}

/// <summary>Answers given on the command line as <c>id=value</c>.</summary>
internal static class GivenAnswers
{
    /// <summary>The answers by their question.</summary>
    /// <exception cref="StationException">Exit 2: a question or an answer that the standard does not know.</exception>
    internal static Dictionary<string, string> Of(Standard standard, IReadOnlyList<string> given)
    {
        Dictionary<string, string> answers = [];
        foreach (string text in given)
        {
            int equals = text.IndexOf('=', StringComparison.Ordinal);
            (string question, string answer) = equals < 0 ? (text.Trim(), "") : (text[..equals].Trim(), text[(equals + 1)..].Trim());
            if (Plan.Answered(standard, question, answer) is { } fault)
            {
                throw new StationException(ExitCode.Usage, $"--answer: {fault}.");
            }

            answers[question] = answer;
        }

        return answers;
    }
}
