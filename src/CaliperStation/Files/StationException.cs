using CaliperStation.Core.Toml;

namespace CaliperStation.Files;

/// <summary>Exit codes of every command.</summary>
internal static class ExitCode
{
    /// <summary>All within, or done.</summary>
    internal const int Good = 0;

    /// <summary>Something is not within, or not verified.</summary>
    internal const int NotWithin = 1;

    /// <summary>Wrong usage; also a store that is not there or that this account may not use.</summary>
    internal const int Usage = 2;

    /// <summary>A file the user gave is bad.</summary>
    internal const int BadFile = 3;

    /// <summary>Device trouble; also a store that another bench is writing.</summary>
    internal const int Device = 4;

    /// <summary>The store is damaged or was altered, or its disk fails.</summary>
    internal const int Store = 5;

    /// <summary>A fault of the program itself; the log has the details. Outside the promised codes, as sysexits' EX_SOFTWARE.</summary>
    internal const int Fault = 70;

    /// <summary>Interrupted; can be resumed.</summary>
    internal const int Interrupted = 130;
}

/// <summary>What the user must read: a message, and the exit code it ends with. Caught once, in the program's entry.</summary>
internal sealed class StationException : Exception
{
    public StationException(int exitCode, string message, Exception? inner = null) : base(message, inner) => ExitCode = exitCode;

    internal int ExitCode { get; }

    /// <summary>The faults of the file it is about, where that is a text that is read as a whole.</summary>
    internal IReadOnlyList<TextFault> Faults { get; init; } = [];
}
