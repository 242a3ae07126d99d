using System.Diagnostics;
using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Storage;

namespace CaliperStation.Benchmarks;

/// <summary>What a durable event costs beside a bare append and flush of as many bytes: <c>store commit [COUNT]</c>.</summary>
/// <remarks>The three are done in turns, in changing order, on the same file system: the disk's mood and the machine's load are the same for all.</remarks>
internal static class CommitBench
{
    private const int Count = 3_000;
    private const int Warming = 200;   // left out: the first ones compile

    internal static void Run(string[] args, TextWriter output)
    {
        int count = args.Length > 0 ? int.Parse(args[0], CultureInfo.InvariantCulture) : Count;
        string folder = Directory.CreateTempSubdirectory("caliper-station-commit-").FullName;
        try
        {
            Measure(folder, count, output);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static void Measure(string folder, int count, TextWriter output)
    {
        StorePaths alone = StorePaths.OnThisMachine(Path.Combine(folder, "journal-alone"));
        alone.Create();
        using Journal journal = Journal.Open(alone, forWriting: true, TimeProvider.System);
        using Store store = Store.OpenForWork(StorePaths.OnThisMachine(Path.Combine(folder, "store")), TimeProvider.System, _ => { });
        using FileStream file = new(Path.Combine(folder, "bare"), FileMode.CreateNew, FileAccess.Write, FileShare.Read, bufferSize: 0);
        byte[] bytes = JournalFormat.Write(1, DateTimeOffset.UnixEpoch, "s-000001", "reading", Body(0), JournalFormat.FirstHash, out _);
        Action<int>[] ways =
        [
            n =>
            {
                RandomAccess.Write(file.SafeFileHandle, bytes, (long)n * bytes.Length);
                RandomAccess.FlushToDisk(file.SafeFileHandle);
            },
            n => journal.Append(DateTimeOffset.UtcNow, "s-000001", "reading", Body(n)),
            n => store.Append(DateTimeOffset.UtcNow, "s-000001", "reading", Body(n)),
        ];
        double[][] times = [new double[count], new double[count], new double[count]];
        for (int n = -Warming; n < count; n++)
        {
            for (int turn = 0; turn < ways.Length; turn++)
            {
                int way = (turn + n + Warming) % ways.Length;
                long begin = Stopwatch.GetTimestamp();
                ways[way](n + Warming);
                if (n >= 0)
                {
                    times[way][n] = Stopwatch.GetElapsedTime(begin).TotalMilliseconds;
                }
            }
        }

        string[] names = ["bare append and flush", "event in the journal", "event in the store, index too"];
        double bare = Median(times[0]);
        output.WriteLine(FormattableString.Invariant($"{count} events of {bytes.Length} bytes, target of the journal: ≤ 1.5 × bare"));
        output.WriteLine($"{"",-30}{"median ms",12}{"p99 ms",12}{"mean ms",12}{"× bare",10}");
        for (int way = 0; way < ways.Length; way++)
        {
            double median = Median(times[way]);
            output.WriteLine(FormattableString.Invariant($"{names[way],-30}{median,12:0.000}{times[way][count * 99 / 100],12:0.000}{times[way].Average(),12:0.000}{median / bare,10:0.00}"));
        }
    }

    private static double Median(double[] times)
    {
        Array.Sort(times);
        return times[times.Length / 2];
    }

    private static string Body(int n) => SittingEventJson.Body(new SittingEvent.Took(
        "rack-left", new(Length.FromNanometres(3_175_000 + (12_700 * (n % 9))), LengthUnit.Inch, Length.FromNanometres(12_700), ReadingSource.Serial, DateTimeOffset.UnixEpoch, "0.1250 in"))
    { At = DateTimeOffset.UnixEpoch });
}
