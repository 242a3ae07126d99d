using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Correcting;

public sealed class MoveTextTests
{
    [Theory]
    [InlineData(LengthDisplay.Ticks, "left pin: up 1½ t, left 1 t")]
    [InlineData(LengthDisplay.Fraction, "left pin: up 3/64 in, left 1/32 in")]
    [InlineData(LengthDisplay.Inch, "left pin: up 0.0469 in, left 0.0312 in")]
    [InlineData(LengthDisplay.Millimetre, "left pin: up 1.19 mm, left 0.79 mm")]
    public void A_move_is_told_in_the_display_of_the_bench(LengthDisplay display, string words) =>
        Assert.Equal(words, PinWords.Move("left pin", Blouse.L(-2), Blouse.L(3), Sides.Viewer, display));

    [Fact]
    public void A_pin_that_stays_is_left() => Assert.Equal("right pin: leave", PinWords.Move("right pin", Length.Zero, Length.Zero, Sides.Viewer, LengthDisplay.Ticks));

    [Fact]
    public void Sides_as_worn_turn_left_and_right_over() =>
        Assert.Equal("pin: down ½ t, left 1 t", PinWords.Move("pin", Blouse.L(2), Blouse.L(-1), Sides.AsWorn, LengthDisplay.Ticks));

    [Fact]
    public void Pins_are_named_by_where_they_are()
    {
        Assert.Equal(["pin"], Names((0, 0)));
        Assert.Equal(["left pin", "right pin"], Names((-32, 0), (32, 4)));
        Assert.Equal(["top pin", "bottom pin"], Names((0, 32), (4, -32)));
        Assert.Equal(["right pin", "left pin", "middle pin"], Names((32, 0), (-32, 0), (0, 0)));
        Assert.Equal(["top left pin", "top right pin", "bottom left pin", "bottom right pin"], Names((-32, 16), (32, 16), (-32, -16), (32, -16)));
        Assert.Equal(["pin 1", "pin 2", "pin 3"], Names((0, 0), (0, 0), (32, 0)));
    }

    [Fact]
    public void Names_follow_the_sides_of_the_standard() => Assert.Equal(["right pin", "left pin"], PinWords.Names([Blouse.P(-32, 0), Blouse.P(32, 0)], Sides.AsWorn));

    [Fact]
    public void A_tilted_rack_is_told_pin_by_pin_with_what_readings_become()
    {
        Plan plan = Blouse.RackAndBadges().Plan();
        Dictionary<string, Measured> readings = FewestRepinsTests.Read(("rack-left", 60), ("rack-right", 60), ("rack-low-left", 5), ("rack-low-right", 8));

        ItemMove move = Assert.Single(Advise.For(plan, readings, CorrectingSettings.For(plan.Standard)).Moves);

        Assert.Equal("left pin: up 1½ t; right pin: leave", string.Join("; ", move.Pins.Select(pin => pin.Words)));
        Assert.Equal([("rack-left", Blouse.L(60)), ("rack-right", Blouse.L(60)), ("rack-low-left", Blouse.L(8)), ("rack-low-right", Blouse.L(8))], move.Should);
        Assert.Equal(StaleReadings.After(plan, ["rack"]), move.MakesStale);
    }

    /// <summary>1.6 mm is 4.03 half ticks and 12.6 of five thousandths of an inch.</summary>
    [Theory]
    [InlineData(LengthDisplay.Millimetre, "pin: up 1.60 mm", 1_600_000)]
    [InlineData(LengthDisplay.Inch, "pin: up 0.0650 in", 1_651_000)]
    [InlineData(LengthDisplay.Fraction, "pin: up 1/16 in", 1_587_500)]
    [InlineData(LengthDisplay.Ticks, "pin: up 2 t", 1_587_500)]
    public void Moves_are_told_in_what_is_shown_marks_by_halves_and_decimals_in_round_figures(LengthDisplay show, string words, long nanometres)
    {
        Plan plan = new Blouse { Show = show }.Item("star", "pocket", 32, 32, Blouse.P(0, 0))
            .Step("gap", "star", "pocket", 0, -16, "up").Rule64("gap", RelationKind.Gap, 8, 2, "gap").Plan();
        Measured low = new(ExactLength.From(Blouse.L(8) - Length.FromMicrometres(1600)), Synthetic.Noise);

        PinMove pin = Advise.For(plan, new Dictionary<string, Measured> { ["gap"] = low }, CorrectingSettings.For(plan.Standard)).Moves[0].Pins[0];

        Assert.Equal((words, nanometres), (pin.Words, pin.Up.Nanometres));
    }

    [Fact]
    public void Moves_below_what_a_hand_can_do_are_left_out()
    {
        Plan plan = new Blouse().Item("star", "pocket", 32, 32, Blouse.P(0, 0))
            .Step("gap", "star", "pocket", 0, -16, "up").Step("side", "star", "pocket", -16, 0, "right")
            .Rule64("gap", RelationKind.Gap, 8, 2, "gap").Rule64("side", RelationKind.Gap, 8, 2, "side").Plan();
        CorrectingSettings heavyHand = new(Blouse.L(3), LengthDisplay.Ticks);

        PinMove pin = Advise.For(plan, FewestRepinsTests.Read(("gap", 4), ("side", 9)), heavyHand).Moves[0].Pins[0];

        Assert.Equal("pin: up 2 t", pin.Words);
    }

    private static IReadOnlyList<string> Names(params (long Right, long Up)[] pins) => PinWords.Names([.. pins.Select(pin => Blouse.P(pin.Right, pin.Up))], Sides.Viewer);
}
