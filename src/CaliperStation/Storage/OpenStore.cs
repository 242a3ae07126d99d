using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>Opens stores for the commands and says what was found.</summary>
internal static class OpenStore
{
    /// <summary>Opens for writing; what was found on opening is written to <paramref name="error"/>.</summary>
    /// <exception cref="StoreException">It cannot be written, another bench works on it, or it is damaged.</exception>
    internal static Store ForWork(StorePaths paths, TimeProvider clock, TextWriter error, bool acceptsLoss = false)
    {
        Log.Open(paths.Logs);
        Store store = Store.OpenForWork(paths, clock, Progress(error), acceptsLoss);
        Tell(store, error);
        if (!store.Report.IsSound)
        {
            string damage = string.Join('\n', store.Report.Damage.Take(20).Select(place => place.ToString()));
            store.Dispose();
            throw new StoreException(StoreFault.Damaged, $"The journal is damaged; nothing was mended and nothing is written to it. What can be read can still be looked at with the records commands.\n{damage}") { Damage = store.Report.Damage };
        }

        try
        {
            if (RecordImport.Finish(store, clock) is { } brought)
            {
                error.WriteLine(FormattableString.Invariant($"An import that was interrupted is finished: the last {brought} of its records came in."));
            }
        }
        catch
        {
            store.Dispose();
            throw;
        }

        if (store.LastAt - clock.GetUtcNow() > Readiness.ClockTolerance)
        {
            error.WriteLine($"The clock says {FileWords.Instant(clock.GetUtcNow())}, but the last event in the store is of {FileWords.Instant(store.LastAt)}: check the clock. What is newest goes by the order of filing, so nothing is lost.");
        }

        return store;
    }

    /// <summary>Opens to look, also while a bench works.</summary>
    /// <exception cref="StoreException">It cannot be read.</exception>
    internal static Store ToLook(StorePaths paths, TimeProvider clock, TextWriter error, IProvenLines? lines = null)
    {
        Log.Open(paths.Logs);
        Store store = Store.OpenToLook(paths, clock, Progress(error), lines);
        Tell(store, error);
        return store;
    }

    /// <summary>Where the texts of standards are kept.</summary>
    internal static StandardArchive Archive(Store store) => new(store.Paths.Standards);

    private static void Tell(Store store, TextWriter error)
    {
        if (store.Report.Torn is { } torn)
        {
            error.WriteLine(PrintableText.Escape($"The journal's end was torn: {torn.Words}."));
        }

        if (File.Exists(store.Paths.Importing) && !store.IsForWork && !StoreLock.IsHeld(store.Paths))
        {
            error.WriteLine("An import was interrupted: only some of its records are here. It is finished when a bench next opens the store.");
        }

        if (store.HeadFault is { } fault)
        {
            error.WriteLine(PrintableText.Escape($"The store has less or other than it had: {fault}."));
        }
    }

    private static Action<StoreProgress> Progress(TextWriter error)
    {
        StoreBar bar = new(error, !Console.IsErrorRedirected);
        return bar.Show;
    }
}

/// <summary>Shows how far the opening of a store is, from one second on: a bar on a terminal, a line at its begin and end elsewhere.</summary>
internal sealed class StoreBar(TextWriter error, bool isTerminal)
{
    private const int Cells = 30;
    private static readonly TimeSpan WorthABar = TimeSpan.FromSeconds(1);

    private string? _shown;   // what is under way on the terminal's last line

    /// <summary>Takes note of how far it is.</summary>
    internal void Show(StoreProgress progress)
    {
        bool done = progress.Done >= progress.Total;
        if (_shown != progress.Why && (done || progress.Elapsed < WorthABar))
        {
            return;
        }

        bool isFirst = _shown != progress.Why;
        _shown = done ? null : progress.Why;
        double share = done ? 1 : (double)progress.Done / progress.Total;
        string words = FormattableString.Invariant($"{PrintableText.Escape(progress.Why)}: {100 * share:0} %, {progress.Elapsed.TotalSeconds:0.0} s");
        if (isTerminal)
        {
            int full = (int)(Cells * share);
            SafeWriter.Return(error);
            error.Write($"[{new string('#', full)}{new string('.', Cells - full)}] {words}{(done ? "\n" : "")}");
        }
        else if (done || isFirst)
        {
            error.WriteLine(words);
        }
    }
}
