using System.Text.RegularExpressions;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;
using CsCheck;

namespace CaliperStation.Core.Tests.Standards;

public class ShortFormTests
{
    private const string Head = """
        name    = "Test company"
        edition = "1"
        unit    = "in"
        within  = "1/32"
        [asks]
        cord    = ["yes", "no"]
        ribbons = { ask = "How many ribbons?", number = [1, 9], usual = 6 }
        [garment]
        "left pocket"        = { at = ["4", "2"], size = ["5", "5 1/2"] }
        "right pocket"       = { at = ["-4", "2"], size = ["5", "5 1/2"] }
        "left collar corner" = { at = ["3", "12"], both-sides = true }
        "shoulder seam"      = {}
        "lower button"       = { at = ["0", "-6"] }
        "upper button"       = { at = ["0", "6"] }
        [[ready]]
        ask = "Shoulder cord on"
        if  = "cord = yes and ribbons >= 1"
        [[item]]
        name   = "ribbon rack"
        called = "rack"
        rows   = { count = 5, per-row = 3, part = ["1 3/8", "3/8"] }
        pins   = ["-1 3/8", "1 3/8"]
        sits   = ["centred on the left pocket", "3/16 above the left pocket", "level"]

        """;

    private static Standard Badge(string sits, string more = "size = [\"2\", \"1\"]\npins = [\"-1/2\", \"1/2\"]") =>
        StandardFiles.Loaded($"{Head}[[item]]\nname = \"badge\"\n{more}\nsits = [{sits}]\n");

    private static List<Step> Readings(Standard standard, string item = "badge") => [.. standard.Steps.Where(step => step.Of == item)];

    private static List<Relation> Rules(Standard standard, string item = "badge") => [.. standard.Relations.Where(relation => relation.Of.Any(step => standard.FindStep(step)!.Of == item))];

    // line, kind, readings as "id: from, at, grows", nominal or limits
    public static TheoryData<string, string, string[], string> Lines() => new()
    {
        { "\"3/16 above the rack\"", "gap", ["badge-low-left: ribbon-rack (-1/2, -1/2) up", "badge-low-right: ribbon-rack (1/2, -1/2) up"], "5/32..7/32" },
        { "\"1/8 or 1/4 above the rack, within 1/64\"", "gap", ["badge-low-left: ribbon-rack (-1/2, -1/2) up", "badge-low-right: ribbon-rack (1/2, -1/2) up"], "7/64..9/64 15/64..17/64" },
        { "\"1 below the shoulder seam\"", "gap", ["badge-high-left: shoulder seam (-1/2, 1/2) down", "badge-high-right: shoulder seam (1/2, 1/2) down"], "31/32..1 1/32" },
        { "\"1 to 2 below the shoulder seam\"", "gap", ["badge-high-left: shoulder seam (-1/2, 1/2) down", "badge-high-right: shoulder seam (1/2, 1/2) down"], "1..2" },
        { "\"at least 1 right of the left pocket\"", "gap", ["badge-left: left pocket (-1, 0) right"], "1.." },
        { "\"at most 1 to the left of the shoulder seam\"", "gap", ["badge-right: shoulder seam (1, 0) left"], "..1" },
        { "\"1/2 from the left edge of the left pocket\"", "gap", ["badge-left: left pocket (-1, 0) right"], "15/32..17/32" },
        { "\"1/2 from the top edge of the left pocket\"", "gap", ["badge-high-left: left pocket (-1/2, 1/2) down", "badge-high-right: left pocket (1/2, 1/2) down"], "15/32..17/32" },
        { "\"touching the top of the left pocket\"", "gap", ["badge-low-left: left pocket (-1/2, -1/2) up", "badge-low-right: left pocket (1/2, -1/2) up"], "-1/32..1/32" },
        { "\"resting on the rack\"", "gap", ["badge-low-left: ribbon-rack (-1/2, -1/2) up", "badge-low-right: ribbon-rack (1/2, -1/2) up"], "-1/32..1/32" },
        { "\"touching the shoulder seam from below\"", "gap", ["badge-high-left: shoulder seam (-1/2, 1/2) down", "badge-high-right: shoulder seam (1/2, 1/2) down"], "-1/32..1/32" },
        { "\"7/8 from the left collar corner\"", "gap", ["badge-corner: left collar corner (-1, -1/2) up-right"], "27/32..29/32" },
        { "\"7/8 down and left of the shoulder seam\"", "gap", ["badge-corner: shoulder seam (1, 1/2) down-left"], "27/32..29/32" },
        { "\"centre 2 below the shoulder seam\"", "pitch", ["badge-high-left: shoulder seam (-1/2, 1/2) down", "badge-high-right: shoulder seam (1/2, 1/2) down"], "1 31/32..2 1/32" },
        { "\"centre 2 right of the centre of the rack\"", "pitch", ["badge-left: ribbon-rack (-1, 0) right"], "1 31/32..2 1/32" },
        { "\"centred on the left pocket\"", "equal", ["badge-left: left pocket (-1, 0) right", "badge-right: left pocket (1, 0) left"], "-1/32..1/32" },
        { "\"centred on the shoulder seam\"", "equal", ["badge-left: shoulder seam (-1, 0) left", "badge-right: shoulder seam (1, 0) right"], "-1/32..1/32" },
        { "\"centred up and down on the left pocket\"", "equal", ["badge-high: left pocket (0, 1/2) down", "badge-low: left pocket (0, -1/2) up"], "-1/32..1/32" },
        { "\"centred between the front edge and the seam of the left pocket\"", "equal", ["badge-left: left pocket (-1, 0) right", "badge-right: left pocket (1, 0) left"], "-1/32..1/32" },
        { "\"centred between the right and the left edge of the left pocket\"", "equal", ["badge-left: left pocket (-1, 0) right", "badge-right: left pocket (1, 0) left"], "-1/32..1/32" },
        { "\"midway between the lower button and the upper button\"", "equal", ["badge-high: upper button (0, 1/2) down", "badge-low: lower button (0, -1/2) up"], "-1/32..1/32" },
        { "\"in line with the left edge of the left pocket\"", "flush", ["badge-line-left: left pocket (-1, 0) right"], "-1/32..1/32" },
        { "\"its top edge in line with the bottom edge of the rack\"", "flush", ["badge-line-high-left: ribbon-rack (-1/2, 1/2) up", "badge-line-high-right: ribbon-rack (1/2, 1/2) up"], "-1/32..1/32" },
        { "\"evenly with the rack between the left edge and the right edge of the left pocket\"", "equal", ["badge-left: ribbon-rack (-1, 0) right", "badge-right: left pocket (1, 0) left"], "-1/32..1/32" },
        { "\"2 wide\", \"1 above the rack\"", "size", ["badge-width: badge (0, 0) ", "badge-low-left: ribbon-rack (-1/2, -1/2) up", "badge-low-right: ribbon-rack (1/2, -1/2) up"], "1 31/32..2 1/32" },
        { "\"not wider than the left pocket\", \"1 above the rack\"", "not-more-than", ["badge-width: badge (0, 0) ", "badge-low-left: ribbon-rack (-1/2, -1/2) up", "badge-low-right: ribbon-rack (1/2, -1/2) up"], "..0" },
    };

