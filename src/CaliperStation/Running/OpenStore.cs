using CaliperStation.Core.Quantities;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>A store opened for a bench that writes: the lock, then the journal, then what hangs on it.</summary>
internal sealed class OpenStore : IDisposable
{
    private readonly StoreLock _lock;

    private OpenStore(StorePaths paths, StoreLock taken, Journal journal)
    {
        Paths = paths;
        _lock = taken;
        Journal = journal;
        Shelf = new StandardShelf(Path.Combine(paths.Store, "standards"));
    }

    internal StorePaths Paths { get; }

    internal Journal Journal { get; }

    /// <summary>The exact texts of the standards that sittings were begun with.</summary>
    internal StandardShelf Shelf { get; }

    /// <summary>Opens for writing; what was found on opening is told on <paramref name="error"/>.</summary>
    /// <exception cref="StoreException">It cannot be written, another bench works on it, or it is damaged.</exception>
    internal static OpenStore ForWriting(StorePaths paths, TimeProvider clock, TextWriter error)
    {
        paths.Create();
        Log.Open(paths.Logs);
        StoreLock taken = StoreLock.Take(paths);
        try
        {
            Journal journal = Journal.Open(paths, forWriting: true, clock);
            if (journal.Report.Torn is { } torn)
            {
                error.WriteLine(PrintableText.Escape($"The journal's end was torn: {torn.Words}."));
            }

            if (!journal.Report.IsSound)
            {
                string damage = string.Join('\n', journal.Report.Damage.Take(20).Select(place => place.ToString()));
                journal.Dispose();
                throw new StoreException($"The journal is damaged; nothing was mended and nothing is written to it. What can be read can still be looked at with the records commands.\n{damage}");
            }

            return new OpenStore(paths, taken, journal);
        }
        catch
        {
            taken.Dispose();
            throw;
        }
    }

    public void Dispose()
    {
        Journal.Dispose();
        _lock.Dispose();
    }
}
