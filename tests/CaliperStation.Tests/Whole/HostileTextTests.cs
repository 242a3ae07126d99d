using CaliperStation.Bench;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Tests.Whole;

/// <summary>Text from a command line, a file or a person never steers the terminal, forges a line of output, or becomes a formula or markup.</summary>
public sealed class HostileTextTests : IDisposable
{
    // An escape sequence, C1 controls, a bidirectional override, a line end with a forged verdict, a formula and a tag.
    private const string Hostile = "=cmd\u001b]0;x\u0007\u009b2J\u202e\u2066<b>&\"'\r\nclosed  record X, verified\r";

    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [Theory]
    [InlineData("measure", "--plain", "--port", "none", "--tag")]
    [InlineData("measure", "--plain", "--port", "none", "--tag", "T1", "--hand")]
    [InlineData("measure", "--plain", "--port")]
    [InlineData("measure", "--plain", "--tag", "T1", "--answer")]
    [InlineData("standard", "check")]
    [InlineData("records", "show")]
    [InlineData("records", "list", "--tag")]
    [InlineData("records", "verify", "--card")]
    [InlineData("advise", "--readings")]
    [InlineData("caliper", "decode")]
    [InlineData("study", "report")]
    public void Nothing_named_on_a_command_line_steers_the_terminal_or_forges_a_line(params string[] words)
    {
        Ran ran = _station.Run("", [.. words, Hostile]);

        Assert.NotEqual(70, ran.ExitCode);
        AssertHarmless(ran.Output);
        AssertHarmless(ran.Error);
    }

    [Fact]
    public void Nothing_typed_at_the_bench_does_either()
    {
        string typed = Hostile.Replace("\r\n", "\u2028", StringComparison.Ordinal).Replace("\r", "", StringComparison.Ordinal);   // a line end ends an answer
        Ran ran = _station.Run(string.Join('\n', typed, "aside " + typed, "sign " + typed, "hand " + typed, "moved " + typed, "retake " + typed) + "\n", "measure", "--plain", "--port", "none", "--tag", "T1", "--hand", "AB");

        Assert.Equal(130, ran.ExitCode);
        AssertHarmless(ran.Output);
        AssertHarmless(ran.Error);
    }

    /// <summary>Of what a standard, a hand or a journal says: the bench's words are as they came until they are lines.</summary>
    [Fact]
    public void Nothing_the_bench_tells_in_lines_does_either()
    {
        StringWriter lines = new();

        new LineOutput(lines, LengthDisplay.Ticks, json: false).Say(new Said.Remarked(Hostile));

        Assert.Equal($"mind  {PrintableText.Escape(Hostile)}\n", lines.ToString());
        AssertHarmless(lines.ToString());
    }

    /// <summary>Of names in a folder that the station reads: a record's file, a standard's.</summary>
    [Fact]
    public void Nothing_in_the_name_or_the_text_of_a_file_does_either()
    {
        string name = Hostile.Replace("/", "", StringComparison.Ordinal);
        string standard = _station.File(name + ".toml", $"name = \"{Hostile}\"\n[[item]]\nid = \"\u001b\"\n");
        string export = _station.File(name + ".jsonl", "{\"record\":{}}\n" + Hostile + "\n");

        foreach (Ran ran in (Ran[])[_station.Run("", "standard", "check", standard), _station.Run("", "records", "verify", export), _station.Run("", "records", "import", export)])
        {
            Assert.NotEqual(0, ran.ExitCode);
            Assert.NotEqual(70, ran.ExitCode);
            AssertHarmless(ran.Output);
            AssertHarmless(ran.Error);
        }
    }

    private static void AssertHarmless(string text)
    {
        string[] lines = text.ReplaceLineEndings("\n").Split('\n');
        Assert.All(lines, line => Assert.Equal(PrintableText.Escape(line), line));
        Assert.DoesNotContain(lines, line => line.StartsWith("closed", StringComparison.Ordinal));
    }
}