    [Theory]
    [MemberData(nameof(Lines))]
    public void A_line_gives_its_readings_and_its_rule(string line, string kind, string[] readings, string limits)
    {
        Standard standard = Badge(line);
        Relation rule = Rules(standard)[0];

        Assert.Equal(readings, Readings(standard).Select(Told));
        Assert.Equal(kind, rule.Kind.Word);
        Assert.Equal(limits, string.Join(' ', rule.Limits.Select(limit => $"{Shown(limit.Lower)}..{Shown(limit.Upper)}")));
    }

    private static string Told(Step step) => $"{step.Id}: {step.From} ({Shown(step.At.Right)}, {Shown(step.At.Up)}) {step.Grows?.Name}";

    private static string? Shown(Length? length) => length is { } known ? LengthFormat.ShowExact(known).Replace(" in", "", StringComparison.Ordinal) : null;

    [Fact]
    public void A_pitch_adds_half_of_each_size_it_goes_over()
    {
        Assert.Equal([Length.Inch], Rules(Badge("\"centre 2 below the shoulder seam\""))[0].Add);
        Assert.Equal([Length.Inch.Times(2), Length.FromSixtyFourths(264)], Rules(Badge("\"centre 2 right of the centre of the rack\""))[0].Add);
    }

    [Fact]
    public void Level_is_over_the_readings_of_the_distance_it_belongs_to()
    {
        Relation level = Rules(Badge("\"level\", \"3/16 above the rack\""))[0];

        Assert.Equal(("level", "badge-low-left badge-low-right"), (level.Kind.Word, string.Join(' ', level.Of)));
    }

    [Fact]
    public void Level_on_one_pin_reads_at_both_ends()
    {
        Standard standard = Badge("\"3/16 above the rack\", \"level\"", "size = [\"2\", \"1\"]\npins = \"middle\"");

        Assert.Equal(["badge-low-left: ribbon-rack (-1, -1/2) up", "badge-low-right: ribbon-rack (1, -1/2) up"], Readings(standard).Select(Told));
    }

    [Fact]
    public void A_round_thing_is_read_at_its_rim()
    {
        Step corner = Readings(Badge("\"7/8 from the left collar corner\"", "shape = \"round\"\nsize = [\"1\", \"1\"]"))[0];

        Assert.Equal(Math.Sqrt(0.125) * -25.4, corner.At.Right.Nanometres / 1e6, 6);   // r/√2 of a circle, r = 1/2 in
        Assert.Equal("Left collar corner to the rim of the badge", corner.Ask);
    }

    [Fact]
    public void The_same_distance_from_two_edges_is_a_gap_and_an_equal_of_two_ways()
    {
        Standard standard = Badge("\"1/4 from the bottom edge and the left edge of the left pocket\"", "size = [\"2\", \"1\"]");

        Assert.Equal(["badge-low: left pocket (0, -1/2) up", "badge-left: left pocket (-1, 0) right"], Readings(standard).Select(Told));
        Assert.Equal(["badge-alike equal badge-low badge-left", "badge-edges gap badge-low badge-left"], Rules(standard).Select(rule => $"{rule.Id} {rule.Kind.Word} {string.Join(' ', rule.Of)}"));
        Item badge = standard.FindItem("badge")!;
        Assert.Equal((Length.FromSixtyFourths(-80), Length.FromSixtyFourths(-304)), (badge.Place.Right, badge.Place.Up));   // 1/4 and half of it from the pocket's left, of 5 wide, and from its bottom, of 5 1/2 high: −1 1/4 and −4 3/4 in
    }

    [Fact]
    public void A_slant_is_an_angle_over_two_places_along_the_edge()
    {
        Standard standard = Badge("\"1 above the left pocket\", \"at 45 deg to the top edge of the left pocket over 1 1/2, within 2 deg\"", "size = [\"2\", \"1\"]");
        Relation slant = Rules(standard).Single(rule => rule.Kind == RelationKind.Angle);

        Assert.Equal(["badge-slant-right: left pocket (1, -1/2) up", "badge-slant-left: left pocket (-1, -1/2) up"], slant.Of.Select(step => Told(standard.FindStep(step)!)));
        Assert.Equal(("badge-angle", Length.FromSixtyFourths(96), Math.PI / 4 * 1000, 43 * Math.PI / 180 * 1000), (slant.Id, slant.Span, slant.Limits[0].NominalNumber, slant.Limits[0].LowerNumber));
        Assert.Equal("Top edge of the left pocket to the bottom edge of the badge, near its left end, 1 1/2 from there along the edge", standard.FindStep("badge-slant-left")!.Ask);
    }

    [Fact]
    public void A_slant_of_the_other_side_rises_the_other_way()
    {
        Standard standard = StandardFiles.Loaded($"{Head}[[item]]\nname = \"left stripe\"\nboth-sides = true\nsize = [\"2\", \"1/4\"]\nsits = [\"1 above the left pocket\", \"45 degrees to the top edge of the left pocket over 1, within 1 deg\"]\n");

        Assert.Equal(["left-stripe-slant-right", "left-stripe-slant-left"], standard.FindRelation("left-stripe-angle")!.Of);
        Assert.Equal(["right-stripe-slant-left", "right-stripe-slant-right"], standard.FindRelation("right-stripe-angle")!.Of);
    }

    [Theory]
    [InlineData("at 45 deg to the top edge of the left pocket", "does not say how far apart")]
    [InlineData("at 45 deg to the top edge of the left pocket over 2", "tolerance")]
    [InlineData("at steep deg to the top edge of the left pocket over 2, within 1 deg", "no angle")]
    [InlineData("at 45 deg to the pinkness over 2, within 1 deg", "pinkness")]
    public void What_a_slant_lacks_is_told_in_words(string line, string message) =>
        Assert.Contains(StandardText.Load($"{Head}[[item]]\nname = \"badge\"\nsize = [\"2\", \"1\"]\nsits = [\"1 above the left pocket\", \"{line}\"]\n").Faults, fault => $"{fault.Message} {fault.Instead}".Contains(message, StringComparison.Ordinal));

