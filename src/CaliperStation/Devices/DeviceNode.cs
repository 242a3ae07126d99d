using System.Runtime.InteropServices;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>What the system says of a device's node (/dev/…) and the runtime does not. Linux and macOS alone.</summary>
internal static class DeviceNode
{
    /// <summary>False when this user may not read and write the node.</summary>
    internal static bool IsAllowed(string path) => LibC.access(path, LibC.R_OK | LibC.W_OK) == 0 || Marshal.GetLastPInvokeError() != LibC.EACCES;

    /// <summary>Opens the node for a moment: null when it is a terminal line that opens, else why not.</summary>
    /// <remarks>Only after an opening failed: opening and closing moves the modem lines, and resets some boards.</remarks>
    internal static NodeFault? Try(string path)
    {
        int fd = LibC.open(path, LibC.O_NOCTTY | LibC.O_NONBLOCK);
        if (fd < 0)
        {
            return Marshal.GetLastPInvokeError() switch
            {
                LibC.EBUSY => NodeFault.Busy,   // held with TIOCEXCL
                LibC.EACCES => NodeFault.Denied,
                LibC.EIO or LibC.ENXIO or LibC.ENODEV => NodeFault.NothingBehind,
                _ => NodeFault.Other,
            };
        }

        int error = LibC.isatty(fd) == 1 ? 0 : Marshal.GetLastPInvokeError();
        _ = LibC.close(fd);
        return error switch
        {
            0 => null,
            LibC.ENOTTY or LibC.EINVAL => NodeFault.NotTerminal,   // the second is what some files answer instead
            LibC.EIO => NodeFault.NothingBehind,
            _ => NodeFault.Other,
        };
    }

    /// <summary>The group whose members may open serial nodes: one of the two names of common systems (from memory).</summary>
    internal static string SerialGroup() => !HasGroup("dialout") && HasGroup("uucp") ? "uucp" : "dialout";

    private static bool HasGroup(string name)
    {
        try
        {
            return File.ReadLines("/etc/group").Any(line => line.StartsWith(name + ":", StringComparison.Ordinal));
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            return false;
        }
    }
}

/// <summary>Why a node is no line that can be opened.</summary>
internal enum NodeFault
{
    /// <summary>Another program holds it alone.</summary>
    Busy,

    /// <summary>This user may not open it.</summary>
    Denied,

    /// <summary>It opens, but is no terminal line.</summary>
    NotTerminal,

    /// <summary>There is no hardware behind it.</summary>
    NothingBehind,

    /// <summary>Another error of the system.</summary>
    Other,
}
