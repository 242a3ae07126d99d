using System.Text.Json;

namespace CaliperStation.Tests.Whole;

public sealed class PlainBenchTests : IDisposable
{
    private readonly Station _station = new();
    private readonly string _standard;

    public PlainBenchTests() => _standard = _station.File("coat.toml", TestStandard.Text);

    public void Dispose() => _station.Dispose();

    [Fact]
    public void A_clean_sitting_is_signed_filed_and_verified()
    {
        Ran ran = Measure(["ok", "1/8", "1/8", "1/4", "sign AB"]);

        Assert.Equal(0, ran.ExitCode);
        Assert.Equal(["hands", "bar-low-left", "bar-low-right", "star-gap"], Prompted(ran));
        Assert.All(ran.Events("verdict"), verdict => Assert.Equal("within", verdict.GetProperty("verdict").GetString()));
        Assert.Equal(["bar-height", "bar-height", "bar-level", "star-height"], ran.Events("verdict").Select(verdict => verdict.GetProperty("relation").GetString()));
        JsonElement closed = Assert.Single(ran.Events("closed"));
        Assert.True(closed.GetProperty("verified").GetBoolean());

        Ran verify = _station.Run("", "records", "verify", "--json");
        Assert.Equal(0, verify.ExitCode);
        Ran show = _station.Run("", "records", "show", closed.GetProperty("record").GetString()!, "--json");
        Assert.Equal(0, show.ExitCode);
        Assert.Contains("\"QG-1\"", show.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_outside_is_told_with_the_move_and_nothing_above_it_may_be_measured()
    {
        Ran ran = Measure(["ok", "1/8", "3/16", "1/4", "moved bar", "1/8", "1/8", "1/4", "sign AB"]);

        Assert.Equal(0, ran.ExitCode);
        JsonElement outside = ran.Events("verdict").First(verdict => verdict.GetProperty("verdict").GetString() == "outside");
        Assert.Equal("bar-height", outside.GetProperty("relation").GetString());
        Assert.Equal(4_762_500, outside.GetProperty("valueNm").GetInt64());
        Assert.Equal("bar", ran.Events("advice")[0].GetProperty("item").GetString());
        Assert.Single(ran.Events("refused"));   // the length for the star
        Assert.Equal(["bar-low-left", "bar-low-right"], ran.Events("stale")[0].GetProperty("steps").EnumerateArray().Select(step => step.GetString()));
        Assert.DoesNotContain("star-gap", Prompted(ran).Take(5));
    }

    [Fact]
    public void The_record_holds_its_events_the_confirmations_and_every_withdrawn_take()
    {
        Ran ran = Measure(["ok", "1/8", "3/16", "moved bar", "1/8", "1/8", "retake", "1/8", "1/4", "sign AB"]);

        string id = Assert.Single(ran.Events("closed")).GetProperty("record").GetString()!;
        using JsonDocument filed = JsonDocument.Parse(_station.Run("", "records", "show", id, "--json").Output);
        JsonElement record = filed.RootElement.GetProperty("record");
        Assert.Equal((1, 11), (record.GetProperty("events").GetProperty("first").GetProperty("number").GetInt64(), record.GetProperty("events").GetProperty("last").GetProperty("number").GetInt64()));
        Assert.Equal("hands", Assert.Single(record.GetProperty("confirmed").EnumerateArray()).GetProperty("line").GetString());
        Assert.Equal(
            [("bar-low-left", "moved", 3_175_000), ("bar-low-right", "moved", 4_762_500), ("bar-low-right", "retaken", 3_175_000)],
            record.GetProperty("withdrawn").EnumerateArray().Select(w => (w.GetProperty("step").GetString(), w.GetProperty("why").GetString(), w.GetProperty("takes")[0].GetProperty("valueNm").GetInt64())));
        Assert.Equal(0, _station.Run("", "records", "verify").ExitCode);
    }

    [Fact]
    public void Going_on_though_outside_needs_a_reason_and_leaves_the_record_unverified()
    {
        Ran ran = Measure(["ok", "1/8", "1/4", "aside", "aside pocket sewn crooked", "1/4", "sign AB"]);

        Assert.Equal(1, ran.ExitCode);
        Assert.False(Assert.Single(ran.Events("closed")).GetProperty("verified").GetBoolean());
        Assert.Contains("reason", ran.Events("refused")[0].GetProperty("why").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_stopped_sitting_goes_on_where_it_was()
    {
        Ran first = Measure(["ok", "1/8", "stop"]);
        Ran second = Measure(["1/8", "1/4", "sign AB"]);

        Assert.Equal(130, first.ExitCode);
        Assert.Equal(0, second.ExitCode);
        Assert.Equal("bar-low-right", Prompted(second)[0]);
    }

    [Fact]
    public void The_end_of_the_input_is_stop()
    {
        Assert.Equal(130, _station.Run("ok\n1/8", Arguments).ExitCode);
        Assert.Equal("bar-low-right", Prompted(Measure(["stop"]))[0]);
    }

    [Fact]
    public void An_answer_decides_what_the_coat_carries()
    {
        Ran ran = _station.Measure(["ok", "1/8", "1/8", "sign AB"], [.. Arguments[3..], "--answer", "star=no"]);

        Assert.Equal(0, ran.ExitCode);
        Assert.DoesNotContain("star-gap", Prompted(ran));
    }

    [Fact]
    public void Unreadable_answers_are_refused_with_the_reason_and_asked_again()
    {
        Ran ran = Measure(["yes", "ok", "11/4", "1/128", "1/8\u001b[31m", "", "1/8", "stop"]);

        Assert.Equal(130, ran.ExitCode);
        Assert.Equal(5, ran.Events("refused").Count);
        Assert.DoesNotContain('\u001b', ran.Output);
        Assert.Single(ran.Events("reading"));
    }

    [Fact]
    public void The_emulated_caliper_gives_a_whole_sitting_by_presses_alone()
    {
        Ran ran = _station.Measure(["ok", "", "", "", "sign AB"], _standard, "--tag", "QG-2", "--port", "emulated");

        Assert.Equal(0, ran.ExitCode);
        Assert.All(ran.Events("reading"), reading => Assert.Equal("emulated", reading.GetProperty("source").GetString()));
    }

    [Fact]
    public void The_words_of_the_plain_bench_come_a_line_each()
    {
        Ran ran = _station.Run("ok\n1/8\n3/16\nstop\n", "measure", _standard, "--tag", "QG-3", "--plain", "--port", "none");

        string[] lines = ran.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Contains(lines, line => line.StartsWith("caution  Mind the pins.", StringComparison.Ordinal));
        Assert.Contains(lines, line => line.StartsWith("took  bar low left: 4 t, typed", StringComparison.Ordinal));
        Assert.Contains(lines, line => line.StartsWith("outside  bar height at bar low right: 6 t, limits 3 t to 5 t, over by 1 t", StringComparison.Ordinal));
        Assert.Contains(lines, line => line.StartsWith("move  bar: ", StringComparison.Ordinal));
    }

    private string[] Arguments => ["measure", "--plain", "--json", _standard, "--tag", "QG-1", "--hand", "AB", "--port", "none"];

    private Ran Measure(IEnumerable<string> answers) => _station.Measure(answers, Arguments[3..]);

    private static List<string> Prompted(Ran ran) =>
        [.. ran.Events("prompt").Select(prompt => prompt.GetProperty("step").GetString()).OfType<string>()];
}
