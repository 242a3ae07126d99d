using System.Globalization;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Tests.Records;

public sealed class AgreementTests
{
    /// <summary>
    /// NIST Dataplot Reference Manual, volume 2, "ISO 13528 EN SCORE",
    /// https://www.itl.nist.gov/div898/software/dataplot/refman2/auxillar/enscore.htm: gear diameters against 1.000, their U twice the
    /// standard deviation of the batch, that of the reference twice that of all; printed to three places, signed. The printed
    /// page shows the first rows of batch 1.
    /// </summary>
    [Fact]
    public void En_is_what_the_published_example_prints()
    {
        double[][] batches =
        [
            .. File.ReadLines(Path.Combine(AppContext.BaseDirectory, "TestData", "Records", "gear-diameters.csv"))
                .Where(line => !line.StartsWith('#'))
                .Select(line => line.Split(',').Select(cell => double.Parse(cell, CultureInfo.InvariantCulture)).ToArray()),
        ];
        double reference = Deviation([.. batches.SelectMany(batch => batch)]);
        double laboratory = Deviation(batches[0]);
        Assert.Equal(100, batches.Sum(batch => batch.Length));

        double[] published = [0.393, -0.262, -0.131, 0.000];
        for (int i = 0; i < published.Length; i++)
        {
            Assert.Equal(Math.Abs(published[i]), Agreement.En(batches[0][i], laboratory, 1, reference), 0.0005);
        }
    }

    /// <summary>Worked by hand: U = 2u (JCGM 100:2008, 6.2.1 with k = 2) gives 3 and 4, the root of their squares is 5.</summary>
    [Theory]
    [InlineData(105, 1.0, true)]
    [InlineData(95, 1.0, true)]
    [InlineData(105.5, 1.1, false)]
    [InlineData(102.5, 0.5, true)]
    [InlineData(100, 0, true)]
    public void Two_values_agree_up_to_and_with_En_of_one(double second, double en, bool agrees)
    {
        double found = Agreement.En(100, 1.5, second, 2);
        Assert.Equal(en, found, 1e-12);
        Assert.Equal(agrees, Agreement.Holds(found));
    }

    /// <summary>Worked by hand: means 3.000 and 3.300 mm, u = 0.1 mm each: En = 0.3/√(0.2² + 0.2²) = 1.0607.</summary>
    [Fact]
    public void Steps_are_compared_by_their_exact_means()
    {
        Measured first = new(ExactLength.Mean([Length.FromMicrometres(2_900), Length.FromMicrometres(3_100)]), 100_000);
        Measured second = new(ExactLength.From(Length.FromMicrometres(3_300)), 100_000);

        RecordComparison comparison = Agreement.Compare(new ChosenStep("rack-left", "carries"), first, second);

        Assert.Equal(1.0607, comparison.En, 0.00005);
        Assert.False(comparison.Agrees);
        Assert.Equal((3_000_000, 3_300_000), (comparison.FirstNanometres, comparison.SecondNanometres));
    }

    [Fact]
    public void Uncertainties_below_zero_or_both_zero_are_misuse()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Agreement.En(1, -1, 2, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Agreement.En(1, 1, 2, -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Agreement.En(1, 0, 2, 0));
    }

    private static double Deviation(double[] values)
    {
        double mean = values.Average();
        return Math.Sqrt(values.Sum(value => (value - mean) * (value - mean)) / (values.Length - 1));
    }
}
