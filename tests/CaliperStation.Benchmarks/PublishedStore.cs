using System.Diagnostics;

namespace CaliperStation.Benchmarks;

/// <summary>The store's commands as a person waits for them, with the published program: <c>store published PROGRAM FOLDER</c>.</summary>
/// <remarks>Whole processes, best and median of several, in turns with <c>--version</c>, which is the start of the program alone; the export in turns with bare writes.</remarks>
internal static class PublishedStore
{
    private const int Rounds = 15;
    private const int ExportRounds = 7;

    internal static void Run(string program, string folder, TextWriter output)
    {
        (string Name, string[] Arguments)[] commands =
        [
            ("start alone", ["--version"]),
            ("list one tag", ["records", "list", "--tag", BigStore.Tag(7), "--store", folder]),
            ("show a record", ["records", "show", "s-000007", "--store", folder]),
            ("readiness", ["readiness", "--store", folder]),
        ];
        List<double>[] times = [.. commands.Select(_ => new List<double>())];
        for (int round = 0; round < Rounds; round++)
        {
            for (int index = 0; index < commands.Length; index++)
            {
                times[index].Add(Time(program, commands[index].Arguments));
            }
        }

        output.WriteLine($"{"",-30}{"best ms",10}{"median",10}");
        for (int index = 0; index < commands.Length; index++)
        {
            Tell(output, commands[index].Name, times[index]);
        }

        Export(program, folder, output);
    }

    private static void Export(string program, string folder, TextWriter output)
    {
        string exported = Path.Combine(folder, "export.csv");
        string written = Path.Combine(folder, "written.csv");
        List<double>[] times = [[], [], []];
        for (int round = 0; round < ExportRounds; round++)
        {
            File.Delete(exported);
            times[0].Add(Time(program, ["records", "export", "--csv", "--to", exported, "--store", folder]));
            long length = new FileInfo(exported).Length;
            foreach (bool flush in (bool[])[true, false])
            {
                File.Delete(written);
                long begin = Stopwatch.GetTimestamp();
                StoreSteps.Write(written, length, flush);
                times[flush ? 1 : 2].Add(Stopwatch.GetElapsedTime(begin).TotalMilliseconds);
            }
        }

        File.Delete(exported);
        File.Delete(written);
        Tell(output, "export of all, on the disk", times[0]);
        Tell(output, "bare write, on the disk", times[1]);
        Tell(output, "bare write, in the cache", times[2]);
    }

    private static void Tell(TextWriter output, string name, List<double> times)
    {
        times.Sort();
        output.WriteLine(FormattableString.Invariant($"{name,-30}{times[0],10:0.0}{times[times.Count / 2],10:0.0}"));
    }

    private static double Time(string program, string[] arguments)
    {
        ProcessStartInfo start = new(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true };
        long begin = Stopwatch.GetTimestamp();
        using Process process = Process.Start(start)!;
        Task<string> error = process.StandardError.ReadToEndAsync();
        process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        double time = Stopwatch.GetElapsedTime(begin).TotalMilliseconds;
        return process.ExitCode is 0 or 1   // readiness of invented blouses is 1: not all are ready
            ? time
            : throw new InvalidOperationException($"{string.Join(' ', arguments)} gave {process.ExitCode}: {error.Result}");
    }
}