    // What strangers wrote.
    [Theory]
    [InlineData("1/8 over the left pocket", "\"1/8 above the left pocket\"")]
    [InlineData("level within 1/64", "\"level, within 1/64\"")]
    [InlineData("same centre as the rack", "\"centred on the rack\"")]
    [InlineData("1/2 down from the shoulder seam", "\"1/2 below the shoulder seam\"")]
    [InlineData("upright", "[[look]]")]
    public void A_line_that_is_nearly_one_is_told_with_its_own_words(string line, string instead) =>
        Assert.Contains(StandardText.Load($"{Head}[[item]]\nname = \"badge\"\nsize = [\"2\", \"1\"]\nsits = [\"1 above the left pocket\", \"{line}\"]\n").Faults, fault => fault.Instead.Contains(instead, StringComparison.Ordinal));

    [Fact]
    public void A_slant_is_said_as_people_say_it() =>
        Assert.NotNull(Badge("\"1 above the left pocket\", \"at a 45 degree angle to the top edge of the left pocket over 2, within 1 deg\"").FindRelation("badge-angle"));

    [Fact]
    public void A_fault_of_an_item_on_both_sides_is_told_once_with_its_cure()
    {
        TextFault fault = Assert.Single(StandardText.Load($"{Head}[[item]]\nname = \"left collar device\"\nboth-sides = true\nsize = \"1\"\nshape = \"round\"\nsits = \"7/8 from the left collar corner\"\n").Faults);

        Assert.StartsWith("size = [\"1\", \"1\"]", fault.Instead, StringComparison.Ordinal);
    }

    [Fact]
    public void A_key_of_two_words_is_told_as_one() =>
        Assert.Contains("both-sides = true", StandardText.Load($"{Head}[[item]]\nname = \"badge\"\nboth sides = true\n").Faults[0].Instead, StringComparison.Ordinal);

    [Theory]
    [InlineData("", "Hands washed and dry, or gloves")]
    [InlineData("short = \"hands\"\n", "hands")]
    [InlineData("id = \"gloves-on\"\n", "gloves on")]
    public void A_look_is_listed_by_its_short_name_else_by_its_id_else_by_what_it_asks(string key, string name)
    {
        string text = $"{Head}[[ready]]\nask = \"Hands washed and dry, or gloves\"\n{key}";
        Assert.Contains(StandardFiles.Loaded(text).Looks, look => look.Name == name);
        Assert.Contains(StandardFiles.Loaded(ExpandedText.Of(text).Text!).Looks, look => look.Name == name);
    }

    [Fact]
    public void The_id_of_a_line_of_several_rules_is_that_of_its_first()
    {
        Standard standard = Badge("{ sits = \"1/4 from the bottom edge and the left edge of the left pocket\", id = \"inner\" }");

        Assert.Equal(["inner", "inner-edges"], Rules(standard).Select(rule => rule.Id));
    }

    [Theory]
    [InlineData("Safety briefing of your company heard", "safety-briefing")]
    [InlineData("Hands washed and dry, or gloves", "hands-washed-and-dry")]
    [InlineData("Cloth pressed flat and cool", "cloth-pressed-flat")]
    [InlineData("Of the", "of")]
    public void The_id_of_a_readiness_line_ends_with_a_word_that_says_something(string ask, string id) =>
        Assert.Contains(StandardFiles.Loaded($"{Head}[[ready]]\nask = \"{ask}\"\n").Looks, look => look.Id == id);

    [Fact]
    public void Prompts_name_the_edges_that_the_jaws_touch()
    {
        Assert.Equal(
            [
                "Top edge of the rack to the bottom edge of the badge, at its left pin",
                "Top edge of the rack to the bottom edge of the badge, at its right pin",
                "Left end of the rack's bottom row, across to the left edge of the badge",
                "Right edge of the badge, across to the right end of the rack's bottom row",
            ],
            Readings(Badge("\"3/16 above the rack\", \"centred on the rack\"")).Select(step => step.Ask));
    }

    [Fact]
    public void Lines_with_conditions_share_their_readings()
    {
        Standard standard = Badge("\"1/4 above the rack, if cord = no\", \"1/8 above the rack, if cord = yes and ribbons >= 7\", \"level\"");

        Assert.Equal(2, Readings(standard).Count);
        Assert.Equal([new ConditionPart.AnswerIs("cord", ["no"])], Rules(standard)[0].When!.Parts.Cast<ConditionPart.AnswerIs>().Select(part => part with { Answers = [.. part.Answers] }), new PartComparer());
        Assert.Equal(["cord yes", "ribbons 7 8 9"], Rules(standard)[1].When!.Parts.Cast<ConditionPart.AnswerIs>().Select(part => $"{part.Question} {string.Join(' ', part.Answers)}"));
        Assert.Null(Rules(standard)[2].When);
    }

    private sealed class PartComparer : IEqualityComparer<ConditionPart.AnswerIs>
    {
        public bool Equals(ConditionPart.AnswerIs? x, ConditionPart.AnswerIs? y) => x!.Question == y!.Question && x.Answers.SequenceEqual(y.Answers);

        public int GetHashCode(ConditionPart.AnswerIs part) => part.Question.GetHashCode(StringComparison.Ordinal);
    }

    [Fact]
    public void What_a_lapel_hides_may_decide_which_line_holds()
    {
        Standard standard = Badge("\"1/4 above the rack, if less than 1/3 hidden by the lapel\", \"1/8 above the rack, if at least 1/3 hidden by the lapel\"");
        Relation share = standard.FindRelation("badge-share")!;

        Assert.Equal(("share", "badge-hidden badge-width"), (share.Kind.Word, string.Join(' ', share.Of)));
        Assert.Equal(
            [new ConditionPart.ValueIs("badge-share", Comparison.Less, 1 / 3.0, null), new ConditionPart.ValueIs("badge-share", Comparison.AtLeast, 1 / 3.0, null)],
            Rules(standard).Where(rule => rule.When is not null).SelectMany(rule => rule.When!.Parts));
    }

    [Fact]
    public void A_line_as_a_table_carries_hint_caution_within_words_and_source()
    {
        Standard standard = Badge("{ sits = \"3/16 above the rack\", within = \"1/64\", hint = \"Look.\", caution = \"Hot.\", ask = [\"One\", \"Two\"], id = \"badge-up\", source = \"Book, 4\" }");

        Assert.Equal([("One", "Look.", "Hot."), ("Two", null, null)], Readings(standard).Select(step => (step.Ask, step.Hint, step.Caution)));
        Assert.Equal(("badge-up", "Book, 4", Length.FromSixtyFourths(11)), (Rules(standard)[0].Id, Rules(standard)[0].Source, Rules(standard)[0].Limits[0].Lower));
    }

