using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Tests.Standards;

public class StandardReviewTests
{
    private const string Head = """
        name    = "Test company"
        edition = "1"
        unit    = "in"
        within  = "1/32"
        [asks]
        cord   = ["no", "yes"]
        wreath = ["no", "yes"]
        [garment]
        "left pocket" = { at = ["4", "2"], size = ["5", "5 1/2"] }
        [[ready]]
        ask = "Cord and wreath on"
        if  = "cord = yes and wreath = yes"
        [[item]]
        name = "bar"
        size = ["3", "1/2"]
        pins = ["-1", "1"]

        """;

    private static List<Finding> Of(string sits) => [.. StandardReview.Of(StandardFiles.Loaded(Head + $"sits = [{sits}]\n"))];

    [Fact]
    public void An_item_that_readings_see_every_way_is_not_spoken_of() =>
        Assert.Empty(Of("\"1/4 above the left pocket\", \"centred on the left pocket\", \"level\""));

    [Theory]
    [InlineData("\"1/4 above the left pocket\"", ReviewKind.SideUnseen, "centred on the left pocket")]
    [InlineData("\"centred on the left pocket\"", ReviewKind.HeightUnseen, "above the left pocket")]
    [InlineData("\"7/8 up and right of the left pocket\"", ReviewKind.AcrossUnseen, "centred on the left pocket")]
    [InlineData("\"1/2 from the left edge of the left pocket\", \"centred up and down on the left pocket\"", ReviewKind.TurnUnseen, "level")]
    public void What_no_reading_sees_is_told_with_what_would_see_it(string sits, ReviewKind kind, string instead)
    {
        Finding finding = Assert.Single(Of(sits));

        Assert.True(finding.IsWarning);
        Assert.Equal((14, 8), (finding.Fault.Line, finding.Fault.Column));   // the item's name
        Assert.Equal((kind, "bar"), (finding.Kind, finding.About.Single()));
        Assert.Contains(instead, finding.Fault.Instead, StringComparison.Ordinal);
    }

    [Fact]
    public void What_one_pin_holds_need_not_be_seen_to_turn()
    {
        Assert.Empty(StandardReview.Of(StandardFiles.Loaded(Head.Replace("pins = [\"-1\", \"1\"]", "pins = \"middle\"", StringComparison.Ordinal) + "sits = [\"1/4 above the left pocket\", \"centred on the left pocket\"]\n")));
    }

    [Fact]
    public void What_is_not_seen_on_one_coat_only_is_found()
    {
        Finding finding = Assert.Single(Of("\"1/4 above the left pocket\", \"level\", \"centred on the left pocket, if cord = no or yes and wreath = no\", \"level\""));

        Assert.Equal((ReviewKind.SideUnseen, "bar"), (finding.Kind, finding.About.Single()));
    }

    private const string Whole = "\"centred on the left pocket\", \"level\", ";

    [Theory]
    [InlineData("\"1/4 above the left pocket, if cord = yes\", \"1/8 above the left pocket, if wreath = yes\", \"1/2 above the left pocket, if cord = no and wreath = no\"", "cord = yes, wreath = yes")]
    [InlineData("\"1/4 above the left pocket\", \"at least 1/2 above the left pocket\"", "cord = no, wreath = no")]
    [InlineData("\"1/4 or 1/2 above the left pocket\", \"5/16 to 7/16 above the left pocket, if cord = yes\"", "cord = yes, wreath = no")]
    public void Rules_that_no_coat_can_keep_together_are_a_fault_with_the_coat(string sits, string coat)
    {
        Finding finding = Assert.Single(Of(Whole + sits));

        Assert.False(finding.IsWarning);
        Assert.Equal(ReviewKind.Contradiction, finding.Kind);
        Assert.Equal(["bar-height", "bar-height-2"], finding.About);
        Assert.Equal(coat, finding.On);
        Assert.Equal(17, finding.Fault.Line);   // the later rule
    }

