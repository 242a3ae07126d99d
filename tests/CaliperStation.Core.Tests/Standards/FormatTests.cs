using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Standards;

public class FormatTests
{
    private static readonly Standard Small = StandardFiles.Loaded(SmallStandard.Text);

    private static Length L(long sixtyFourths) => Length.FromSixtyFourths(sixtyFourths);

    private static Relation Relation(string text) => StandardFiles.Loaded(
        SmallStandard.With("[[relation]]\nid   = \"level\"\nkind = \"level\"\nof   = [\"low-left\", \"low-right\"]", "[[relation]]\nid   = \"level\"\n" + text)).FindRelation("level")!;

    [Fact]
    public void An_item_of_rows_computes_its_size_from_its_widest_row_and_all_its_rows()
    {
        Item badge = Small.FindItem("badge")!;

        Assert.Equal(3, badge.Rows!.RowCount);
        Assert.Equal(new PlanePoint(L(96), L((3 * 16) + (2 * 4))), badge.Size);
        Assert.Equal(LastRow.Centred, badge.Rows.LastRow);
    }

    [Fact]
    public void An_item_placed_above_another_counts_from_edge_to_edge_so_a_longer_rack_carries_it()
    {
        Assert.Equal(new PlanePoint(Length.Zero, L(24 + 16 + 28)), Small.FindItem("badge")!.Place);

        Item taller = StandardFiles.Loaded(SmallStandard.With("size      = [\"4\", \"3/4\"]", "rows = { count = 10, per-row = 3, part = [\"4/3 \", \"3/8\"] }".Replace("4/3 ", "1 1/4", StringComparison.Ordinal))).FindItem("badge")!;
        Assert.Equal(new PlanePoint(Length.Zero, L(48 + 16 + 28)), taller.Place);
    }

    [Fact]
    public void Edges_by_name_are_half_the_size_from_the_centre()
    {
        Assert.Equal(new PlanePoint(L(-128), Length.Zero), Small.FindStep("side")!.At);
        Assert.Equal(new PlanePoint(Length.Zero, L(-28)), Small.FindStep("badge-low")!.At);
    }

    [Fact]
    public void A_size_of_the_item_itself_grows_nowhere_and_comes_from_itself()
    {
        Step width = Small.FindStep("badge-width")!;

        Assert.Null(width.Grows);
        Assert.Equal("badge", width.From);
    }

    [Theory]
    [InlineData("right", 1, 0)]
    [InlineData("up-left", -0.70710678118654757, 0.70710678118654757)]
    [InlineData("90 deg", 0, 1)]
    [InlineData("-45 deg", 0.70710678118654757, -0.70710678118654757)]
    [InlineData("30°", 0.86602540378443871, 0.49999999999999994)]
    public void A_direction_is_a_name_or_an_angle_anticlockwise_from_the_right(string text, double right, double up)
    {
        Direction? grows = StandardFiles.Loaded(SmallStandard.With("grows = \"right\"", $"grows = \"{text}\"")).FindStep("side")!.Grows;

        Assert.Equal(text, grows!.Name);
        Assert.Equal(right, grows.Right, 15);
        Assert.Equal(up, grows.Up, 15);
    }

    [Fact]
    public void As_worn_turns_every_right_and_left_words_and_numbers_alike()
    {
        Standard worn = StandardFiles.Loaded(SmallStandard.With("unit    = \"in\"", "unit    = \"in\"\nsides = \"as-worn\""));

        Assert.Equal(Sides.AsWorn, worn.Sides);
        Assert.Equal(new PlanePoint(L(-192), L(128)), worn.Landmarks[0].At);
        Assert.Equal(new PlanePoint(L(64), L(-24)), worn.FindStep("low-left")!.At);
        Assert.Equal(new PlanePoint(L(128), Length.Zero), worn.FindStep("side")!.At);
        Assert.Equal(new Direction("right", -1, 0), worn.FindStep("side")!.Grows);
        Assert.Equal([new PlanePoint(L(64), default), new PlanePoint(L(-64), default)], worn.FindItem("rack")!.Pins);
    }

    [Theory]
    [InlineData("flush-left", "viewer", LastRow.FlushLeft)]
    [InlineData("flush-left", "as-worn", LastRow.FlushRight)]
    [InlineData("centred", "as-worn", LastRow.Centred)]
    public void A_short_last_row_lies_where_the_file_says(string last, string sides, LastRow expected)
    {
        string text = SmallStandard.With("gap = \"1/16\"", $"gap = \"1/16\", last = \"{last}\"").Replace("unit    = \"in\"", $"unit    = \"in\"\nsides = \"{sides}\"", StringComparison.Ordinal);

        Assert.Equal(expected, StandardFiles.Loaded(text).FindItem("badge")!.Rows!.LastRow);
    }

