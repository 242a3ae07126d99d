using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace CaliperStation.Files;

/// <summary>Files of the station itself: only their owner may read them, and one that is replaced is there whole or not at all.</summary>
internal static class OwnFile
{
    private const int HeldOnWindows = unchecked((int)0x8007_0020);      // ERROR_SHARING_VIOLATION

    private static readonly int _readOnly = LibC.O_RDONLY | LibC.O_CLOEXEC;   // no process started from here has it

    /// <summary>Read and write for the owner, nothing for others.</summary>
    internal const UnixFileMode Mode = UnixFileMode.UserRead | UnixFileMode.UserWrite;

    /// <summary>Opens a file; one that is made here is for its owner only.</summary>
    /// <exception cref="IOException">It cannot be opened, or others have it.</exception>
    /// <exception cref="UnauthorizedAccessException">This account may not.</exception>
    internal static FileStream Open(string path, FileMode mode, FileAccess access, FileShare share = FileShare.None, int buffer = 4096)
    {
        FileStreamOptions options = new() { Mode = mode, Access = access, Share = share, BufferSize = buffer };
        if (!OperatingSystem.IsWindows() && mode is not (FileMode.Open or FileMode.Truncate))
        {
            options.UnixCreateMode = Mode;
        }

        return new FileStream(path, options);
    }

    /// <summary>Writes a file beside its place, flushes it, renames it and flushes its folder: after a power cut the old or the new one is there.</summary>
    /// <exception cref="IOException">It cannot be written.</exception>
    /// <exception cref="UnauthorizedAccessException">This account may not.</exception>
    internal static void Replace(string path, ReadOnlySpan<byte> bytes)
    {
        string beside = path + ".new";
        Write(beside, bytes);
        Rename(beside, path);
    }

    /// <summary>Writes a new file and flushes it; one of that name that is left over is deleted first, for it would keep its own permissions.</summary>
    /// <exception cref="IOException">It cannot be written.</exception>
    /// <exception cref="UnauthorizedAccessException">This account may not.</exception>
    internal static void Write(string path, ReadOnlySpan<byte> bytes)
    {
        using FileStream file = OpenNew(path);
        file.Write(bytes);
        file.Flush(flushToDisk: true);
    }

    /// <summary>The same, piece by piece.</summary>
    /// <param name="path">The file.</param>
    /// <param name="read">Fills the buffer with what stands from that position on; 0 at the end.</param>
    /// <exception cref="IOException">It cannot be read or written.</exception>
    /// <exception cref="UnauthorizedAccessException">This account may not.</exception>
    internal static void Write(string path, Func<byte[], long, int> read)
    {
        byte[] buffer = new byte[128 * 1024];
        using FileStream file = OpenNew(path);
        for (int count = read(buffer, 0); count > 0; count = read(buffer, file.Length))
        {
            file.Write(buffer, 0, count);
        }

        file.Flush(flushToDisk: true);
    }

    private static FileStream OpenNew(string path)
    {
        File.Delete(path);
        return Open(path, FileMode.CreateNew, FileAccess.Write);
    }

    /// <summary>Gives a flushed file its name, over one that has it, and makes the name durable.</summary>
    /// <exception cref="IOException">It cannot be renamed.</exception>
    /// <exception cref="UnauthorizedAccessException">This account may not.</exception>
    internal static void Rename(string beside, string path)
    {
        File.Move(beside, path, overwrite: true);
        FlushFolder(Path.GetDirectoryName(Path.GetFullPath(path))!);
    }

    /// <summary>Makes the names in a folder durable: without it a power cut may leave a flushed file that nothing names (fsync(2)). Windows cannot and need not.</summary>
    /// <exception cref="IOException">It could not be flushed.</exception>
    /// <exception cref="UnauthorizedAccessException">This account may not open it.</exception>
    internal static void FlushFolder(string folder)
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        int handle = LibC.open(folder, _readOnly);
        if (handle < 0)
        {
            int failed = Marshal.GetLastPInvokeError();
            throw failed == LibC.EACCES
                ? new UnauthorizedAccessException("the folder may not be opened to flush it")
                : new IOException($"the folder cannot be opened to flush it (error {failed})");
        }

        int result = LibC.fsync(handle);
        int error = Marshal.GetLastPInvokeError();
        _ = LibC.close(handle);
        if (result != 0)
        {
            throw new IOException($"the folder cannot be flushed to the disk (error {error})");
        }
    }

    /// <summary>True for the exception of a file that another process has.</summary>
    internal static bool IsHeld(IOException e) => e.HResult == (OperatingSystem.IsWindows() ? HeldOnWindows : LibC.EWOULDBLOCK);

    /// <summary>True for what is there but is no plain file: a link, a pipe, a device. Looks without waiting for a pipe's other end.</summary>
    /// <exception cref="IOException">It cannot be looked at.</exception>
    internal static bool IsNoFile(string path)
    {
        if (new FileInfo(path).LinkTarget is not null || Directory.Exists(path))
        {
            return true;
        }

        if (OperatingSystem.IsWindows())
        {
            return false;
        }

        using SafeFileHandle handle = new(LibC.open(path, _readOnly | LibC.O_NONBLOCK), ownsHandle: true);
        if (handle.IsInvalid)
        {
            return false;   // whoever opens it says why
        }

        using FileStream stream = new(handle, FileAccess.Read, bufferSize: 0);
        return !stream.CanSeek;
    }

    /// <summary>Holds a folder against others who ask for the same, until it is disposed or the process ends (flock(2)).</summary>
    /// <returns>Null where others have it, and where the system or the file system has no such hold.</returns>
    internal static IDisposable? HoldFolder(string folder, out bool others)
    {
        others = false;
        if (OperatingSystem.IsWindows())
        {
            return null;   // an open file cannot be deleted there, so a lock file is enough
        }

        SafeFileHandle handle = new(LibC.open(folder, _readOnly), ownsHandle: true);
        if (!handle.IsInvalid && LibC.flock(handle, LibC.LOCK_EX | LibC.LOCK_NB) == 0)
        {
            return new FolderHold(handle);
        }

        others = !handle.IsInvalid && Marshal.GetLastPInvokeError() == LibC.EWOULDBLOCK;
        handle.Dispose();
        return null;
    }

    /// <summary>A held folder. Closing alone would not free it: a process that is being started has a copy of the handle until it runs its own program.</summary>
    private sealed class FolderHold(SafeFileHandle handle) : IDisposable
    {
        public void Dispose()
        {
            if (!handle.IsClosed)
            {
                _ = LibC.flock(handle, LibC.LOCK_UN);
            }

            handle.Dispose();
        }
    }
}
