using CaliperStation.Bench;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>The bench: opens the store, begins or resumes the sitting, and opens the bench on it.</summary>
internal static class Measure
{
    private const string DemonstrationTag = "DEMO-";
    private const string DemonstrationHand = "DH";

    internal static async Task<int> RunAsync(MeasureOptions options, TextWriter output, TextWriter error, CancellationToken stop)
    {
        TimeProvider clock = TimeProvider.System;
        LoadedStandard standard = options.Standard is { } path ? StandardSource.FromFile(path) : StandardSource.Demonstration();
        Dictionary<string, string> answers = GivenAnswers.Of(standard.Standard, options.Answers);
        Refuse(options.Tag is { } tag ? BlouseTag.Complaint(tag) : null, "--tag");
        Refuse(options.Hand is { } hand ? Initials.Complaint(hand) : null, "--hand");
        StorePaths paths = StorePaths.OnThisMachine(options.Store);
        Settings settings = Settings.Load(paths.Settings);
        using Store store = OpenStore.ForWork(paths, clock, error);
        LineReader? lines = options.Plain || options.Json ? LineReader.OfConsole(settings.PressText) : null;
        List<string> remarks = [];
        (Work work, Resume? resume) = Session(options, standard, answers, store, clock, lines, output, remarks, stop);
        CaliperChoice caliper = CaliperChoice.Of(
            new PortRequest(options.Port ?? settings.Port, options.Serial, options.Format, options.Seed, settings.Unit ?? standard.Standard.Unit, options.Standard is null), settings, work.View.State.Plan, clock);
        string? reminder = caliper.WantsChecks ? CheckJournal.Reminder(CheckJournal.Last(store, caliper.PortName), settings.Check.Days, clock.GetUtcNow()) : null;
        BenchSetup setup = new()
        {
            SmallestMove = settings.SmallestMove,
            KeyboardUnit = settings.Unit,
            Hand = options.Hand ?? "",
            Resume = resume,
            Remarks = [.. remarks, .. new[] { caliper.Remark, reminder }.OfType<string>()],
        };
        int result = await new OpenBench(work, setup, caliper, null, lines).RunAsync(options.Plain, options.Json, store, settings, output, error, stop).ConfigureAwait(false);
        if (result == ExitCode.Interrupted)
        {
            await error.WriteLineAsync($"Stopped; every reading is kept. To go on: caliper-station measure{(options.Standard is null ? "" : " …")} --tag {work.View.State.Tag}").ConfigureAwait(false);
        }

        return result;
    }

    /// <summary>The open sitting of the tag goes on; without a tag a new blouse begins, and what is open is told.</summary>
    private static (Work Work, Resume? Resume) Session(
        MeasureOptions options, LoadedStandard standard, Dictionary<string, string> answers, Store store, TimeProvider clock, LineReader? lines, TextWriter output, List<string> remarks,
        CancellationToken stop)
    {
        if (options.Tag is not null && SittingFinder.Newest(store, options.Tag) is { } open)
        {
            return Resumed(options, standard, answers, open, store, clock);
        }

        string tag = options.Tag ?? SittingFinder.NextTag(store, options.Standard is null ? DemonstrationTag : "BLOUSE-");
        if (options.Tag is null)
        {
            string[] left = [.. store.Records.OpenSittings().Select(sitting => sitting.Tag).Distinct(BlouseTag.Comparer)];
            remarks.Add(left.Length == 0 ? $"No --tag was given: this blouse is called {tag}."
                : $"No --tag was given: this blouse is called {tag}. Left open: {string.Join(", ", left)}; --tag goes on with one.");
        }

        if (options.Ask)
        {
            LineOutput asking = new(output, standard.Standard.Show, options.Json);
            BlouseQuestions.Ask(standard.Standard, answers, lines is null ? Console.In.ReadLine : () => lines.Ask(stop), asking.Say);
        }

        OpenStore.Shelf(store).Keep(standard.Standard.Sha256, standard.Bytes);
        if (options.Standard is not null && BlouseQuestions.Assumed(standard.Standard, answers) is { Length: > 0 } assumed)
        {
            remarks.Add(assumed);
        }

        return (Sittings.Begin(store, clock, Plan.For(standard.Standard, answers), tag, options.Hand ?? (options.Standard is null ? DemonstrationHand : "")), null);
    }

    private static (Work Work, Resume? Resume) Resumed(
        MeasureOptions options, LoadedStandard standard, Dictionary<string, string> answers, UnfiledSitting open, Store store, TimeProvider clock)
    {
        LoadedStandard begun = open.Started.StandardSha256 == standard.Standard.Sha256 ? standard
            : OpenStore.Shelf(store).Find(open.Started.StandardSha256) is { } text ? StandardSource.FromBytes(text, "the standard this sitting was begun with")
            : throw new StationException(ExitCode.Store, $"The sitting of {open.Started.Tag} was begun with another text of the standard, which the store no longer holds.");
        if (answers.FirstOrDefault(answer => open.Started.Answers.GetValueOrDefault(answer.Key) != answer.Value) is { Key: { } question })
        {
            throw new StationException(ExitCode.Usage, $"The open sitting of {open.Started.Tag} was begun with {question} = {PrintableText.Escape(open.Started.Answers.GetValueOrDefault(question, "nothing"))}; close it first, or leave that --answer out.");
        }

        Work work = Sittings.Resume(Plan.For(begun.Standard, open.Started.Answers), open);
        return (work, Sittings.Found(work, open.Events.Select(happened => happened.At).Append(open.Started.At).Max(), begun != standard && options.Standard is not null, clock));
    }

    private static void Refuse(string? complaint, string option)
    {
        if (complaint is not null)
        {
            throw new StationException(ExitCode.Usage, $"{option}: {complaint}.");
        }
    }
}
