using System.CommandLine;
using System.Security.Cryptography;
using CaliperStation.Bench;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary>The <c>study</c> commands: how good the hands are.</summary>
internal static class StudyCommands
{
    internal static Command Command(TextWriter output, TextWriter error) => new("study", "Studies how well hands repeat themselves and one another on cloth.")
    {
        BeginCommand(output, error), GoOnCommand(output, error), ListCommand(output, error), ShowCommand(output, error), UseCommand(output, error),
    };

    private static Command BeginCommand(TextWriter output, TextWriter error)
    {
        Argument<string?> standard = new("STANDARD") { Description = "The placement standard whose steps are read; without it the demonstration, or free points.", Arity = ArgumentArity.ZeroOrOne };
        Option<string> hands = new("--hands") { Description = "Who takes part, by initials; each reads everything.", HelpName = "XY,…", Required = true };
        Option<int?> points = new("--points") { Description = "So many free points instead of a standard's steps: pieces of your own, numbered.", HelpName = "NUMBER" };
        Option<string?> steps = TextOption("--steps", "STEP,…", "Only these steps of the standard.");
        Option<string[]> answer = AnswerOption();
        Option<int> repeats = new("--repeats") { Description = "How often each hand reads each point; 3 unless said.", HelpName = "NUMBER", DefaultValueFactory = _ => 3 };
        Option<string?> tolerance = TextOption("--tolerance", "LENGTH", "The whole width from limit to limit, for the share of the tolerance; the standard's narrowest unless said.");
        Option<long?> seed = new("--seed") { Description = "Seed of the order; without it one of chance. The study keeps it.", HelpName = "NUMBER" };
        BenchOptions bench = new();
        Command command = new("begin", "Begins a study and opens the bench for one hand; --hand says which.") { standard, hands, points, steps, answer, repeats, tolerance, seed };
        bench.AddTo(command);
        command.SetAction((parsed, stop) => StudyBench.BeginAsync(
            new StudyBeginOptions
            {
                Standard = parsed.GetValue(standard),
                Hands = parsed.GetValue(hands)!,
                Points = parsed.GetValue(points),
                Steps = parsed.GetValue(steps),
                Answers = parsed.GetValue(answer) ?? [],
                Repeats = parsed.GetValue(repeats),
                Tolerance = parsed.GetValue(tolerance),
                Seed = parsed.GetValue(seed),
                Bench = bench.Of(parsed),
            },
            output, error, stop));
        return command;
    }

    private static Command GoOnCommand(TextWriter output, TextWriter error)
    {
        Argument<string?> study = StudyArgument("The study; without it the newest that is open.");
        BenchOptions bench = new();
        Command command = new("go-on", "Goes on with a study, with the same hand or another, on this day or a later one.") { study };
        bench.AddTo(command);
        command.SetAction((parsed, stop) => StudyBench.GoOnAsync(parsed.GetValue(study), bench.Of(parsed), output, error, stop));
        return command;
    }

    private static Command ListCommand(TextWriter output, TextWriter error)
    {
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("list", "Lists the studies of the store.") { json, store };
        command.SetAction(parsed => StudyLook.List(parsed.GetValue(store), parsed.GetValue(json), TimeProvider.System, output, error));
        return command;
    }

    private static Command ShowCommand(TextWriter output, TextWriter error)
    {
        Argument<string?> study = StudyArgument("The study; without it the newest.");
        Option<bool> html = new("--html") { Description = "A page with charts that needs nothing else." };
        Option<double?> level = new("--pool-above") { Description = "The p-value above which hands on points are pooled with the repeats; 0.05 unless said.", HelpName = "NUMBER" };
        Option<double?> confidence = new("--confidence") { Description = "Of the intervals, in per cent; 95 unless said.", HelpName = "PERCENT" };
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("show", "Shows a study with its analysis.") { study, html, level, confidence, json, store };
        command.Validators.Add(result =>
        {
            if (result.GetValue(html) && result.GetValue(json))
            {
                result.AddError("--json or --html: one of them.");
            }

            if (result.GetValue(level) is not (null or (> 0 and < 1)))
            {
                result.AddError("--pool-above: a number above 0 and below 1.");
            }

            if (result.GetValue(confidence) is not (null or (>= 50 and < 100)))
            {
                result.AddError("--confidence: at least 50 and below 100 per cent.");
            }
        });
        command.SetAction(parsed => StudyLook.Show(
            parsed.GetValue(study), parsed.GetValue(store), parsed.GetValue(html) ? StudyForm.Html : parsed.GetValue(json) ? StudyForm.Json : StudyForm.Text,
            StudyOptions.Default with { PoolAbove = parsed.GetValue(level) ?? StudyOptions.Default.PoolAbove, Confidence = parsed.GetValue(confidence) / 100 ?? StudyOptions.Default.Confidence }, TimeProvider.System, output, error));
        return command;
    }

