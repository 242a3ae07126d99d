using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;
using CaliperStation.Storage;

namespace CaliperStation.Tests.Whole;

public sealed class CaliperCheckTests : IDisposable
{
    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [Fact]
    public void The_emulated_caliper_is_within_by_presses_alone()
    {
        Ran ran = _station.Run("\n\n\n\n\n\n\n\n", "caliper", "check", "--port", "emulated", "--json");

        Assert.Equal(0, ran.ExitCode);
        Assert.Equal(["near", "near", "near", "near", "near", "near", "far", "far"], ran.Events("reading").Select(reading => reading.GetProperty("place").GetString()));
        Assert.False(ran.Events("check")[0].TryGetProperty("shortfall", out _));   // what is asked by itself is what published procedures ask
        Assert.Contains("gloves", ran.Events("prompt")[0].GetProperty("caution").GetString(), StringComparison.Ordinal);
        Assert.True(Assert.Single(ran.Events("check")).GetProperty("within").GetBoolean());
        Assert.Equal(0, _station.Run("", "records", "verify").ExitCode);
    }

    [Fact]
    public void A_typed_check_that_is_outside_ends_with_1_and_the_bench_says_so()
    {
        Ran ran = _station.Run("0.00\n30.00\nx\n10 mm\nretake\n30.01\n60.03\nstop\n", "caliper", "check", "--port", "none", "--blocks", "0,30,60", "--json");

        Assert.Equal(1, ran.ExitCode);
        Assert.Single(ran.Events("refused"));   // no answer
        Assert.Equal("wrongBlock", Assert.Single(ran.Events("doubt")).GetProperty("kind").GetString());
        Assert.Equal(30_000, ran.Events("reading")[^1].GetProperty("errorNm").GetInt64());
        CaliperCheck asked = new(Length.Millimetre.Times(150), new(new PermissibleError(Length.FromMicrometres(20))), [.. new[] { 0, 30, 60 }.Select(block => CheckPoint.Asked(Length.Millimetre.Times(block)))]);
        Assert.Contains(CheckShortfall.TooFewBlocks, asked.Shortfalls);
        Assert.Contains(asked.Shortfall!, ran.Error, StringComparison.Ordinal);
        Ran bench = _station.Measure(["stop"], _station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--port", "none");
        Assert.Contains(Reminder(ReminderKind.NotWithin), bench.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_check_that_was_stopped_keeps_nothing()
    {
        Assert.Equal(130, _station.Run("0\nstop\n", "caliper", "check", "--port", "none").ExitCode);
        Ran bench = _station.Measure(["stop"], _station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--port", "none");
        Assert.Contains(Reminder(ReminderKind.NeverChecked), bench.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_pedal_that_types_a_letter_is_learnt_and_is_then_a_press()
    {
        Ran learnt = _station.Run("b", "caliper", "switch");
        Assert.Equal(0, learnt.ExitCode);
        Assert.Contains("press-text = \"b\"", learnt.Output, StringComparison.Ordinal);
        string settings = Path.Combine(_station.Store, "settings.toml");
        Assert.False(File.Exists(settings));

        Assert.Equal(0, _station.Run("b", "caliper", "switch", "--save").ExitCode);
        Assert.Equal("press-text = \"b\"\n", File.ReadAllText(settings));
        Ran bench = _station.Measure(["ok", "b", "stop"], _station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--port", "emulated");
        Assert.Single(bench.Events("reading"));
    }

    /// <summary>What a sitting says of the check that this station's store keeps.</summary>
    private string Reminder(ReminderKind kind)
    {
        using Store store = Store.OpenToLook(StorePaths.OnThisMachine(_station.Store), TimeProvider.System, _ => { });
        CheckReminder? told = CheckJournal.Reminder(CheckJournal.Last(store, "none"), 30, DateTimeOffset.UtcNow);
        Assert.Equal(kind, told?.Kind);
        return told!.Words;
    }
}
