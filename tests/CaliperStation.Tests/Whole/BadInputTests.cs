
namespace CaliperStation.Tests.Whole;

public sealed class BadInputTests : IDisposable
{
    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [Fact]
    public void Every_fault_of_a_standard_is_told_at_once_with_its_place()
    {
        string bad = _station.File("bad.toml", TestStandard.Text.Replace("unit = \"in\"", "", StringComparison.Ordinal).Replace("nominal = \"1/8\"", "nominal = \"1/128\"", StringComparison.Ordinal));

        Ran ran = _station.Run("", "measure", bad, "--plain");

        Assert.Equal(3, ran.ExitCode);
        Assert.Contains("unit", ran.Error, StringComparison.Ordinal);
        Assert.Contains("1/64", ran.Error, StringComparison.Ordinal);
        Assert.Matches(@"bad\.toml:\d+:\d+: ", ran.Error);
        Assert.Empty(ran.Output);
    }

    [Fact]
    public void A_standard_that_is_not_there_is_a_bad_file()
    {
        Ran ran = _station.Run("", "measure", "nowhere.toml", "--plain");

        Assert.Equal(3, ran.ExitCode);
        Assert.StartsWith("nowhere.toml: ", ran.Error, StringComparison.Ordinal);
        Assert.Empty(ran.Output);
    }

    [Theory]
    [InlineData("--tag", "bad\u001b[31mtag")]
    [InlineData("--tag", "../up")]
    [InlineData("--hand", "Somebody Long")]
    [InlineData("--answer", "no-such=yes")]
    [InlineData("--serial", "9600-9X9")]
    public void A_value_that_cannot_be_is_wrong_usage(string option, string value)
    {
        string[] port = option == "--serial" ? ["--port", "/dev/nothing"] : ["--port", "none"];
        Ran ran = _station.Run("", ["measure", _station.File("coat.toml", TestStandard.Text), "--plain", option, value, .. port]);

        Assert.Equal(2, ran.ExitCode);
        Assert.Contains(option, ran.Error, StringComparison.Ordinal);
        Assert.DoesNotContain('\u001b', ran.Error);
        Assert.DoesNotContain("   at ", ran.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("nonsense")]
    [InlineData("measure", "--json")]
    [InlineData("measure", "--no-such-option")]
    public void Wrong_usage_ends_with_2(params string[] arguments)
    {
        Ran ran = _station.Run("", arguments);

        Assert.Equal(2, ran.ExitCode);
        Assert.Contains("--help", ran.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("measure", "--plain", "--port", "replay:")]
    [InlineData("caliper", "listen", "replay:")]
    public void A_bad_capture_is_a_bad_file_wherever_one_is_played(params string[] words)
    {
        string[] bad = [_station.File("bad.cap", "no capture"), _station.File("empty.cap", ""), Path.Combine(_station.Folder, "missing.cap"), _station.Folder, .. File.Exists("/dev/zero") ? ["/dev/zero"] : (string[])[]];
        foreach (string capture in bad)
        {
            Ran ran = _station.Run("", [.. words[..^1], words[^1] + capture]);
            Assert.Equal(3, ran.ExitCode);
            Assert.Contains(Path.GetFileName(capture), ran.Error, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_tag_may_begin_with_what_other_programs_take_for_a_file_of_options()
    {
        _station.Measure(["ok", "stop"], "--port", "none", "--tag", "@forty", "--hand", "AB");

        Assert.Equal("@forty", Assert.Single(_station.Run("", "readiness", "--json").Lines).GetProperty("tag").GetString());
    }

    [Fact]
    public void A_key_or_an_exported_file_that_is_not_there_is_a_bad_file()
    {
        Assert.Equal(0, _station.Run("", "records", "new-key", "--reason", "a drill").ExitCode);
        string key = _station.File("none.pub.pem", "nothing");

        Assert.Equal(3, _station.Run("", "records", "verify", "--key", Path.Combine(_station.Folder, "missing.pem")).ExitCode);
        Assert.Equal(3, _station.Run("", "records", "verify", _station.File("out.jsonl", ""), "--key", key).ExitCode);
        Ran ran = _station.Run("", "records", "verify", "missing.jsonl", "--key", Directory.GetFiles(Path.Combine(_station.Store, "keys"), "*.pub.pem")[0]);
        Assert.Equal(3, ran.ExitCode);
        Assert.Contains("missing.jsonl", ran.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_signature_of_another_hand_is_announced()
    {
        Ran ran = _station.Measure(["ok", "1/8", "1/8", "1/4", "sign CD"], _station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--hand", "AB", "--port", "none");

        Assert.Equal(0, ran.ExitCode);
        Assert.Contains(ran.Events("remark"), remark => remark.GetProperty("words").GetString()!.Contains("CD", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_store_that_another_bench_is_writing_is_told_with_its_process_and_ends_with_4()
    {
        using Talk first = new(_station, "measure", "--plain", "--json", "--port", "none", "--tag", "QG-1", "--hand", "AB");
        await first.SeeAsync("prompt");

        Ran second = _station.Run("", "measure", "--plain", "--json", "--port", "none", "--tag", "QG-2", "--hand", "AB");

        Assert.Equal(4, second.ExitCode);
        Assert.Matches(@"process \d+", second.Error);
    }

    [Fact]
    public void A_store_that_cannot_be_written_is_told_before_the_first_prompt()
    {
        string file = _station.File("in-the-way", "");

        Ran ran = _station.Run("ok\n", "measure", "--plain", "--store", Path.Combine(file, "store"));

        Assert.Equal(2, ran.ExitCode);
        Assert.Empty(ran.Output);
        Assert.Contains("--store", ran.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_port_that_is_not_there_leaves_typed_entry_open()
    {
        Ran ran = _station.Measure(["ok", "", "1/8", "stop"], _station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--port", "/dev/nothing-here");

        Assert.Equal(130, ran.ExitCode);
        Assert.Contains("/dev/nothing-here", Assert.Single(ran.Events("refused")).GetProperty("why").GetString(), StringComparison.Ordinal);
        Assert.Single(ran.Events("reading"));
    }

    [Fact]
    public void An_escape_sequence_in_a_standard_never_reaches_the_terminal()
    {
        string bad = _station.File("hostile.toml", TestStandard.Text.Replace("Clean gloves on", "Clean \\u001b[2Jgloves", StringComparison.Ordinal));

        Ran ran = _station.Run("", "standard", "check", bad);

        Assert.Equal(3, ran.ExitCode);
        Assert.DoesNotContain('\u001b', ran.Output + ran.Error);
    }
}
