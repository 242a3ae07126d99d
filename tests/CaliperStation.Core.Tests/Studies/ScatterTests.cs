using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Judging;

namespace CaliperStation.Core.Tests.Studies;

/// <summary>
/// Certified values of the NIST Statistical Reference Datasets, univariate (https://www.itl.nist.gov/div898/strd/univ/homepage.html). Their third value, the
/// autocorrelation, is nothing this program computes; the readings of PiDigits are not at hand.
/// </summary>
public sealed class ScatterTests
{
    [Theory]
    [InlineData("Michelso", 2)]
    [InlineData("Mavro", 5)]
    [InlineData("NumAcc1", 0)]
    [InlineData("NumAcc2", 1)]
    [InlineData("NumAcc3", 1)]
    [InlineData("NumAcc4", 1)]
    [InlineData("Lottery", 0)]
    [InlineData("Lew", 0)]
    public void A_certified_set_is_met_in_all_its_digits(string set, int decimals)
    {
        PublishedRow certified = PublishedStudy.Rows("strd_certified_univariate.csv").Single(row => row["dataset"] == set);
        Length[] readings = [.. PublishedStudy.Rows(certified["file"]).Select(row => PublishedStudy.Whole(row["y"], decimals))];

        Scatter scatter = Scatter.Of(readings);

        Assert.Equal(certified.Number("n"), scatter.Count);
        double scale = Math.Pow(10, decimals);
        Close(certified.Number("certified_mean")!.Value, scatter.Mean / scale);
        Close(certified.Number("certified_sd_n_minus_1")!.Value, scatter.StandardDeviation!.Value / scale);
    }

    [Fact]
    public void No_reading_and_one_have_no_deviation()
    {
        Assert.Null(Scatter.Of([]).StandardDeviation);
        Assert.Null(Scatter.Of([Length.Inch]).StandardDeviation);
        Assert.Equal(25_400_000, Scatter.Of([Length.Inch]).Mean);
    }

    [Fact]
    public void The_largest_study_there_may_be_still_fits()
    {
        Length[] readings = [.. Enumerable.Range(0, Scatter.Most).Select(i => i % 2 == 0 ? Length.Zero : Scatter.Widest)];

        Assert.Equal(5e9, Scatter.Of(readings).StandardDeviation!.Value, 1e5);
        Assert.Throws<ArgumentException>(() => Scatter.Of([Length.Zero, Scatter.Widest + Length.FromNanometres(1)]));
    }

    /// <summary>Fifteen digits are certified; 14.5 of them are asked for, for the last one is rounded.</summary>
    private static void Close(double certified, double value) => Assert.InRange(Math.Abs(value - certified) / Math.Abs(certified), 0, 3e-15);
}
