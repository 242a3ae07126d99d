using System.Globalization;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Judging;
using CsCheck;

namespace CaliperStation.Core.Tests.Studies;

/// <summary>
/// NIST/SEMATECH e-Handbook of Statistical Methods: 6.3.2.2 individuals chart (www.itl.nist.gov/div898/handbook/pmc/section3/pmc322.htm), 6.3.2.4 EWMA chart (…/pmc324.htm), 6.3.2 run rules
/// (…/pmc32.htm, from memory). The figures are in TestData/Studies: control_chart_examples.csv says where each was seen. Factors: a public copy of the table of factors for control charts
/// (www.scribd.com/document/575462347/factors-for-control-charts).
/// </summary>
public sealed class ControlChartTests
{
    [Fact]
    public void The_flow_rates_of_the_handbook_have_its_mean_range_and_limits()
    {
        double[] rates = [.. PublishedRows.Of("handbook_flowrate_individuals.csv", "Studies").Select(row => row.Number("flowrate")!.Value)];

        ControlChart chart = ControlChart.Of(rates);

        PublishedRows.Of("control_chart_examples.csv", "Studies").Single(row => row["id"] == "S02").Agrees("recomputed", "mean", chart.Limits!.Centre);
        PublishedRow.Agrees("50.81", chart.Limits.Centre);      // the digits of the page itself, row S02
        PublishedRow.Agrees("1.8778", chart.MeanMovingRange);
        PublishedRow.Agrees("55.8041", chart.Limits.Upper);
        PublishedRow.Agrees("45.8159", chart.Limits.Lower);
        Assert.DoesNotContain(chart.Signals, signal => signal.Rule == RunRule.BeyondLimits);   // the page calls this process in control (from memory)
        Assert.True(chart.IsProvisional);
    }

    [Fact]
    public void The_EWMA_example_of_the_handbook_has_its_averages_and_limits()
    {
        List<PublishedRow> rows = [.. PublishedRows.Of("handbook_ewma.csv", "Studies")];
        double[] values = [.. rows.Skip(1).Select(row => row.Number("value")!.Value)];

        EwmaChart chart = EwmaChart.Of(values, target: 50, sigma: 2.0539, weight: 0.3);

        foreach ((PublishedRow row, double average) in rows.Skip(1).Zip(chart.Averages))
        {
            PublishedRow.Agrees(row["published_ewma"], average);
        }

        PublishedRow.Agrees("52.5884", chart.Limits.Upper);
        Assert.Equal("47.4115", (Math.Floor(chart.Limits.Lower * 1e4) / 1e4).ToString("F4", CultureInfo.InvariantCulture));   // 47.41157 is printed cut off, row S03
        Assert.False(chart.IsOut);   // every published average lies within the published limits
    }

    [Fact]
    public void Limits_are_reckoned_with_the_published_factors_of_two()
    {
        PublishedRow two = PublishedRows.Of("control_chart_factors.csv", "Studies").First();
        ControlChart chart = ControlChart.Of([.. Enumerable.Range(0, 20).Select(n => n % 2 * 1.0)]);   // every moving range is 1

        Assert.Equal(two.Number("d2")!.Value, 1 / chart.Sigma, 1e-12);
        Assert.Equal(two.Number("D4")!.Value, chart.RangeLimits!.Upper, 1e-12);
        Assert.Equal(two.Number("D3")!.Value, chart.RangeLimits.Lower);
        Assert.Equal(3 / two.Number("d2")!.Value, chart.Limits!.Upper - chart.Limits.Centre, 1e-12);
    }

    [Theory]
    [InlineData(0, NoLimits.NoValue)]
    [InlineData(1, NoLimits.TooFew)]
    [InlineData(9, NoLimits.TooFew)]
    [InlineData(10, NoLimits.AllEqual)]
    [InlineData(500, NoLimits.AllEqual)]
    public void Equal_or_few_values_have_no_limits_and_no_signal(int count, NoLimits why)
    {
        ControlChart chart = ControlChart.Of([.. Enumerable.Repeat(3.25, count)]);

        Assert.Equal((why, (ControlLimits?)null, 0.0), (chart.Why!.Value, chart.Limits, chart.Sigma));
        Assert.Empty(chart.Signals);
    }

