using System.CommandLine;
using CaliperStation.Bench;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Screen;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary>The program without a command: the first page with the day's queue, blouse after blouse, until it is left.</summary>
internal static class Day
{
    /// <summary>Gives the root command its options and its action.</summary>
    internal static void AddTo(RootCommand root, TextWriter output, TextWriter error)
    {
        Option<string?> standard = TextOption("--standard", "FILE", "The placement standard; kept in the settings.");
        Option<string?> tags = TextOption("--tags", "FILE", "The day's blouses, as readiness reads them; kept in the settings.");
        Option<string?> hand = HandOption("Who measures; kept in the settings.");
        Option<string?> port = PortOption("NAME|auto|none", "Where the caliper is; kept in the settings.");
        Option<string?> store = StoreOption();
        foreach (Option option in (Option[])[standard, tags, hand, port, store])
        {
            root.Add(option);
        }

        root.SetAction((parsed, stop) => RunAsync(
            new DayOptions(parsed.GetValue(standard), parsed.GetValue(tags), parsed.GetValue(hand), parsed.GetValue(port), parsed.GetValue(store)), output, error, stop));
    }

    private static async Task<int> RunAsync(DayOptions options, TextWriter output, TextWriter error, CancellationToken stop)
    {
        StorePaths paths = StorePaths.OnThisMachine(options.Store);
        if (options.Hand is { } hand && Initials.Validate(hand) is { } fault)
        {
            throw new StationException(ExitCode.Usage, $"--hand: {fault}.");
        }

        Keep(paths.Settings, "standard", options.Standard is { } given ? Path.GetFullPath(given) : null);
        Keep(paths.Settings, "tags", options.Tags is { } list ? Path.GetFullPath(list) : null);
        Keep(paths.Settings, "hand", options.Hand);
        Keep(paths.Settings, "port", options.Port);
        string message = "";
        while (!stop.IsCancellationRequested)
        {
            Settings settings = Settings.Load(paths.Settings);
            QueueChoice? choice = QueuePage.Ask(
                Model(paths, settings, options.Store, message, error), ScreenSettings.Of(settings, paths.Settings), CaliperChoice.ForSwitch(settings.Port, settings, TimeProvider.System), out bool stopped);
            if (stopped)
            {
                return ExitCode.Interrupted;
            }

            message = "";
            switch (choice)
            {
                case null:   // no terminal: the demonstration in lines, as everywhere without one
                    return await Measure.RunAsync(new MeasureOptions { Port = "emulated", Store = options.Store }, output, error, stop).ConfigureAwait(false);
                case QueueChoice.Leave:
                    return ExitCode.Good;
                case QueueChoice.Demonstration { Answers: var answers, Tag: var tag }:
                    message = await TryAsync(line => Measure.RunAsync(new MeasureOptions { Tag = tag, Port = "emulated", Answers = Given(answers), Store = options.Store }, line, line, stop)).ConfigureAwait(false);
                    break;
                case QueueChoice.Blouse { Queued: var blouse } chosen:
                    Keep(paths.Settings, "hand", chosen.Hand == settings.Hand ? null : chosen.Hand);
                    message = await TryAsync(line => WorkAsync(blouse, chosen, settings, options.Store, line, stop)).ConfigureAwait(false);
                    break;
            }
        }

        return ExitCode.Interrupted;
    }

    private static Task<int> WorkAsync(QueuedBlouse blouse, QueueChoice.Blouse chosen, Settings settings, string? store, TextWriter line, CancellationToken stop) =>
        blouse.Wants is BlouseWants.Countersign or BlouseWants.Nothing
            ? Remeasurement.RunAsync(
                new(blouse.Wants == BlouseWants.Nothing ? RecordKind.Recheck : RecordKind.Countersign, blouse.Tag, new(chosen.Hand, null, null, false, false, store)),
                line, line, stop)
            : Measure.RunAsync(
                new MeasureOptions
                {
                    Standard = settings.Standard,
                    Tag = blouse.Tag,
                    Hand = chosen.Hand,
                    Answers = Given(chosen.Answers),
                    Store = store,
                },
                line, line, stop);

    private static List<string> Given(IReadOnlyDictionary<string, string> answers) => [.. answers.Select(answer => $"{answer.Key}={answer.Value}")];

