using CaliperStation.Files;

namespace CaliperStation.Screen;

/// <summary>The terminal's line settings before and while the screen is open, and the stop of a process by its shell's job control.</summary>
/// <remarks>POSIX.1-2017, tcgetattr, tcsetattr, kill, 11.1.4 (terminal access control). The settings are kept as bytes: no field of them is read.</remarks>
internal sealed unsafe class TerminalMode
{
    private readonly byte[] _before = Read();
    private byte[] _raw = [];

    /// <summary>False where no shell could continue the process: it leads its own session, or there is no job control.</summary>
    internal static bool CanStop => !OperatingSystem.IsWindows() && LibC.getsid(0) != LibC.getpgrp();

    /// <summary>Keeps the settings that the kit made.</summary>
    internal void KeepRaw() => _raw = Read();

    /// <summary>The settings from before the screen.</summary>
    internal void GiveBack() => Write(_before);

    /// <summary>The kit's settings again; what was typed in between is dropped.</summary>
    internal void TakeAgain() => Write(_raw);

    /// <summary>Stops the whole job, as the terminal does on Ctrl-Z; comes back once it was continued.</summary>
    internal static void Stop() => _ = LibC.kill(0, LibC.SIGSTOP);

    private static byte[] Read()
    {
        byte[] settings = new byte[LibC.TermiosSize];
        fixed (byte* at = settings)
        {
            return !OperatingSystem.IsWindows() && LibC.tcgetattr(0, at) == 0 ? settings : [];
        }
    }

    private static void Write(byte[] settings)
    {
        fixed (byte* at = settings)
        {
            _ = settings.Length == 0 ? 0 : LibC.tcsetattr(0, LibC.TCSAFLUSH, at);
        }
    }
}
