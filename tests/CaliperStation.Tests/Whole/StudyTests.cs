using System.Text.Json;

namespace CaliperStation.Tests.Whole;

/// <summary>A study at the built program: several hands, several sittings, and what comes of it.</summary>
public sealed class StudyTests : IDisposable
{
    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [Fact]
    public void Two_hands_study_a_standard_and_the_next_blouse_is_judged_by_it()
    {
        string standard = _station.File("coat.toml", TestStandard.Text);
        Ran first = Begin(["3.18 mm", "3.20 mm", "stop"], standard, "--hands", "AB,CD", "--repeats", "2");
        Assert.Equal(130, first.ExitCode);
        string study = first.Error.Split("Study ")[1].Split(':')[0];
        Assert.Equal(1, _station.Run("", "study", "show").ExitCode);
        Assert.Equal(1, _station.Run("", "study", "use").ExitCode);

        Ran rest = GoOn("AB", Enumerable.Range(0, 4).Select(at => $"3.{20 + (at * 3)} mm"));
        Assert.False(Assert.Single(rest.Events("study")).GetProperty("complete").GetBoolean());
        Assert.Equal(2, GoOn("AB", ["3 mm"]).ExitCode);   // AB has read all
        Assert.Equal(2, GoOn("XY", ["3 mm"]).ExitCode);
        Ran other = GoOn("cd", Enumerable.Range(0, 6).Select(at => $"3.{30 + (at * 2)} mm"));
        Assert.Equal(0, other.ExitCode);
        Assert.All(other.Events("reading"), reading => Assert.Equal("CD", reading.GetProperty("hand").GetString()));
        Assert.True(Assert.Single(other.Events("study")).GetProperty("complete").GetBoolean());

        using JsonDocument shown = JsonDocument.Parse(_station.Run("", "study", "show", study, "--json").Output);
        Assert.Equal(12, shown.RootElement.GetProperty("readings").GetArrayLength());
        Assert.Equal(1_587_500, shown.RootElement.GetProperty("analysis").GetProperty("toleranceNm").GetInt64());   // ±1/32 in
        Assert.Equal("complete", Assert.Single(_station.Run("", "study", "list", "--json").Lines).GetProperty("state").GetString());

        Ran used = _station.Run("", "study", "use", "--json");
        Assert.Equal(0, used.ExitCode);
        Assert.Equal(study, used.Lines[0].GetProperty("used").GetProperty("study").GetString());
        Ran blouse = _station.Measure(["ok", "3.18 mm", "stop"], standard, "--tag", "QG-1", "--hand", "AB", "--port", "none");
        Assert.Equal(study, blouse.Events("verdict")[0].GetProperty("studies")[0].GetString());
        Assert.Equal(0, _station.Run("", "records", "verify").ExitCode);
        Assert.Empty(_station.Run("", "records", "list", "--json").Lines);
    }

    [Fact]
    public void Nothing_that_was_read_or_judged_is_shown_in_the_lines_of_a_study()
    {
        Ran ran = _station.Run("11.11\n12.34\nretake\n12.35\nstop\n", "study", "begin", "--points", "3", "--hands", "AB", "--hand", "AB", "--port", "none", "--plain");

        Assert.DoesNotContain("11.1", ran.Output + ran.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("12.3", ran.Output + ran.Error, StringComparison.Ordinal);
        Assert.Contains("reading [3/9]", ran.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_study_of_pretended_readings_is_practice_and_cannot_be_used()
    {
        Assert.Equal(0, _station.Run("\n\n\n\n", "study", "begin", "--points", "2", "--repeats", "2", "--hands", "AB", "--hand", "AB", "--port", "emulated", "--plain").ExitCode);

        Assert.Equal("practice", Assert.Single(_station.Run("", "study", "list", "--json").Lines).GetProperty("state").GetString());
        Ran used = _station.Run("", "study", "use", "--hand", "AB");
        Assert.Equal(1, used.ExitCode);
        Assert.False(File.Exists(Path.Combine(_station.Store, "settings.toml")));
    }

    [Fact]
    public async Task A_killed_study_has_every_reading_that_was_told_and_goes_on()
    {
        using (Talk talk = new(_station, "study", "begin", "--points", "3", "--hands", "AB", "--hand", "AB", "--port", "none", "--plain", "--json"))
        {
            await talk.SeeAsync("\"prompt\"");
            talk.Say("10.01 mm");
            await talk.SeeAsync("\"event\":\"reading\"");
            talk.Say("11.01 mm");
            await talk.SeeAsync("\"event\":\"reading\"");
        }   // killed

        Ran ran = GoOn("AB", ["12.01 mm", "stop"]);
        Assert.Equal(130, ran.ExitCode);
        using JsonDocument shown = JsonDocument.Parse(_station.Run("", "study", "show", "--json").Output);
        Assert.Equal([10_010_000, 11_010_000, 12_010_000], shown.RootElement.GetProperty("readings").EnumerateArray().Select(reading => reading.GetProperty("valueNm").GetInt64()));
    }

    [Fact]
    public void The_page_is_one_whole_document()
    {
        Begin(["3.18 mm", "stop"], _station.File("coat.toml", TestStandard.Text), "--hands", "AB,CD");
        Ran page = _station.Run("", "study", "show", "--html");

        Assert.StartsWith("<!DOCTYPE html>", page.Output, StringComparison.Ordinal);
        Assert.EndsWith("</html>\n", page.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--hands", "AB,ab")]
    [InlineData("--hands", "")]
    [InlineData("--hands", "AB,<b>")]
    [InlineData("--hands", "CD,EF")]
    [InlineData("--repeats", "0")]
    [InlineData("--repeats", "1")]
    [InlineData("--repeats", "51")]
    [InlineData("--points", "0")]
    [InlineData("--points", "201")]
    [InlineData("--tolerance", "0 mm")]
    [InlineData("--tolerance", "wide")]
    [InlineData("--steps", "bar")]
    [InlineData("--serial", "fast")]
    public void What_is_no_study_ends_with_2_and_leaves_no_store(string option, string value)
    {
        string[] usual = option == "--hands" ? [] : ["--hands", "AB,CD"];
        string[] points = option is "--points" or "--steps" ? [] : ["--points", "3"];
        Ran ran = _station.Run("", ["study", "begin", "--hand", "AB", "--port", option == "--serial" ? "/dev/nowhere" : "none", "--plain", .. usual, .. points, option, value]);

        Assert.Equal(2, ran.ExitCode);
        Assert.NotEmpty(ran.Error);
        Assert.False(Directory.Exists(Path.Combine(_station.Store, "journal")));
    }

    [Fact]
    public void Without_a_study_the_commands_say_so()
    {
        Assert.Equal(0, _station.Run("", "study", "list").ExitCode);
        Assert.Equal(2, _station.Run("", "study", "show").ExitCode);
        Assert.Equal(2, _station.Run("", "study", "use").ExitCode);
        Assert.Equal(2, GoOn("AB", []).ExitCode);
    }

    private Ran Begin(IEnumerable<string> answers, params IEnumerable<string> arguments) =>
        _station.Run(string.Join('\n', answers) + "\n", ["study", "begin", .. arguments, "--hand", "AB", "--port", "none", "--json", "--seed", "7"]);

    private Ran GoOn(string hand, IEnumerable<string> answers) =>
        _station.Run(string.Join('\n', answers) + "\n", "study", "go-on", "--hand", hand, "--port", "none", "--json");
}
