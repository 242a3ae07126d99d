using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Correcting;

public sealed class ConflictTests
{
    [Fact]
    public void Two_rules_that_contradict_on_this_coat_are_both_named_and_the_rest_is_still_put_right()
    {
        Plan plan = Blouse.RackAndBadges().Rule64("left-edge", RelationKind.Gap, 60, 2, "rack-left").Rule64("right-edge", RelationKind.Gap, 60, 2, "rack-right").Plan();
        Advice advice = Advise.For(
            plan,
            FewestRepinsTests.Read(("rack-left", 66), ("rack-right", 66), ("rack-low-left", 12), ("rack-low-right", 12)),   // the pocket is 12/64 wider
            CorrectingSettings.For(plan.Standard));

        Conflict conflict = Assert.Single(advice.Contradictions);
        Assert.Equal(ConflictKind.TwoRules, conflict.Kind);
        Assert.Equal(["left-edge", "right-edge"], conflict.Relations);
        Assert.Equal([("left pin", Blouse.L(0), Blouse.L(-4)), ("right pin", Blouse.L(0), Blouse.L(-4))], Blouse.Pins(Assert.Single(advice.Moves)));
    }

    [Fact]
    public void A_thing_on_one_pin_that_would_have_to_turn_is_told()
    {
        Plan plan = new Blouse().Item("star", "pocket", 128, 32, Blouse.P(0, 0))
            .Step("left", "star", "pocket", -64, -16, "up").Step("right", "star", "pocket", 64, -16, "up")
            .Rule64("level", RelationKind.Level, null, 2, "left", "right").Plan();

        Conflict conflict = Assert.Single(Advise.For(plan, FewestRepinsTests.Read(("left", 8), ("right", 16)), CorrectingSettings.For(plan.Standard)).Contradictions);
        Assert.Equal((ConflictKind.OneRule, "level", "star"), (conflict.Kind, conflict.Relations.Single(), conflict.Items.Single()));
    }

    [Fact]
    public void A_thing_on_one_pin_that_lies_turned_is_moved_and_told_so()
    {
        Plan plan = new Blouse().Item("star", "pocket", 128, 32, Blouse.P(0, 0))
            .Step("left", "star", "pocket", -64, -16, "up").Step("right", "star", "pocket", 64, -16, "up")
            .Rule64("height", RelationKind.Gap, 8, 4, "left", "right").Plan();

        PinMove pin = Assert.Single(Assert.Single(Advise.For(plan, FewestRepinsTests.Read(("left", 10), ("right", 14)), CorrectingSettings.For(plan.Standard)).Moves).Pins);
        Assert.Equal((Length.Zero, Blouse.L(-4), true), (pin.Right, pin.Up, pin.StaysTurned));
        Assert.EndsWith(PinWords.StaysTurned, pin.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void A_rule_that_no_pin_changes_is_told()
    {
        Plan plan = new Blouse().Item("ribbon", "pocket", 128, 32, Blouse.P(-32, 0), Blouse.P(32, 0)).Step("width", "ribbon", "ribbon", 0, 0, null)
            .Rule64("width", RelationKind.Size, 88, 1, "width").Plan();
        Advice advice = Advise.For(plan, FewestRepinsTests.Read(("width", 92)), CorrectingSettings.For(plan.Standard));

        Conflict conflict = Assert.Single(advice.Contradictions);
        Assert.Equal((ConflictKind.Immovable, "width"), (conflict.Kind, conflict.Relations.Single()));
        Assert.Empty(advice.Moves);
    }

    [Fact]
    public void A_rule_finer_than_any_whole_step_is_told_with_the_nearest_move()
    {
        Plan plan = new Blouse { Show = LengthDisplay.Millimetre, Rule = DecisionRule.Plain }.Item("star", "pocket", 32, 32, Blouse.P(0, 0))
            .Step("gap", "star", "pocket", 0, -16, "up")
            .Add(new Relation("gap", RelationKind.Gap, ["gap"], [new Limits(Length.FromMicrometres(4_740), Length.FromMicrometres(4_760), Length.FromMicrometres(4_750))], null, null, [], [], null, null))
            .Plan();
        Advice advice = Advise.For(plan, FewestRepinsTests.Read(("gap", 8)), CorrectingSettings.For(plan.Standard));

        Conflict conflict = Assert.Single(advice.Contradictions);
        Assert.Equal((ConflictKind.TooCoarse, "gap"), (conflict.Kind, conflict.Relations.Single()));
        Assert.Contains(LengthFormat.Show(Length.FromMicrometres(100), LengthDisplay.Millimetre), conflict.Words, StringComparison.Ordinal);
        Assert.Equal(Length.FromMicrometres(1600), Assert.Single(advice.Moves).Pins[0].Up);
    }

    /// <summary>An angle to ten nanoradians beside a gap to 4/64 in: factors a hundred thousand apart.</summary>
    [Fact]
    public void A_rule_far_finer_than_the_others_leaves_them_to_be_put_right()
    {
        Plan plan = new Blouse().Item("bar", "pocket", 256, 32, Blouse.P(-96, 0), Blouse.P(96, 0))
            .Step("low-left", "bar", "pocket", -96, -16, "up").Step("low-right", "bar", "pocket", 96, -16, "up").Step("side", "bar", "pocket", -128, -16, "right")
            .Rule64("side", RelationKind.Gap, 8, 4, "side")
            .Add(new Relation("angle", RelationKind.Angle, ["low-left", "low-right"], [new Limits(null, null, null, -0.00001, 0.00001, 0)], Blouse.L(192), null, [], [], null, null)).Plan();
        Dictionary<string, Measured> readings = FewestRepinsTests.Read(("low-left", 8), ("low-right", 9), ("side", 20));

        ItemMove move = Assert.Single(Advise.For(plan, readings.ToDictionary(pair => pair.Key, pair => pair.Value with { Uncertainty = 1 }), CorrectingSettings.For(plan.Standard)).Moves);

        Assert.Equal(Blouse.L(-1), move.Pins[1].Up - move.Pins[0].Up);
        Assert.All(move.Pins, pin => Assert.Equal(Blouse.L(-12), pin.Right));
    }

    [Fact]
    public void Rules_that_a_move_would_push_outside_are_named_before_it_is_made()
    {
        Plan plan = Blouse.RackAndBadges().Plan();
        Advice advice = Advise.For(
            plan,
            FewestRepinsTests.Read(("rack-left", 60), ("rack-right", 60), ("rack-low-left", 12), ("rack-low-right", 12), ("badge-gap-left", 16), ("badge-gap-right", 16), ("badge-2-gap", 8)),
            CorrectingSettings.For(plan.Standard));

        Assert.Contains("badge-height", advice.Moves.Single(move => move.Item == "rack").WillBreak);
    }
}
