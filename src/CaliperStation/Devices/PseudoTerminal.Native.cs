using System.Runtime.InteropServices;

namespace CaliperStation.Devices;

/// <content>The C library's part (POSIX.1-2017, posix_openpt, grantpt, unlockpt, ptsname, termios, poll).</content>
internal sealed unsafe partial class PseudoTerminal
{
    private const short Readable = 0x1;    // POLLIN
    private const short HangUp = 0x10;     // POLLHUP
    private const int Interrupted = 4;     // EINTR

    // O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC
    private static int OpenFlags => OperatingSystem.IsMacOS() ? 0x2 | 0x2_0000 | 0x4 | 0x100_0000 : 0x2 | 0x100 | 0x800 | 0x8_0000;

    private struct PollFd
    {
        public int Fd;
        public short Wanted;
        public short Answer;
    }

    [LibraryImport("libc", SetLastError = true)]
    private static partial int posix_openpt(int flags);

    [LibraryImport("libc", SetLastError = true)]
    private static partial int grantpt(int fd);

    [LibraryImport("libc", SetLastError = true)]
    private static partial int unlockpt(int fd);

    [LibraryImport("libc", SetLastError = true)]
    private static partial nint ptsname(int fd);

    [LibraryImport("libc", SetLastError = true)]
    private static partial int tcgetattr(int fd, byte* settings);

    [LibraryImport("libc", SetLastError = true)]
    private static partial int tcsetattr(int fd, int when, byte* settings);

    [LibraryImport("libc")]
    private static partial void cfmakeraw(byte* settings);

    [LibraryImport("libc", SetLastError = true)]
    private static partial int cfsetspeed(byte* settings, uint speed);

    [LibraryImport("libc", SetLastError = true)]
    private static partial nint write(int fd, byte* bytes, nuint count);

    [LibraryImport("libc", SetLastError = true)]
    private static partial nint read(int fd, byte* bytes, nuint count);

    [LibraryImport("libc", SetLastError = true)]
    private static partial int poll(PollFd* asked, nuint count, int milliseconds);

    [LibraryImport("libc", SetLastError = true)]
    private static partial int close(int fd);
}