    [Fact]
    public void Limits_follow_each_kind()
    {
        Assert.Equal([new Limits(L(16), L(48), null)], Small.FindRelation("side")!.Limits);
        Assert.Equal([new Limits(L(14), L(18), L(16)), new Limits(L(30), L(34), L(32))], Small.FindRelation("badge-height")!.Limits);
        Assert.Equal([new Limits(L(-2), L(2), L(0))], Relation("kind = \"flush\"\nof = [\"low-left\", \"low-right\"]").Limits);
        Assert.Equal([new Limits(L(-1), L(2), L(0))], Relation("kind = \"flush\"\nof = [\"low-left\", \"low-right\"]\nabove = \"1/32\"\nbelow = \"1/64\"").Limits);
        Assert.Equal([new Limits(L(-2), L(2), L(0))], Relation("kind = \"gap\"\nof = [\"low-left\", \"low-right\"]\nnominal = \"0\"").Limits);
        Assert.Equal([new Limits(L(8), L(12), L(8))], Relation("kind = \"gap\"\nof = [\"low-left\", \"low-right\"]\nnominal = \"1/8\"\nabove = \"1/16\"\nbelow = \"0\"").Limits);
        Assert.Equal([new Limits(L(4), null, null)], Relation("kind = \"gap\"\nof = [\"low-left\", \"low-right\"]\nmin = \"1/16\"").Limits);
        Assert.Equal([new Limits(L(4), L(12), L(6))], Relation("kind = \"gap\"\nof = [\"low-left\", \"low-right\"]\nnominal = \"3/32\"\nmin = \"1/16\"\nmax = \"3/16\"").Limits);
        Assert.Equal([new Limits(null, L(0), null)], Relation("kind = \"not-more-than\"\nof = [\"low-left\", \"low-right\"]").Limits);
        Assert.Equal([new Limits(null, L(2), null)], Relation("kind = \"not-more-than\"\nof = [\"low-left\", \"low-right\"]\nmax = \"1/32\"").Limits);
        Assert.Equal([new Limits(L(14), L(18), L(16))], Relation("kind = \"sum\"\nof = [\"low-left\", \"low-right\"]\nnominal = \"1/4\"").Limits);
        Assert.Equal([new Limits(null, null, null, 0.25, 0.5, null)], Relation("kind = \"share\"\nof = [\"low-left\", \"low-right\"]\nmin = \"1/4\"\nmax = 0.5").Limits);
    }

    [Theory]
    [InlineData("> 1/4", "< 3/4", true, true)]
    [InlineData(">= 1/4", "<3/4", false, true)]
    [InlineData(">1/4", "<= 3/4", true, false)]
    [InlineData("1/4", "3/4", false, false)]
    public void A_sign_says_whether_the_limit_itself_is_allowed(string min, string max, bool lowerExcluded, bool upperExcluded)
    {
        Limits expected = new Limits(L(16), L(48), null) { LowerExcluded = lowerExcluded, UpperExcluded = upperExcluded };
        Assert.Equal([expected], Relation($"kind = \"gap\"\nof = [\"low-left\", \"low-right\"]\nmin = \"{min}\"\nmax = \"{max}\"").Limits);
        Limits share = new Limits(null, null, null, 0.25, 0.75) { LowerExcluded = lowerExcluded, UpperExcluded = upperExcluded };
        Assert.Equal([share], Relation($"kind = \"share\"\nof = [\"low-left\", \"low-right\"]\nmin = \"{min}\"\nmax = \"{max}\"").Limits);
        Limits less = new Limits(null, L(48), null) { UpperExcluded = upperExcluded };
        Assert.Equal([less], Relation($"kind = \"not-more-than\"\nof = [\"low-left\", \"low-right\"]\nmax = \"{max}\"").Limits);
    }

    [Fact]
    public void A_share_that_only_switches_another_rule_needs_no_limits()
    {
        Assert.Equal([new Limits(null, null, null)], Small.FindRelation("hidden")!.Limits);
    }

