using System.Text.Json;

namespace CaliperStation.Tests.Whole;

/// <summary>The test coat is measured by AB as 1/8, 1/8 and 1/4 in; the bar carries the star.</summary>
public sealed class RemeasurementTests : IDisposable
{
    private static readonly string[] Steps = ["bar-low-left", "bar-low-right", "star-gap"];

    private readonly Station _station;
    private readonly string _record;

    public RemeasurementTests() => _station = Station.Measured(out _record, "ok", "1/8", "1/8", "1/4", "sign AB");

    public void Dispose() => _station.Dispose();

    [Fact]
    public void A_second_hand_that_agrees_signs_a_record_of_its_own_and_the_blouse_is_ready()
    {
        Ran ran = Countersign(["3.18 mm", "retake", "3.2 mm", "3.15 mm", "6.4 mm", "sign cd"], "--seed", "7");

        Assert.Equal(0, ran.ExitCode);
        Assert.Equal(["bar-low-left", "bar-low-right", "bar-low-left", "bar-low-right", "star-gap"], Prompted(ran));
        IReadOnlyList<JsonElement> comparisons = ran.Events("comparison");
        Assert.Equal(Steps, comparisons.Select(comparison => comparison.GetProperty("step").GetString()));
        Assert.Equal(["carries", "carries", "random"], comparisons.Select(comparison => comparison.GetProperty("why").GetString()));
        Assert.Equal((3_175_000, 3_200_000, true), (comparisons[0].GetProperty("firstNm").GetInt64(), comparisons[0].GetProperty("secondNm").GetInt64(), comparisons[0].GetProperty("agrees").GetBoolean()));
        JsonElement closed = Assert.Single(ran.Events("closed"));
        Assert.Equal(("countersign", _record, true), (closed.GetProperty("kind").GetString(), closed.GetProperty("ofRecord").GetString(), closed.GetProperty("verified").GetBoolean()));
        Assert.Equal(["AB", "CD"], new[] { "firstHands", "hands" }.Select(hands => Assert.Single(closed.GetProperty(hands).EnumerateArray()).GetString()));

        using JsonDocument filed = JsonDocument.Parse(_station.Run("", "records", "show", closed.GetProperty("record").GetString()!, "--json").Output);
        Assert.Equal(7, filed.RootElement.GetProperty("record").GetProperty("seed").GetInt64());
        Assert.Equal(2, filed.RootElement.GetProperty("record").GetProperty("number").GetInt64());
        Assert.Equal("retaken", Assert.Single(filed.RootElement.GetProperty("record").GetProperty("withdrawn").EnumerateArray()).GetProperty("why").GetString());
        Assert.Equal(0, _station.Run("", "records", "verify").ExitCode);
        Assert.Equal(0, _station.Run("", "readiness", "--all", "--countersigned").ExitCode);
    }

    [Fact]
    public void Nothing_of_the_first_is_told_before_the_signature_and_a_difference_is_told_after_it()
    {
        Ran ran = Countersign(["3.2 mm", "9.5 mm", "6.4 mm", "moved bar", "sign CD"]);

        Assert.Equal(1, ran.ExitCode);
        List<JsonElement> before = [.. ran.Lines.TakeWhile(line => line.GetProperty("event").GetString() != "comparison")];
        Assert.NotEmpty(before);
        Assert.All(before, line => Assert.Contains(line.GetProperty("event").GetString(), (string[])["remark", "prompt", "reading", "refused"]));
        string said = string.Join('\n', before.Select(line => line.GetRawText()));
        foreach (string told in (string[])["3175000", "6350000", "1/8", "within", "outside", "borderline", "limits", "lower", "upper", "carries", "\"close\"", "random", "AB"])
        {
            Assert.DoesNotContain(told, said, StringComparison.Ordinal);
        }

        Assert.Equal([true, true, false], ran.Events("comparison").Select(comparison => comparison.GetProperty("agrees").GetBoolean()));
        Assert.False(Assert.Single(ran.Events("closed")).GetProperty("verified").GetBoolean());
        Ran readiness = _station.Run("", "readiness", _station.File("parade.csv", "row,tag\n1,QG-1\n2,QG-9\n"), "--json");
        Assert.Equal(1, readiness.ExitCode);
        Assert.Equal(["differs", "none"], readiness.Lines.Select(blouse => blouse.GetProperty("countersigned").GetString()));
        Assert.Equal([1, 1], readiness.Lines.Select(blouse => blouse.GetProperty("why").GetArrayLength()));
    }

    [Fact]
    public void The_same_hand_is_refused_whatever_the_case()
    {
        Ran ran = _station.Run("3.2 mm\n", "countersign", _record, "--hand", "ab", "--json", "--port", "none");

        Assert.Equal(2, ran.ExitCode);
        Assert.Empty(ran.Output);
        Assert.Contains(_record, ran.Error, StringComparison.Ordinal);
        Assert.Equal(2, _station.Run("", "countersign", "QG-404", "--hand", "CD", "--port", "none").ExitCode);
    }

    [Fact]
    public void A_stopped_countersign_goes_on_where_it_was_and_a_measurement_does_not_take_it_for_a_sitting()
    {
        Assert.Equal(130, Countersign(["3.2 mm", "stop"]).ExitCode);
        Ran other = _station.Measure(["ok", "stop"], Path.Combine(_station.Folder, "coat.toml"), "--tag", "QG-1", "--port", "none");
        Assert.Equal("hands", other.Events("prompt")[0].GetProperty("step").GetString());

        Ran ran = Countersign(["3.15 mm", "6.4 mm", "sign CD"]);

        Assert.Equal(0, ran.ExitCode);
        Assert.Equal("bar-low-right", Prompted(ran)[0]);
        Assert.Equal(Steps, ran.Events("comparison").Select(comparison => comparison.GetProperty("step").GetString()));
    }

    [Fact]
    public void A_recheck_says_in_these_lines_what_moved_and_what_that_makes_doubtful()
    {
        Ran ran = _station.Run("3.15 mm\n5.6 mm\n6.3 mm\nsign AB\n", "recheck", "QG-1", "--hand", "AB", "--port", "none", "--plain");

        Assert.Equal(1, ran.ExitCode);
        string[] lines = ran.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Contains(lines, line => line.StartsWith("agrees  bar low left: 4 t (3.18 mm), now 4 t (3.15 mm), 0.0 t", StringComparison.Ordinal));
        Assert.Contains(lines, line => line.StartsWith("differs  bar low right: 4 t (3.18 mm), now 7 t (5.60 mm), +3.1 t", StringComparison.Ordinal));
        Assert.Contains("doubtful  no other reading; verdicts bar height, bar level; measure this blouse again: caliper-station measure STANDARD --tag QG-1", lines);
        Assert.EndsWith(": 1 of 3 readings: bar low right, first 4 t (3.18 mm), now 7 t (5.60 mm)", lines[^1], StringComparison.Ordinal);
        Assert.StartsWith("closed  ", lines[^1], StringComparison.Ordinal);
        Assert.Equal(1, _station.Run("", "readiness").ExitCode);
    }

    private Ran Countersign(IEnumerable<string> answers, params IEnumerable<string> arguments) =>
        _station.Run(string.Join('\n', answers) + "\n", ["countersign", _record, "--hand", "CD", "--port", "none", "--plain", "--json", .. arguments]);

    private static List<string> Prompted(Ran ran) =>
        [.. ran.Events("prompt").Select(prompt => prompt.GetProperty("step").GetString()).OfType<string>()];
}
