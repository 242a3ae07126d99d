using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CsCheck;

namespace CaliperStation.Core.Tests.Readings;

public sealed class SteadinessTests
{
    private static readonly Length Hundredth = Length.FromMicrometres(10);

    private static Reading At(int milliseconds, int micrometres, LengthUnit unit = LengthUnit.Millimetre, Length? resolution = null) =>
        new(Length.FromMicrometres(micrometres), unit, resolution ?? Hundredth, ReadingSource.Serial, default, "") { Arrived = TimeSpan.FromMilliseconds(milliseconds) };

    private static SteadyState After(int now, params Reading[] readings) =>
        readings.Aggregate(new Steadiness(), (filter, reading) => filter.Push(reading)).At(TimeSpan.FromMilliseconds(now));

    [Fact]
    public void Nothing_has_come_yet() => Assert.Equal(SteadyState.Nothing, After(0));

    [Fact]
    public void Three_values_over_100_ms_within_a_hands_tremble_are_steady()
    {
        Steadiness filter = new Steadiness().Push(At(0, 12_340)).Push(At(50, 12_360)).Push(At(100, 12_320));
        Assert.Equal(SteadyState.Steady, filter.At(TimeSpan.FromMilliseconds(110)));
        Assert.Equal(Length.FromMicrometres(12_320), filter.Latest!.Value);
    }

    [Fact]
    public void Two_values_are_not_enough_however_far_apart() => Assert.Equal(SteadyState.Moving, After(310, At(0, 12_340), At(300, 12_340)));

    [Fact]
    public void Three_values_in_99_ms_are_not_enough() => Assert.Equal(SteadyState.Moving, After(100, At(0, 1), At(50, 1), At(99, 1)));

    [Trait("trouble", "T25")]
    [Fact]
    public void T25_a_value_that_jumps_or_climbs_is_not_taken()
    {
        Assert.Equal(SteadyState.Moving, After(200, At(0, 12_300), At(50, 12_300), At(100, 12_300), At(150, 12_351)));
        Assert.Equal(SteadyState.Moving, After(500, [.. Enumerable.Range(0, 10).Select(i => At(i * 50, 12_000 + (i * 30)))]));
    }

    [Trait("trouble", "T03")]
    [Trait("trouble", "T19")]
    [Fact]
    public void T03_T19_a_single_wrong_frame_is_never_steady_and_costs_its_neighbours_too()
    {
        Reading[] glitch = [At(0, 10_000), At(60, 10_000), At(120, 10_000), At(180, 166_530)];
        Assert.Equal(SteadyState.Moving, After(181, glitch));
        Assert.Equal(SteadyState.Moving, After(241, [.. glitch, At(240, 10_000)]));
        Assert.Equal(SteadyState.Steady, After(361, [.. glitch, At(240, 10_000), At(300, 10_000), At(360, 10_000)]));
    }

    [Trait("trouble", "T22")]
    [Fact]
    public void T22_a_value_older_than_half_a_second_is_not_taken()
    {
        Reading[] still = [At(0, 5_000), At(50, 5_000), At(100, 5_000)];
        Assert.Equal(SteadyState.Steady, After(600, still));
        Assert.Equal(SteadyState.Old, After(601, still));
    }

    [Fact]
    public void A_pause_of_a_second_begins_anew() =>
        Assert.Equal(SteadyState.Moving, After(1_151, At(0, 5_000), At(50, 5_000), At(1_050, 5_000), At(1_150, 5_000)));

    [Fact]
    public void T10_a_change_of_unit_or_decimals_begins_anew()
    {
        Assert.Equal(SteadyState.Moving, After(201, At(0, 25_400), At(100, 25_400), At(200, 25_400, LengthUnit.Inch)));
        Assert.Equal(SteadyState.Moving, After(201, At(0, 25_400), At(100, 25_400), At(200, 25_400, resolution: Length.FromMicrometres(1))));
    }

    [Fact]
    public void A_coarse_display_may_flicker_by_two_steps()
    {
        Length thousandth = Length.FromNanometres(25_400);
        Reading[] flicker = [At(0, 25_400, LengthUnit.Inch, thousandth), At(60, 25_425, LengthUnit.Inch, thousandth), At(120, 25_450, LengthUnit.Inch, thousandth)];
        Assert.Equal(SteadyState.Steady, After(121, flicker));
    }

    /// <summary>A USB port knows no baud rate: what came between two looks has one instant.</summary>
    [Fact]
    public void However_many_values_come_at_one_look_they_become_steady_and_one_wild_one_among_them_is_not_overlooked()
    {
        Reading[] flood = [.. Enumerable.Range(0, 20).SelectMany(look => Enumerable.Range(0, 500).Select(value => At(look * 8, 12_340 + (value % 2 * 10))))];
        Assert.Equal(SteadyState.Steady, After(153, flood));
        flood[flood.Length - 1_200] = At(17 * 8, 66_000);
        Assert.Equal(SteadyState.Moving, After(153, flood));
    }

    [Fact]
    public void A_flood_of_a_thousand_values_a_second_becomes_steady() =>
        Assert.Equal(SteadyState.Steady, After(400, [.. Enumerable.Range(0, 400).Select(i => At(i, 5_000))]));

    [Fact]
    public void A_move_since_the_last_taken_value_is_seen()
    {
        Steadiness filter = new Steadiness().Push(At(0, 3_180)).Taken(Length.FromMicrometres(3_180)).Push(At(60, 3_200));
        Assert.True(filter.IsWhereTaken);
        Assert.False(filter.MovedSinceTaken);
        filter = filter.Push(At(120, 9_000)).Push(At(180, 3_180));
        Assert.True(filter.MovedSinceTaken);
        Assert.False(filter.IsWhereTaken);
    }

    [Fact]
    public void Steady_means_what_a_plain_reading_of_the_rule_says() =>
        Gen.Select(Gen.Int[1, 150], Gen.Int[0, 60]).Array[1, 30].Sample(
            steps =>
            {
                Steadiness filter = new();
                List<Reading> all = [];
                int now = 0;
                foreach ((int wait, int micrometres) in steps)
                {
                    now += wait;
                    all.Add(At(now, micrometres));
                    filter = filter.Push(all[^1]);
                    bool expected = Enumerable.Range(3, Math.Max(0, all.Count - 2)).Any(n => IsSteady(all[^n..]));
                    if (expected != (filter.At(TimeSpan.FromMilliseconds(now)) == SteadyState.Steady))
                    {
                        return false;
                    }
                }

                return true;
            },
            iter: 2_000);

    private static bool IsSteady(List<Reading> run) => run[^1].Arrived - run[0].Arrived >= TimeSpan.FromMilliseconds(100)
        && run.Max(one => one.Value) - run.Min(one => one.Value) <= Length.FromMicrometres(50);
}
