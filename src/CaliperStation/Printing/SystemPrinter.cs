using System.ComponentModel;
using System.Diagnostics;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using CaliperStation.Files;

namespace CaliperStation.Printing;

/// <summary>Hands a file to the system's printing: the program <c>lp</c> (POSIX.1-2017, lp), called with a list of arguments and never through a shell.</summary>
/// <param name="program">The program, usually <c>lp</c>.</param>
internal sealed class SystemPrinter(string program = "lp")
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);   // a queue on another machine may take its time
    private const int MostSaid = 300;

    /// <summary>Prints a PDF at true size.</summary>
    /// <param name="file">The file.</param>
    /// <param name="paper">Its sheets.</param>
    /// <param name="printer">The printer's name; null or empty for the system's own choice.</param>
    /// <returns>What the system said: the printer with the number of the job, safe to print.</returns>
    /// <exception cref="StationException">Exit 4: there is no such program or printer, or it refused; the file is there all the same, and the message says so.</exception>
    internal string Print(string file, PaperSize paper, string? printer)
    {
        string path = Path.GetFullPath(file), kept = $"{PrintableText.Escape(file)} is written; print it from there at 100 %.";
        ProcessStartInfo call = new(program) { RedirectStandardOutput = true, RedirectStandardError = true, RedirectStandardInput = true, UseShellExecute = false };
        call.Environment["LC_ALL"] = "C";
        foreach (string argument in (string[])[.. printer is { Length: > 0 } ? new[] { "-d", printer } : [], "-o", "print-scaling=none", "-o", $"media={paper.Media}", "--", path])
        {
            call.ArgumentList.Add(argument);
        }

        try
        {
            using Process process = Process.Start(call)!;
            process.StandardInput.Close();
            Task<string> output = process.StandardOutput.ReadToEndAsync(), error = process.StandardError.ReadToEndAsync();
            if (!process.WaitForExit(Patience))
            {
                process.Kill(entireProcessTree: true);
                throw new StationException(ExitCode.Device, $"{program} did not answer within {Patience.TotalSeconds:0} s. {kept}");
            }

            process.WaitForExit();
            string said = Said(output.GetAwaiter().GetResult());
            string why = Said(error.GetAwaiter().GetResult());
            return process.ExitCode == 0 ? said
                : throw new StationException(ExitCode.Device, $"Nothing was printed: {(why.Length > 0 ? why : FormattableString.Invariant($"{program} ended with {process.ExitCode}"))}. \"lpstat -e\" lists the printers there are. {kept}");
        }
        catch (Win32Exception fault)
        {
            throw new StationException(ExitCode.Device, $"Nothing was printed: there is no program {program} here, which hands a file to a printer (package cups-client, or your system's printing). {kept}", fault);
        }
    }

    private static string Said(string text)
    {
        string line = PrintableText.Escape(text.Trim().ReplaceLineEndings(" "));
        return line.Length <= MostSaid ? line : line[..MostSaid];
    }
}
