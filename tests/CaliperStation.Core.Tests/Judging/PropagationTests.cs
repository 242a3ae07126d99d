using CaliperStation.Core.Judging;

namespace CaliperStation.Core.Tests.Judging;

/// <summary>The law of propagation against the examples of JCGM 100:2008; rows and addresses in TestData.</summary>
public sealed class PropagationTests
{
    /// <summary>JCGM 100:2008, 5.2.2: ten resistors calibrated with one standard, fully correlated, and wrongly not.</summary>
    [Fact]
    public void Ten_resistors_in_series_add_up_when_they_share_their_standard()
    {
        PublishedRow row = PublishedRows.Example("U11");
        double[] gradient = [.. Enumerable.Repeat(1.0, 10)];
        double[] ohm = [.. Enumerable.Repeat(0.1, 10)];
        row.Agrees("result", "uc", Propagation.Combine(gradient, ohm, (_, _) => 1));
        row.Agrees("recomputed", "rss", Propagation.Combine(gradient, ohm));
    }

    /// <summary>JCGM 100:2008, F.1.2.3: two resistors compared with one standard; their correlation, from the three independent inputs.</summary>
    [Theory]
    [InlineData("r1", 100e-6)]
    [InlineData("r2", 10e-6)]
    [InlineData("r3", 1e-6)]
    public void A_shared_standard_gives_the_published_correlation(string name, double comparison)
    {
        const double standard = 1e-4;   // relative uncertainty of the shared standard
        double[] each = [1, 1, 0];
        double[] other = [1, 0, 1];
        double[] inputs = [standard, comparison, comparison];
        PublishedRows.Example("U12").Agrees("recomputed", name, Correlation(each, other, inputs, (_, _) => 0));

        double one = Propagation.Combine(each, inputs);
        double r = PublishedRows.Example("U12").Number("recomputed", name);
        Assert.Equal(Propagation.Combine([0, 1, -1], inputs), Propagation.Combine([1, -1], [one, one], (_, _) => r), 1e-9);
    }

    /// <summary>JCGM 100:2008, H.2, Table H.3: resistance, reactance and impedance from correlated readings.</summary>
    [Fact]
    public void The_impedance_example_comes_out_with_its_correlations()
    {
        Impedance example = Impedance.Read();
        PublishedRow row = PublishedRows.Example("U30");
        row.Agrees("recomputed", "R", example.Values[0]);
        row.Agrees("recomputed", "X", example.Values[1]);
        row.Agrees("recomputed", "Z", example.Values[2]);
        row.Agrees("recomputed", "uR", Propagation.Combine(example.R, example.U, example.Correlations));
        row.Agrees("recomputed", "uX", Propagation.Combine(example.X, example.U, example.Correlations));
        row.Agrees("recomputed", "uZ", Propagation.Combine(example.Z, example.U, example.Correlations));
        row.Agrees("recomputed", "rRX", Correlation(example.R, example.X, example.U, example.Correlations));
        row.Agrees("recomputed", "rRZ", Correlation(example.R, example.Z, example.U, example.Correlations));
        row.Agrees("recomputed", "rXZ", Correlation(example.X, example.Z, example.U, example.Correlations));
        row.Agrees("result", "r(R,X)", Correlation(example.R, example.X, example.U, example.Correlations));
        row.Agrees("result", "r(R,Z)", Correlation(example.R, example.Z, example.U, example.Correlations));
        row.Agrees("result", "r(X,Z)", Correlation(example.X, example.Z, example.U, example.Correlations));
    }

    /// <summary>JCGM 100:2008, H.2, Table H.4: the same with the correlations left out.</summary>
    [Fact]
    public void The_impedance_example_comes_out_without_its_correlations()
    {
        Impedance example = Impedance.Read();
        PublishedRow row = PublishedRows.Example("U31");
        row.Agrees("result", "uR", Propagation.Combine(example.R, example.U));
        row.Agrees("result", "uX", Propagation.Combine(example.X, example.U));
        row.Agrees("result", "uZ", Propagation.Combine(example.Z, example.U));
        row.Agrees("recomputed", "rRX", Correlation(example.R, example.X, example.U, (_, _) => 0));
        row.Agrees("recomputed", "rRZ", Correlation(example.R, example.Z, example.U, (_, _) => 0));
        row.Agrees("recomputed", "rXZ", Correlation(example.X, example.Z, example.U, (_, _) => 0));
    }