    private static Command UseCommand(TextWriter output, TextWriter error)
    {
        Argument<string?> study = StudyArgument("The study; without it the newest.");
        Option<string?> hand = TextOption("--hand", "INITIALS", "Only this hand, with its own repeatability; without it every hand.");
        Option<bool> json = JsonOption();
        Option<string?> store = StoreOption();
        Command command = new("use", "Writes what a study found into the settings: it takes the place of the standard's figure for hands.") { study, hand, json, store };
        command.SetAction(parsed => StudyLook.Use(parsed.GetValue(study), parsed.GetValue(hand), parsed.GetValue(store), parsed.GetValue(json), TimeProvider.System, output, error));
        return command;
    }

    private static Argument<string?> StudyArgument(string description) => new("STUDY") { Description = description, Arity = ArgumentArity.ZeroOrOne };
}

/// <summary>What was asked of a study that begins, parsed but not yet looked at.</summary>
internal sealed record StudyBeginOptions
{
    /// <summary>Path of the standard; null for the demonstration, or for free points.</summary>
    internal string? Standard { get; init; }

    /// <summary>Initials with commas between.</summary>
    internal required string Hands { get; init; }

    /// <summary>How many free points, or null.</summary>
    internal int? Points { get; init; }

    /// <summary>Ids of steps with commas between, or null for all.</summary>
    internal string? Steps { get; init; }

    /// <summary>Answers as given, <c>id=value</c>.</summary>
    internal IReadOnlyList<string> Answers { get; init; } = [];

    /// <summary>How often each hand reads each point.</summary>
    internal int Repeats { get; init; } = 3;

    /// <summary>The tolerance as written, or null.</summary>
    internal string? Tolerance { get; init; }

    /// <summary>Seed of the order; null for one of chance.</summary>
    internal long? Seed { get; init; }

    /// <summary>The bench.</summary>
    internal required BenchRequest Bench { get; init; }
}

/// <summary><c>study begin</c> and <c>study go-on</c>: one hand's part of a study at the bench.</summary>
internal static class StudyBench
{
    internal static async Task<int> BeginAsync(StudyBeginOptions options, TextWriter output, TextWriter error, CancellationToken stop)
    {
        TimeProvider clock = TimeProvider.System;
        StorePaths paths = StorePaths.OnThisMachine(options.Bench.Store);
        Settings settings = Settings.Load(paths.Settings);
        LoadedStandard? standard = options.Points is not null ? null : options.Standard is { } path ? StandardSource.FromFile(path) : StandardSource.Demonstration();
        Plan? coat = standard is null ? null : Plan.For(standard.Standard, GivenAnswers.Of(standard.Standard, options.Answers));
        StudyPlan plan = Planned(options, coat, settings.Unit, clock);
        Hand(plan, options.Bench.Hand);
        CaliperChoice caliper = Caliper(options.Bench, settings, plan, coat, clock);   // a port that is written wrong begins no study
        using Store store = OpenStore.ForWork(paths, clock, error);
        if (standard is not null)
        {
            OpenStore.Archive(store).Keep(standard.Standard.Sha256, standard.Bytes);
        }

        return await RunAsync(Studies.Begin(store, plan), caliper, options.Bench, settings, store, clock, output, error, stop).ConfigureAwait(false);
    }

    internal static async Task<int> GoOnAsync(string? id, BenchRequest options, TextWriter output, TextWriter error, CancellationToken stop)
    {
        TimeProvider clock = TimeProvider.System;
        StorePaths paths = StoreLook.Paths(options.Store);
        Settings settings = Settings.Load(paths.Settings);
        using Store store = OpenStore.ForWork(paths, clock, error);
        IReadOnlyList<StudySitting> all = Studies.All(store);
        StudySitting study = StudyLook.Find(id is null ? [.. all.Where(each => each is { IsAbandoned: false, Missing: > 0 })] : all, id, "There is no open study; \"study begin\" begins one.");
        string hand = Hand(study.Plan, options.Hand);
        if (study.IsAbandoned)
        {
            throw new StationException(ExitCode.Usage, $"The study {study.Plan.Id} was given up.");
        }

        if (study.MissingOf(hand) == 0)
        {
            throw new StationException(ExitCode.Usage, $"{hand} has read all of {study.Plan.Id}{(study.Missing == 0 ? "; so has every hand: \"study show\" has the result" : FormattableString.Invariant($"; others have {study.Missing} readings to take"))}.");
        }

