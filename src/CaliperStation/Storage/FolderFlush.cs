using System.Runtime.InteropServices;

namespace CaliperStation.Storage;

/// <summary>Makes a new file's name durable: without it a power cut may leave a flushed file that nothing names (fsync(2)).</summary>
internal static partial class FolderFlush
{
    private const int ReadOnly = 0;   // O_RDONLY, the same number on Linux and macOS

    /// <summary>Flushes the folder's own entries; does nothing on Windows, where a folder cannot be flushed and need not be.</summary>
    /// <exception cref="IOException">It could not be flushed.</exception>
    public static void Flush(string folder)
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        int handle = Open(folder, ReadOnly);
        if (handle < 0)
        {
            throw new IOException($"the folder cannot be opened to flush it (error {Marshal.GetLastPInvokeError()})");
        }

        int result = FSync(handle);
        int error = Marshal.GetLastPInvokeError();
        _ = Close(handle);
        if (result != 0)
        {
            throw new IOException($"the folder cannot be flushed to the disk (error {error})");
        }
    }

    [LibraryImport("libc", EntryPoint = "open", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Open(string path, int flags);

    [LibraryImport("libc", EntryPoint = "fsync", SetLastError = true)]
    private static partial int FSync(int handle);

    [LibraryImport("libc", EntryPoint = "close", SetLastError = true)]
    private static partial int Close(int handle);
}
