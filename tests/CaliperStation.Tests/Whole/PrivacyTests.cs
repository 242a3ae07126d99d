
namespace CaliperStation.Tests.Whole;

public sealed class PrivacyTests : IDisposable
{
    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [UnixFact("/dev/full")]
    public void A_log_on_a_full_disk_stops_nothing_and_shows_no_stack()
    {
        string logs = Directory.CreateDirectory(Path.Combine(_station.Store, "logs")).FullName;
        foreach (DateTime month in (DateTime[])[DateTime.Today, DateTime.Today.AddDays(1)])
        {
            string log = Path.Combine(logs, $"caliper-station-{month:yyyyMM}.log");
            File.Delete(log);
            File.CreateSymbolicLink(log, "/dev/full");
        }

        Ran ran = _station.Run("", "measure", _station.File("bad.toml", "no standard"), "--plain");

        Assert.Equal(3, ran.ExitCode);
        Assert.DoesNotContain("   at ", ran.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Logs_hold_no_tag_no_initials_and_no_readings()
    {
        string coat = _station.File("coat.toml", TestStandard.Text);
        Assert.Equal(0, _station.Measure(["ok", "3.1750 mm", "3.1850 mm", "6.3550 mm", "sign ZQ"], coat, "--tag", "XW-417", "--hand", "ZQ", "--port", "none").ExitCode);
        _station.Run("", "countersign", "XW-417", "--hand", "ZQ", "--port", "none", "--plain");
        _station.Run("", "records", "show", "XW-999");
        string journal = Path.Combine(_station.Store, "journal");
        string segment = Directory.EnumerateFiles(journal).First();
        File.WriteAllText(segment, File.ReadAllText(segment).Replace("3185000", "3186000", StringComparison.Ordinal));
        Assert.Equal(5, _station.Measure(["stop"], coat, "--tag", "XW-418", "--hand", "ZQ", "--port", "none").ExitCode);

        string logs = string.Concat(Directory.EnumerateFiles(Path.Combine(_station.Store, "logs")).Select(File.ReadAllText));

        Assert.NotEmpty(logs);   // the damage is in it
        Assert.All(["XW-417", "XW-418", "XW-999", "ZQ", "3175000", "3.1750"], each => Assert.DoesNotContain(each, logs, StringComparison.Ordinal));
    }
}
