using CaliperStation.Core.Standards;

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
    [InlineData("\"1/4 above the left pocket\"", "no reading sees whether \"bar\" sits too far to the left or to the right", "centred on the left pocket")]
    [InlineData("\"centred on the left pocket\"", "no reading sees whether \"bar\" sits too high or too low", "above the left pocket")]
    [InlineData("\"7/8 up and right of the left pocket\"", "no reading sees \"bar\" across the slant of its one distance", "centred on the left pocket")]
    [InlineData("\"1/2 from the left edge of the left pocket\", \"centred up and down on the left pocket\"", "no reading sees whether \"bar\" is turned", "level")]
    public void What_no_reading_sees_is_told_with_what_would_see_it(string sits, string message, string instead)
    {
        Finding finding = Assert.Single(Of(sits));

        Assert.True(finding.IsWarning);
        Assert.Equal((14, 8), (finding.Fault.Line, finding.Fault.Column));   // the item's name
        Assert.Equal(message, finding.Fault.Message);
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

        Assert.Equal("no reading sees whether \"bar\" sits too far to the left or to the right", finding.Fault.Message);
    }

    private const string Whole = "\"centred on the left pocket\", \"level\", ";

    [Theory]
    [InlineData("\"1/4 above the left pocket, if cord = yes\", \"1/8 above the left pocket, if wreath = yes\", \"1/2 above the left pocket, if cord = no and wreath = no\"", "\"bar-height\" and \"bar-height-2\" cannot hold together on a coat with cord = yes, wreath = yes")]
    [InlineData("\"1/4 above the left pocket\", \"at least 1/2 above the left pocket\"", "\"bar-height\" and \"bar-height-2\" cannot hold together on a coat with cord = no, wreath = no")]
    [InlineData("\"1/4 or 1/2 above the left pocket\", \"5/16 to 7/16 above the left pocket, if cord = yes\"", "\"bar-height\" and \"bar-height-2\" cannot hold together on a coat with cord = yes, wreath = no")]
    public void Rules_that_no_coat_can_keep_together_are_a_fault_with_the_coat(string sits, string message)
    {
        Finding finding = Assert.Single(Of(Whole + sits));

        Assert.False(finding.IsWarning);
        Assert.Equal(message, finding.Fault.Message);
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
        Assert.StartsWith("\"bar-level\" and \"low\" and \"high\" cannot hold together", finding.Fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_place_whose_name_is_a_slip_of_another_is_told()
    {
        string text = SmallStandard.Text + "[[step]]\nid = \"more\"\nof = \"badge\"\nfrom = \"left pocket seam\"\nat = [\"0\", \"0\"]\ngrows = \"right\"\nask = \"Across\"\n[[relation]]\nid = \"more\"\nkind = \"gap\"\nof = \"more\"\nnominal = \"1\"\n";
        string slip = text + text[text.IndexOf("[[step]]\nid = \"more\"", StringComparison.Ordinal)..].Replace("\"more\"", "\"less\"", StringComparison.Ordinal);

        Assert.DoesNotContain(StandardReview.Of(StandardFiles.Loaded(slip)), finding => finding.Fault.Message.Contains("near in name", StringComparison.Ordinal));
        Assert.DoesNotContain(StandardReview.Of(StandardFiles.Loaded(Named("button 1", "button 2"))), finding => finding.Fault.Message.Contains("near in name", StringComparison.Ordinal));
        Finding found = Assert.Single(StandardReview.Of(StandardFiles.Loaded(Named("front seam", "fornt seam"))), finding => finding.Fault.Message.Contains("near in name", StringComparison.Ordinal));
        Assert.Equal((true, "the place \"front seam\" is near in name to \"fornt seam\""), (found.IsWarning, found.Fault.Message));
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
        Assert.Equal("there are 4096 combinations of answers, and the first 500 were looked at", finding.Fault.Message);
    }

    [Theory]
    [MemberData(nameof(DocumentationTests.Examples), MemberType = typeof(DocumentationTests))]
    public void The_shipped_examples_contradict_themselves_nowhere(string file) =>
        Assert.All(StandardReview.Of(StandardFiles.Loaded(StandardFiles.Docs(Path.Combine("examples", file)))), finding => Assert.True(finding.IsWarning, finding.Fault.Message));
}
