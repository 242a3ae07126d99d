using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Factorization;

namespace CaliperStation.Core.Correcting;

/// <summary>Weighted linear least squares by singular value decomposition, so that what the readings do not determine is known.</summary>
/// <param name="Solution">The unknowns; the shortest of all solutions where several fit alike.</param>
/// <param name="Covariance">Their covariance from the stated uncertainties, over the directions that are seen.</param>
/// <param name="Residuals">Observed minus fitted, in the unit of the observations.</param>
/// <param name="Standardised">Each residual over its own standard deviation; NaN where nothing checks the observation.</param>
/// <param name="Seen">For each unknown, whether the observations determine it by itself.</param>
/// <param name="Rank">Number of directions that are seen.</param>
internal sealed record LeastSquares(
    Vector<double> Solution,
    Matrix<double> Covariance,
    Vector<double> Residuals,
    double[] Standardised,
    bool[] Seen,
    int Rank)
{
    /// <summary>Singular values below this share of the largest are noise of the arithmetic.</summary>
    private const double RankTolerance = 1e-10;

    /// <summary>An unknown with more than this share, squared, outside the seen directions is not determined.</summary>
    private const double UnseenShare = 1e-12;

    /// <summary>Below this redundancy a residual says nothing of its own observation.</summary>
    private const double MinRedundancy = 0.01;

    /// <summary>A coat's matrix is small: spreading it over threads costs more than it saves, and Core has no threads.</summary>
    static LeastSquares() => MathNet.Numerics.Control.UseSingleThread();

    /// <summary>Fits <paramref name="design"/> × unknowns to the observations.</summary>
    /// <param name="design">One row for each observation, one column for each unknown; at least one of each.</param>
    /// <param name="observed">The observations.</param>
    /// <param name="uncertainties">Their standard uncertainties, positive, same unit.</param>
    internal static LeastSquares Fit(Matrix<double> design, Vector<double> observed, Vector<double> uncertainties)
    {
        Vector<double> weights = uncertainties.Map(u => 1 / u);
        Matrix<double> weighted = Matrix<double>.Build.Dense(design.RowCount, design.ColumnCount, (row, column) => design[row, column] * weights[row]);
        Vector<double> target = observed.PointwiseMultiply(weights);
        Svd<double> svd = weighted.Svd(computeVectors: true);
        int rank = svd.S.Count(value => value > svd.S[0] * RankTolerance);

        Matrix<double> left = svd.U.SubMatrix(0, design.RowCount, 0, Math.Max(rank, 1));
        Matrix<double> right = svd.VT.SubMatrix(0, Math.Max(rank, 1), 0, design.ColumnCount).Transpose();
        Vector<double> inverse = Vector<double>.Build.Dense(Math.Max(rank, 1), k => rank == 0 ? 0 : 1 / svd.S[k]);
        Vector<double> solution = right * left.TransposeThisAndMultiply(target).PointwiseMultiply(inverse);
        Matrix<double> spread = right * Matrix<double>.Build.DenseOfDiagonalVector(inverse);
        Vector<double> residuals = target - (weighted * solution);

        double[] standardised = new double[design.RowCount];
        for (int row = 0; row < standardised.Length; row++)
        {
            double redundancy = 1 - left.Row(row).DotProduct(left.Row(row));
            standardised[row] = redundancy > MinRedundancy ? residuals[row] / Math.Sqrt(redundancy) : double.NaN;
        }

        bool[] seen = new bool[design.ColumnCount];
        for (int column = 0; column < seen.Length; column++)
        {
            double outside = 0;
            for (int k = rank; k < design.ColumnCount; k++)
            {
                outside += svd.VT[k, column] * svd.VT[k, column];
            }

            seen[column] = outside < UnseenShare;
        }

        return new LeastSquares(solution, spread.TransposeAndMultiply(spread), residuals.PointwiseMultiply(uncertainties), standardised, seen, rank);
    }
}
