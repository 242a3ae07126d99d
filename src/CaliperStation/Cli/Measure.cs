using CaliperStation.Bench;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Running;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>The bench: opens the store, begins or resumes the sitting, and hands it to the screen or the plain bench.</summary>
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
        RecordFiler filer = new(store, clock);
        (SittingSession session, string assumed) = Session(options, standard, answers, store, clock, output, error);
        CaliperChoice caliper = CaliperChoice.Of(options, settings, session.State.Plan, clock);
        if (caliper.Remark is { } remark)
        {
            await error.WriteLineAsync(PrintableText.Escape(remark)).ConfigureAwait(false);
        }

        string? reminder = caliper.WantsChecks ? CheckJournal.Reminder(CheckJournal.Last(store, caliper.PortName), settings.Check.Days, clock.GetUtcNow()) : null;
        if (reminder is not null)
        {
            await error.WriteLineAsync(PrintableText.Escape(reminder)).ConfigureAwait(false);
        }

        if (!options.Plain)
        {
            string greeting = string.Join(" ", TooNarrow.In(session.State.Plan, TypedRule.Usual.DecimalMillimetre).Select(VerdictText.Narrow).Append(assumed).Append(caliper.Remark ?? "").Append(reminder ?? "")).Trim();
            BenchLoop loop = new(session, caliper.Live, filer.File, caliper.Guide, clock, greeting, settings.Unit) { SmallestMove = settings.SmallestMove };
            using BenchScreen? screen = BenchScreen.TryOpen(loop.Present(), SwitchKeys.Of(settings.PressKey, settings.PressText));
            if (screen is not null)
            {
                return await OnScreenAsync(session, loop, screen, caliper, output, error, stop).ConfigureAwait(false);
            }

            await error.WriteLineAsync("There is no terminal to draw on: the plain bench is used.").ConfigureAwait(false);
        }

        if (assumed.Length > 0)
        {
            await error.WriteLineAsync(PrintableText.Escape(assumed)).ConfigureAwait(false);
        }

        IPlainFace face = options.Json ? new PlainJsonFace(output) : new PlainTextFace(output, session.State.Plan.Standard.Show);
        LineReader lines = new(Console.In, settings.PressText);
        PlainBench bench = new(session, caliper.Start(error, lines.Press, stop), lines, face, filer.File, clock) { SmallestMove = settings.SmallestMove };
        int result = await bench.RunAsync(stop).ConfigureAwait(false);
        if (result == ExitCode.Interrupted)
        {
            await error.WriteLineAsync(Resume(session)).ConfigureAwait(false);
        }

        return result;
    }

    private static async Task<int> OnScreenAsync(
        SittingSession session, BenchLoop loop, BenchScreen screen, CaliperChoice caliper, TextWriter output, TextWriter error, CancellationToken stop)
    {
        using CancellationTokenSource leave = CancellationTokenSource.CreateLinkedTokenSource(stop);
        caliper.StartLive(loop.Post, leave.Token);
        Task work = Task.Run(() => loop.RunAsync(screen, leave.Token), CancellationToken.None);
        screen.Run(loop.Post);   // the terminal is given back when this returns
        await leave.CancelAsync().ConfigureAwait(false);
        await work.ConfigureAwait(false);
        if (screen.SurvivedFaults > 0)
        {
            Log.Note($"The terminal kit survived {screen.SurvivedFaults} faults.");
        }

        if (loop.Record is { } record)
        {
            await output.WriteLineAsync($"Record {record}, {(session.View.IsVerified ? "verified" : "not verified")}.").ConfigureAwait(false);
        }
        else
        {
            await error.WriteLineAsync(Resume(session)).ConfigureAwait(false);
        }

        return loop.Result;
    }

    /// <summary>The open sitting of the tag goes on; else a new one begins, and what was taken for granted about it is told.</summary>
    private static (SittingSession Session, string Assumed) Session(
        MeasureOptions options, LoadedStandard standard, Dictionary<string, string> answers, Store store, TimeProvider clock, TextWriter output, TextWriter error)
    {
        string prefix = options.Standard is null ? DemonstrationTag : "BLOUSE-";
        UnfiledSitting? open = SittingFinder.Newest(store, options.Tag, tag => options.Tag is not null || tag.StartsWith(prefix, StringComparison.Ordinal));
        if (open is not null)
        {
            return (Resumed(options, standard, answers, open, store, clock, error), "");
        }

        string tag = options.Tag ?? SittingFinder.NextTag(store, prefix);
        if (options.Tag is null && options.Standard is not null)
        {
            error.WriteLine($"No --tag was given: this blouse is called {tag}.");
        }

        if (options.Ask)
        {
            Carried.Ask(standard.Standard, answers, Console.In, options.Json ? new PlainJsonFace(output) : new PlainTextFace(output, standard.Standard.Show));
        }

        OpenStore.Shelf(store).Keep(standard.Standard.Sha256, standard.Bytes);
        SittingSession begun = SittingSession.Begin(
            store, clock, Plan.For(standard.Standard, answers), tag, options.Hand ?? (options.Standard is null ? DemonstrationHand : ""));
        return (begun, options.Standard is null ? "" : Carried.Assumed(standard.Standard, answers));
    }

    private static SittingSession Resumed(
        MeasureOptions options, LoadedStandard standard, Dictionary<string, string> answers, UnfiledSitting open, Store store, TimeProvider clock, TextWriter error)
    {
        LoadedStandard begun = open.Started.StandardSha256 == standard.Standard.Sha256 ? standard
            : OpenStore.Shelf(store).Find(open.Started.StandardSha256) is { } text ? StandardSource.FromBytes(text, "the standard this sitting was begun with")
            : throw new StationException(ExitCode.Store, $"The sitting of {open.Started.Tag} was begun with another text of the standard, which the store no longer holds.");
        if (begun != standard && options.Standard is not null)
        {
            error.WriteLine(PrintableText.Escape($"The standard has changed since this sitting was begun; it goes on with {begun.Standard.Name}, {begun.Standard.Edition}, as it was."));
        }

        if (answers.FirstOrDefault(answer => open.Started.Answers.GetValueOrDefault(answer.Key) != answer.Value) is { Key: { } question })
        {
            throw new StationException(ExitCode.Usage, $"The open sitting of {open.Started.Tag} was begun with {question} = {PrintableText.Escape(open.Started.Answers.GetValueOrDefault(question, "nothing"))}; close it first, or leave that --answer out.");
        }

        error.WriteLine($"The open sitting of {open.Started.Tag} goes on where it was.");
        return SittingSession.Resume(store, clock, Plan.For(begun.Standard, open.Started.Answers), open.Started, open.Events);
    }

    private static void Refuse(string? complaint, string option)
    {
        if (complaint is not null)
        {
            throw new StationException(ExitCode.Usage, $"{option}: {complaint}.");
        }
    }

    private static string Resume(SittingSession session) =>
        $"Stopped; every reading is kept. To go on: caliper-station measure … --tag {session.State.Started.Tag}";
}
