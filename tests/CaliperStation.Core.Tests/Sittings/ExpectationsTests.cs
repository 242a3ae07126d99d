using System.Collections.Immutable;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Sittings;

public sealed class ExpectationsTests
{
    private static readonly DateTimeOffset At = new(2026, 3, 1, 9, 0, 0, TimeSpan.Zero);

    private static readonly Plan Demonstration = Plan.For(
        StandardText.Load(File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Documentation", "examples", "harbour-lantern.toml"))).Standard!,
        new Dictionary<string, string>());

    [Fact]
    public void A_step_is_expected_within_its_own_limits_and_possible_half_an_inch_beyond()
    {
        Expectation expected = Of("rack-low-left");
        Assert.Equal((Length.FromTicks(5), Length.FromTicks(7)), (expected.Lower, expected.Upper));
        Assert.Equal(new CoatSpan(Length.FromTicks(5 - 18), Length.FromTicks(7 + 18)), expected.Coat);
    }

    [Fact]
    public void Of_a_pair_the_second_is_expected_beside_the_first_and_either_on_the_pocket()
    {
        Expectation first = Of("rack-left");
        Assert.Null(first.Lower);
        Assert.True(first.Coat!.Value.Allows(Length.FromTicks(14)));
        Assert.False(first.Coat!.Value.Allows(Length.Inch.Times(14)));
        Assert.IsType<TypedLength.Taken>(TypedLength.Read("14", LengthUnit.Inch, LengthDisplay.Ticks, first.Coat));

        SittingState state = Sitting.Apply(Begin(), new SittingEvent.Took("rack-left", SittingRun.Reading(11_000)) { At = At });
        Expectation second = Expectations.Of(state, Demonstration.FindStep("rack-right")!, ImmutableDictionary<string, Length>.Empty);
        Assert.Equal((Um(11_000) - Length.Tick, Um(11_000) + Length.Tick), (second.Lower, second.Upper));
        Assert.Equal(new CoatSpan(Um(11_000) - Length.FromTicks(33), Um(11_000) + Length.FromTicks(33)), second.Coat);
        Assert.IsType<TypedLength.Asked>(TypedLength.Read("60", LengthUnit.Inch, LengthDisplay.Ticks, second.Coat));
        Assert.IsType<TypedLength.Asked>(TypedLength.Read("60 t", LengthUnit.Inch, LengthDisplay.Ticks, first.Coat));
        Assert.IsType<TypedLength.Taken>(TypedLength.Read("30 t", LengthUnit.Inch, LengthDisplay.Ticks, first.Coat));
    }

    [Fact]
    public void What_the_advice_foretold_is_expected()
    {
        Dictionary<string, Length> expectedAfterMove = new() { ["rack-left"] = Length.FromTicks(14) };
        Expectation expected = Expectations.Of(Begin(), Demonstration.FindStep("rack-left")!, expectedAfterMove);
        Assert.Equal((Length.FromTicks(13), Length.FromTicks(15)), (expected.Lower, expected.Upper));
    }

    [Fact]
    public void The_last_reading_of_the_same_source_is_compared_with()
    {
        Reading serial = SittingRun.Reading(4760) with { Source = ReadingSource.Serial };
        SittingState state = Sitting.Apply(Begin(), new SittingEvent.Took("rack-low-left", serial) { At = At });
        Step next = Demonstration.FindStep("rack-low-right")!;
        Assert.Equal((Um(4760), LengthUnit.Millimetre), (Of(ReadingSource.Serial).Before, Of(ReadingSource.Serial).SittingUnit));
        Assert.Null(Of(ReadingSource.Typed).Before);
        Assert.Null(Of(ReadingSource.Keyboard).SittingUnit);

        Expectation Of(ReadingSource source) => Expectations.Of(state, next, ImmutableDictionary<string, Length>.Empty, source);
    }

    private static Expectation Of(string step) => Expectations.Of(Begin(), Demonstration.FindStep(step)!, ImmutableDictionary<string, Length>.Empty);

    private static SittingState Begin() => Sitting.Begin(
        Demonstration, new SittingEvent.Started("s-1", "QG-017", "AB", Demonstration.Standard.Sha256, Demonstration.Answers) { At = At });
}
