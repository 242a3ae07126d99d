using System.Diagnostics;
using System.Globalization;
using System.Text;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>The right to write a store: one bench at a time. The system takes it back when the process ends, however it ends.</summary>
internal sealed class StoreLock : IDisposable
{
    private readonly FileStream _file;

    private StoreLock(FileStream file) => _file = file;

    /// <summary>Acquires the lock.</summary>
    /// <exception cref="StoreException">Another bench has it, or the folder cannot be written.</exception>
    public static StoreLock Acquire(StorePaths paths)
    {
        paths.Create();
        try
        {
            StoreLock taken = new(OwnFile.Open(paths.Lock, FileMode.OpenOrCreate, FileAccess.ReadWrite));
            NoteHolder(paths);
            return taken;
        }
        catch (UnauthorizedAccessException e)
        {
            throw new StoreException(StoreFault.NotLocked, $"The store {paths.Store} cannot be written: {e.Message} Give this account the right to write there, or choose another folder with --store.", e);
        }
        catch (IOException e) when (OwnFile.IsHeld(e))
        {
            throw new StoreException(StoreFault.InUse, $"The store {paths.Store} is in use: another bench {(Holder(paths) is { } process ? $"(process {process}) " : "")}is writing it. Close that first, or choose another folder with --store.", e);
        }
        catch (IOException e)
        {
            throw new StoreException(StoreFault.NotLocked, $"The store {paths.Store} cannot be locked for writing: {e.Message} Choose another folder with --store.", e);
        }
    }

    /// <summary>True when a bench has the lock now. A bench that takes it in the very moment this asks is refused it, so ask seldom.</summary>
    public static bool IsHeld(StorePaths paths)
    {
        try
        {
            using FileStream file = new(paths.Lock, FileMode.Open, FileAccess.Read, FileShare.Read);   // a shared lock: lookers do not refuse each other
            return false;
        }
        catch (FileNotFoundException)
        {
            return false;
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            return e is not DirectoryNotFoundException;
        }
    }

    /// <inheritdoc />
    public void Dispose() => _file.Dispose();

    private static string HolderOf(StorePaths paths) => paths.Lock + ".holder";

    /// <summary>Notes who has the lock beside it, for a locked file cannot be read. It is only a help to whoever is refused, so nothing hangs on it.</summary>
    private static void NoteHolder(StorePaths paths)
    {
        try
        {
            using FileStream file = OwnFile.Open(HolderOf(paths), FileMode.Create, FileAccess.Write, FileShare.ReadWrite);
            file.Write(Encoding.ASCII.GetBytes(Environment.ProcessId.ToString(CultureInfo.InvariantCulture)));
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            // the refusal then names no process
        }
    }

    /// <summary>The living process that noted itself last; null when none is known.</summary>
    private static int? Holder(StorePaths paths)
    {
        try
        {
            using Process process = Process.GetProcessById(int.Parse(File.ReadAllText(HolderOf(paths)), NumberStyles.None, CultureInfo.InvariantCulture));
            return process.Id;
        }
        catch (Exception e) when (FileFault.IsOfNamed(e) || e is FormatException or OverflowException)   // the last: it is gone
        {
            return null;
        }
    }
}