    [Fact]
    public void The_caution_for_pins_stands_at_the_first_pin_of_what_stands_on_the_garment()
    {
        Standard standard = Badge("\"3/16 above the rack\"");

        Assert.Equal([null, null, "Mind the pin points behind the cloth.", null], Readings(standard, "ribbon-rack").Select(step => step.Caution));
        Assert.All(Readings(standard), step => Assert.Null(step.Caution));
    }

    public static TheoryData<string, string, string> Places() => new()
    {
        { "\"3/16 above the rack\"", "0", "1 1/16" },                       // 3/8 + 3/16 + 1/2: two rows of 3/8 are 3/4 high
        { "\"centre 2 right of the centre of the rack\"", "2", "0" },
        { "\"1/4 from the top edge of the left pocket\"", "0", "-3/4" },     // a place counts from the pocket's top middle
        { "\"1/4 below the left pocket\"", "0", "-6 1/4" },
        { "\"centred up and down on the left pocket\"", "0", "-2 3/4" },
        { "\"in line with the left edge of the left pocket\"", "-1 1/2", "0" },
        { "\"1/2 right of the left pocket\", \"in line with the top edge of the left pocket\"", "4", "-1/2" },
        { "\"midway between the right edge of the right pocket and the left edge of the left pocket\"", "4", "0" },   // the middle of the chest, from a pocket 4 in beside it
        { "\"midway between the lower button and the upper button\"", "0", "6" },
    };

    [Theory]
    [MemberData(nameof(Places))]
    public void Its_place_follows_from_its_lines(string line, string right, string up)
    {
        PlanePoint place = Badge(line).FindItem("badge")!.Place;

        Assert.Equal((right, up), (Shown(place.Right), Shown(place.Up)));
    }

    [Fact]
    public void Readings_of_the_short_form_may_be_used_in_the_long_one()
    {
        Standard standard = StandardFiles.Loaded($"{Head}[[relation]]\nid = \"same\"\nkind = \"equal\"\nof = [\"ribbon-rack-low-left\", \"ribbon-rack-low-right\"]\nif = \"cord = yes\"\n");

        Assert.Equal("ribbon-rack-low-left ribbon-rack-low-right", string.Join(' ', standard.FindRelation("same")!.Of));
    }

    [Fact]
    public void A_question_in_short_has_its_answers_the_usual_first()
    {
        Standard standard = StandardFiles.Loaded(Head);

        Assert.Equal(["cord: yes no", "ribbons: 6 1 2 3 4 5 7 8 9"], standard.Questions.Select(question => $"{question.Id}: {string.Join(' ', question.Answers)}"));
        Assert.Equal(["Cord: yes or no?", "How many ribbons?"], standard.Questions.Select(question => question.Ask));
        Assert.Equal("shoulder-cord-on", standard.Looks[0].Id);
    }

    [Fact]
    public void A_look_calls_its_item_by_its_words_asks_an_answer_and_needs_no_id()
    {
        Standard standard = StandardFiles.Loaded(StandardFiles.Text("harbour-lantern-long.toml") + """

            [[look]]
            ask   = "Badge upright, its rim flat"
            after = "lantern badge"
            if    = "spark = yes"
            """);

        Look look = standard.Looks[^1];
        Assert.Equal(("badge-upright-its-rim", new LookPlace(LookWhen.After, "lantern")), (look.Id, look.Place));
        Assert.Equal("spark", Assert.IsType<ConditionPart.AnswerIs>(Assert.Single(look.When!.Parts)).Question);
    }

    [Fact]
    public void A_coats_plan_made_from_another_coats_standard_counts_its_own_ribbons_and_keeps_how_it_is_judged()
    {
        Standard standard = StandardFiles.Loaded(StandardFiles.Docs(Path.Combine("examples", "tide-mill-guard.toml")));
        standard = standard with { Judging = standard.Judging with { Hand = Length.FromMicrometres(61) } };
        Dictionary<string, string> one = new() { ["ribbons"] = "1" }, nine = new() { ["ribbons"] = "9" };
        Plan few = Plan.For(standard, one);

        Assert.Equal(1, few.Standard.FindItem("ribbon-rack")!.Rows!.Count);
        Assert.Equal(StandardDump.Of(Plan.For(standard, nine).Standard), StandardDump.Of(Plan.For(few.Standard, nine).Standard));
        Assert.Equal(Length.FromMicrometres(61), Plan.For(few.Standard, nine).Standard.Judging.Hand);
    }

    // ---- ticks, and places ------------------------------------------------------------------------------------------------------------------

    private const string Ticks = """
        name    = "Test company"
        edition = "1"
        unit    = "t"
        within  = 1
        [garment]
        "left pocket" = { at = ["4 in", "2 in"], size = ["5 in", "5 1/2 in"] }
        [[item]]
        name = "bar"
        size = ["96", "20"]
        pins = ["-40", "40"]
        sits = ["6 above the left pocket", "16.5 or 20 mm from the left edge of the left pocket, within 1/64 in"]

        """;

    [Fact]
    public void A_file_may_count_in_ticks()
    {
        Standard standard = StandardFiles.Loaded(Ticks);

        Assert.Equal((LengthUnit.Inch, Length.Inch.Times(3), Length.Tick), (standard.Unit, standard.Items[0].Size.Right, standard.Judging.Within));
        Assert.Equal([new Limits(Length.Tick.Times(5), Length.Tick.Times(7), Length.Tick.Times(6))], standard.FindRelation("bar-height")!.Limits);
        Assert.Equal([Length.FromSixtyFourths(33), Length.FromMicrometres(20_000)], standard.FindRelation("bar-side")!.Limits.Select(limits => limits.Nominal!.Value));
    }

    [Theory]
    [InlineData("\"6 above", "\"1/2 above", "nominal: a fraction without a unit could be of a tick or of an inch")]
    [InlineData("\"96\"", "\"3 1/4\"", "size: a fraction without a unit could be of a tick or of an inch")]
    [InlineData("\"6 above", "\"6.3 above", "nominal: The finest is half a tick: write 16½ t or 16.5 t.")]
    public void A_fraction_in_a_file_of_ticks_is_told_in_words_to_name_its_unit(string piece, string instead, string message) =>
        Assert.Contains(StandardText.Load(Ticks.Replace(piece, instead, StringComparison.Ordinal)).Faults, fault => fault.Message == message);