    [Fact]
    public void An_angle_is_in_degrees_over_a_stated_or_a_measured_span()
    {
        Relation stated = Relation("kind = \"angle\"\nof = [\"low-left\", \"low-right\"]\nnominal = \"45 deg\"\nwithin = \"1 deg\"\nspan = \"3\"");
        Relation measured = Relation("kind = \"angle\"\nof = [\"low-left\", \"low-right\"]\nmin = \"44°\"\nmax = \"46 deg\"\nspan = \"badge-width\"");

        Limits limits = Assert.Single(stated.Limits);
        Assert.Equal(785.398, limits.NominalNumber!.Value, 3);
        Assert.Equal(767.945, limits.LowerNumber!.Value, 3);
        Assert.Equal(802.851, limits.UpperNumber!.Value, 3);
        Assert.Equal(Length.Inch.Times(3), stated.Span);
        Assert.Equal("badge-width", measured.SpanStep);
    }

    [Fact]
    public void A_pitch_adds_stated_and_measured_sizes()
    {
        Relation pitch = Relation("kind = \"pitch\"\nof = [\"low-left\", \"low-right\"]\nadd = [\"rack.height\", \"1 1/2\", \"badge-width\", \"left pocket.width\"]\nnominal = \"2\"");

        Assert.Equal([L(48), L(96), L(320)], pitch.Add);
        Assert.Equal(["badge-width"], pitch.AddSteps);
        Assert.Equal(["low-left", "low-right", "badge-width"], pitch.Needs);
    }

    [Fact]
    public void A_condition_asks_answers_values_and_rows()
    {
        Assert.Equal(
            [
                new ConditionPart.ValueIs("hidden", Comparison.AtLeast, 1.0 / 3, null),
                new ConditionPart.AnswerIs("cord", ["yes", "no"]),
                new ConditionPart.RowsAre("badge", Comparison.AtLeast, 3),
            ],
            Small.FindRelation("badge-height")!.When!.Parts,
            (a, b) => a is ConditionPart.AnswerIs x && b is ConditionPart.AnswerIs y ? x.Question == y.Question && x.Answers.SequenceEqual(y.Answers) : a == b);
    }

    [Fact]
    public void Rows_decide_for_good_and_values_only_when_measured()
    {
        Plan three = Plan.For(Small, new Dictionary<string, string>());
        Plan two = Plan.For(StandardFiles.Loaded(SmallStandard.With("count = 7", "count = 6")), new Dictionary<string, string>());

        Assert.Contains(three.Relations, relation => relation.Id == "badge-height");
        Assert.DoesNotContain(two.Relations, relation => relation.Id == "badge-height");
    }

    [Fact]
    public void A_reading_that_a_condition_needs_is_taken_before_the_readings_it_decides_about()
    {
        Plan plan = Plan.For(Small, new Dictionary<string, string>());

        Assert.True(plan.PositionOf("badge-width") < plan.PositionOf("badge-low"));
        Assert.True(plan.PositionOf("rack-width") < plan.PositionOf("badge-low"));
    }

    [Fact]
    public void A_width_of_the_garment_is_read_before_what_stands_on_it()
    {
        Standard standard = StandardFiles.Loaded(SmallStandard.Text + "[[step]]\nid = \"pocket\"\nof = \"left pocket\"\nreads = \"width\"\nask = \"Pocket's left edge to its right edge\"\n[[relation]]\nid = \"fits\"\nkind = \"not-more-than\"\nof = [\"rack-width\", \"pocket\"]\n");

        Plan plan = Plan.For(standard, new Dictionary<string, string>());

        Assert.Equal("pocket", plan.Steps[0].Id);
        Assert.Equal(("left pocket", "left pocket", null), (plan.Steps[0].Of, plan.Steps[0].From, plan.Steps[0].Grows));
    }

    [Fact]
    public void A_source_is_document_clause_and_address()
    {
        Relation relation = Relation("kind = \"level\"\nof = [\"low-left\", \"low-right\"]\nsource = { document = \"Book\", clause = \"4.2\", address = \"https://example.org/4\" }");

        Assert.Equal("Book, 4.2, https://example.org/4", relation.Source);
    }

    [Fact]
    public void Inline_tables_and_dotted_keys_say_the_same_as_headers()
    {
        string dotted = SmallStandard.Text
            .Replace("[judging]\nrule    = \"guarded\"\nwithin  = \"1/32\"\nhand    = \"0.1 mm\"", "judging.rule = \"guarded\"\njudging.within = \"1/32\"\njudging.hand = \"0.1 mm\"", StringComparison.Ordinal);

        Assert.Equal(Small.Judging, StandardFiles.Loaded(dotted).Judging);
    }
}
