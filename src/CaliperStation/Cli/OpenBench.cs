using CaliperStation.Bench;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Screen;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>A bench about to open: every kind of work has the same screen and the same lines.</summary>
/// <param name="Work">What is worked on.</param>
/// <param name="Setup">How the bench is set.</param>
/// <param name="Caliper">The caliper.</param>
/// <param name="First">The record that a second measurement looks back at, or null.</param>
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
            if (settings.PressKey is { } key && SwitchKeys.Complaint(key) is { } complaint)
            {
                throw new StationException(ExitCode.BadFile, $"{store.Paths.Settings}: press-key: {complaint}.");
            }

            BenchRun shown = Run(filer, store, true, null);
            using BenchScreen? screen = BenchScreen.TryOpen(BenchPresenter.Of(shown.State, shown.Now.Since), SwitchKeys.Of(settings.PressKey, settings.PressText));
            if (screen is not null)
            {
                return await OnScreenAsync(shown, screen, output, stop).ConfigureAwait(false);
            }

            await error.WriteLineAsync("There is no terminal to draw on: the bench works in lines.").ConfigureAwait(false);
        }

        foreach (string remark in Setup.Remarks)
        {
            await error.WriteLineAsync(PrintableText.Escape(remark)).ConfigureAwait(false);
        }

        BenchRun run = (this with { Setup = Setup with { Remarks = [] } }).Run(filer, store, false, Lines ?? LineReader.OfConsole(settings.PressText));
        return await run.RunAsync(new LineOutput(output, Work.View.State.Plan.Standard.Show, json), stop).ConfigureAwait(false);
    }

    private static async Task<int> OnScreenAsync(BenchRun run, BenchScreen screen, TextWriter output, CancellationToken stop)
    {
        using CancellationTokenSource leave = CancellationTokenSource.CreateLinkedTokenSource(stop);
        ScreenOutput shown = new(screen);
        Task<int> work = Task.Run(
            async () =>
            {
                try
                {
                    return await run.RunAsync(shown, leave.Token).ConfigureAwait(false);
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
        new(Work, Setup, Caliper.Caliper, Caliper.IsAsked(onScreen), store, filer.File, TimeProvider.System) { Guide = Caliper.Guide, Lines = lines };
}
