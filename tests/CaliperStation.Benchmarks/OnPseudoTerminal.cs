using System.Diagnostics;
using CaliperStation.Devices;

namespace CaliperStation.Benchmarks;

/// <summary>Starts a program with a terminal of its own, or with pipes. Linux only.</summary>
internal static class OnPseudoTerminal
{
    /// <summary>Starts it; the input is a pipe either way, the output only without a terminal.</summary>
    /// <param name="command">The program and its arguments.</param>
    /// <param name="terminal">Its terminal, of 24 lines of 80 cells; null for pipes.</param>
    /// <param name="home">The station's home.</param>
    internal static Process Start(string[] command, PseudoTerminal? terminal, string home)
    {
        ProcessStartInfo start = new(terminal is null ? command[0] : "/bin/sh") { RedirectStandardInput = true, RedirectStandardOutput = terminal is null };
        IEnumerable<string> arguments = terminal is null ? command[1..] :
            ["-c", $"stty rows 24 cols 80 < {terminal.DeviceName}; exec setsid --ctty \"$@\" < {terminal.DeviceName} > {terminal.DeviceName} 2>&1", "sh", .. command];
        foreach (string argument in arguments)
        {
            start.ArgumentList.Add(argument);
        }

        if (terminal is not null)
        {
            start.Environment["TERM"] = "xterm-256color";
        }

        start.Environment["CALIPER_STATION_HOME"] = home;
        return Process.Start(start)!;
    }
}
