using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Tests.Reports;

public class FaultTextTests
{
    [Fact]
    public void A_fault_stands_over_its_line_with_a_caret_under_its_column()
    {
        string shown = FaultText.One("rack.toml", "unit = \"in\"\nwithin = \"1/3\"\n", new TextFault(2, 13, "a third is no mark", "\"5/16\""));

        Assert.Equal(
            """
            rack.toml:2:13: a third is no mark
              2 | within = "1/3"
                |             ^
              write instead: "5/16"

            """,
            shown);
    }

    [Fact]
    public void What_is_escaped_before_the_fault_moves_the_caret_along()
    {
        string shown = FaultText.One("a", "\tx = \"\u001b[2J😀\" ; bad", new TextFault(1, 14, "m", "w"));

        Assert.Equal("  1 |  x = \"\\x1B[2J😀\" ; bad", shown.Split('\n')[1]);
        Assert.Equal("    |                 ^", shown.Split('\n')[2]);
    }

    [Fact]
    public void Of_a_long_line_only_what_is_about_the_fault_is_shown()
    {
        string line = new string('a', 300) + "X" + new string('b', 300);

        string[] shown = FaultText.One("a", line, new TextFault(1, 301, "m", "w")).Split('\n');

        Assert.Equal('X', shown[1][shown[2].IndexOf('^', StringComparison.Ordinal)]);
        Assert.True(shown[1].Length < 120);
        Assert.StartsWith("  1 | …a", shown[1], StringComparison.Ordinal);
        Assert.EndsWith("b…", shown[1], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1, 99)]
    [InlineData(9, 1)]
    public void A_fault_beyond_the_text_is_shown_all_the_same(int line, int column)
    {
        string shown = FaultText.One("a", "b = 1", new TextFault(line, column, "m", "w"));

        Assert.StartsWith($"a:{line}:{column}: m\n", shown, StringComparison.Ordinal);
        Assert.EndsWith("  write instead: w\n", shown, StringComparison.Ordinal);
    }

    [Fact]
    public void Nothing_from_outside_reaches_the_terminal_raw()
    {
        string shown = FaultText.One("\u001b]0;x\u0007.toml", "a\u009b = 1\r\n", new TextFault(1, 2, "\u202em", "\u001bw"));

        Assert.All(shown.Replace("\n", "", StringComparison.Ordinal), c => Assert.InRange(c, ' ', '~'));
    }

    [Fact]
    public void A_check_counts_faults_and_says_what_is_good()
    {
        string good = "name = \"N\"\nedition = \"1\"\nunit = \"in\"\n[[item]]\nid = \"a\"\nname = \"a\"\nstands_on = \"p\"\nsize = [1, 1]\nplace = [0, 0]\npins = [[0, 0]]\n[[step]]\nid = \"s\"\nof = \"a\"\nreads = \"width\"\nask = \"w\"\n[[relation]]\nid = \"r\"\nkind = \"size\"\nof = \"s\"\nmin = 1\n";
        CheckedFile[] files = [new("good.toml", good, StandardText.Load(good)), new("bad.toml", "", StandardText.Load(""))];

        string text = StandardCheck.Text(files);
        System.Text.Json.JsonElement[] json = [.. StandardCheck.Json(files).Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => System.Text.Json.JsonDocument.Parse(line).RootElement)];

        Finding unseen = Assert.Single(files[0].Findings);
        Assert.Equal((ReviewKind.Unseen, "a"), (unseen.Kind, unseen.About.Single()));
        Assert.Contains($"good.toml:5:6: warning: {unseen.Fault.Message}\n", text, StringComparison.Ordinal);
        Assert.Contains("good.toml: good: N, 1 steps, 1 rules, 1 warning\n", text, StringComparison.Ordinal);
        Assert.EndsWith("bad.toml: 4 faults\n", text, StringComparison.Ordinal);
        Assert.True(json[0].GetProperty("good").GetBoolean());
        Assert.Equal(0, json[0].GetProperty("faults").GetArrayLength());
        Assert.Equal(unseen.Fault.Message, json[0].GetProperty("warnings")[0].GetProperty("message").GetString());
        Assert.Equal((4, 0), (json[1].GetProperty("faults").GetArrayLength(), json[1].GetProperty("warnings").GetArrayLength()));
        Assert.Equal(1, json[1].GetProperty("faults")[0].GetProperty("line").GetInt32());
    }
}
