using System.Diagnostics;
using System.Globalization;
using CaliperStation.Storage;

namespace CaliperStation.Benchmarks;

/// <summary>The targets for a big store: <c>store make FOLDER [RECORDS]</c>, <c>store measure FOLDER</c>, or <c>store [RECORDS]</c> for both in a folder that is deleted afterwards; <c>store commit</c> and <c>store published PROGRAM FOLDER</c> beside them.</summary>
internal static class StoreScale
{
    private const int Records = 50_000;
    private const int Seed = 20_261_125;

    private static readonly Dictionary<string, string> _targets = new()
    {
        ["open-work"] = "≤ 1000",
        ["open-look"] = "≤ 1000",
        ["find-first"] = "≤ 10",
        ["find"] = "≤ 10",
        ["readiness"] = "≤ 200",
        ["export"] = "≤ 2 × flushed",
    };

    internal static void Run(string[] args, TextWriter output)
    {
        switch (args)
        {
            case ["make", var folder, .. var rest]:
                Make(folder, Count(rest), output);
                break;
            case ["measure", var folder, .. var steps]:
                Measure(folder, steps.Length > 0 ? steps : StoreSteps.Names, output);
                break;
            case ["commit", .. var rest]:
                CommitBench.Run(rest, output);
                break;
            case ["published", var program, var folder]:
                PublishedStore.Run(program, folder, output);
                break;
            case ["step", var step, var folder]:
                StoreSteps.Run(step, folder, output);
                break;
            default:
                string own = Directory.CreateTempSubdirectory("caliper-station-scale-").FullName;
                try
                {
                    Make(own, Count(args), output);
                    Measure(own, StoreSteps.Names, output);
                }
                finally
                {
                    Directory.Delete(own, recursive: true);
                }

                break;
        }
    }

    private static int Count(string[] args) => args.Length > 0 ? int.Parse(args[0], CultureInfo.InvariantCulture) : Records;

    private static void Make(string folder, int records, TextWriter output)
    {
        long begin = Stopwatch.GetTimestamp();
        using BigStore store = new(StorePaths.OnThisMachine(folder), Seed);
        long bytes = store.Make(records);
        output.WriteLine(FormattableString.Invariant(
            $"{records} records, {records * BigStore.ReadingsInARecord} readings, {BigStore.Blouses} blouses, seed {Seed}: journal {bytes / 1048576.0:0} MiB, made in {Stopwatch.GetElapsedTime(begin).TotalSeconds:0} s"));
    }

    private static void Measure(string folder, IEnumerable<string> steps, TextWriter output)
    {
        output.WriteLine($"{"step",-18}{"ms",12}  {"target",-14}{"peak MiB",10}  load");
        foreach (string step in steps)
        {
            List<(string Name, string Value)> figures = Child(step, folder);
            string memory = figures.Find(figure => figure.Name == "memory").Value ?? "?";
            foreach ((string name, string value) in figures.Where(figure => figure.Name != "memory"))
            {
                output.WriteLine($"{name,-18}{value,12}  {_targets.GetValueOrDefault(name, ""),-14}{memory,10}  {Load()}");
            }
        }
    }

    private static List<(string Name, string Value)> Child(string step, string folder)
    {
        ProcessStartInfo start = new(Environment.ProcessPath!, ["store", "step", step, folder]) { RedirectStandardOutput = true };
        using Process child = Process.Start(start)!;
        string text = child.StandardOutput.ReadToEnd();
        child.WaitForExit();
        return child.ExitCode == 0
            ? [.. text.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => line.Split(' ')).Select(words => (words[0], words[1]))]
            : throw new InvalidOperationException($"{step} failed: {text}");
    }

    private static string Load() => File.Exists("/proc/loadavg") ? File.ReadAllText("/proc/loadavg").Split(' ')[0] : "?";
}