    [Theory]
    [InlineData("nominal = \"1/8\"", "nominal = \"4\"", "4 in", "1/8 in")]
    [InlineData("place     = [\"0\", \"1/2\"]", "place     = [\"0\", \"5\"]", "1/8 in", "4 5/8 in")]
    [InlineData("any-of  = [\"1/4\", \"1/2\"]", "any-of  = [\"2\", \"3\"]", "2 in", "1/4 in")]
    public void A_nominal_far_from_the_items_place_is_a_fault_with_both_figures(string piece, string instead, string nominal, string there)
    {
        TextFault fault = Assert.Single(StandardText.Load(SmallStandard.With(piece, instead)).Faults);

        Assert.Equal(FaultKind.FarFromPlace, fault.Kind);
        Assert.Matches($" {nominal},.* {there} ", fault.Message);
    }

    // ---- rows that an answer counts, and what may not be there ------------------------------------------------------------------------------------

    private const string Counted = """
        name    = "Test company"
        edition = "1"
        unit    = "in"
        within  = "1/32"
        [asks]
        ribbons = { ask = "How many ribbons?", number = [1, 12], usual = 6 }
        first   = ["yes", "no"]
        second  = ["no", "yes"]
        [garment]
        "left pocket" = { at = ["4", "2"], size = ["5", "5 1/2"] }
        [[item]]
        name = "rack"
        rows = { count = "ribbons", per-row = 3, part = ["1 3/8", "3/8"], gap = "1/16" }
        pins = "1/4 from each end"
        sits = ["3/16 above the left pocket", "centred on the left pocket", "0 or 1/8 between rows", "each row centred on the row beneath"]
        [[item]]
        name = "first badge"
        if   = "first = yes"
        size = ["1", "1/2"]
        sits = ["1/4 above the rack"]
        [[item]]
        name = "second badge"
        if   = "second = yes"
        size = ["1", "1"]
        sits = ["1/4 above the first badge or the rack"]
        [[item]]
        name = "star"
        size = ["1", "1"]
        pins = ["-1/4", "1/4"]
        sits = ["1/2 above the second badge or the first badge or the rack", "level", "centred on the second badge or the first badge or the rack"]

        """;

    private static Plan Worn(params (string Question, string Answer)[] answers) => Plan.For(StandardFiles.Loaded(Counted), answers.ToDictionary(pair => pair.Question, pair => pair.Answer));

    [Theory]
    [InlineData("1", "1 3/8", "3/8", 0)]
    [InlineData("3", "4 1/8", "3/8", 0)]
    [InlineData("6", "4 1/8", "13/16", 1)]   // two rows and one gap of 1/16
    [InlineData("7", "4 1/8", "1 1/4", 2)]
    [InlineData("12", "4 1/8", "1 11/16", 3)]
    public void The_number_of_ribbons_is_an_answer(string ribbons, string width, string height, int rowsAbove)
    {
        Plan plan = Worn(("ribbons", ribbons));
        Item rack = plan.Items[0];

        Assert.Equal((width, height), (Shown(rack.Size.Right), Shown(rack.Size.Up)));
        Assert.Equal(Shown(rack.Size.Up.DividedBy(2, Rounding.HalfEven) + Length.FromSixtyFourths(12)), Shown(rack.Place.Up));   // 3/16 above, whatever its height
        Assert.Equal(-rack.Size.Right.DividedBy(2, Rounding.HalfEven), plan.FindStep("rack-left")!.At.Right);
        Assert.Equal(rowsAbove, plan.Steps.Count(step => step.Id.EndsWith("-gap", StringComparison.Ordinal)));
        Assert.Equal(rowsAbove, plan.Relations.Count(rule => rule.Id.EndsWith("-centred", StringComparison.Ordinal) && rule.Id.StartsWith("rack-row", StringComparison.Ordinal)));
        Assert.Same(plan.Standard.FindItem("rack"), rack);
    }

    [Theory]
    [InlineData("yes", "yes", "second-badge", "star-low-left star-low-right", "1 1/2", "second-badge")]        // 1/2 over a badge 1 high: 1/2 and two halves of 1
    [InlineData("yes", "no", "first-badge", "star-low-left-first-badge star-low-right-first-badge", "1 1/4", "first-badge")]
    [InlineData("no", "no", "rack", "star-low-left-rack star-low-right-rack", "1 13/32", "rack")]
    [InlineData("no", "yes", "second-badge", "star-low-left star-low-right", "1 1/2", "second-badge")]
    public void A_thing_stands_on_whichever_is_there(string first, string second, string on, string readings, string up, string from)
    {
        Plan plan = Worn(("first", first), ("second", second));
        Item star = plan.Items.First(item => item.Id == "star");

        Assert.Equal(on, star.StandsOn);
        Assert.Equal(readings, string.Join(' ', plan.Steps.Where(step => step.Of == "star" && step.Grows!.Up > 0).Select(step => step.Id)));
        Assert.All(plan.Steps.Where(step => step.Of == "star"), step => Assert.Equal(from, step.From));
        Assert.Equal(["gap", "level", "equal"], plan.Relations.Where(rule => rule.Id.StartsWith("star", StringComparison.Ordinal)).Select(rule => rule.Kind.Word));
        Assert.Equal(up, Shown(star.Place.Up));
    }

    [Theory]
    [InlineData("per-row = 3, part", "per-row = [3, 3, 2], part", "8", "3 3 2")]
    [InlineData("per-row = 3, part", "per-row = [3, 2], part", "8", "3 2 2 1")]
    [InlineData("count = \"ribbons\", per-row = 3, part", "per-row = [4, 3, 2], part", "8", "4 3 2")]
    public void Rows_may_differ_in_length(string piece, string instead, string ribbons, string rows)
    {
        string text = Counted.Replace(piece, instead, StringComparison.Ordinal);
        text = text.Contains("\"ribbons\"", StringComparison.Ordinal) ? text : text.Replace("if   = \"first = yes\"", "if   = \"first = yes and ribbons >= 1\"", StringComparison.Ordinal);
        RowLayout layout = Plan.For(StandardFiles.Loaded(text), new Dictionary<string, string> { ["ribbons"] = ribbons }).Items[0].Rows!;

        Assert.Equal(rows, string.Join(' ', layout.Rows));
    }

    [Fact]
    public void Each_row_may_have_a_gap_of_its_own()
    {
        Item rack = Plan.For(StandardFiles.Loaded(Counted.Replace("gap = \"1/16\"", "gap = [\"0\", \"1/8\"]", StringComparison.Ordinal)), new Dictionary<string, string> { ["ribbons"] = "12" }).Items[0];

        Assert.Equal(["0", "1/8", "1/8"], rack.Rows!.Gaps.Select(gap => Shown(gap)));
        Assert.Equal("1 3/4", Shown(rack.Size.Up));
    }

