using System.ComponentModel;
using System.Runtime.InteropServices;
using System.Text;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>A pretend serial line: this side plays the instrument, a program opens <see cref="PortName"/>.</summary>
/// <remarks>
/// Linux and macOS only. It ignores speed and parity and has no modem lines. The other side may come and go; what it
/// does not read is dropped when the line is full, as on a real wire. POSIX.1-2017: posix_openpt, grantpt, unlockpt, ptsname, termios, poll.
/// </remarks>
internal sealed unsafe class PseudoTerminal : IDisposable
{
    private readonly string? _link;
    private int _fd;
    private bool _reset;

    private PseudoTerminal(int fd, string device, string? link)
    {
        _fd = fd;
        DeviceName = device;
        _link = link;
    }

    /// <summary>The node of the other side.</summary>
    internal string DeviceName { get; }

    /// <summary>The stable name when one was asked for, else the node.</summary>
    internal string PortName => _link ?? DeviceName;

    /// <summary>Why there are none here, or null.</summary>
    internal static string? Unavailable => OperatingSystem.IsLinux() || OperatingSystem.IsMacOS()
        ? null
        : "Pseudo-terminals are not available on this system (Linux and macOS have them). Use the built-in caliper: --port emulated.";

    /// <summary>Opens a pair.</summary>
    /// <param name="link">A name that survives closing and opening again, or null. A link of that name is replaced, never a file.</param>
    /// <exception cref="PlatformNotSupportedException">There are none here; the message says what to do.</exception>
    /// <exception cref="IOException">The pair or the link cannot be made.</exception>
    internal static PseudoTerminal Open(string? link = null)
    {
        if (Unavailable is string reason)
        {
            throw new PlatformNotSupportedException(reason);
        }

        if (link is not null && Path.Exists(link) && new FileInfo(link).LinkTarget is null)
        {
            throw new IOException("there is a file of that name; give another name for the link");
        }

        int fd = Check(LibC.posix_openpt(LibC.O_RDWR | LibC.O_NOCTTY | LibC.O_NONBLOCK | LibC.O_CLOEXEC));
        try
        {
            Check(LibC.grantpt(fd));
            Check(LibC.unlockpt(fd));
            string device = Marshal.PtrToStringUTF8(LibC.ptsname(fd)) ?? throw new IOException("the pseudo-terminal has no name");
            PseudoTerminal terminal = new(fd, device, link);
            terminal.ResetLine();
            _ = DeviceNode.Try(device);   // opened and closed once: from now on the line knows that nobody listens yet
            if (link is not null)
            {
                File.Delete(link);
                File.CreateSymbolicLink(link, device);
            }

            return terminal;
        }
        catch
        {
            _ = LibC.close(fd);
            throw;
        }
    }

    /// <summary>True while a program has the other side open.</summary>
    internal bool HasListener
    {
        get
        {
            LibC.PollFd ask = new() { Fd = _fd };
            bool listening = LibC.poll(&ask, 1, 0) >= 0 && (ask.Revents & LibC.POLLHUP) == 0;
            if (listening)
            {
                _reset = false;
            }
            else if (!_reset)
            {
                ResetLine();   // else the next opening with parity or 7 bits would change nothing, which is an error to the C library
                _reset = true;
            }

            return listening;
        }
    }

    /// <summary>Raw, without echo, 8N1, at a speed nobody asks for.</summary>
    internal void ResetLine()
    {
        byte* settings = stackalloc byte[LibC.TermiosSize];
        Check(LibC.tcgetattr(_fd, settings));
        LibC.cfmakeraw(settings);
        Check(LibC.cfsetspeed(settings, LibC.B50));
        Check(LibC.tcsetattr(_fd, LibC.TCSANOW, settings));
    }

    /// <summary>Sends text, a byte a character.</summary>
    internal bool Write(string text) => Write(Encoding.Latin1.GetBytes(text));

    /// <summary>Sends bytes; false when the line is full and the rest was dropped.</summary>
    internal bool Write(ReadOnlySpan<byte> bytes)
    {
        fixed (byte* first = bytes)
        {
            for (int sent = 0; sent < bytes.Length;)
            {
                nint count = LibC.write(_fd, first + sent, (nuint)(bytes.Length - sent));
                if (count > 0)
                {
                    sent += (int)count;
                }
                else if (Marshal.GetLastPInvokeError() != LibC.EINTR)
                {
                    return false;
                }
            }
        }

        return true;
    }

    /// <summary>What the program sent, e.g. a request; empty when nothing came within the limit.</summary>
    internal byte[] Read(TimeSpan limit)
    {
        LibC.PollFd ask = new() { Fd = _fd, Events = LibC.POLLIN };
        byte* buffer = stackalloc byte[1024];
        long until = Environment.TickCount64 + (long)limit.TotalMilliseconds;
        int ready;
        do
        {
            ready = LibC.poll(&ask, 1, (int)Math.Max(until - Environment.TickCount64, 0));
        }
        while (ready < 0 && Marshal.GetLastPInvokeError() == LibC.EINTR);   // a signal, such as a child's end, is no silence

        nint count = ready > 0 && (ask.Revents & LibC.POLLIN) != 0 ? LibC.read(_fd, buffer, 1024) : 0;
        return count > 0 ? new Span<byte>(buffer, (int)count).ToArray() : [];
    }

    /// <summary>Takes the line away, as pulling the plug does.</summary>
    public void Dispose()
    {
        int fd = Interlocked.Exchange(ref _fd, -1);
        if (fd < 0)
        {
            return;
        }

        _ = LibC.close(fd);
        if (_link is not null)
        {
            File.Delete(_link);
        }
    }

    private static int Check(int result) =>
        result >= 0 ? result : throw new IOException("the pseudo-terminal failed", new Win32Exception(Marshal.GetLastPInvokeError()));
}
