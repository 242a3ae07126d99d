using System.Globalization;
using CaliperStation.Core.Judging;

namespace CaliperStation.Core.Tests.Judging;

public sealed class QuantilesTests
{
    /// <summary>
    /// JCGM 100:2008, Table G.2 (row U22 of worked_examples.csv), all 168 factors. With the levels as the column heads print them two differ: 1 degree of
    /// freedom at 99.73 % is printed 235.80 and computes to 235.7837; 35 at 90 % is printed 1.70 and computes to 1.6896. The first is a matter of the head: the
    /// levels stand for one, two and three standard deviations (note a of the table), and for exactly three 235.80 is right. The second is a misprint.
    /// </summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void The_table_of_t_factors_of_the_guide_is_met_but_for_two(bool isHeadExact)
    {
        List<(string Degrees, string Column, double Value)> differ = [];
        foreach (PublishedRow row in PublishedRows.Of("gum_table_g2_t_factors.csv"))
        {
            double degrees = row["df"] == "inf" ? double.PositiveInfinity : row.Number("df")!.Value;
            foreach (string column in (string[])["t_p68.27", "t_p90", "t_p95", "t_p95.45", "t_p99", "t_p99.73"])
            {
                double level = isHeadExact ? Level(column) : double.Parse(column[3..], CultureInfo.InvariantCulture) / 100;
                double t = Quantiles.StudentT((1 + level) / 2, degrees);
                string printed = row[column];
                int decimals = printed.Length - printed.IndexOf('.', StringComparison.Ordinal) - 1;
                if (Math.Abs(t - row.Number(column)!.Value) > 0.5001 * Math.Pow(10, -decimals))
                {
                    differ.Add((row["df"], column, Math.Round(t, 4)));
                }
            }
        }

        Assert.Equal(isHeadExact ? [("35", "t_p90", 1.6896)] : [("1", "t_p99.73", 235.7837), ("35", "t_p90", 1.6896)], differ);
    }

    private static double Level(string column) => column switch
    {
        "t_p68.27" => Sigmas(1),
        "t_p95.45" => Sigmas(2),
        "t_p99.73" => Sigmas(3),
        _ => double.Parse(column[3..], CultureInfo.InvariantCulture) / 100,
    };

    private static double Sigmas(double k) => (2 * Quantiles.StudentTProbability(k, double.PositiveInfinity)) - 1;

    /// <summary>With one degree of freedom t is tan(π(p − ½)); with two (2p − 1)·√(2/(1 − (2p − 1)²)): closed forms of the distribution.</summary>
    [Theory]
    [InlineData(0.75)]
    [InlineData(0.95)]
    [InlineData(0.9999)]
    [InlineData(0.05)]
    public void One_and_two_degrees_of_freedom_have_closed_forms(double probability)
    {
        double twice = (2 * probability) - 1;
        double one = Math.Tan(Math.PI * (probability - 0.5));
        double two = twice * Math.Sqrt(2 / (1 - (twice * twice)));

        Assert.Equal(one, Quantiles.StudentT(probability, 1), 1e-9 * Math.Abs(one));
        Assert.Equal(two, Quantiles.StudentT(probability, 2), 1e-9 * Math.Abs(two));
        Assert.Equal(probability, Quantiles.StudentTProbability(two, 2), 1e-12);
    }

    /// <summary>χ² with two degrees of freedom is −2·ln(1 − p), and F with upper one and lower ν is t² of (1 + p)/2: closed forms.</summary>
    [Theory]
    [InlineData(0.01)]
    [InlineData(0.025)]
    [InlineData(0.975)]
    [InlineData(0.9999)]
    public void Chi_square_and_F_agree_with_their_closed_forms(double probability)
    {
        double chi = -2 * Math.Log(1 - probability);
        double t = Quantiles.StudentT((1 + probability) / 2, 5);

        Assert.Equal(chi, Quantiles.ChiSquared(probability, 2), 1e-9 * chi);
        Assert.Equal(t * t, Quantiles.F(probability, 1, 5), 1e-9 * t * t);
    }

    [Fact]
    public void What_is_no_probability_or_no_degree_of_freedom_is_misuse()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Quantiles.StudentT(1, 3));
        Assert.Throws<ArgumentOutOfRangeException>(() => Quantiles.StudentT(0.9, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Quantiles.ChiSquared(0, 3));
        Assert.Throws<ArgumentOutOfRangeException>(() => Quantiles.F(0.5, 1, double.NaN));
    }
}