    [Theory]
    [InlineData("count = \"ribbons\"", "count = \"ribons\"", "there is no question \"ribons\"", "\"ribbons\"")]
    [InlineData("count = \"ribbons\"", "count = \"first\"", "its answer \"yes\" is no number", "number =")]
    [InlineData("per-row = 3", "per-row = [3, 0]", "per-row of rows of item \"rack\" holds 0", "from the bottom up")]
    [InlineData("count = \"ribbons\", per-row", "per-row", "have no count", "per-row = [3, 3, 2]")]
    [InlineData("above the first badge or the rack\"", "above the left pocket or the rack\"", "is a place of the garment and always there", "items first")]
    public void Rows_at_fault_are_told_in_words_with_what_to_write(string piece, string instead, string message, string write)
    {
        StandardLoad load = StandardText.Load(Counted.Replace(piece, instead, StringComparison.Ordinal));

        Assert.Contains(load.Faults, fault => fault.Message.Contains(message, StringComparison.Ordinal) && fault.Instead.Contains(write, StringComparison.Ordinal));
    }

    [Fact]
    public void The_long_form_of_counted_rows_gives_the_same_plan_for_every_answer()
    {
        Standard standard = StandardFiles.Loaded(Counted), expanded = StandardFiles.Loaded(ExpandedText.Of(Counted).Text!);
        foreach (string ribbons in standard.Questions[0].Answers)
        {
            foreach (string second in (string[])["no", "yes"])
            {
                Dictionary<string, string> answers = new() { ["ribbons"] = ribbons, ["second"] = second };
                Assert.Equal(StandardDump.Of(Plan.For(standard, answers).Standard), StandardDump.Of(Plan.For(expanded, answers).Standard));
            }
        }
    }

    // ---- both sides -----------------------------------------------------------------------------------------------------------------------

    private const string Collars = """
        [[item]]
        name       = "left collar device"
        both-sides = true
        size       = ["1", "1"]
        pins       = [["-1/4", "1/8"]]
        sits       = [{ sits = "7/8 from the left collar corner", hint = "Left jaw first." }, "centred between the front edge and the seam of the left collar corner"]

        """;

    [Fact]
    public void An_item_of_both_sides_is_said_once()
    {
        Standard standard = StandardFiles.Loaded(Head + Collars);
        Item left = standard.FindItem("left-collar-device")!, right = standard.FindItem("right-collar-device")!;

        Assert.Equal(("left collar device", "right collar device"), (left.Name, right.Name));
        Assert.Equal(("left collar corner", "right collar corner"), (left.StandsOn, right.StandsOn));
        Assert.Equal((-left.Place.Right, left.Place.Up), (right.Place.Right, right.Place.Up));
        Assert.Equal((-left.Pins[0].Right, left.Pins[0].Up), (right.Pins[0].Right, right.Pins[0].Up));
        Assert.Equal(
            [
                "right-collar-device-corner: right collar corner (1/2, -1/2) up-left", "right-collar-device-left: right collar corner (-1/2, 0) right", "right-collar-device-right: right collar corner (1/2, 0) left",
            ],
            Readings(standard, "right-collar-device").Select(Told));
        Assert.Equal(
            ["Right collar corner to the nearest corner of the right collar device", "Seam of the right collar corner to the left edge of the right collar device", "Right edge of the right collar device to the front edge of the right collar corner"],
            Readings(standard, "right-collar-device").Select(step => step.Ask));
        Assert.Equal(["Left jaw first.", "Right jaw first."], new[] { "left", "right" }.Select(side => Readings(standard, $"{side}-collar-device")[0].Hint));
        Assert.Equal(standard.Relations.Where(rule => rule.Id.StartsWith("left-", StringComparison.Ordinal)).Select(rule => rule.Id), standard.Relations.Where(rule => rule.Id.StartsWith("right-", StringComparison.Ordinal)).Select(rule => ShortForm.Swapped(rule.Id)));
    }

    [Fact]
    public void A_place_of_both_sides_is_mirrored_too()
    {
        Standard standard = StandardFiles.Loaded(Head + Collars);

        Assert.Equal(
            [("left collar corner", "3"), ("right collar corner", "-3")],
            standard.Landmarks.Where(landmark => landmark.Name.EndsWith("collar corner", StringComparison.Ordinal)).Select(landmark => (landmark.Name, Shown(landmark.At!.Value.Right)!)));
    }

    // ---- faults ---------------------------------------------------------------------------------------------------------------------------

