using System.Text.Json;

namespace CaliperStation.Tests.Whole;

public sealed class StudiedHandTests : IDisposable
{
    private const string Figure = "hands = [{ repeatability = \"0.05 mm\", repeatability-degrees = 12, reproducibility = \"0.02 mm\", reproducibility-degrees = 2, date = \"2020-02-01\", study = \"20200201T080000000Z-STUDY\" }]\n";

    private static readonly string[] _good = ["ok", "3.18 mm", "3.18 mm", "6.35 mm", "sign AB"];

    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [Fact]
    public void Verdicts_and_the_record_name_the_study_and_an_old_one_is_told()
    {
        _station.Settings(Figure + "hand-days = 30\n");
        string standard = _station.File("coat.toml", TestStandard.Text);
        Ran ran = _station.Measure(_good, standard, "--tag", "QG-1", "--hand", "AB", "--port", "none");

        Assert.Equal(0, ran.ExitCode);
        string told = Assert.Single(ran.Error.Split('\n'), line => line.Contains("20200201T080000000Z-STUDY", StringComparison.Ordinal));
        Assert.Contains(" 30 ", told, StringComparison.Ordinal);   // the days that the settings allow
        JsonElement verdict = ran.Events("verdict")[0];
        Assert.Equal("20200201T080000000Z-STUDY", verdict.GetProperty("studies")[0].GetString());
        long degrees = verdict.GetProperty("degrees").GetInt64();
        Assert.Equal(15, degrees);   // u² = 0.05² + 0.02² + 0.02²/3 + 0.01²/12 mm²; u⁴ / (0.05⁴/12 + 0.02⁴/2) = 15.4

        using JsonDocument shown = JsonDocument.Parse(_station.Run("", "records", "show", ran.Events("closed")[0].GetProperty("record").GetString()!, "--json").Output);
        JsonElement record = shown.RootElement.GetProperty("record");
        Assert.Equal(50_000, record.GetProperty("judging").GetProperty("studies")[0].GetProperty("repeatabilityNm").GetInt64());
        Assert.Equal(degrees, record.GetProperty("verdicts")[0].GetProperty("degrees").GetInt64());
        Assert.Equal(0, _station.Run("", "records", "verify").ExitCode);
    }

    [Fact]
    public void A_sitting_that_was_begun_goes_on_by_what_was_known_then()
    {
        _station.Settings(Figure);
        string standard = _station.File("coat.toml", TestStandard.Text);
        Assert.Equal(130, _station.Measure(["stop"], standard, "--tag", "QG-1", "--hand", "AB", "--port", "none").ExitCode);
        _station.Settings("");
        Ran ran = _station.Measure(_good, standard, "--tag", "QG-1", "--port", "none");

        Assert.Equal("20200201T080000000Z-STUDY", ran.Events("verdict")[0].GetProperty("studies")[0].GetString());
    }
}
