using CaliperStation.Core.Standards;
using MathNet.Numerics.LinearAlgebra;

namespace CaliperStation.Core.Correcting;

/// <summary>Fits every item's displacement to all readings at once, and finds which readings do not fit the rest.</summary>
internal static class PoseFit
{
    /// <summary>
    /// A standardised residual beyond this is an outlier: one reading in a thousand by chance (two-sided normal; the usual
    /// choice in testing geodetic observations one by one after Baarda 1968, from memory).
    /// </summary>
    internal const double OutlierBeyond = 3.29;

    private const int MaxOutliers = 3;   // beyond that the coat is to be measured again rather than argued with

    private static readonly string[] Directions = ["right", "up", "turn"];

    /// <summary>The fit of a model; null when no reading says anything.</summary>
    internal static LeastSquares? Of(LinearModel model) => model.Design is null ? null : LeastSquares.Fit(model.Design, model.Observed!, model.Uncertainties!);

    /// <summary>Each item that has any reading, in the order of work.</summary>
    internal static IReadOnlyList<ItemPose> Poses(LinearModel model, LeastSquares? fit) =>
        [.. model.Items.Select((item, k) => Pose(model.Plan.Items[item], 3 * k, fit))];

    /// <summary>
    /// Steps whose reading does not fit the rest. The worst is taken out and the rest fitted again, so that one bad reading
    /// does not drag good ones with it; where the readings cannot tell which of several is bad, all of these are named.
    /// </summary>
    internal static IReadOnlyList<string> Outliers(LinearModel model, LeastSquares? fit)
    {
        List<int> rows = [.. Enumerable.Range(0, model.Steps.Count)];
        List<int> outliers = [];
        for (int round = 0; round < MaxOutliers && rows.Count > 0; round++)
        {
            double[] standardised = (round == 0 ? fit! : Rows(model, rows)).Standardised;
            double worst = standardised.Where(double.IsFinite).Select(Math.Abs).DefaultIfEmpty(0).Max();
            if (worst <= OutlierBeyond)
            {
                break;
            }

            List<int> bad = [.. rows.Where((_, k) => Math.Abs(standardised[k]) > 0.999 * worst)];
            outliers.AddRange(bad);
            rows.RemoveAll(bad.Contains);
        }

        return [.. outliers.Select(row => model.Steps[row]).Order().Select(step => model.Plan.Steps[step].Id)];
    }

    private static LeastSquares Rows(LinearModel model, List<int> rows) => LeastSquares.Fit(
        Matrix<double>.Build.DenseOfRows(rows.Select(row => model.Design!.Row(row))),
        Vector<double>.Build.Dense(rows.Count, k => model.Observed![rows[k]]),
        Vector<double>.Build.Dense(rows.Count, k => model.Uncertainties![rows[k]]));

    private static ItemPose Pose(Item item, int column, LeastSquares? fit)
    {
        double[] unit = [1, 1, 1 / LinearModel.TurnScale(item)];   // the third unknown is a turn as a length
        bool Seen(int axis) => fit is not null && fit.Seen[column + axis];
        double Value(int axis) => Seen(axis) ? fit!.Solution[column + axis] * unit[axis] : 0;
        double[] covariance = new double[9];
        for (int i = 0; i < 9; i++)
        {
            (int row, int col) = (i / 3, i % 3);
            covariance[i] = Seen(row) && Seen(col) ? fit!.Covariance[column + row, column + col] * unit[row] * unit[col] : 0;
        }

        return new ItemPose(item.Id, Value(0), Value(1), Value(2) * 1000, covariance, [.. Directions.Where((_, axis) => !Seen(axis))]);
    }
}
