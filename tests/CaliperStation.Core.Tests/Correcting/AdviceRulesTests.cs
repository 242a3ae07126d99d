using System.Globalization;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Standards;

namespace CaliperStation.Core.Tests.Correcting;

/// <summary>What is moved, what stays, and what must be read first; mostly on the demonstration standard.</summary>
public sealed class AdviceRulesTests
{
    private static readonly Plan Demonstration = Plan.For(StandardFiles.Loaded(StandardFiles.Text("harbour-lantern.toml")), new Dictionary<string, string> { ["spark"] = "yes" });

    private const string RackInOrder = "rack-left 14t, rack-right 14t, rack-low-left 6t, rack-low-right 6t";

    [Fact]
    public void With_only_the_side_gaps_read_the_heights_are_asked_first()
    {
        Advice advice = Of("rack-left 14t, rack-right 15.5t");

        Assert.Equal(["rack-low-left", "rack-low-right"], advice.Wanted);
        Assert.Empty(advice.Moves);
    }

    [Fact]
    public void What_side_gaps_alone_see_is_mended_by_a_shift_and_never_by_a_tilt()
    {
        Plan plan = Sides().Plan();
        ItemMove move = Assert.Single(Advise.For(plan, FewestRepinsTests.Read(("left", 28), ("right", 33)), CorrectingSettings.For(plan.Standard)).Moves);

        Assert.All(move.Pins, pin => Assert.Equal((Blouse.L(2), Length.Zero), (pin.Right, pin.Up)));
    }

    /// <summary>The badge on it is a turn away; the rack's own readings see no turn, so it is not turned for the badge's sake.</summary>
    [Fact]
    public void What_only_the_readings_above_see_of_an_item_is_left_alone()
    {
        Plan plan = Sides().Item("badge", "bar", 96, 32, Blouse.P(-32, 0), Blouse.P(32, 0)).Placed(0, 48)
            .Step("low-left", "badge", "bar", -32, -16, "up").Step("low-right", "badge", "bar", 32, -16, "up")
            .Rule64("height", RelationKind.Gap, 8, 2, "low-left", "low-right").Plan();
        Advice advice = Advise.For(plan, FewestRepinsTests.Read(("left", 20), ("right", 36), ("low-left", 3), ("low-right", 13)), CorrectingSettings.For(plan.Standard));

        Assert.Equal(["bar", "badge"], advice.Moves.Select(move => move.Item));
        Assert.All(advice.Moves[0].Pins, pin => Assert.Equal((Blouse.L(8), Length.Zero), (pin.Right, pin.Up)));
    }

    [Fact]
    public void After_the_first_of_two_heights_the_other_pin_is_asked_and_then_one_move_mends_all()
    {
        Advice first = Of("rack-left 12t, rack-right 16t, rack-low-left 9t");

        Assert.Equal(["rack-low-right"], first.Wanted);
        Assert.Empty(first.Moves);

        Advice then = Of("rack-left 12t, rack-right 16t, rack-low-left 9t, rack-low-right 6.5t");

        Assert.Empty(then.Wanted);   // 2 t off the middle, of which the turn gives back 0.3 t at the bottom edge, where the sides are read
        Assert.Equal([("left pin", Blouse.L(3), Blouse.L(-6)), ("right pin", Blouse.L(3), Blouse.L(-1))], Blouse.Pins(Assert.Single(then.Moves)));
    }

    /// <summary>3.175 mm is to become 3.3 to 3.4: half a tick is too much, none too little. What the other readings say is asked before that is told.</summary>
    [Fact]
    public void The_other_readings_are_asked_also_where_no_whole_step_would_do()
    {
        Plan plan = new Blouse { Rule = DecisionRule.Plain }.Item("star", "pocket", 32, 32, Blouse.P(0, 0))
            .Step("gap", "star", "pocket", 0, -16, "up").Step("side", "star", "pocket", -16, 0, "right")
            .Add(new Relation("gap", RelationKind.Gap, ["gap"], [new Limits(Length.FromMicrometres(3_300), Length.FromMicrometres(3_400), Length.FromMicrometres(3_350))], null, null, [], [], null, null))
            .Rule64("side", RelationKind.Gap, 8, 2, "side").Plan();
        Dictionary<string, Measured> readings = FewestRepinsTests.Read(("gap", 8));

        Assert.Equal(["side"], Advise.For(plan, readings, CorrectingSettings.For(plan.Standard)).Wanted);
    }

    [Fact]
    public void Readings_of_what_stands_above_are_never_asked_before_a_move() =>
        Assert.Equal(["rack-low-right"], Of("rack-left 14t, rack-right 14t, rack-low-left 9t, lantern-low-left 13t").Wanted);

