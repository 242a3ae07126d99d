using System.Globalization;
using Serilog;
using Serilog.Core;

namespace CaliperStation.Files;

/// <summary>The log: details of faults for whoever mends the program. It holds no tags, initials or readings.</summary>
internal static class Log
{
    private static Logger? _logger;
    private static string? _folder;

    /// <summary>Names the folder; the file is only made when there is something to write.</summary>
    internal static void Open(string folder) => _folder = folder;

    /// <summary>A fault whose message was shown: its kind and exit code.</summary>
    internal static void Told(Exception told) => Write(logger => logger.Warning("Told: {Kind} {Inner}", told.GetType().Name, told.InnerException?.GetType().Name ?? "-"));

    /// <summary>A fault nobody foresaw, with its stack; gives the sentence that says where the details are.</summary>
    /// <remarks>Without its message, which may quote a tag or a reading.</remarks>
    internal static string Fault(Exception fault) => Write(logger => logger.Error("Unforeseen: {Kinds}\n{Stacks}", string.Join(" from ", Chain(fault).Select(each => each.GetType().FullName)), string.Join("\n", Chain(fault).Select(each => each.StackTrace))))
        ? $"The details are in {_folder}."
        : "There is no log folder that could be written.";

    /// <summary>Something worth knowing later, without anything of people or coats.</summary>
    internal static void Note(string what) => Write(logger => logger.Information("{What}", what));

    internal static void Close()
    {
        try
        {
            _logger?.Dispose();
        }
        catch (Exception fault) when (FileFault.Is(fault))
        {
            // a full disk: what was to be said was said on standard error
        }

        _logger = null;
    }

    private static IEnumerable<Exception> Chain(Exception fault)
    {
        for (Exception? each = fault; each is not null; each = each.InnerException)
        {
            yield return each;
        }
    }

    private static bool Write(Action<Logger> write)
    {
        if (_folder is null)
        {
            return false;
        }

        try
        {
            _logger ??= new LoggerConfiguration()
                .WriteTo.File(
                    Path.Combine(_folder, "caliper-station-.log"), formatProvider: CultureInfo.InvariantCulture,
                    rollingInterval: RollingInterval.Month, retainedFileCountLimit: 12, fileSizeLimitBytes: 5_000_000)
                .CreateLogger();
            write(_logger);
            return true;
        }
        catch (Exception fault) when (FileFault.Is(fault))
        {
            return false;   // a log that cannot be written never stops the bench
        }
    }
}