    // what stands in the text, what stands there instead, what the caret points at (from its start), part of the message, part of what to write
    public static TheoryData<string, string, string, string, string> Faults() => new()
    {
        { "\"3/16 above the left pocket\"", "\"3/16 over the left pocket\"", "3/16 over", "does not say where an item sits", "above the left pocket" },
        { "\"3/16 above the left pocket\"", "\"3/128 above the left pocket\"", "128 above", "nominal:", "a length such as" },
        { "\"3/16 above the left pocket\"", "\"3/16 above the left pockte\"", "left pockte", "no item or place \"left pockte\"", "\"left pocket\"" },
        { "\"3/16 above the left pocket\"", "\"3/16 above the mast\"", "mast", "no item or place \"mast\"", "[garment]" },
        { "\"3/16 above the left pocket\"", "\"3/16 beside the left pocket\"", "beside", "does not say which way", "left of" },
        { "\"3/16 above the left pocket\"", "\"3/16 from the shoulder seam\"", "from", "does not say which way", "above" },
        { "\"3/16 above the left pocket\"", "\"3/16 above the left pocket, withn 1/64\"", "withn", "not understood after a comma", "within" },
        { "\"3/16 above the left pocket\"", "\"3/16 above the left pocket, within 0\"", "0\"", "within of relation \"ribbon-rack-height\" is 0", "above 0" },
        { "\"3/16 above the left pocket\"", "\"3/16 above the left pocket, if cord = yse\"", "yse", "no answer to \"cord\"", "\"yes\"" },
        { "\"3/16 above the left pocket\"", "\"3/16 above the left pocket, if cork = yes\"", "cork", "no question", "\"cord\"" },
        { "\"3/16 above the left pocket\"", "\"3/16 above the left pocket, if cord\"", "cord\"", "is no condition", "cord = yes" },
        { "\"3/16 above the left pocket\"", "\"3/16 above the left pocket, if cord = yes and cord = no\"", "cord = no", "asked about twice", "or" },
        { "\"3/16 above the left pocket\"", "\"3/16 above the rack\"", "\"3/16 above the rack", "sits by itself", "another thing" },
        { "\"3/16 above the left pocket\"", "\"3/16 above the centre of the left pocket\"", "the centre of", "cannot touch a centre", "centre 2 above" },
        { "\"3/16 above the left pocket\"", "\"7/8 up and right of the left pocket\", \"7/8 from the corner of the shoulder seam\"", "the corner of", "which way item \"ribbon rack\" lies", "up and right" },
        { "\"3/16 above the left pocket\"", "\"in line with the left pocket\"", "left pocket\"", "which edge is in line", "left edge" },
        { "\"3/16 above the left pocket\"", "5", "5", "a line of item \"ribbon rack\" is a number", "above the left pocket" },
        { "\"3/16 above the left pocket\"", "{ sits = \"3/16 above the left pocket\", hnit = \"Look\" }", "hnit", "no key \"hnit\"", "hint" },
        { "\"3/16 above the left pocket\"", "{ sits = \"3/16 above the left pocket\", ask = [\"One\"] }", "[\"One\"]", "takes 2 readings, and ask has 1", "one text for each" },
        { "\"centred on the left pocket\", \"3/16 above the left pocket\", \"level\"", "\"centred on the left pocket\", \"level\"", "\"level\"", "level to what?", "above the left pocket" },
        { "[\"centred on the left pocket\", \"3/16 above the left pocket\", \"level\"]", "[]", "[]", "sits of item \"ribbon rack\" is empty", "above" },
        { "pins   = [\"-1 3/8\", \"1 3/8\"]", "pins   = \"at the ends\"", "\"at the ends\"", "pins of item \"ribbon rack\"", "from each end" },
        { "pins   = [\"-1 3/8\", \"1 3/8\"]", "pins   = \"x from each end\"", "\"x from each end\"", "pins:", "a length such as" },
        { "called = \"rack\"", "caled = \"rack\"", "caled", "no key \"caled\"", "called" },
        { "called = \"rack\"", "both-sides = true", "\"ribbon rack\"", "says neither left nor right", "left collar device" },
        { "called = \"rack\"", "shape = \"square\"", "\"square\"", "shape knows no \"square\"", "\"round\"" },
        { "cord    = [\"yes\", \"no\"]", "cord    = [\"yes\"]", "[\"yes\"]", "one answer only", "two answers" },
        { "number = [1, 9]", "number = [9, 1]", "[9, 1]", "is no range", "[1, 18]" },
        { "number = [1, 9]", "number = [1, 900]", "[1, 900]", "is no range", "at most 50" },
        { "usual = 6", "usual = 60", "60", "usual of the question \"ribbons\" is 60", "from 1 to 9" },
        { "\"shoulder seam\"      = {}", "\"shoulder seam\"      = 5", "5", "\"shoulder seam\" is a number", "at =" },
        { "\"shoulder seam\"      = {}", "\"shoulder seam\"      = { att = [\"1\", \"1\"] }", "att", "no key \"att\"", "at" },
        { "\"shoulder seam\"      = {}", "\"shoulder seam\"      = { both-sides = true }", "\"shoulder seam\"", "says neither left nor right", "left" },
        { "within  = \"1/32\"", "within  = \"1/32\"\njudging.within = \"1/16\"", "within", "within is said here and in [judging]", "one of the two" },
        { "if  = \"cord = yes and ribbons >= 1\"", "if  = 5", "5", "if is a number", "cord = yes" },
        { "if  = \"cord = yes and ribbons >= 1\"", "if  = \"cord = yes and ribbons >= 1\"\nwhen = { cord = \"yes\" }", "if  =", "a condition is said here and on line", "not both" },
    };

    [Theory]
    [MemberData(nameof(Faults))]
    public void Every_fault_is_told_once_at_its_place_in_words_with_what_to_write(string piece, string instead, string caret, string message, string write)
    {
        Assert.Equal(1, Head.Split(piece).Length - 1);
        string text = Head.Replace(piece, instead, StringComparison.Ordinal);
        StandardLoad load = StandardText.Load(text);
        int at = text.IndexOf(caret, caret == "\"ribbon rack\"" ? 0 : Head.IndexOf(piece, StringComparison.Ordinal), StringComparison.Ordinal);
        int line = text[..at].Count(c => c == '\n') + 1, column = at - text.LastIndexOf('\n', at);

        TextFault fault = Assert.Single(load.Faults, fault => !fault.Message.Contains("nothing asks about", StringComparison.Ordinal));
        Assert.Equal((line, column), (fault.Line, fault.Column));
        Assert.Contains(message, fault.Message, StringComparison.Ordinal);
        Assert.Contains(write, fault.Instead, StringComparison.Ordinal);
    }

    // ---- the long form of it ------------------------------------------------------------------------------------------------------------------

    private static readonly Gen<string> Amounts = Gen.OneOf("1/8", "3/16", "1 1/4", "0.3 in", "7t", "9 mm");

    private static Gen<string> LineAbout(string[] things, string[] areas) => Gen.Select(Gen.OneOf(things), Gen.OneOf(areas), Amounts, Amounts, Gen.Int[0, 19], (thing, area, a, b, form) => form switch
    {
        0 or 1 => $"{a} above {thing}",
        2 => $"{a} below {thing}",
        3 => $"{a} or 2 above {thing}",
        4 => $"at most 2 above {thing}",
        5 => $"{a} left of {thing}",
        6 => $"{a} to the right of {thing}",
        7 => $"{a} from the left edge of {area}",
        8 => $"{a} from the top edge of {area}",
        9 => $"centred on {thing}",
        10 => $"centred up and down on {thing}",
        11 => $"midway between the top and the bottom edge of {area}",
        12 => $"centred between {thing} and {area}",
        13 => $"touching the right side of {area}",
        14 => $"in line with the bottom edge of {area}",
        15 => $"{a} up and left of {thing}",
        16 => $"centre {b} below {thing}",
        17 => $"centre {a} right of the centre of {area}",
        18 => $"not wider than {area}",
        _ => $"{a} high",
    });

