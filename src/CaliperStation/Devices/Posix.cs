using System.Runtime.InteropServices;

namespace CaliperStation.Devices;

/// <summary>What the C library can tell of a device node and the runtime cannot.</summary>
internal static partial class Posix
{
    /// <summary>EACCES.</summary>
    internal const int Denied = 13;

    /// <summary>EBUSY: held with TIOCEXCL.</summary>
    internal const int Busy = 16;

    /// <summary>ENOTTY: it opened, but is no terminal line.</summary>
    internal const int NotTerminal = 25;

    /// <summary>EIO: a node without hardware behind it.</summary>
    internal const int NothingBehind = 5;

    private const int ReadAndWrite = 4 | 2;   // R_OK | W_OK

    private static int NoControl => OperatingSystem.IsMacOS() ? 0x2_0004 : 0x900;   // O_NOCTTY | O_NONBLOCK

    /// <summary>0 when this user may read and write the node, else the error number.</summary>
    internal static int Access(string path) => access(path, ReadAndWrite) == 0 ? 0 : Marshal.GetLastPInvokeError();

    /// <summary>Opens the node for a moment: 0 when it is a terminal line that opens, else the error number.</summary>
    /// <remarks>Only after an opening failed: opening and closing moves the modem lines, and resets some boards.</remarks>
    internal static int TryTerminal(string path)
    {
        int fd = open(path, NoControl);
        if (fd < 0)
        {
            return Marshal.GetLastPInvokeError() is var error && error is 6 or 19 ? NothingBehind : error;   // ENXIO, ENODEV
        }

        int result = isatty(fd) == 1 ? 0 : Marshal.GetLastPInvokeError();
        _ = close(fd);
        return result is 22 ? NotTerminal : result;   // EINVAL is what some files answer instead
    }

    /// <summary>The group whose members may open serial nodes: one of the two names of common systems (from memory).</summary>
    internal static string SerialGroup() => !HasGroup("dialout") && HasGroup("uucp") ? "uucp" : "dialout";

    private static bool HasGroup(string name)
    {
        try
        {
            return File.ReadLines("/etc/group").Any(line => line.StartsWith(name + ":", StringComparison.Ordinal));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return false;
        }
    }

    [LibraryImport("libc", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    private static partial int access(string path, int mode);

    [LibraryImport("libc", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    private static partial int open(string path, int flags);

    [LibraryImport("libc", SetLastError = true)]
    private static partial int isatty(int fd);

    [LibraryImport("libc", SetLastError = true)]
    private static partial int close(int fd);
}