        return await RunAsync(study, Caliper(options, settings, study.Plan, CoatOf(store, study.Plan), clock), options, settings, store, clock, output, error, stop).ConfigureAwait(false);
    }

    private static async Task<int> RunAsync(
        StudySitting study, CaliperChoice caliper, BenchRequest options, Settings settings, Store store, TimeProvider clock, TextWriter output, TextWriter error, CancellationToken stop)
    {
        StudyPlan plan = study.Plan;
        string hand = plan.HandOf(options.Hand)!;
        int left = study.MissingOf(hand);
        int own = plan.Points.Count * plan.Repeats;
        string progress = left == own ? FormattableString.Invariant($"Study {plan.Id}: {hand} reads {plan.Points.Count} {(plan.Points.Count == 1 ? "point" : "points")} {plan.Repeats} times, in an order by lot. Put every piece down between two readings; look at no earlier value.")
            : FormattableString.Invariant($"Study {plan.Id} goes on: {hand} has {left} of {own} readings to take.");
        CheckReminder? reminder = caliper.WantsChecks ? CheckJournal.Reminder(CheckJournal.Last(store, caliper.PortName), settings.Check.Days, clock.GetUtcNow()) : null;
        BenchSetup setup = new() { KeyboardUnit = settings.Unit, Hand = hand, Remarks = [.. new[] { progress, caliper.Remark, reminder?.Words }.OfType<string>()] };
        int result = await new OpenBench(new Work.Studying(study), setup, caliper, null, null).RunAsync(options.Plain, options.Json, store, settings, output, error, stop).ConfigureAwait(false);
        if (result == ExitCode.Interrupted)
        {
            await error.WriteLineAsync($"Stopped; every reading is kept. To go on: caliper-station study go-on {plan.Id} --hand {hand}").ConfigureAwait(false);
        }

        return result;
    }

    private static CaliperChoice Caliper(BenchRequest options, Settings settings, StudyPlan plan, Plan? coat, TimeProvider clock) => CaliperChoice.ForStudy(
        new PortRequest(options.Port ?? settings.Port, options.Serial, null, unchecked((ulong)plan.Seed), settings.Unit ?? plan.Unit, false), settings, plan, coat, clock);

    private static StudyPlan Planned(StudyBeginOptions options, Plan? coat, LengthUnit? usual, TimeProvider clock)
    {
        if (options.Points is not null && (options.Standard is not null || options.Steps is not null || options.Answers.Count > 0))
        {
            throw new StationException(ExitCode.Usage, "--points is for pieces of your own: it goes without a standard, --steps and --answer.");
        }

        string[] steps = options.Steps is { } named ? [.. named.Split(',').Select(step => step.Trim())] : [];
        string? unknown = null;
        if (options.Points is { } count && count is < 1 or > StudyPlan.MostPoints)
        {
            throw new StationException(ExitCode.Usage, FormattableString.Invariant($"--points: 1 to {StudyPlan.MostPoints}."));
        }

        IReadOnlyList<StudyPoint> points = coat is null ? StudyPlan.FreePoints(options.Points!.Value) : StudyPlan.PointsOf(coat, steps, out unknown);
        if (unknown is not null)
        {
            throw new StationException(ExitCode.Usage, $"--steps: there is no step \"{PrintableText.Escape(unknown)}\" on this coat; there are {string.Join(", ", coat!.Steps.Select(step => step.Id))}.");
        }

        LengthUnit unit = coat?.Standard.Unit ?? usual ?? LengthUnit.Millimetre;
        StudyPlan plan = new(
            Sittings.NewId(Instants.Now(clock), "STUDY"), coat is null ? "free points" : $"{coat.Standard.Name}, {coat.Standard.Edition}", coat?.Standard.Sha256 ?? "", unit,
            coat?.Standard.Show ?? (unit == LengthUnit.Inch ? LengthDisplay.Inch : LengthDisplay.Millimetre), [.. options.Hands.Split(',').Select(hand => hand.Trim())], points, options.Repeats,
            options.Seed ?? RandomNumberGenerator.GetInt32(int.MaxValue),
            options.Tolerance is { } width ? CommandLine.LengthOf("--tolerance", width, unit) : coat is null ? null : StudyPlan.ToleranceOf(coat, points), Instants.Now(clock));
        if (plan.Repeats == 1)
        {
            throw new StationException(ExitCode.Usage, "--repeats: a hand that reads each point once does not show how well it repeats itself; 2 at least, 3 are usual.");
        }

        return plan.Fault is { } fault ? throw new StationException(ExitCode.Usage, $"This is no study: {fault}.") : plan;
    }

    /// <summary>The hand as the study writes it.</summary>
    private static string Hand(StudyPlan plan, string hand) => plan.HandOf(hand)
        ?? throw new StationException(ExitCode.Usage, $"--hand: this study is of {string.Join(", ", plan.Hands)}; \"{PrintableText.Escape(hand)}\" takes no part.");

    /// <summary>The coat of the study's standard, for the emulated caliper; null where the standard's text is not there.</summary>
    private static Plan? CoatOf(Store store, StudyPlan plan) =>
        plan.StandardSha256.Length > 0 && OpenStore.Archive(store).Find(plan.StandardSha256) is { } text && StandardText.Load(text).Standard is { } standard
            ? Plan.For(standard, new Dictionary<string, string>())
            : null;
}

