using System.Text.Json;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Standards;

namespace CaliperStation.Core.Tests.Reports;

public class StandardTableTests
{
    private static readonly Plan Small = Plan.For(StandardFiles.Loaded(SmallStandard.Text), new Dictionary<string, string>());

    [Fact]
    public void A_terminal_sees_the_order_of_work_with_what_is_judged_and_all_four_displays()
    {
        Assert.Equal(
            """
            Test company (1); left and right as you face the blouse
            Is the cord worn? yes

            Before any reading
               1  Hands clean

            Ribbon rack
               2  Pocket to rack, left
                   height (gap)        3½ t to 4½ t                7/64 in to 9/64 in                    0.1094 in to 0.1406 in                            2.78 mm to 3.57 mm
               3  Pocket to rack, right
                   height (gap)        3½ t to 4½ t                7/64 in to 9/64 in                    0.1094 in to 0.1406 in                            2.78 mm to 3.57 mm
                   level (level)       -1 t to 1 t                 -1/32 in to 1/32 in                   -0.0312 in to 0.0312 in                           -0.79 mm to 0.79 mm
               4  Pocket edge to rack
                   side (gap)          8 t to 24 t                 1/4 in to 3/4 in                      0.2500 in to 0.7500 in                            6.35 mm to 19.05 mm
               5  Width of the rack

            Badge
               6  Width of the badge
                   hidden (share)      no limits
               7  Rack to badge
                   badge-height (gap)  7 t to 9 t or 15 t to 17 t  7/32 in to 9/32 in or 15/32 in to 17/32 in  0.2188 in to 0.2812 in or 0.4688 in to 0.5312 in  5.56 mm to 7.14 mm or 11.91 mm to 13.49 mm  when hidden >= 0.3333 and cord = yes or no and rows of badge >= 3

            """.Split('\n').Select(Squeezed),
            StandardTable.Text(Small).Split('\n').Select(Squeezed));
    }

    [Fact]
    public void Columns_of_the_terminal_table_stand_under_each_other()
    {
        string[] rows = [.. StandardTable.Text(Small).Split('\n').Where(row => row.Contains(" mm", StringComparison.Ordinal))];
        int[] starts = [.. new[] { "3½ t to", "7/64 in to", "0.1094 in to", "2.78 mm to" }.Select(cell => rows[0].IndexOf(cell, StringComparison.Ordinal))];

        Assert.All(rows, row => Assert.All(starts, start => Assert.True(row[start] != ' ' && row[(start - 2)..start] == "  ", row)));
    }

    [Fact]
    public void Markdown_escapes_what_would_mean_something()
    {
        Standard odd = StandardFiles.Loaded(SmallStandard.With("ask   = \"Pocket edge to rack\"", "ask   = \"a|b <script> *c* [d](e) `f`\""));

        string row = StandardTable.Markdown(Plan.For(odd, new Dictionary<string, string>())).Split('\n').Single(line => line.StartsWith("| 4 |", StringComparison.Ordinal));

        Assert.Equal("| 4 | a\\|b &lt;script&gt; \\*c\\* \\[d\\](e) \\`f\\` | side (gap) | 8 t to 24 t | 1/4 in to 3/4 in | 0.2500 in to 0.7500 in | 6.35 mm to 19.05 mm |", row);
    }

    [Fact]
    public void A_program_gets_exact_limits()
    {
        JsonElement root = JsonDocument.Parse(StandardTable.Json(Small)).RootElement;
        JsonElement[] steps = [.. root.GetProperty("steps").EnumerateArray()];
        JsonElement height = steps[0].GetProperty("judged")[0];

        Assert.Equal(Small.Steps.Select(step => step.Id), steps.Select(step => step.GetProperty("id").GetString()));
        Assert.Equal("yes", root.GetProperty("answers").GetProperty("cord").GetString());
        Assert.Equal(2_778_125, height.GetProperty("limits")[0].GetProperty("lowerNm").GetInt64());
        Assert.Equal(3_175_000, height.GetProperty("limits")[0].GetProperty("nominalNm").GetInt64());
        Assert.Equal(3_571_875, height.GetProperty("limits")[0].GetProperty("upperNm").GetInt64());
        Assert.Equal("4½ t", height.GetProperty("limits")[0].GetProperty("upper").GetProperty("ticks").GetString());
    }

    [Fact]
    public void Angles_and_shares_have_their_own_units()
    {
        string text = SmallStandard.With(
            "[[relation]]\nid   = \"level\"\nkind = \"level\"\nof   = [\"low-left\", \"low-right\"]",
            "[[relation]]\nid   = \"level\"\nkind = \"angle\"\nof   = [\"low-left\", \"low-right\"]\nspan = \"2\"\nnominal = \"45 deg\"\nwithin = \"1 deg\"\n[[relation]]\nid = \"part\"\nkind = \"share\"\nof = [\"low-left\", \"low-right\"]\nmin = \"1/4\"");
        Plan plan = Plan.For(StandardFiles.Loaded(text), new Dictionary<string, string>());
        string json = StandardTable.Json(plan);

        Assert.Contains("level (angle)       44 deg to 46 deg", StandardTable.Text(plan), StringComparison.Ordinal);
        Assert.Contains("part (share)        at least 0.25", StandardTable.Text(plan), StringComparison.Ordinal);
        Assert.Contains("\"nominalMilliradians\":785.39", json, StringComparison.Ordinal);
        Assert.Contains("\"lowerRatio\":0.25", json, StringComparison.Ordinal);
    }

    [Fact]
    public void A_rule_is_judged_where_its_last_reading_is_taken_and_one_for_each_reading_at_each()
    {
        IEnumerable<string> At(string step) => StandardTable.JudgedAt(Small, Small.FindStep(step)!).Select(relation => relation.Id);

        Assert.Equal(["height"], At("low-left"));
        Assert.Equal(["height", "level"], At("low-right"));
        Assert.Equal([], At("rack-width"));
        Assert.Equal(["hidden"], At("badge-width"));
    }

    private static string Squeezed(string line) => string.Join(' ', line.Split(' ', StringSplitOptions.RemoveEmptyEntries));
}
