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
        Store opened = OpenStore.ToLook(StorePaths.OnThisMachine(store), TimeProvider.System, error);
        foreach (JournalDamage damage in opened.Report.Damage.Take(MostTold))
        {
            error.WriteLine(PrintableText.Escape(damage.ToString() + "."));
        }

        return opened;
    }

    /// <summary>The exit code of a command that did its work: 5 when the store it read is damaged.</summary>
    internal static int Result(Store store, int good = ExitCode.Good) => store.Report.IsSound ? good : ExitCode.Store;
}
