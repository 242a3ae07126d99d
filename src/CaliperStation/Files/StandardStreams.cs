using System.Runtime.InteropServices;
using CaliperStation.Core.Reports;

namespace CaliperStation.Files;

/// <summary>Standard input, output and error: how wide a terminal is, and the null device where one was closed by whoever started the program (<c>&lt;&amp;-</c>).</summary>
/// <remarks>
/// A closed descriptor is taken by the next file that is opened, and the runtime opens one before any of our code runs: without this a bench read random bytes as
/// answers. Such a descriptor is told by its close-on-exec flag, which none that was handed down can have (execve(2)). What the runtime holds cannot be taken
/// from it, so the program is started anew in its own place, with the null device where nothing was.
/// </remarks>
internal static partial class StandardStreams
{
    private const int GetFlags = 1;      // F_GETFD
    private const int CloseOnExec = 1;   // FD_CLOEXEC
    private const int ReadAndWrite = 2;  // O_RDWR

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

        int nothing = Open("/dev/null", ReadAndWrite);
        if (nothing < 0 || missing.Any(descriptor => descriptor != nothing && Duplicate(nothing, descriptor) < 0))
        {
            return;   // where there is no null device, starting anew would find the same and never end
        }

        string[] hosted = first.EndsWith(".dll", StringComparison.OrdinalIgnoreCase) ? [program, first] : [program];
        nint[] all = [.. hosted.Concat(arguments).Select(Marshal.StringToCoTaskMemUTF8), 0];
        _ = Execute(program, all);   // comes back only when it failed: then the streams are complete all the same
    }

    private static bool IsMissing(int descriptor) => Control(descriptor, GetFlags) is var flags && (flags < 0 || (flags & CloseOnExec) != 0);

    [LibraryImport("libc", EntryPoint = "fcntl")]
    private static partial int Control(int descriptor, int command);

    [LibraryImport("libc", EntryPoint = "open", StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Open(string path, int flags);

    [LibraryImport("libc", EntryPoint = "dup2")]
    private static partial int Duplicate(int from, int to);

    [LibraryImport("libc", EntryPoint = "execv", StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Execute(string path, nint[] arguments);
}
