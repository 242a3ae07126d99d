using System.Diagnostics;
using System.Text;
using CaliperStation.Cli;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Studies;
using CaliperStation.Storage;

namespace CaliperStation.Benchmarks;

/// <summary>What is measured of a big store, one step in a process of its own: nothing is warm but the disk's cache.</summary>
internal static class StoreSteps
{
    /// <summary>The steps, in the order of measuring.</summary>
    internal static readonly string[] Names = ["rebuild", "open-look-first", "open-work", "open-look", "find", "readiness", "list", "export", "trend", "verify"];

    /// <summary>Runs one and writes <c>name milliseconds</c> for each figure.</summary>
    internal static void Run(string step, string folder, TextWriter output)
    {
        StorePaths paths = StorePaths.OnThisMachine(folder);
        void Tell(string name, double value) => output.WriteLine(FormattableString.Invariant($"{name} {value:0.###}"));
        switch (step)
        {
            case "rebuild":
                File.Delete(paths.Index);
                Tell(step, Time(() => Store.OpenToLook(paths, TimeProvider.System, _ => { }).Dispose()));
                break;
            case "open-work":
                Tell(step, Time(() => Store.OpenForWork(paths, TimeProvider.System, _ => { }).Dispose()));
                break;
            case "open-look" or "open-look-first":
                Tell(step, Time(() => Store.OpenToLook(paths, TimeProvider.System, _ => { }).Dispose()));
                break;
            case "verify":
                using (Store store = Look(paths))
                {
                    Tell("verify", Time(() => Sound(store.Records.Verify().Findings.Count == 0)));
                }

                break;
            case "find":
                Find(paths, Tell);
                break;
            case "readiness":
                using (Store store = Look(paths))
                {
                    Tell("readiness", Time(() => Readiness(store)));
                }

                break;
            case "list":
                using (Store store = Look(paths))
                {
                    Tell("list", Time(() => RecordTable.Text([.. store.Records.Summaries(new())], TimeZoneInfo.Utc)));
                }

                break;
            case "export":
                Export(paths, Tell);
                break;
            case "trend":
                Trend(paths, Tell);
                break;
            default:
                throw new ArgumentException($"no such step: {step}", nameof(step));
        }

        using Process self = Process.GetCurrentProcess();
        Tell("memory", self.PeakWorkingSet64 / 1048576.0);
    }

    private static Store Look(StorePaths paths) => Store.OpenToLook(paths, TimeProvider.System, _ => { });

    private static double Time(Action work)
    {
        long begin = Stopwatch.GetTimestamp();
        work();
        return Stopwatch.GetElapsedTime(begin).TotalMilliseconds;
    }

    private static void Sound(bool sound)
    {
        if (!sound)
        {
            throw new InvalidOperationException("the store is not sound, so its figures say nothing");
        }
    }

    private static void Find(StorePaths paths, Action<string, double> tell)
    {
        using Store store = Look(paths);
        tell("find-first", Time(() => Sound(store.Records.LastOf(BigStore.Tag(7)) is not null)));
        double[] times = [.. Enumerable.Range(0, 101).Select(n => Time(() => Sound(store.Records.LastOf(BigStore.Tag(n * 37))!.Sealed!.IsWhole))).Order()];
        tell("find", times[50]);
        tell("find-slowest", times[^1]);
    }

    private static void Readiness(Store store)
    {
        ReadinessRule rule = new(TimeProvider.System.GetUtcNow(), 30, false);
        ILookup<string, RecordSummary> all = store.Records.Latest().ToLookup(record => record.Tag);
        ReadinessTable.Text([.. all.Select(blouse => Core.Records.Readiness.Of(blouse.Key, [.. blouse], _ => [], null, rule))], TimeZoneInfo.Utc, _ => null);
    }

    /// <summary>Charts over all records, in processor time, with the open of the store that they are gathered in; the open alone beside it.</summary>
    private static void Trend(StorePaths paths, Action<string, double> tell)
    {
        TimeSpan before = Environment.CpuUsage.TotalTime;
        Look(paths).Dispose();
        TimeSpan open = Environment.CpuUsage.TotalTime;
        tell("open-cpu", (open - before).TotalMilliseconds);
        TrendOfStore gathered = new(new TrendFilter());
        Store.OpenToLook(paths, TimeProvider.System, _ => { }, gathered).Dispose();
        IReadOnlyList<TrendGroup> groups = gathered.Trend.Groups();
        Sound(groups.Count == 1 && groups[0].Series.Any(series => series.Chart.Limits is not null));
        tell("trend-cpu-with-open", (Environment.CpuUsage.TotalTime - open).TotalMilliseconds);
    }

    /// <summary>Export, with its own open and of an open store, and bare writes of as many bytes, flushed as the export is and not, in turns: the machine's load is the same for all.</summary>
    private static void Export(StorePaths paths, Action<string, double> tell)
    {
        string exported = Path.Combine(paths.Store, "export.csv");
        string written = Path.Combine(paths.Store, "written.csv");
        List<double> exports = [];
        List<double> alone = [];
        List<double> flushed = [];
        List<double> writes = [];
        for (int round = 0; round < 3; round++)
        {
            exports.Add(Time(() => RecordsExport.Run(new(paths.Store, new(), Csv: true, WithoutInitials: false, To: exported), TimeProvider.System, TextWriter.Null, TextWriter.Null)));
            long length = new FileInfo(exported).Length;
            File.Delete(exported);
            using (Store store = Store.OpenToLook(paths, TimeProvider.System, _ => { }))
            {
                alone.Add(Time(() => RecordsExport.ToFile(store, new(new(), Csv: true, WithoutInitials: false), exported)));
            }

            flushed.Add(Time(() => Write(written, length, flush: true)));
            File.Delete(written);
            writes.Add(Time(() => Write(written, length, flush: false)));
            tell("export-bytes", length);
            File.Delete(exported);
            File.Delete(written);
        }

        tell("export-with-open", exports.Min());
        tell("export", alone.Min());
        tell("write-flushed", flushed.Min());
        tell("write-cached", writes.Min());
    }

    /// <summary>Writes so many bytes; flushed, they are on the disk afterwards and not only in its cache.</summary>
    internal static void Write(string path, long length, bool flush)
    {
        byte[] block = Encoding.ASCII.GetBytes(string.Concat(Enumerable.Repeat("s-000001,sitting,,HG-0001,", 2521)));   // 64 KiB, as the export's own
        using FileStream file = new(path, FileMode.Create, FileAccess.Write, FileShare.Read, bufferSize: 0);
        for (long left = length; left > 0; left -= block.Length)
        {
            file.Write(block, 0, (int)Math.Min(left, block.Length));
        }

        if (flush)
        {
            file.Flush(flushToDisk: true);
        }
    }
}