    [Fact]
    public void Steps_whose_rules_do_not_apply_are_not_asked()
    {
        Plan plan = Sides()
            .Step("low", "bar", "pocket", 0, -16, "up")
            .Add(new Relation("low", RelationKind.Gap, ["low"], [Blouse.Around(RelationKind.Gap, 8, 2)], null, null, [], [], new Condition([new ConditionPart.ValueIs("centred", Comparison.Less, 0, Blouse.L(1))]), null))
            .Plan();

        Assert.Empty(Advise.For(plan, FewestRepinsTests.Read(("left", 28), ("right", 33)), CorrectingSettings.For(plan.Standard)).Wanted);
    }

    [Fact]
    public void Nothing_is_asked_of_a_coat_that_holds_so_far() => Assert.Empty(Of("rack-left 14t, rack-right 14t, rack-low-left 6t").Wanted);

    /// <summary>1.2 ticks too high: a rack raised by half a tick would do as well by the figures, and is not touched.</summary>
    [Fact]
    public void A_badge_that_sits_high_on_a_sound_rack_is_moved_and_not_the_rack()
    {
        ItemMove move = Assert.Single(Of(RackInOrder + ", lantern-low-left 11.2t, lantern-low-right 11.2t, lantern-left 38t, lantern-right 38t").Moves);

        Assert.Equal("lantern", move.Item);
        Assert.Equal([("left pin", Blouse.L(0), Blouse.L(-2)), ("right pin", Blouse.L(0), Blouse.L(-2))], Blouse.Pins(move));
    }

    [Fact]
    public void An_item_within_is_moved_when_nothing_else_can_and_the_two_rules_are_named()
    {
        Plan plan = new Blouse()
            .Item("bar", "pocket", 128, 32, Blouse.P(-48, 0), Blouse.P(48, 0)).Placed(0, 32)
            .Item("star", "bar", 96, 32, Blouse.P(0, 0)).Placed(0, 40)
            .Step("bar-left", "bar", "pocket", -48, -16, "up").Step("bar-right", "bar", "pocket", 48, -16, "up")
            .Step("star-left", "star", "bar", -40, -16, "up").Step("star-right", "star", "bar", 40, -16, "up")
            .Rule64("bar-height", RelationKind.Gap, 8, 4, "bar-left", "bar-right")
            .Rule64("star-level", RelationKind.Level, null, 2, "star-left", "star-right").Plan();
        Advice advice = Advise.For(plan, FewestRepinsTests.Read(("bar-left", 8), ("bar-right", 8), ("star-left", 8), ("star-right", 11)), CorrectingSettings.For(plan.Standard));

        Assert.Equal("bar", Assert.Single(advice.Moves).Item);
        Conflict conflict = Assert.Single(advice.Contradictions);
        Assert.Equal((ConflictKind.SoundItemMoves, "bar"), (conflict.Kind, conflict.Items.Single()));
        Assert.Equal(["star-level", "bar-height"], conflict.Relations);
    }

    /// <summary>The two heights differ by 0.35 ticks, of the tick they may: each pin to its own half tick would tell 2 and 1½.</summary>
    [Fact]
    public void A_pair_stays_a_pair_where_no_turn_is_needed() => Assert.Equal(
        [("left pin", Blouse.L(0), Blouse.L(4)), ("right pin", Blouse.L(0), Blouse.L(4))],
        Blouse.Pins(Assert.Single(Of("rack-left 14t, rack-right 14t, rack-low-left 4t, rack-low-right 4.35t").Moves)));

    /// <summary>2 ticks over the 88 between the pins turn the bottom edge, 12 below the middle, 0.27 to the left: 1.27 to the right in all.</summary>
    [Fact]
    public void A_tilt_that_is_seen_is_mended_with_the_shift_in_one_move() => Assert.Equal(
        [("left pin", Blouse.L(3), Blouse.L(6)), ("right pin", Blouse.L(3), Blouse.L(2))],
        Blouse.Pins(Assert.Single(Of("rack-left 13t, rack-right 15t, rack-low-left 3t, rack-low-right 5t").Moves)));

