using System.Globalization;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using MathNet.Numerics.LinearAlgebra;

namespace CaliperStation.Core.Tests.Correcting;

public sealed class LeastSquaresTests
{
    /// <summary>
    /// Certified values of the NIST Statistical Reference Datasets, Norris and NoInt1
    /// (https://www.itl.nist.gov/div898/strd/lls/lls.shtml); the unit weights give the deviations up to the residual one.
    /// </summary>
    [Theory]
    [InlineData("strd-norris.csv", true, new[] { -0.262323073774029, 1.00211681802045 }, new[] { 0.232818234301152, 0.000429796848199937 }, 0.884796396144373)]
    [InlineData("strd-noint1.csv", false, new[] { 2.07438016528926 }, new[] { 0.0165289256198347 }, 3.56753034006338)]
    public void A_certified_regression_is_met_to_ten_digits(string file, bool intercept, double[] coefficients, double[] deviations, double residual)
    {
        (double X, double Y)[] points = [.. File.ReadLines(Path.Combine(AppContext.BaseDirectory, "TestData", "Correcting", file))
            .Where(line => !line.StartsWith('#')).Select(line => line.Split(',').Select(text => double.Parse(text, CultureInfo.InvariantCulture)).ToArray())
            .Select(pair => (pair[0], pair[1]))];
        Matrix<double> design = Matrix<double>.Build.Dense(points.Length, coefficients.Length, (row, column) => intercept && column == 0 ? 1 : points[row].X);

        LeastSquares fit = LeastSquares.Fit(design, Vector<double>.Build.Dense(points.Length, row => points[row].Y), Vector<double>.Build.Dense(points.Length, 1));

        double spread = Math.Sqrt(fit.Residuals.DotProduct(fit.Residuals) / (points.Length - coefficients.Length));
        Close(residual, spread);
        Assert.All(fit.Seen, Assert.True);
        for (int k = 0; k < coefficients.Length; k++)
        {
            Close(coefficients[k], fit.Solution[k]);
            Close(deviations[k], spread * Math.Sqrt(fit.Covariance[k, k]));
        }
    }

    [Fact]
    public void Weights_count_by_the_square_of_the_uncertainty()
    {
        LeastSquares fit = LeastSquares.Fit(Matrix<double>.Build.Dense(2, 1, 1), Vector<double>.Build.DenseOfArray([0, 10]), Vector<double>.Build.DenseOfArray([1, 2]));

        Assert.Equal(2, fit.Solution[0], 1e-12);
        Assert.Equal(0.8, fit.Covariance[0, 0], 1e-12);
    }

    [Fact]
    public void What_only_a_sum_is_read_of_is_not_seen_by_itself()
    {
        LeastSquares fit = LeastSquares.Fit(Matrix<double>.Build.DenseOfRowArrays([1, 1, 0], [0, 0, 2]), Vector<double>.Build.DenseOfArray([6, 8]), Vector<double>.Build.Dense(2, 1));

        Assert.Equal([false, false, true], fit.Seen);
        Assert.Equal(2, fit.Rank);
        Assert.Equal(4, fit.Solution[2], 1e-12);
    }

    /// <summary>
    /// S. Umeyama, "Least-squares estimation of transformation parameters between two point patterns", IEEE Transactions on
    /// Pattern Analysis and Machine Intelligence 13(4), 1991, 376–380: the points of its example, {(0,0), (1,0), (0,2)} to
    /// {(0,0), (−1,0), (0,2)}. With the scale held at 1, as things on a coat have it, his closed form gives a turn of
    /// −33.690068° and a shift of (−0.980483562, 0.296866536). The turn is large, so the linear model is applied again to the
    /// points as moved so far until nothing is left to move; each round goes through the same model as a coat's readings.
    /// </summary>
    [Fact]
    public void The_published_rigid_fit_is_met_when_the_linear_fit_is_repeated()
    {
        const double Unit = 1e9;   // one unit of the example as a metre, so that a nanometre is its ninth decimal
        (double X, double Y)[] from = [(0, 0), (1, 0), (0, 2)];
        (double X, double Y)[] to = [(0, 0), (-1, 0), (0, 2)];
        (double angle, double right, double up) = (0, 0, 0);
        for (int round = 0; round < 60; round++)
        {
            (double X, double Y)[] now = [.. from.Select(p => ((Math.Cos(angle) * p.X) - (Math.Sin(angle) * p.Y) + right, (Math.Sin(angle) * p.X) + (Math.Cos(angle) * p.Y) + up))];
            ItemPose pose = FitOnce(now, to, Unit);
            double turn = pose.TurnMilliradians / 1000;
            angle += turn;
            (right, up) = (
                (Math.Cos(turn) * right) - (Math.Sin(turn) * up) + (pose.RightNanometres / Unit),
                (Math.Sin(turn) * right) + (Math.Cos(turn) * up) + (pose.UpNanometres / Unit));
        }

        Assert.Equal(-33.690068, angle * 180 / Math.PI, 1e-6);
        Assert.Equal(-0.980483562, right, 1e-8);
        Assert.Equal(0.296866536, up, 1e-8);
    }

    /// <summary>Each point read sideways and upwards as the distance to where it should be, from the turning point at the origin.</summary>
    private static ItemPose FitOnce((double X, double Y)[] now, (double X, double Y)[] to, double unit)
    {
        Length At(double value) => Length.FromNanometres(value * unit, Rounding.HalfEven);
        List<Step> steps = [];
        List<Relation> relations = [];
        Dictionary<string, Measured> readings = [];
        for (int k = 0; k < now.Length; k++)
        {
            foreach ((string way, double off) in new[] { ("right", to[k].X - now[k].X), ("up", to[k].Y - now[k].Y) })
            {
                string id = $"{way}-{k}";
                steps.Add(new Step(id, "figure", "paper", new PlanePoint(At(now[k].X), At(now[k].Y)), null, Blouse.Way(way), id, null, null, null));
                relations.Add(new Relation(id, RelationKind.Flush, [id], [new Limits(At(-9), At(9), Length.Zero)], null, null, [], [], null, null));
                readings[id] = new Measured(ExactLength.From(At(off)), 1000);
            }
        }

        Standard standard = new Blouse().Item("figure", "paper", 64, 64, Blouse.P(0, 0)).Build() with { Steps = steps, Relations = relations };
        Plan plan = Plan.For(standard, new Dictionary<string, string>());
        return Advise.For(plan, readings, CorrectingSettings.For(standard)).Poses[0];
    }

    private static void Close(double expected, double actual) => Assert.True(Math.Abs(actual - expected) <= 1e-10 * Math.Abs(expected), $"{actual:R} is not {expected:R}");
}
