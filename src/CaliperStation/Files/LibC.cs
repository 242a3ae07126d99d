using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace CaliperStation.Files;

/// <summary>The functions and numbers of the C library that this program calls: the only imports of it. Linux and macOS alone.</summary>
/// <remarks>
/// POSIX.1-2017, System Interfaces, and flock(2). Names are the library's own. A function that fails returns -1 (a pointer: null), and
/// <see cref="Marshal.GetLastPInvokeError"/> has the error number.
/// </remarks>
internal static unsafe partial class LibC
{
    private const string Name = "libc";

    internal const int EINTR = 4;
    internal const int EIO = 5;
    internal const int ENXIO = 6;
    internal const int EACCES = 13;
    internal const int EBUSY = 16;
    internal const int ENODEV = 19;
    internal const int EINVAL = 22;
    internal const int ENOTTY = 25;

    internal const int O_RDONLY = 0;
    internal const int O_RDWR = 2;

    internal const int R_OK = 4;
    internal const int W_OK = 2;
    internal const int LOCK_EX = 2;
    internal const int LOCK_NB = 4;
    internal const int LOCK_UN = 8;
    internal const int F_GETFD = 1;
    internal const int FD_CLOEXEC = 1;
    internal const short POLLIN = 0x1;
    internal const short POLLHUP = 0x10;
    internal const int TCSANOW = 0;
    internal const int TCSAFLUSH = 2;

    /// <summary>Bytes to keep a struct termios in: more than any system's. No field of it is read here.</summary>
    internal const int TermiosSize = 256;

    // From here on the two systems differ (their headers fcntl.h, errno.h, signal.h, termios.h).
    internal static readonly int EWOULDBLOCK = OperatingSystem.IsMacOS() ? 35 : 11;
    internal static readonly int O_NONBLOCK = OperatingSystem.IsMacOS() ? 0x4 : 0x800;
    internal static readonly int O_NOCTTY = OperatingSystem.IsMacOS() ? 0x2_0000 : 0x100;
    internal static readonly int O_CLOEXEC = OperatingSystem.IsMacOS() ? 0x100_0000 : 0x8_0000;
    internal static readonly int SIGSTOP = OperatingSystem.IsMacOS() ? 17 : 19;
    internal static readonly uint B50 = OperatingSystem.IsMacOS() ? 50u : 1u;

    /// <summary>struct pollfd.</summary>
    internal struct PollFd
    {
        public int Fd;
        public short Events;
        public short Revents;
    }

    [LibraryImport(Name, SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    internal static partial int access(string path, int mode);

    [LibraryImport(Name, SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    internal static partial int open(string path, int flags);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial nint read(int fd, byte* bytes, nuint count);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial nint write(int fd, byte* bytes, nuint count);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int fsync(int fd);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int close(int fd);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int fcntl(int fd, int command);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int dup2(int from, int to);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int flock(SafeFileHandle handle, int operation);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int poll(PollFd* asked, nuint count, int milliseconds);

    [LibraryImport(Name, SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    internal static partial int execv(string path, nint[] arguments);

    [LibraryImport(Name)]
    internal static partial int kill(int process, int signal);

    [LibraryImport(Name)]
    internal static partial int getsid(int process);

    [LibraryImport(Name)]
    internal static partial int getpgrp();

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int isatty(int fd);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int tcgetattr(int fd, byte* settings);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int tcsetattr(int fd, int when, byte* settings);

    [LibraryImport(Name)]
    internal static partial void cfmakeraw(byte* settings);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int cfsetspeed(byte* settings, uint speed);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int posix_openpt(int flags);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int grantpt(int fd);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial int unlockpt(int fd);

    [LibraryImport(Name, SetLastError = true)]
    internal static partial nint ptsname(int fd);
}