    /// <summary>JCGM 100:2008, H.3.4: the correction of a thermometer at 30 °C, ten degrees from the reference.</summary>
    [Fact]
    public void A_correlated_line_gives_the_published_uncertainty_at_a_distance()
    {
        PublishedRow row = PublishedRows.Example("U32");
        double u = Propagation.Combine([1, 10], [row.Number("recomputed", "u1"), row.Number("recomputed", "u2")], (_, _) => row.Number("recomputed", "r"));
        row.Agrees("recomputed", "u30", u);
    }

    /// <summary>JCGM 100:2008, H.1.3.2 and H.1.4: the end gauge, in nanometres.</summary>
    [Fact]
    public void The_end_gauge_combines_as_published()
    {
        PublishedRow difference = PublishedRows.Example("U26");
        double pooled = 13 / Math.Sqrt(5), comparator = 10 / 2.57, systematic = 20 / 3.0;   // the row's inputs, in nanometres
        difference.AgreesWithList("", pooled, comparator, systematic);
        difference.Agrees("recomputed", "u1", pooled);
        difference.Agrees("recomputed", "u2", comparator);
        difference.Agrees("recomputed", "u3", systematic);
        difference.Agrees("recomputed", "u(d)", Propagation.Combine([1, 1, 1], [5.8, 3.9, 6.7]));
        PublishedRows.Example("U28").Agrees("recomputed", "uc", Propagation.Combine([1, 1, 1, 1], [25, 9.7, 2.9, 16.6]));
    }

    /// <summary>JCGM 100:2008, H.1.3.3 to H.1.3.6: rectangular inputs through their sensitivities, a 50 mm gauge.</summary>
    [Fact]
    public void The_end_gauge_carries_its_rectangular_inputs_through()
    {
        PublishedRow row = PublishedRows.Example("U27");
        row.Agrees("recomputed", "u_alpha", Budget.Rectangular(2e-6));
        row.Agrees("recomputed", "u_dalpha", Budget.Rectangular(1e-6));
        row.Agrees("recomputed", "u_dtheta", Budget.Rectangular(0.05));
        row.Agrees("recomputed", "c_dalpha_nm", Propagation.Combine([50e6 * 0.1], [Budget.Rectangular(1e-6)]));
        row.Agrees("recomputed", "c_dtheta_nm", Propagation.Combine([50e6 * 11.5e-6], [Budget.Rectangular(0.05)]));
    }

    [Fact]
    public void Inputs_that_cancel_leave_nothing() =>
        Assert.Equal(0, Propagation.Combine([1, -1], [0.1, 0.1], (_, _) => 1), 1e-12);

    [Fact]
    public void Lists_of_different_length_are_misuse() =>
        Assert.Throws<ArgumentException>(() => Propagation.Combine([1], [1, 2]));

    /// <summary>From u²(a + b) = u²(a) + u²(b) + 2·u(a, b): the correlation of two outputs of the same inputs.</summary>
    private static double Correlation(double[] a, double[] b, double[] u, Func<int, int, double> inputs)
    {
        double both = Propagation.Combine([.. a.Zip(b, (x, y) => x + y)], u, inputs);
        double first = Propagation.Combine(a, u, inputs);
        double second = Propagation.Combine(b, u, inputs);
        return ((both * both) - (first * first) - (second * second)) / (2 * first * second);
    }

    /// <summary>The five sets of Table H.2 with their means, uncertainties and correlations (JCGM 100:2008, 4.2, 5.2.3).</summary>
    private sealed record Impedance(double[] Values, double[] R, double[] X, double[] Z, double[] U, Func<int, int, double> Correlations)
    {
        internal static Impedance Read()
        {
            List<PublishedRow> rows = [.. PublishedRows.Of("gum_h2_impedance.csv")];
            double[][] columns = [
                [.. rows.Select(row => row.Number("volt")!.Value)],
                [.. rows.Select(row => row.Number("milliampere")!.Value / 1000)],
                [.. rows.Select(row => row.Number("radian")!.Value)]];
            double[] mean = [.. columns.Select(column => column.Average())];
            double Covariance(int i, int j) => columns[i].Zip(columns[j], (x, y) => (x - mean[i]) * (y - mean[j])).Sum() / (rows.Count * (rows.Count - 1));
            double[] u = [Math.Sqrt(Covariance(0, 0)), Math.Sqrt(Covariance(1, 1)), Math.Sqrt(Covariance(2, 2))];
            (double v, double i, double sin, double cos) = (mean[0], mean[1], Math.Sin(mean[2]), Math.Cos(mean[2]));
            return new Impedance(
                [v / i * cos, v / i * sin, v / i],
                [cos / i, -v * cos / (i * i), -v / i * sin],
                [sin / i, -v * sin / (i * i), v / i * cos],
                [1 / i, -v / (i * i), 0],
                u,
                (a, b) => Covariance(a, b) / (u[a] * u[b]));
        }
    }
}