/// <summary>How a study is shown.</summary>
internal enum StudyForm
{
    /// <summary>Tables for a terminal.</summary>
    Text,

    /// <summary>One JSON object.</summary>
    Json,

    /// <summary>A page.</summary>
    Html,
}

/// <summary><c>study list</c>, <c>study show</c> and <c>study use</c>.</summary>
internal static class StudyLook
{
    /// <summary>Lists the studies; 0.</summary>
    internal static int List(string? storePath, bool json, TimeProvider clock, TextWriter output, TextWriter error)
    {
        using Store store = StoreLook.Open(storePath, error);
        StudyReport[] reports = [.. Studies.All(store).Select(study => Report(study, StudyOptions.Default, clock))];
        output.Write(json ? StudyJson.List(reports) : StudyText.List(reports, clock.LocalTimeZone, StandardStreams.Width));
        return StoreLook.Result(store);
    }

    /// <summary>Shows one; 0 when it is analysed, 1 when something is missing or it is for practice.</summary>
    internal static int Show(string? id, string? storePath, StudyForm form, StudyOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        using Store store = StoreLook.Open(storePath, error);
        StudyReport report = Report(Find(Studies.All(store), id, None(store)), options, clock);
        output.Write(form switch
        {
            StudyForm.Text => StudyText.Of(report, clock.LocalTimeZone, StandardStreams.Width),
            StudyForm.Json => StudyJson.Of(report),
            StudyForm.Html => PaperHtml.Of(StudyPage.Of(report, clock.LocalTimeZone), PaperSize.Find("a4")!),
        });
        return StoreLook.Result(store, report.Analysis.OneReading is not null && !report.Study.IsPractice ? ExitCode.Good : ExitCode.NotWithin);
    }

    /// <summary>Writes what one found into the settings; 1 when it cannot be used.</summary>
    internal static int Use(string? id, string? hand, string? storePath, bool json, TimeProvider clock, TextWriter output, TextWriter error)
    {
        StorePaths paths = StoreLook.Paths(storePath);
        using Store store = StoreLook.Open(storePath, error);
        StudyReport report = Report(Find(Studies.All(store), id, None(store)), StudyOptions.Default, clock);
        if (report.FigureFor(hand, out string? whyNot) is not { } figure)
        {
            error.WriteLine(PrintableText.Escape($"The study {report.Plan.Id} cannot be used: {whyNot}."));
            return ExitCode.NotWithin;
        }

        foreach (string wide in report.WideRemarks)
        {
            error.WriteLine(PrintableText.Escape($"Mind: {wide}."));
        }

        Settings settings = Settings.Load(paths.Settings);
        SettingsFile.SetHands(paths.Settings, HandFigureSettings.With(settings.Hands, figure));
        output.Write(json ? StudyJson.Of(figure) : $"{PrintableText.Escape(HandFigureText.Words(figure))}\nWritten to {PrintableText.Escape(paths.Settings)}; blouses that begin from now on are judged by it.\n");
        return StoreLook.Result(store);
    }

    /// <summary>The study of that id, or the newest.</summary>
    /// <exception cref="StationException">Exit 2: there is none.</exception>
    internal static StudySitting Find(IReadOnlyList<StudySitting> studies, string? id, string none) =>
        (id is null ? (studies.Count > 0 ? studies[^1] : null) : studies.FirstOrDefault(study => string.Equals(study.Plan.Id, id, StringComparison.OrdinalIgnoreCase)))
        ?? throw new StationException(ExitCode.Usage, id is null ? none : $"There is no study \"{PrintableText.Escape(id)}\"; \"study list\" shows what there is.");

    private static string None(Store store) => $"There is no study in {PrintableText.Escape(store.Paths.Store)}; \"study begin\" begins one.";

    private static StudyReport Report(StudySitting study, StudyOptions options, TimeProvider clock) =>
        StudyReport.Of(study, options, at => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, clock.LocalTimeZone).DateTime));
}