    [Fact]
    public void Values_too_large_to_reckon_with_are_told_and_those_that_are_none_refused()
    {
        Assert.Equal(NoLimits.TooLarge, ControlChart.Of([.. Enumerable.Range(0, 12).Select(n => n % 2 == 0 ? double.MaxValue : -double.MaxValue)]).Why);
        Assert.Throws<ArgumentException>(() => ControlChart.Of([1, double.NaN]));
        Assert.Throws<ArgumentOutOfRangeException>(() => EwmaChart.Of([1], 0, 0));
    }

    /// <summary>Small scatter (±0.1 in turn, broken so that fourteen never alternate) and then points that break one rule.</summary>
    [Theory]
    [InlineData(RunRule.BeyondLimits, 1, 9.0)]
    [InlineData(RunRule.BeyondLimits, -1, -9.0)]
    [InlineData(RunRule.EightOnOneSide, 1, 0.02, 0.05, 0.02, 0.05, 0.02, 0.05, 0.02, 0.05)]
    [InlineData(RunRule.SixTrending, 1, -0.06, -0.04, -0.02, 0.0, 0.02, 0.04)]
    [InlineData(RunRule.SixTrending, -1, 0.06, 0.04, 0.02, 0.0, -0.02, -0.04)]
    [InlineData(RunRule.FourteenAlternating, 0, 0.01, -0.01, 0.01, -0.01, 0.01, -0.01, 0.01, -0.01, 0.01, -0.01, 0.01, -0.01, 0.01, -0.01)]
    public void Each_rule_finds_what_it_is_for(RunRule rule, int side, params double[] added)
    {
        double[] calm = [.. Enumerable.Range(0, 60).Select(n => (n % 4 < 2 ? 0.1 : -0.1) + (n % 3 * 0.001))];

        ControlChart chart = ControlChart.Of([.. calm, .. added]);

        RunSignal found = chart.Signals.Last(signal => signal.Rule == rule);
        Assert.Equal((chart.Values.Count - 1, side), (found.Last, found.Side));
    }

    [Fact]
    public void Two_of_three_and_four_of_five_look_at_one_side_and_end_with_a_point_beyond()
    {
        // so many points about 0 with a moving range of 1.128 that sigma stays 1, whatever is added
        double[] calm = [.. Enumerable.Range(0, 4000).Select(n => n % 2 == 0 ? 0.564 : -0.564)];
        List<RunSignal> Of(params double[] added) => [.. ControlChart.Of([.. calm, .. added]).Signals.Where(signal => signal.Last >= calm.Length && signal.Rule is RunRule.TwoOfThree or RunRule.FourOfFive)];

        Assert.Equal([RunRule.TwoOfThree], Of(2.2, 0.1, 2.2).Select(signal => signal.Rule));
        Assert.Empty(Of(2.2, 0.1, -2.2));
        Assert.Empty(Of(2.2, 0.1, 0.1, 2.2));
        Assert.Equal([(RunRule.FourOfFive, -1)], Of(-1.2, -1.2, 0.1, -1.2, -1.2).Select(signal => (signal.Rule, signal.Side)));
        Assert.Empty(Of(1.2, 1.2, 1.2, 0.1, 0.1));
    }

    [Fact]
    public void The_rules_mirror_and_do_not_depend_on_unit_or_place() => Gen.Double[-1e3, 1e3].Array[10, 60].Sample(values =>
    {
        ControlChart chart = ControlChart.Of(values);
        if (chart.Limits is null)
        {
            return;
        }

        ControlChart turned = ControlChart.Of([.. values.Select(value => -4 * value)]);   // a power of two is exact
        Assert.Equal(chart.Signals.Select(signal => signal with { Side = -signal.Side }), turned.Signals);
        Assert.Equal(chart.Signals.Count(signal => signal.Rule == RunRule.BeyondLimits), values.Count(value => Math.Abs(value - chart.Limits.Centre) > 3 * chart.Sigma));
    });

    [Fact]
    public void An_EWMA_of_weight_one_is_the_values_and_of_a_constant_that_constant()
    {
        Assert.Equal([3.0, 1.0, 2.0], EwmaChart.Of([3, 1, 2], 0, 1, 1).Averages);
        Assert.All(EwmaChart.Of([5, 5, 5, 5], 5, 1).Averages, average => Assert.Equal(5, average, 12));
        Assert.True(EwmaChart.Of([.. Enumerable.Repeat(2.0, 12)], 0, 1).IsOut);   // a lasting shift of two standard deviations: 1.97 against 1.26
    }
}
