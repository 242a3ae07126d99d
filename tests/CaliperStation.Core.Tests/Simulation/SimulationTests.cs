using System.Diagnostics;
using System.Globalization;
using Xunit.Abstractions;

namespace CaliperStation.Core.Tests.Simulation;

/// <summary>The whole bench worked by a seeded person, with a seeded caliper, line and disk. A seed that fails tells what failed, and runs again alone.</summary>
public sealed class SimulationTests(ITestOutputHelper output)
{
    /// <summary>The same seeds at each run: CALIPER_STATION_SIM_FIXED says how many; 1 000 in <c>.ci/long</c>.</summary>
    [Fact]
    public void Known_sittings_with_faults_keep_every_promise() => Work(1, (int)(Number("CALIPER_STATION_SIM_FIXED") ?? 300));

    /// <summary>Other seeds at each run: CALIPER_STATION_SIM_SEED names the first one again, CALIPER_STATION_SIM_COUNT how many.</summary>
    [Fact]
    public void New_sittings_with_faults_keep_every_promise() => Work(
        Number("CALIPER_STATION_SIM_SEED") ?? Stopwatch.GetTimestamp() % 1_000_000_000_000,
        (int)(Number("CALIPER_STATION_SIM_COUNT") ?? 100));

    [Fact]
    public void Without_faults_every_sitting_is_closed_and_none_stops()
    {
        for (long seed = 1; seed <= 60; seed++)
        {
            SimulationResult result = SimulatedSitting.Run(seed, withFaults: false);
            Assert.Equal((0, 0), (result.Cuts, result.FullDisks));
        }
    }

    /// <summary>Each of these was a fault of the bench.</summary>
    [Theory]
    [InlineData(218, "a lone value of the caliper's own button, known to be a press only after a while, was taken for the step after a typed one")]
    [InlineData(500_380, "an answer on its way was taken for the step after a typed one")]
    [InlineData(112, "an answer that came after more than four seconds was a press of the own button")]
    [InlineData(81, "the same, and was asked about")]
    [InlineData(128, "advice moved what was set aside, and what stood on it along with it")]
    [InlineData(695, "what followed a moved item was moved sideways, which no reading of it saw")]
    [InlineData(1796095800, "the late answer to a request, for which an answer to the one before was taken, was a press of the caliper's own button")]
    [InlineData(963, "a signed sitting of an earlier day was asked whether it is the same coat, and was never filed")]
    [InlineData(900_034, "a second answer to one request was a press of the own button")]
    [InlineData(802_369, "a sitting given up just before a power cut could not be left")]
    [InlineData(802_710, "a step was read while the item below it was borderline, because its own item was outside")]
    [InlineData(800_140, "a press after a value of the own button was the second of a double press")]
    public void What_once_went_wrong_does_not(long seed, string was)
    {
        output.WriteLine(was);
        Assert.Equal(seed, SimulatedSitting.Run(seed).Seed);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(42)]
    [InlineData(777)]
    public void The_same_seed_is_the_same_sitting(long seed) => Assert.Equal(SimulatedSitting.Run(seed), SimulatedSitting.Run(seed));

    private static long? Number(string name) =>
        Environment.GetEnvironmentVariable(name) is { Length: > 0 } text ? long.Parse(text, NumberStyles.None, CultureInfo.InvariantCulture) : null;

    private void Work(long first, int count)
    {
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"seeds from {first}, {count} sittings"));
        long began = Stopwatch.GetTimestamp();
        List<string> faults = [];
        (int Taken, int Cuts, int Losses, int Full, int Verified) all = default;
        for (long seed = first; seed < first + count; seed++)
        {
            try
            {
                SimulationResult result = SimulatedSitting.Run(seed);
                all = (all.Taken + result.Taken, all.Cuts + result.Cuts, all.Losses + result.Losses, all.Full + result.FullDisks, all.Verified + (result.Verified ? 1 : 0));
            }
            catch (SimulationFault fault)
            {
                faults.Add(fault.Message);
            }
        }

        output.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{Stopwatch.GetElapsedTime(began).TotalSeconds:0.0} s, {all.Taken} readings, {all.Cuts} power cuts, {all.Losses} losses of the line, {all.Full} writes refused, {all.Verified} verified"));
        Assert.True(faults.Count == 0, $"{faults.Count} of {count} sittings from seed {first}:\n{string.Join('\n', faults.Take(10))}");
    }
}
