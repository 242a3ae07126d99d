using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Files;
using CaliperStation.Storage;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Cli;

/// <summary>Opens a store for a looking command and tells what there is to tell.</summary>
internal static class StoreLook
{
    private const int MostTold = 20;   // a store damaged all over would fill the screen; records verify tells all

    /// <summary>Opens the store; a torn end and damage are told on <paramref name="error"/>, what can be read stays readable.</summary>
    /// <exception cref="StationException">Exit 2: the folder that was named holds no store.</exception>
    internal static Store Open(string? store, TextWriter error)
    {
        Store opened = OpenStore.ToLook(Paths(store), TimeProvider.System, error);
        foreach (JournalDamage damage in opened.Report.Damage.Take(MostTold))
        {
            error.WriteLine(PrintableText.Escape(damage.ToString() + "."));
        }

        return opened;
    }

    /// <summary>The places of a store to be looked at. The usual place may be empty yet; a folder that was named is not: it was mistyped.</summary>
    /// <exception cref="StationException">Exit 2: the folder that was named holds no store.</exception>
    internal static StorePaths Paths(string? store)
    {
        StorePaths paths = StorePaths.OnThisMachine(store);
        return store is null || Directory.Exists(paths.Journal) ? paths
            : throw new StationException(ExitCode.Usage, Directory.Exists(paths.Store)
                ? $"--store: {PrintableText.Escape(paths.Store)} holds no store of a bench (there is no folder \"journal\" in it)."
                : $"--store: there is no folder {PrintableText.Escape(paths.Store)}.");
    }

    /// <summary>The standard a record was judged by, from the texts the store keeps or the program's own; null when neither has it.</summary>
    internal static Standard? StandardOf(Store store, Record record)
    {
        byte[]? text = OpenStore.Shelf(store).Find(record.Standard.Sha256);
        Standard? standard = text is null ? StandardSource.Demonstration().Standard : StandardText.Load(text).Standard;
        return standard?.Sha256 == record.Standard.Sha256 ? standard : null;
    }

    /// <summary>The exit code of a command that did its work: 5 when the store it read is damaged.</summary>
    internal static int Result(Store store, int good = ExitCode.Good) => store.Report.IsSound ? good : ExitCode.Store;
}
