using System.Text.Json;

namespace CaliperStation.Tests.Whole;

public sealed class PracticeAndHandsTests : IDisposable
{
    private readonly Station _station = new();
    private readonly string _standard;

    public PracticeAndHandsTests() => _standard = _station.File("coat.toml", TestStandard.Text);

    public void Dispose() => _station.Dispose();

    [Fact]
    public void Pretended_readings_make_a_practice_record_that_is_never_verified_and_never_ready()
    {
        Ran ran = _station.Measure(["ok", .. Enumerable.Repeat("", 8), "sign AB"], _standard, "--tag", "QG-1", "--hand", "AB", "--port", "emulated");   // more presses than readings: on a busy machine one may find no steady value

        Assert.Equal(0, ran.ExitCode);
        JsonElement closed = Assert.Single(ran.Events("closed"));
        Assert.Equal((false, true, true), (closed.GetProperty("verified").GetBoolean(), closed.GetProperty("practice").GetBoolean(), closed.GetProperty("allWithin").GetBoolean()));
        Assert.Single(ran.Events("practice"));
        Assert.Equal(1, _station.Run("", "readiness").ExitCode);
    }

    [Fact]
    public void Two_hands_of_one_blouse_in_either_case_are_both_kept_and_neither_may_countersign()
    {
        Assert.Equal(130, _station.Measure(["ok", "1/8", "stop"], _standard, "--tag", "QG-1", "--hand", "AB", "--port", "none").ExitCode);
        Ran ran = _station.Measure(["1/8", "1/4", "sign CD"], _standard, "--tag", "qg-1", "--hand", "CD", "--port", "none");

        Assert.Equal(0, ran.ExitCode);
        Assert.Equal("CD", Assert.Single(ran.Events("hand")).GetProperty("hand").GetString());
        Assert.Single(ran.Events("resumed"));
        Assert.All(ran.Events("reading"), reading => Assert.Equal("CD", reading.GetProperty("hand").GetString()));
        Assert.All((string[])["AB", "cd"], hand => Assert.Equal(2, _station.Run("", "countersign", "QG-1", "--hand", hand, "--port", "none", "--plain").ExitCode));
    }

    [Fact]
    public void A_measured_record_is_never_looked_back_at_by_a_pretended_caliper_that_nobody_asked_for()
    {
        string standard = Path.Combine(AppContext.BaseDirectory, "Documentation", "harbour-lantern.toml");
        string[] lengths = [.. new[] { 14, 14, 6, 6, 10, 10, 38, 38, 14, 14, 12, 12 }.Select(ticks => $"{ticks} t")];
        Assert.Equal(0, _station.Measure(["ok", "ok", "ok", "ok", .. lengths[..4], "yes", .. lengths[4..], "yes", "sign AB"], standard, "--tag", "QG-1", "--hand", "AB", "--port", "none").ExitCode);
        Ran ran = _station.Run("stop\n", "countersign", "QG-1", "--hand", "CD", "--port", "auto", "--plain", "--json");

        Assert.Equal(130, ran.ExitCode);
        Assert.Empty(ran.Events("practice"));
    }

    [Fact]
    public void Without_a_tag_a_new_blouse_begins_and_a_store_that_is_not_there_is_said()
    {
        Assert.Equal(130, _station.Measure(["ok", "stop"], _standard, "--port", "none").ExitCode);
        Ran second = _station.Measure(["stop"], _standard, "--port", "none");

        Assert.Equal("ready", second.Events("prompt")[0].GetProperty("kind").GetString());
        Assert.Equal(2, _station.Run("", "readiness", "--store", Path.Combine(_station.Folder, "nowhere")).ExitCode);
    }
}
