using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Running;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>Opens a store for a looking command and tells what there is to tell.</summary>
internal static class StoreLook
{
    private const int MostTold = 20;   // a store damaged all over would fill the screen; records verify tells all

    /// <summary>Opens the store; a torn end and damage are told on <paramref name="error"/>, what can be read stays readable.</summary>
    internal static Store Open(string? store, TextWriter error)
    {
        Store opened = Store.OpenToLook(StorePaths.OnThisMachine(store), TimeProvider.System, progress => Tell(progress, error));
        if (opened.Report.Torn is { } torn)
        {
            error.WriteLine(PrintableText.Escape(torn.Words + "."));
        }

        foreach (JournalDamage damage in opened.Report.Damage.Take(MostTold))
        {
            error.WriteLine(PrintableText.Escape(damage.ToString() + "."));
        }

        return opened;
    }

    /// <summary>The exit code of a command that did its work: 5 when the store it read is damaged.</summary>
    internal static int Result(Store store, int good = ExitCode.Good) => store.Report.IsSound ? good : ExitCode.Store;

    /// <summary>One line of progress, only when there is something to wait for.</summary>
    internal static void Tell(IndexProgress progress, TextWriter error)
    {
        if (progress.Total >= 2_000)
        {
            const int width = 20;
            int filled = (int)(width * progress.Done / progress.Total);
            error.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"{PrintableText.Escape(progress.Why)} [{new string('#', filled)}{new string('.', width - filled)}] {progress.Done} of {progress.Total} events, {progress.Elapsed.TotalSeconds:0.0} s"));
        }
    }
}