    [Theory]
    [InlineData("\"1/4 above the left pocket, if cord = yes\", \"1/8 above the left pocket, if cord = no\"")]
    [InlineData("\"1/4 or 1/2 above the left pocket\", \"at least 3/8 above the left pocket\"")]
    [InlineData("\"1/4 above the left pocket\", \"1/4 to 1/2 above the left pocket\"")]
    public void Rules_that_take_turns_or_overlap_do_not_contradict_each_other(string sits) => Assert.Empty(Of(Whole + sits));

    // Two heights a quarter apart and a level of 1/32: three rules, none of which can be left out.
    [Fact]
    public void A_contradiction_of_three_rules_names_all_three()
    {
        Standard standard = StandardFiles.Loaded(Head + "sits = [\"centred on the left pocket\", \"at least 1/8 above the left pocket\", \"level\"]\n"
            + "[[relation]]\nid = \"low\"\nkind = \"gap\"\nof = \"bar-low-left\"\nmax = \"3/16\"\n[[relation]]\nid = \"high\"\nkind = \"gap\"\nof = \"bar-low-right\"\nmin = \"1/2\"\n");

        Finding finding = Assert.Single(StandardReview.Of(standard));
        Assert.Equal(ReviewKind.Contradiction, finding.Kind);
        Assert.Equal(["bar-level", "low", "high"], finding.About);
    }

    private static string Read(string id, string at, string grows) => $"[[step]]\nid = \"{id}\"\nof = \"bar\"\nfrom = \"left pocket\"\nat = [{at}]\ngrows = \"{grows}\"\nask = \"Edge to edge\"\n";

    private static string Rule(string kind, string of, string limits = "") => $"[[relation]]\nid = \"rule\"\nkind = \"{kind}\"\nof = [{of}]\n{limits}\n";

    private const string Sound = "sits = [\"1/4 above the left pocket\", \"centred on the left pocket\", \"level\"]\n";

    public static TheoryData<string, ReviewKind?, string, string?> Pairs => new()
    {
        { Read("l", "\"left\", \"middle\"", "right") + Read("r", "\"right\", \"middle\"", "right") + Rule("equal", "\"l\", \"r\""), ReviewKind.CannotBeAlike, "l r", "grows = \"left\" for \"r\"" },
        { Read("l", "\"left\", \"bottom\"", "up") + Read("r", "\"right\", \"top\"", "up") + Rule("level", "\"l\", \"r\""), ReviewKind.CannotBeAlike, "l r", "the other edge in at for \"r\"" },
        { Read("d", "\"middle\", \"bottom\"", "down") + Rule("gap", "\"d\"", "nominal = \"1/4\""), ReviewKind.WrongWay, "d", "grows = \"up\", or another place of the item" },
        { Read("l", "\"left\", \"middle\"", "right") + Read("r", "\"right\", \"middle\"", "left") + Rule("equal", "\"l\", \"r\""), null, "", null },
        { Read("l", "\"left\", \"bottom\"", "up") + Read("r", "\"right\", \"bottom\"", "up") + Rule("level", "\"l\", \"r\""), null, "", null },
        { Read("d", "\"middle\", \"top\"", "up") + Rule("gap", "\"d\"", "nominal = \"1 1/4\""), null, "", null },   // to the far edge
    };

    [Theory]
    [MemberData(nameof(Pairs))]
    public void A_way_and_an_edge_that_cannot_both_be_meant_are_told_with_what_would_do(string text, ReviewKind? kind, string about, string? instead)
    {
        List<Finding> findings = [.. StandardReview.Of(StandardFiles.Loaded(Head.Replace("\"1/2\"]", "\"1\"]", StringComparison.Ordinal) + Sound + text))];

        Assert.Equal(kind, findings.SingleOrDefault()?.Kind);
        Assert.Equal(about, string.Join(' ', findings.SelectMany(finding => finding.About)));
        Assert.Equal(instead, findings.SingleOrDefault()?.Fault.Instead);
        Assert.All(findings, finding => Assert.True(finding.IsWarning));
    }

