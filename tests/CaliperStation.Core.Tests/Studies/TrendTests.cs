using CaliperStation.Core.Studies;
using CsCheck;

namespace CaliperStation.Core.Tests.Studies;

public sealed class TrendTests
{
    private static readonly DateTimeOffset At = new(2026, 11, 2, 8, 0, 0, TimeSpan.Zero);

    [Fact]
    public void Standards_and_editions_are_never_in_one_chart_and_texts_of_one_edition_are_counted()
    {
        IReadOnlyList<TrendGroup> groups = Of(new(), Coat(0, 1), Coat(1, 2) with { Edition = "2" }, Coat(2, 3) with { Standard = "Another" }, Coat(3, 4) with { Sha256 = "other" });

        Assert.Equal([("Another", "1", 1), ("Lock Keepers", "1", 2), ("Lock Keepers", "2", 1)], groups.Select(group => (group.Standard, group.Edition, group.Texts)));
        Assert.Equal([1.0, 4.0], groups[1].Series[0].Chart.Values);
        Assert.Equal("other", groups[1].LastSha256);
    }

    [Fact]
    public void Of_many_coats_the_newest_are_charted_in_their_order_and_all_are_counted() => Gen.Int[1, 3 * Trend.Newest].Sample(count =>
    {
        TrendSeries series = Of(new(), [.. Enumerable.Range(0, count).Select(n => Coat(n, n))])[0].Series[0];

        Assert.Equal(count, series.Count);
        Assert.Equal(Enumerable.Range(0, count).TakeLast(Trend.Newest).Select(n => (double)n), series.Chart.Values);
        Assert.Equal($"s-{count - 1}", series.Points[^1].Record);
    }, iter: 40);

    [Fact]
    public void An_item_is_the_mean_of_its_placements_in_each_coat()
    {
        TrendCoat coat = Coat(0, 6) with
        {
            Values =
            [
                new(TrendOf.Step, "rack-left", "rack", 4, true, true, "AB"),
                new(TrendOf.Step, "rack-right", "rack", 8, true, true, "AB"),
                new(TrendOf.Step, "rack-width", "rack", 900, false, true, "AB"),   // its own size places nothing
                new(TrendOf.Rule, "rack-level", null, -4, false, true, "AB"),
            ],
        };

        IReadOnlyList<TrendSeries> series = Of(new(), coat)[0].Series;

        Assert.Equal([TrendOf.Step, TrendOf.Step, TrendOf.Step, TrendOf.Rule, TrendOf.Item], series.Select(one => one.Of));
        Assert.Equal([6.0], series[^1].Chart.Values);
        Assert.Equal(["rack-left", "rack-right", "rack-width", "rack"], Of(new(Item: "rack"), coat)[0].Series.Select(one => one.Id));
        Assert.Equal(["rack-level"], Of(new(Step: "rack-level"), coat)[0].Series.Select(one => one.Id));
    }

    [Fact]
    public void Rates_repins_and_the_middle_time_are_by_month_and_leave_out_what_is_not_kept()
    {
        TrendGroup group = Of(
            new(),
            Coat(0, 0) with { FirstTimeRight = true, FirstReading = At.AddMinutes(-12.9) },
            Coat(0, 0) with { FirstTimeRight = false, Repins = 3, FirstReading = At.AddMinutes(-30) },
            Coat(0, 0) with { FirstTimeRight = null, Repins = 1, FirstReading = At.AddDays(-3) },    // an older record; lain over the week-end
            Coat(0, 0) with { FirstReading = null, Closed = At.AddMonths(1) })[0];

        Assert.Equal(new TrendMonth(2026, 11, 3, new FirstTimeRate(1, 2), 4, 30), group.Months[0]);
        Assert.Equal(new TrendMonth(2026, 12, 1, new FirstTimeRate(1, 1), 0, null), group.Months[1]);
        Assert.Equal((4L, new FirstTimeRate(2, 3), 4L), (group.Whole.Coats, group.Whole.FirstTime, group.Whole.Repins));
        Assert.Equal(4 / 3.0, group.Months[0].RepinsACoat, 1e-12);
        Assert.Null(new FirstTimeRate(0, 0).Share);
    }