    private static readonly Gen<string> ShortFiles = Gen.Int[1, 4].SelectMany(count => Gen.Select(
        Gen.Bool, Gen.OneOf("", "size = [\"2\", \"1\"]\npins = \"1/4 from each end\"", "size = [\"1\", \"1\"]\nshape = \"round\"", "rows = { count = 5, per-row = 3, part = [\"1\", \"1/2\"] }\npins = [\"-1/2\", \"1/2\"]").Array[count],
        Lines(count), Gen.OneOf("", ", if cord = no", ", within 1/64", ", within 1/16, if ribbons >= 4 and cord = yes or no").Array[count * 3], Gen.Bool.Array[count],
        (both, shapes, lines, clauses, level) => string.Concat(Enumerable.Range(0, count).Select(item =>
        {
            string[] said = [.. Enumerable.Range(0, 3).Select(line => $"\"{Clause(lines[(item * 3) + line], clauses[(item * 3) + line])}\""), .. level[item] ? ["\"level\"", "\"1/4 above the left pocket\""] : Array.Empty<string>()];
            return $"[[item]]\nname = \"left thing {item}\"\n{(both ? "both-sides = true\n" : "")}{(shapes[item].Length == 0 ? "size = [\"2\", \"1/2\"]" : shapes[item])}\nsits = [{string.Join(", ", said)}]\n";
        }))));

    // What has no nominal takes no tolerance.
    private static string Clause(string line, string clause) =>
        line + (line.StartsWith("at most", StringComparison.Ordinal) || line.StartsWith("not wider", StringComparison.Ordinal) ? Regex.Replace(clause, ", within 1/[0-9]+", string.Empty) : clause);

    // Each item is placed from the garment, or from one before it.
    private static Gen<string[]> Lines(int count)
    {
        string[] ground = ["the left pocket", "the right pocket", "the rack"];
        Gen<string[]> all = Gen.Const(Array.Empty<string>());
        for (int item = 0; item < count; item++)
        {
            string[] areas = [.. ground, .. Enumerable.Range(0, item).Select(lower => $"the left thing {lower}")];
            all = Gen.Select(all, LineAbout([.. areas, "the shoulder seam"], areas).Array[3], (before, more) => (string[])[.. before, .. more]);
        }

        return all;
    }

    [Fact]
    public void The_long_form_of_a_short_file_is_the_same_standard_and_the_same_plan()
    {
        int loaded = 0;
        ShortFiles.Sample(
            items =>
            {
                string text = Head + items;
                StandardLoad load = StandardText.Load(text);
                if (!load.IsStandard)
                {
                    Assert.All(load.Faults, fault => Assert.NotEqual(FaultKind.Text, fault.Kind));   // nothing else about a random file
                    return;
                }

                Interlocked.Increment(ref loaded);
                string expanded = ExpandedText.Of(text).Text!;
                Standard again = StandardFiles.Loaded(expanded);
                Assert.DoesNotContain("sits", expanded, StringComparison.Ordinal);
                Assert.Equal(StandardDump.Of(load.Standard), StandardDump.Of(again));
                foreach (string cord in (string[])["yes", "no"])
                {
                    Dictionary<string, string> answers = new() { ["cord"] = cord };
                    Assert.Equal(Plan.For(load.Standard, answers).Steps.Select(step => step.Id), Plan.For(again, answers).Steps.Select(step => step.Id));
                }
            },
            iter: 100, threads: 1);
        Assert.True(loaded > 25, $"{loaded} loaded");
    }

    [Fact]
    public void A_file_in_the_long_form_is_its_own_long_form()
    {
        Assert.Equal(StandardDump.Of(StandardFiles.Loaded(SmallStandard.Text)), StandardDump.Of(StandardFiles.Loaded(ExpandedText.Of(SmallStandard.Text).Text!)));
    }

    [Fact]
    public void A_length_at_fault_on_both_sides_is_told_once()
    {
        TextFault fault = Assert.Single(StandardText.Load(Head + Collars.Replace("\"7/8 from", "\"7/128 from", StringComparison.Ordinal)).Faults);

        Assert.Contains("nominal:", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void The_other_side_must_have_what_this_side_is_placed_from()
    {
        TextFault fault = Assert.Single(StandardText.Load(Head + "[[item]]\nname = \"left bar\"\nsize = [\"1\", \"1\"]\nsits = \"1 above the left pocket\"\n"
            + "[[item]]\nname = \"left star\"\nboth-sides = true\nsize = [\"1\", \"1\"]\nsits = \"1 above the left bar\"\n").Faults);

        Assert.Equal(FaultKind.NoOtherSide, fault.Kind);
        Assert.Contains("\"right bar\"", fault.Message, StringComparison.Ordinal);
        Assert.Contains("both-sides = true", fault.Instead, StringComparison.Ordinal);
    }

    [Fact]
    public void Items_that_sit_by_each_other_are_a_cycle()
    {
        string text = Head + "[[item]]\nname = \"a\"\nsize = [\"1\", \"1\"]\nsits = \"1 above the b\"\n[[item]]\nname = \"b\"\nsize = [\"1\", \"1\"]\nsits = \"1 above the a\"\n"
            + "[[item]]\nname = \"c\"\nsize = [\"1\", \"1\"]\nsits = [\"1 above the a\", \"1 left of the b\"]\n";

        Assert.Contains(StandardText.Load(text).Faults, fault => fault.Kind == FaultKind.Cycle);
    }

    // Whatever a hand, a disk or an enemy does to the text: faults or a standard, never an exception.
    [Fact]
    public void A_text_with_pieces_cut_out_doubled_or_swapped_is_a_standard_or_its_faults()
    {
        string whole = Head + Collars + Counted[Counted.IndexOf("[[item]]", StringComparison.Ordinal)..];
        Gen.Select(Gen.Int[0, whole.Length - 1], Gen.Int[0, 40], Gen.Int[0, whole.Length - 1], Gen.Int[0, 5]).Array[1, 3].Sample(
            slips =>
            {
                string text = whole;
                foreach ((int at, int length, int other, int kind) in slips)
                {
                    int from = Math.Min(at, text.Length), to = Math.Min(from + length, text.Length), into = Math.Min(other, text.Length);
                    text = kind switch
                    {
                        0 or 1 => text.Remove(from, to - from),
                        2 or 3 => text.Insert(into, text[from..to]),
                        4 => text.Insert(from, " or "),
                        _ => text.Insert(from, ", "),
                    };
                }

                StandardLoad load = StandardText.Load(text);
                Assert.Equal(load.IsStandard, load.Faults.Count == 0);
                if (load.IsStandard)
                {
                    StandardReview.Of(load.Standard);
                    StandardFiles.Loaded(ExpandedText.Of(text).Text!);
                }
            },
            iter: 300, threads: 1);
    }

    [Fact]
    public void Tables_that_this_edition_does_not_know_are_told()
    {
        Assert.Contains(StandardText.Load(Head + "[[lock]]\nask = \"Flat\"\n").Faults, fault => fault.Message.Contains("the file has no key \"lock\"", StringComparison.Ordinal));
    }
}
