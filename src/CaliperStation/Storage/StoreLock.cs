using System.Globalization;
using System.Text;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>The right to write a store: one bench at a time. The system takes it back when the process ends, however it ends.</summary>
internal sealed class StoreLock : IDisposable
{
    private readonly FileStream _file;

    private StoreLock(FileStream file) => _file = file;

    /// <summary>Takes the lock.</summary>
    /// <exception cref="StoreException">Another bench has it, or the folder cannot be written.</exception>
    public static StoreLock Take(StorePaths paths)
    {
        paths.Create();
        try
        {
            FileStream file = OwnFile.Open(paths.Lock, FileMode.OpenOrCreate, FileAccess.ReadWrite);
            OwnFile.Replace(HolderOf(paths), Encoding.ASCII.GetBytes(Environment.ProcessId.ToString(CultureInfo.InvariantCulture)));   // a locked file cannot be read
            return new StoreLock(file);
        }
        catch (UnauthorizedAccessException e)
        {
            throw new StoreException($"The store {paths.Store} cannot be written: {e.Message} Give this account the right to write there, or choose another folder with --store.", e);
        }
        catch (IOException e)
        {
            throw new StoreException($"The store {paths.Store} is in use: {(Holder(paths) is { } process ? $"another bench (process {process}) is writing it" : $"it cannot be locked for writing ({e.Message.TrimEnd('.')})")}. Close that first, or choose another folder with --store.", e)
            {
                IsInUse = true,
            };
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
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return e is not DirectoryNotFoundException;
        }
    }

    /// <inheritdoc />
    public void Dispose() => _file.Dispose();

    private static string HolderOf(StorePaths paths) => paths.Lock + ".holder";

    private static string? Holder(StorePaths paths)
    {
        try
        {
            return int.TryParse(File.ReadAllText(HolderOf(paths)), NumberStyles.None, CultureInfo.InvariantCulture, out int process) ? process.ToString(CultureInfo.InvariantCulture) : null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }
}
