using System.Diagnostics;
using System.Globalization;
using System.Text;
using CaliperStation.Devices;

namespace CaliperStation.Benchmarks;

/// <summary>
/// From the start of a process to its first frame: <c>start STATION SMALLEST [RUNS]</c>, both published ahead of time. The station opens the demonstration with a store
/// that is not there yet; the smallest program on the same kit draws one line. One after the other in turn, so that both see the same load. Linux only.
/// </summary>
internal static class StartBench
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(10);

    internal static void Run(string[] args, TextWriter output)
    {
        (string station, string smallest) = (Path.GetFullPath(args[0]), Path.GetFullPath(args[1]));
        int runs = args.Length > 2 ? int.Parse(args[2], CultureInfo.InvariantCulture) : 20;
        List<double> ofStation = [];
        List<double> ofSmallest = [];
        for (int run = -1; run < runs; run++)   // the first of each warms the disk's cache
        {
            double small = FirstFrame([smallest], "smallest screen");
            double bench = FirstFrame([station], "Enter");
            if (run >= 0)
            {
                ofSmallest.Add(small);
                ofStation.Add(bench);
            }
        }

        output.WriteLine($"smallest: {Distribution(ofSmallest)}");
        output.WriteLine($"station:  {Distribution(ofStation)}");
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"ratio of the medians: {Median(ofStation) / Median(ofSmallest):0.00} (target: ≤ 2)"));
    }

    private static double FirstFrame(string[] command, string shown)
    {
        string home = Directory.CreateTempSubdirectory("caliper-station-start-").FullName;
        try
        {
            using PseudoTerminal terminal = PseudoTerminal.Open();
            long began = Stopwatch.GetTimestamp();
            using Process process = OnPseudoTerminal.Start(command, terminal, home);
            StringBuilder seen = new();
            while (!seen.ToString().Contains(shown, StringComparison.Ordinal))
            {
                seen.Append(Encoding.UTF8.GetString(terminal.Read(TimeSpan.FromMilliseconds(50))));
                if (Stopwatch.GetElapsedTime(began) > Patience)
                {
                    throw new IOException($"{command[0]} never showed \"{shown}\".");
                }
            }

            double milliseconds = Stopwatch.GetElapsedTime(began).TotalMilliseconds;
            process.Kill(entireProcessTree: true);
            process.WaitForExit();
            return milliseconds;
        }
        finally
        {
            Directory.Delete(home, recursive: true);
        }
    }

    private static string Distribution(List<double> milliseconds) => string.Create(
        CultureInfo.InvariantCulture, $"{milliseconds.Count} starts, least {milliseconds.Min():0} ms, median {Median(milliseconds):0} ms, most {milliseconds.Max():0} ms");

    private static double Median(List<double> values) => values.Order().ElementAt(values.Count / 2);
}