    [Fact]
    public void A_hand_has_its_own_readings_and_only_the_coats_it_measured_alone()
    {
        TrendCoat shared = Coat(0, 5) with { Hand = null, Values = [new(TrendOf.Step, "a", "rack", 5, true, true, "AB"), new(TrendOf.Step, "b", "rack", 7, true, true, "CD")] };

        TrendGroup group = Of(new(Hand: "ab"), Coat(1, 1), shared, Coat(2, 9) with { Hand = "CD", Values = [new(TrendOf.Step, "a", "rack", 9, true, true, "CD")] })[0];

        Assert.Equal(1, group.Whole.Coats);
        Assert.Equal([1.0, 5.0], group.Series.Single(series => series.Id == "a").Chart.Values);
        Assert.DoesNotContain(group.Series, series => series.Id == "b");
    }

    [Fact]
    public void Days_bound_what_is_taken()
    {
        TrendGroup group = Of(new(Since: At.AddHours(1), Until: At.AddHours(3)), [.. Enumerable.Range(0, 6).Select(n => Coat(n, n))])[0];

        Assert.Equal([1.0, 2.0], group.Series[0].Chart.Values);
        Assert.Empty(Of(new(Standard: "nobody's"), Coat(0, 0)));
        Assert.Empty(Of(new()));
    }

    [Fact]
    public void A_creeping_step_is_out_and_a_steady_one_is_not_and_what_was_once_out_is_not_told_as_now()
    {
        Random random = new(20261125);
        double[] noise = [.. Enumerable.Range(0, 120).Select(_ => (random.NextDouble() + random.NextDouble() - 1) * 100)];
        double Noise(int n) => noise[n];
        TrendSeries steady = Of(new(), [.. Enumerable.Range(0, 120).Select(n => Coat(n, Noise(n)))])[0].Series[0];
        TrendSeries creeping = Of(new(), [.. Enumerable.Range(0, 120).Select(n => Coat(n, Noise(n) + (n < 90 ? 0 : 12.0 * (n - 89))))])[0].Series[0];
        TrendSeries once = Of(new(), [.. Enumerable.Range(0, 120).Select(n => Coat(n, n == 60 ? 900 : Noise(n)))])[0].Series[0];

        Assert.False(steady.IsOut);
        Assert.True(creeping.IsOut);
        Assert.True(creeping.Ewma!.IsOut);
        Assert.Contains(once.Chart.Signals, signal => signal is { Rule: RunRule.BeyondLimits, Last: 60, Side: 1 });
        Assert.DoesNotContain(once.Now, signal => signal.Rule == RunRule.BeyondLimits);
    }

    [Fact]
    public void A_mean_off_its_nominal_is_told_when_it_is_beyond_three_standard_errors()
    {
        double[] around = [.. Enumerable.Range(0, 100).Select(n => n % 2 == 0 ? 56.4 : -56.4)];   // moving range 112.8: one standard deviation is 100, three standard errors of 100 are 30
        double? Offset(double mean) => Of(new(), [.. around.Select((value, n) => Coat(n, value + mean))])[0].Series[0].Offset;

        Assert.Null(Offset(29));
        Assert.Equal(31, Offset(31)!.Value, 1e-9);
        Assert.Equal(-31, Offset(-31)!.Value, 1e-9);
    }

    private static TrendCoat Coat(int hours, double deviation) => new(
        $"s-{hours}", $"QG-{hours}", "Lock Keepers", "1", "sha", At.AddHours(hours), At.AddHours(hours).AddMinutes(-10), true, 0, "AB", [new(TrendOf.Step, "a", "rack", deviation, true, true, "AB")]);

    private static IReadOnlyList<TrendGroup> Of(TrendFilter filter, params TrendCoat[] coats)
    {
        Trend trend = new(filter);
        foreach (TrendCoat coat in coats)
        {
            trend.Add(coat);
        }

        return trend.Groups();
    }
}