    private const string Hidden = "\"at most 1/3 hidden by the lapel\"", Slanting = "\"at 45 deg to the top edge of the left pocket over 2, within 1 deg\"";

    [Theory]
    [InlineData(Hidden, "share", "\"bar-hidden\", \"bar-width\"", "min = \"1/2\"", "bar-hidden rule")]
    [InlineData(Hidden, "share", "\"bar-hidden\", \"bar-width\"", "min = \"1/4\"", null)]
    [InlineData(Hidden + ", \"3 wide\"", "size", "\"bar-hidden\"", "min = \"1 1/8\"", "bar-hidden bar-width-size rule")]
    [InlineData(Hidden + ", \"3 wide\"", "size", "\"bar-hidden\"", "min = \"7/8\"", null)]
    [InlineData(Slanting, "level", "\"bar-slant-right\", \"bar-slant-left\"", "", "bar-angle rule")]
    [InlineData(Slanting, "angle", "\"bar-slant-right\", \"bar-slant-left\"", "span = \"2\"\nmin = \"45.5 deg\"\nmax = \"80 deg\"", null)]
    public void Shares_and_angles_are_compared_with_the_other_rules(string sits, string kind, string of, string limits, string? rules)
    {
        List<Finding> findings = [.. StandardReview.Of(StandardFiles.Loaded(Head + $"sits = [\"1/4 above the left pocket\", \"centred on the left pocket\", \"level\", {sits}]\n" + Rule(kind, of, limits)))];

        Finding? finding = findings.SingleOrDefault();
        Assert.Equal(rules is null ? null : ReviewKind.Contradiction, finding?.Kind);
        Assert.Equal(rules, finding is null ? null : string.Join(' ', finding.About));
        Assert.Equal(rules is null ? null : "cord = no, wreath = no", finding?.On);
    }

    [Theory]
    [InlineData("\"1/4 above the left pocket\", \"1/2 above the left pocket, if at least 1/3 hidden by the lapel\"", "cord = no, wreath = no, bar-share >= 0.3333")]
    [InlineData("\"1/4 above the left pocket, if less than 1/3 hidden by the lapel\", \"1/2 above the left pocket, if at least 1/3 hidden by the lapel\"", null)]
    [InlineData("\"1/4 above the left pocket\", \"1/2 above the left pocket, if at least 1/3 hidden by the lapel\", \"at most 1/4 hidden by the lapel\"", null)]   // no such coat
    [InlineData("\"at least 1/4 above the left pocket\", \"0 or 1/8 above the left pocket, if at least 1/3 hidden by the lapel\"", "cord = no, wreath = no, bar-share >= 0.3333")]
    [InlineData("\"at least 1/4 above the left pocket\", \"0 or 1/2 above the left pocket, if at least 1/3 hidden by the lapel\"", null)]
    public void A_rule_that_hangs_on_a_value_is_compared_in_each_branch_that_a_coat_can_be_in(string sits, string? coat)
    {
        Finding? finding = Of(Whole + sits).SingleOrDefault();

        Assert.Equal(coat, finding?.On);
        Assert.Equal(coat is null ? null : ReviewKind.Contradiction, finding?.Kind);
        Assert.Equal(coat is null ? null : "bar-height bar-height-2", finding is null ? null : string.Join(' ', finding.About));
    }

