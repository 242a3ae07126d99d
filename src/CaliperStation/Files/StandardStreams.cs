using System.Runtime.InteropServices;
using CaliperStation.Core.Reports;

namespace CaliperStation.Files;

/// <summary>Standard input, output and error: how wide a terminal is, and the null device where one was closed by whoever started the program (<c>&lt;&amp;-</c>).</summary>
/// <remarks>
/// A closed descriptor is taken by the next file that is opened, and the runtime opens one before any of our code runs: without this a bench read random bytes as
/// answers. Such a descriptor is known by its close-on-exec flag, which none that was handed down can have (execve(2)). What the runtime holds cannot be taken
/// from it, so the program starts again in its own place, with the null device where nothing was.
/// </remarks>
internal static class StandardStreams
{
    /// <summary>How wide a line may be: as the terminal; where the output is none, as long as it is.</summary>
    internal static int Width
    {
        get
        {
            try
            {
                return Console.IsOutputRedirected || Console.WindowWidth <= 0 ? TableText.Unbounded : Console.WindowWidth;
            }
            catch (IOException)
            {
                return TableText.Unbounded;
            }
        }
    }

    /// <summary>Does nothing where all three are there, and on Windows; else it does not come back.</summary>
    internal static void Complete(IReadOnlyList<string> arguments)
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        int[] missing = [.. Enumerable.Range(0, 3).Where(IsMissing)];
        if (missing.Length == 0 || Environment.ProcessPath is not { } program || Environment.GetCommandLineArgs() is not [var first, ..])
        {
            return;
        }

        int nothing = LibC.open("/dev/null", LibC.O_RDWR);
        if (nothing < 0 || missing.Any(descriptor => descriptor != nothing && LibC.dup2(nothing, descriptor) < 0))
        {
            return;   // where there is no null device, starting again would find the same and never end
        }

        string[] hosted = first.EndsWith(".dll", StringComparison.OrdinalIgnoreCase) ? [program, first] : [program];
        nint[] all = [.. hosted.Concat(arguments).Select(Marshal.StringToCoTaskMemUTF8), 0];
        _ = LibC.execv(program, all);   // comes back only when it failed: then the streams are complete all the same
    }

    private static bool IsMissing(int descriptor) => LibC.fcntl(descriptor, LibC.F_GETFD) is var flags && (flags < 0 || (flags & LibC.FD_CLOEXEC) != 0);
}
