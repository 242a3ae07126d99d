using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using CaliperStation.Storage;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Storage;

/// <summary>The built program works blouses in lines and is killed at seeded random moments; whatever it showed must be there at the next start.</summary>
/// <remarks>Three kills by themselves; <c>CALIPER_STATION_KILLS</c> asks for more (20 for a change, 200 for a release).</remarks>
public class KillHarness
{
    private static readonly TimeSpan _longest = TimeSpan.FromSeconds(60);

    [Fact]
    public void Killed_at_any_moment_every_reading_that_was_shown_is_there_and_the_sitting_goes_on()
    {
        int kills = int.Parse(Environment.GetEnvironmentVariable("CALIPER_STATION_KILLS") ?? "3", CultureInfo.InvariantCulture);
        Random random = new(20261125);
        using TemporaryFolder place = new();
        List<string> shown = [];
        for (int kill = 1; kill <= kills; kill++)
        {
            shown.AddRange(WorkAndDie(place.Path, random.Next(4, 60), random.Next(0, 4_000)));
            using StoreLock free = StoreLock.Acquire(place.Paths);   // the dead process's lock died with it
            using Journal journal = Journal.Open(place.Paths, forWriting: true, new FakeTimeProvider());
            Assert.True(journal.Report.IsSound, string.Join("; ", journal.Report.Damage));
            string[] kept = [.. journal.Read().Where(line => line.Kind == "reading").Select(line => Reading(JsonDocument.Parse(line.Body).RootElement))];
            Assert.Equal(shown, Matched(shown, kept));
            using Journal look = Journal.Open(place.Paths, forWriting: false, new FakeTimeProvider());
            Assert.Empty(new RecordStore(place.Paths, look, null, StationKey.Known(place.Paths)).Verify().Findings);
        }

        Assert.NotEmpty(shown);
    }

    /// <summary>What of the first list stands in the second in the same order: a reading on the disk may be one more than was shown, never one less.</summary>
    private static List<string> Matched(List<string> shown, string[] kept)
    {
        List<string> matched = [];
        foreach (string reading in kept)
        {
            if (matched.Count < shown.Count && shown[matched.Count] == reading)
            {
                matched.Add(reading);
            }
        }

        return matched;
    }

    private static List<string> WorkAndDie(string store, int lines, int microseconds)
    {
        using Process bench = Process.Start(new ProcessStartInfo("dotnet", [
            Path.Combine(AppContext.BaseDirectory, "caliper-station.dll"), "measure", "--plain", "--json", "--port", "emulated", "--tag", "KILL-1", "--hand", "AB", "--store", store])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        })!;
        using CancellationTokenSource late = new(_longest);
        using CancellationTokenRegistration end = late.Token.Register(() => bench.Kill());
        List<string> shown = [];
        bool outside = false;
        for (int line = 0; line < lines && bench.StandardOutput.ReadLine() is { } text; line++)
        {
            JsonElement told = JsonDocument.Parse(text).RootElement;
            switch (told.GetProperty("event").GetString())
            {
                case "reading":
                    shown.Add(Reading(told));
                    outside = false;
                    break;
                case "verdict":
                    outside |= told.GetProperty("verdict").GetString() == "outside";
                    break;
                case "prompt":
                    bench.StandardInput.WriteLine(told.GetProperty("kind").GetString() switch
                    {
                        "ready" => "ok",
                        "sign" => "sign CD",
                        _ => outside ? "aside a trial" : "",
                    });
                    bench.StandardInput.Flush();
                    break;
                default:
                    break;
            }
        }

        for (long start = Stopwatch.GetTimestamp(); Stopwatch.GetElapsedTime(start).TotalMicroseconds < microseconds;)
        {
            Thread.SpinWait(50);   // into the middle of what the last answer set off
        }

        bench.Kill();
        Assert.True(bench.WaitForExit(_longest));
        Assert.False(late.IsCancellationRequested, "the bench did not answer: " + bench.StandardError.ReadToEnd());
        return shown;
    }

    private static string Reading(JsonElement told) => string.Create(CultureInfo.InvariantCulture, $"{told.GetProperty("step").GetString()} {told.GetProperty("valueNm").GetInt64()}");
}