    /// <summary>Works a blouse; what it prints, and what stopped it, is to be read on the first page.</summary>
    private static async Task<string> TryAsync(Func<TextWriter, Task<int>> work)
    {
        using StringWriter printed = new();
        try
        {
            await work(printed).ConfigureAwait(false);
        }
        catch (StationException fault) when (fault.ExitCode is not ExitCode.Store)
        {
            printed.WriteLine(fault.Message);
        }

        string[] lines = printed.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        return lines.LastOrDefault() ?? "";
    }

    private static void Keep(string path, string key, string? value)
    {
        if (value is not null)
        {
            SettingsFile.Set(path, key, value);
        }
    }

    private static QueueModel Model(StorePaths paths, Settings settings, string? store, string message, TextWriter error)
    {
        (Question, string)[] demonstration = [.. StandardSource.Demonstration().Standard.Questions.Select(question => (question, question.Answers[0]))];
        string? left = Look(paths, store, error, look => look.Records.OpenSittings().LastOrDefault(open => Measure.IsDemonstration(open.Tag))?.Tag);
        if (settings.Standard is not { } path)
        {
            return new QueueModel("", "", [], _ => [], message) { HasStandard = false, OpenDemonstration = left, DemonstrationQuestions = demonstration };
        }

        Standard standard = StandardSource.FromFile(path).Standard;
        IReadOnlyList<string>? tags = settings.Tags is { } list ? TagFile.Read(list) : null;
        ReadinessRule rule = new(TimeProvider.System.GetUtcNow(), null, settings.Countersign);
        IReadOnlyList<QueuedBlouse> queue = Look<IReadOnlyList<QueuedBlouse>>(paths, store, error, look =>
            [.. DayQueue.Of(StoreLook.Blouses(look, tags, _ => [], rule).Where(blouse => tags is not null || !Measure.IsDemonstration(blouse.Tag)), rule).Select(blouse => blouse.Wants == BlouseWants.GoOn ? blouse with { Waits = WaitsOf(SittingFinder.Newest(look, blouse.Tag), standard) } : blouse)])
            ?? DayQueue.Of((tags ?? []).Select(tag => Readiness.Of(tag, [], _ => [], null, rule)), rule);
        return new QueueModel($"{standard.Name}, {standard.Edition}", settings.Hand ?? "", queue, Questions, message) { OpenDemonstration = left, DemonstrationQuestions = demonstration };

        // what this blouse carried the last time is the usual answer
        IReadOnlyList<(Question, string)> Questions(QueuedBlouse blouse)
        {
            IReadOnlyDictionary<string, string>? before = blouse.Record is { } id ? Look(paths, store, error, look => look.Records.Find(id)?.Sealed?.Record?.Answers) : null;
            return [.. standard.Questions.Select(question => (question, before?.GetValueOrDefault(question.Id) ?? question.Answers[0]))];
        }
    }

    /// <summary>What takes its time runs while another blouse is worked: what, and until when; empty for nothing.</summary>
    private static string WaitsOf(OpenSittingEvents? open, Standard standard) =>
        open is not null && open.Started.StandardSha256 == standard.Sha256
            && Sittings.Resume(Plan.For(standard, open.Started.Answers), open).View.Prompt is Prompt.See { Look.Ask: var ask, Until: { } until }
            ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{ask}, at {TimeZoneInfo.ConvertTime(until, TimeProvider.System.LocalTimeZone):HH:mm}")
            : "";

    /// <summary>What is asked of the store; null where there is none yet.</summary>
    private static T? Look<T>(StorePaths paths, string? store, TextWriter error, Func<Store, T?> ask)
        where T : class
    {
        if (!Directory.Exists(paths.Journal))
        {
            return null;
        }

        using Store look = StoreLook.Open(store, error);
        return ask(look);
    }
}

/// <summary>What the program was started with, without a command.</summary>
/// <param name="Standard">The standard, or null for that of the settings.</param>
/// <param name="Tags">The day's list, or null for that of the settings.</param>
/// <param name="Hand">Who measures, or null for that of the settings.</param>
/// <param name="Port">The caliper's port, or null for that of the settings.</param>
/// <param name="Store">The store, or null for the usual one.</param>
internal sealed record DayOptions(string? Standard, string? Tags, string? Hand, string? Port, string? Store);
