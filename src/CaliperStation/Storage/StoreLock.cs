using System.Globalization;
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
            file.SetLength(0);
            file.Write(System.Text.Encoding.ASCII.GetBytes(Environment.ProcessId.ToString(CultureInfo.InvariantCulture)));
            file.Flush();
            return new StoreLock(file);
        }
        catch (UnauthorizedAccessException e)
        {
            throw new StoreException($"The store {paths.Store} cannot be written: {e.Message} Give this account the right to write there, or choose another folder with --store.", e);
        }
        catch (IOException e)
        {
            throw new StoreException(Holder(paths.Lock) is { } process
                ? $"Another bench (process {process}) is writing the store {paths.Store}. Close it first, or choose another folder with --store."
                : $"The store {paths.Store} cannot be locked for writing: {e.Message} If another bench has it open, close it first; or choose another folder with --store.", e)
            {
                IsWrongUsage = true,
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

    private static string? Holder(string path)
    {
        try
        {
            using FileStream file = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            Span<byte> bytes = stackalloc byte[12];
            string text = System.Text.Encoding.ASCII.GetString(bytes[..file.ReadAtLeast(bytes, bytes.Length, throwOnEndOfStream: false)]);
            return int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out _) ? text : null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return null;   // Windows does not let a locked file be read
        }
    }
}
