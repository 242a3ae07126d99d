using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CsCheck;

namespace CaliperStation.Core.Tests.Readings;

public sealed class PlausibilityCheckTests
{
    private static readonly Length Step = Length.FromMicrometres(10);

    /// <summary>1/8 in, 1/32 in either way.</summary>
    private static readonly Expectation Eighth = new() { Lower = Length.FromTicks(3), Upper = Length.FromTicks(5) };

    private static WarningKind? Of(Length value, Expectation expected, LengthUnit unit = LengthUnit.Millimetre, Length? resolution = null) =>
        PlausibilityCheck.Of(new(value, unit, resolution ?? Step, ReadingSource.Serial, default, ""), expected)?.Kind;

    [Theory]
    [InlineData(3_175, null)]
    [InlineData(2_000, null)]
    [InlineData(6_000, null)]
    [InlineData(12_000, null)]
    [InlineData(80_645, WarningKind.InchForMillimetre)]
    [InlineData(125, WarningKind.InchForMillimetre)]
    [InlineData(31_750, WarningKind.TenTimes)]
    [InlineData(318, WarningKind.TenTimes)]
    public void T10_T15_a_value_25_times_or_ten_times_off_is_asked_about_and_an_honest_fault_is_not(long micrometres, WarningKind? expected) =>
        Assert.Equal(expected, Of(Length.FromMicrometres(micrometres), Eighth));

    /// <summary>120 mm, 1 mm either way.</summary>
    [Theory]
    [InlineData(20_000, WarningKind.DroppedDigit)]
    [InlineData(20_500, WarningKind.DroppedDigit)]
    [InlineData(500, WarningKind.BeyondCoat)]
    [InlineData(120_900, null)]
    [InlineData(110_000, null)]
    [InlineData(12_000, WarningKind.TenTimes)]
    [InlineData(60_000, WarningKind.BeyondCoat)]
    public void A_value_without_its_first_digit_or_beyond_the_coat_is_asked_about(long micrometres, WarningKind? expected) => Assert.Equal(expected, Of(
        Length.FromMicrometres(micrometres),
        new() { Lower = Length.FromMicrometres(119_000), Upper = Length.FromMicrometres(121_000), Coat = new(Length.FromMicrometres(100_000), Length.FromMicrometres(140_000)) }));

    /// <summary>16 t, 1 t either way: 6 t lost its first digit; no inch is taken for a millimetre on a rule.</summary>
    [Theory]
    [InlineData(6, WarningKind.DroppedDigit)]
    [InlineData(160, null)]
    [InlineData(13, null)]
    public void Ticks_typed_by_hand_can_lose_a_first_digit_only(long ticks, WarningKind? expected)
    {
        Reading typed = new(Length.FromTicks(ticks), LengthUnit.Inch, Length.HalfTick, ReadingSource.Typed, default, "");
        Assert.Equal(expected, PlausibilityCheck.Of(typed, new() { Lower = Length.FromTicks(15), Upper = Length.FromTicks(17) })?.Kind);
    }

    [Trait("trouble", "T10")]
    [Fact]
    public void T10_the_unit_key_pressed_in_mid_sitting_stops_whatever_the_value()
    {
        Expectation sitting = Eighth with { SittingUnit = LengthUnit.Millimetre };
        Assert.Equal(WarningKind.UnitChanged, Of(Length.FromTicks(4), sitting, LengthUnit.Inch));
        Assert.Null(Of(Length.FromTicks(4), sitting));
    }

    [Trait("trouble", "T39")]
    [Fact]
    public void T39_the_same_value_for_another_step_is_asked_about_unless_the_caliper_moved()
    {
        Expectation after = Eighth with { Before = Length.FromMicrometres(3_180) };
        Assert.Equal(WarningKind.SameAsBefore, Of(Length.FromMicrometres(3_180), after));
        Assert.Null(Of(Length.FromMicrometres(3_180), after with { MovedSince = true }));
        Assert.Null(Of(Length.FromMicrometres(3_190), after));
    }

    [Trait("trouble", "T23")]
    [Fact]
    public void T07_T23_a_negative_value_is_asked_about_where_nothing_can_overlap()
    {
        Assert.Equal(WarningKind.Sign, Of(Length.FromMicrometres(-20), Eighth with { MayBeNegative = false }));
        Assert.Null(Of(Length.FromMicrometres(-20), Eighth));
    }

    [Fact]
    public void T36_T37_T63_other_decimals_than_before_are_asked_about() =>
        Assert.Equal(WarningKind.Decimals, Of(Length.FromMicrometres(3_100), Eighth with { SittingResolution = Step }, resolution: Length.FromMicrometres(100)));

    [Fact]
    public void A_value_wider_than_the_caliper_opens_is_asked_about() =>
        Assert.Equal(WarningKind.BeyondRange, Of(Length.FromMicrometres(999_000), new Expectation { Range = Length.FromMicrometres(150_000) }));

    [Fact]
    public void Around_zero_no_scale_is_guessed()
    {
        Expectation flush = new() { Lower = -Length.Tick, Upper = Length.Tick };
        Assert.Null(Of(Length.FromMicrometres(8_000), flush));
        Assert.Null(Of(Length.FromMicrometres(40_000), flush));
    }

    [Fact]
    public void A_value_within_its_limits_is_never_doubted_for_its_scale() =>
        Gen.Select(Gen.Long[-50_000, 200_000], Gen.Long[1, 30_000], Gen.Double[0, 1]).Sample((lower, width, share) =>
        {
            Length value = Length.FromMicrometres(lower + (long)(width * share));
            return Of(value, new() { Lower = Length.FromMicrometres(lower), Upper = Length.FromMicrometres(lower + width) }) is null;
        }, iter: 2_000);
}
