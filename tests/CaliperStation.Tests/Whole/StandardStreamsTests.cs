using System.Diagnostics;

namespace CaliperStation.Tests.Whole;

/// <summary>The built program, started by a shell that closes its streams or sends them to a device that is full.</summary>
public sealed class StandardStreamsTests : IDisposable
{
    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [TerminalFact]
    public void A_closed_input_is_the_end_of_input_and_takes_no_reading()
    {
        (int exit, string output, _) = Shell("measure --plain --json --port none --tag QG-1 <&-");

        Assert.Equal(130, exit);
        Assert.DoesNotContain("\"event\":\"reading\"", output, StringComparison.Ordinal);
        Assert.DoesNotContain("\"event\":\"refused\"", output, StringComparison.Ordinal);
        Assert.Contains("\"event\":\"prompt\"", output, StringComparison.Ordinal);
    }

    [TerminalFact]
    public void Closed_output_and_error_change_no_exit_code()
    {
        Assert.Equal(0, Shell("standard show >&-").Exit);
        Assert.Equal(2, Shell("nonsense 2>&-").Exit);
        Assert.Equal(130, Shell("measure --plain --port none --tag QG-2 <&- >&- 2>&-").Exit);
    }

    [TerminalFact]
    public void Output_to_a_full_device_says_so()
    {
        (int exit, _, string error) = Shell("standard show >/dev/full");

        Assert.Equal(3, exit);
        Assert.Single(error.Split('\n', StringSplitOptions.RemoveEmptyEntries));   // one sentence, no trace
    }

    private (int Exit, string Output, string Error) Shell(string command)
    {
        ProcessStartInfo program = _station.Call();
        ProcessStartInfo shell = new("bash") { RedirectStandardOutput = true, RedirectStandardError = true, RedirectStandardInput = true, WorkingDirectory = _station.Folder };
        shell.ArgumentList.Add("-c");
        shell.ArgumentList.Add($"exec {program.FileName} '{program.ArgumentList[0]}' {command}");
        shell.Environment["CALIPER_STATION_HOME"] = _station.Store;
        shell.Environment["XDG_STATE_HOME"] = Path.Combine(_station.Folder, "state");
        shell.Environment["NO_COLOR"] = "1";
        using Process process = Process.Start(shell)!;
        process.StandardInput.Close();
        Task<string> output = process.StandardOutput.ReadToEndAsync();
        Task<string> error = process.StandardError.ReadToEndAsync();
        Assert.True(process.WaitForExit(TimeSpan.FromSeconds(60)), "it ends by itself");
        return (process.ExitCode, output.GetAwaiter().GetResult(), error.GetAwaiter().GetResult());
    }
}