    [Fact]
    public void A_rule_that_was_not_compared_is_told_in_a_note_that_leaves_the_file_good()
    {
        string text = Head + $"sits = [{Whole}{string.Join(", ", Enumerable.Range(3, 5).Select(part => $"\"1/4 above the left pocket, if at least 1/{part} hidden by the lapel\""))}]\n";
        CheckedFile file = new("a.toml", text, StandardText.Load(text));

        TextFault note = Assert.Single(file.Notes);
        Assert.Equal((true, 0), (file.IsGood, file.Warnings.Count));
        Finding found = Assert.Single(file.Findings);
        Assert.Equal((ReviewKind.NotCompared, "bar-height-5"), (found.Kind, found.About.Single()));
        Assert.Equal(found.Fault, note);
        Assert.Contains("note: \"bar-height-5\"", StandardCheck.Text([file]), StringComparison.Ordinal);
        Assert.Contains("\"notes\":[{\"line\":17", StandardCheck.Json([file]), StringComparison.Ordinal);
    }

    [Fact]
    public void A_place_whose_name_is_a_slip_of_another_is_told()
    {
        string text = SmallStandard.Text + "[[step]]\nid = \"more\"\nof = \"badge\"\nfrom = \"left pocket seam\"\nat = [\"0\", \"0\"]\ngrows = \"right\"\nask = \"Across\"\n[[relation]]\nid = \"more\"\nkind = \"gap\"\nof = \"more\"\nnominal = \"1\"\n";
        string slip = text + text[text.IndexOf("[[step]]\nid = \"more\"", StringComparison.Ordinal)..].Replace("\"more\"", "\"less\"", StringComparison.Ordinal);

        Assert.DoesNotContain(StandardReview.Of(StandardFiles.Loaded(slip)), finding => finding.Kind == ReviewKind.NearName);
        Assert.DoesNotContain(StandardReview.Of(StandardFiles.Loaded(Named("button 1", "button 2"))), finding => finding.Kind == ReviewKind.NearName);
        Finding found = Assert.Single(StandardReview.Of(StandardFiles.Loaded(Named("front seam", "fornt seam"))), finding => finding.Kind == ReviewKind.NearName);
        Assert.True(found.IsWarning);
        Assert.Equal(["front seam", "fornt seam"], found.About);
    }

    // Two items, each on a place that comes into being by being named.
    private static string Named(string one, string other) => "name = \"T\"\nedition = \"1\"\nunit = \"in\"\nwithin = \"1/32\"\n" + string.Concat(new[] { one, other }.Select((place, at) =>
        $"[[item]]\nid = \"i{at}\"\nname = \"i{at}\"\nstands_on = \"{place}\"\nsize = [\"1\", \"1\"]\nplace = [\"0\", \"0\"]\npins = [[\"0\", \"0\"]]\n[[step]]\nid = \"s{at}\"\nof = \"i{at}\"\nfrom = \"{place}\"\nat = [\"0\", \"0\"]\ngrows = \"right\"\nask = \"Across\"\n[[relation]]\nid = \"r{at}\"\nkind = \"gap\"\nof = \"s{at}\"\nnominal = \"1\"\n"));

    [Fact]
    public void More_coats_than_are_looked_at_are_told()
    {
        string asks = string.Concat(Enumerable.Range(0, 10).Select(question => $"q{question} = [\"no\", \"yes\"]\n"));
        string text = Head.Replace("[garment]", asks + "[garment]", StringComparison.Ordinal).Replace("wreath = yes\"", "wreath = yes" + string.Concat(Enumerable.Range(0, 10).Select(question => $" and q{question} = yes")) + "\"", StringComparison.Ordinal);

        Finding finding = Assert.Single(StandardReview.Of(StandardFiles.Loaded(text + "sits = [\"1/4 above the left pocket\", \"centred on the left pocket\", \"level\"]\n")));
        Assert.Equal(ReviewKind.ManyCoats, finding.Kind);
        Assert.Contains($"{1 << 12}", finding.Fault.Message, StringComparison.Ordinal);   // two questions and ten more
    }

    [Theory]
    [MemberData(nameof(DocumentationTests.Examples), MemberType = typeof(DocumentationTests))]
    public void The_shipped_examples_contradict_themselves_nowhere(string file) =>
        Assert.All(StandardReview.Of(StandardFiles.Loaded(StandardFiles.Docs(Path.Combine("examples", file)))), finding => Assert.True(finding.IsWarning, finding.Fault.Message));
}
