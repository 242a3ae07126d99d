using System.Text;
using CaliperStation.Cli;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation;

/// <summary>The entry: reads the command line, runs one command, and is the one place that turns a fault into words and an exit code.</summary>
internal static class Program
{
    private const int DiskFull = 28;   // ENOSPC, the same number on Linux and macOS
    private const int DiskFullOnWindows = unchecked((int)0x8007_0070);   // ERROR_DISK_FULL

    private static async Task<int> Main(string[] args)
    {
        StandardStreams.Complete(args);
        Console.OutputEncoding = new UTF8Encoding(false);
        Console.InputEncoding = new UTF8Encoding(false);
#pragma warning disable RS0030 // the one place that may have the console's own writers: it puts the safe ones before them
        await using SafeWriter output = new(Console.Out), error = new(Console.Error);
#pragma warning restore RS0030
        using Interruption interruption = new();
        try
        {
            return await CommandLine.RunAsync(args, output, error, interruption.Token).ConfigureAwait(false);
        }
        catch (StationException told)
        {
            Log.Told(told);
            error.WriteLine(told.Message);
            return told.ExitCode;
        }
        catch (StoreException told)
        {
            Log.Told(told);
            error.WriteLine(told.Message);
            return told.IsInUse ? ExitCode.Device : told.IsWrongUsage ? ExitCode.Usage : ExitCode.Store;
        }
        catch (UnauthorizedAccessException told)
        {
            error.WriteLine($"{told.Message} Give this account the right to it, or name another place.");
            return ExitCode.Usage;
        }
        catch (OperationCanceledException) when (interruption.Token.IsCancellationRequested)
        {
            return ExitCode.Interrupted;
        }
        catch (IOException told) when (told.HResult is DiskFull or DiskFullOnWindows)
        {
            error.WriteLine($"The output cannot be written: {told.Message}");
            return ExitCode.BadFile;
        }
        catch (IOException) when (Console.IsOutputRedirected || interruption.Token.IsCancellationRequested)
        {
            return ExitCode.Interrupted;   // whoever read our output, or the terminal, went away; there is nobody to tell
        }
        catch (Exception fault)
        {
            error.WriteLine($"This is a fault of the program, not of yours: {fault.GetType().Name}. {Log.Fault(fault)} Nothing acknowledged was lost.");
            return ExitCode.Fault;
        }
        finally
        {
            Log.Close();
        }
    }
}