    /// <summary>A badge that could stay if the rack went only to the edge of its limits stays, and both are kept off the edge where they can be.</summary>
    [Fact]
    public void A_move_aims_for_the_nominal_unless_that_would_move_more_pins()
    {
        Plan plan = new Blouse { Show = LengthDisplay.Millimetre }
            .Item("bar", "pocket", 128, 32, Blouse.P(0, 0)).Placed(0, 32).Item("star", "bar", 32, 32, Blouse.P(0, 0)).Placed(0, 40)
            .Step("bar", "bar", "pocket", 0, -16, "up").Step("star", "star", "bar", 0, -16, "up")
            .Rule64("bar", RelationKind.Gap, 8, 4, "bar").Rule64("star", RelationKind.Gap, 8, 4, "star").Plan();
        Length Moved(long star) =>
            Assert.Single(Advise.For(plan, FewestRepinsTests.Read(("bar", 14), ("star", star)), CorrectingSettings.For(plan.Standard)).Moves).Pins[0].Up;

        Assert.Equal(Length.FromMicrometres(-2400), Moved(3));       // 6/64 down, which puts the star in order too
        Assert.InRange(Moved(8).Nanometres, Blouse.L(-5).Nanometres, Blouse.L(-3).Nanometres);        // 6/64 down would put the star out
    }

    [Fact]
    public void What_is_borderline_is_moved_only_when_that_is_wanted()
    {
        const string Readings = "rack-left 10.91 mm, rack-right 11.68 mm, rack-low-left 4.76 mm, rack-low-right 4.89 mm";

        Assert.Empty(Of(Readings).Moves);

        Advice advice = Of(Readings, "rack-centred");
        ItemMove move = Assert.Single(advice.Moves);
        Assert.Equal([("left pin", Blouse.L(1), Blouse.L(0)), ("right pin", Blouse.L(1), Blouse.L(0))], Blouse.Pins(move));
        Assert.True(FewestRepinsTests.AllWithin(Demonstration, FewestRepinsTests.After(Read(Readings), advice)));
    }

    [Fact]
    public void What_is_borderline_is_mended_along_when_its_item_is_moved_anyway()
    {
        const string Readings = "rack-left 10.91 mm, rack-right 11.68 mm, rack-low-left 7.14 mm, rack-low-right 7.14 mm";
        Advice advice = Of(Readings);

        Assert.Equal([("left pin", Blouse.L(1), Blouse.L(-6)), ("right pin", Blouse.L(1), Blouse.L(-6))], Blouse.Pins(Assert.Single(advice.Moves)));
        Assert.True(FewestRepinsTests.AllWithin(Demonstration, FewestRepinsTests.After(Read(Readings), advice)));
    }

    /// <summary>The badge's own sides are not read yet: whatever it follows or turns by, it does not go sideways.</summary>
    [Theory]
    [InlineData("rack-left 11.05 mm, rack-right 10.94 mm, rack-low-left 7.99 mm, rack-low-right 4.90 mm, lantern-low-left 7.82 mm, lantern-low-right 7.99 mm")]
    [InlineData("rack-left 11.88 mm, rack-right 3.17 mm, rack-low-left 4.40 mm, rack-low-right 4.49 mm, lantern-low-left 7.97 mm, lantern-low-right -12.57 mm")]
    public void What_turns_along_goes_no_step_along_a_direction_that_nothing_sees(string readings)
    {
        ItemMove move = Assert.Single(Of(readings).Moves, move => move.Item == "lantern");

        Assert.All(move.Pins, pin => Assert.Equal(Length.Zero, pin.Right));
    }

    /// <summary>A bar of which only the two sides are read, at one height.</summary>
    private static Blouse Sides() => new Blouse().Item("bar", "pocket", 256, 32, Blouse.P(-96, 0), Blouse.P(96, 0)).Placed(0, 32)
        .Step("left", "bar", "pocket", -128, -16, "right").Step("right", "bar", "pocket", 128, -16, "left")
        .Rule64("centred", RelationKind.Equal, null, 2, "left", "right");

    private static Advice Of(string readings, params string[] alsoWanted) =>
        Advise.For(Demonstration, Read(readings), CorrectingSettings.For(Demonstration.Standard), alsoWanted.ToHashSet());

    /// <summary>Readings as a caliper of 0.01 mm gives them.</summary>
    private static Dictionary<string, Measured> Read(string readings)
    {
        double uncertainty = Budget.Of(Demonstration.Standard.Judging, Length.FromMicrometres(10), 1).Combined;
        return readings.Split(", ").Select(each => each.Split(' ', 2)).ToDictionary(each => each[0], each => new Measured(ExactLength.From(Parsed(each[1])), uncertainty));
    }

    private static Length Parsed(string text) => text.EndsWith('t')
        ? Length.FromNanometres(double.Parse(text[..^1], CultureInfo.InvariantCulture) * Length.Tick.Nanometres, Rounding.HalfEven)
        : LengthText.Parse(text, LengthUnit.Millimetre).Value.Value;
}
