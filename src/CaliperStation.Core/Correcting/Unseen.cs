namespace CaliperStation.Core.Correcting;

/// <summary>Takes out of the constraints what no reading of an item itself sees, so that no move can gain anything by it.</summary>
/// <remarks>
/// What sees an item are the constraints in which it is the upper one. Where they tell a shift along one line only, a shift across
/// it is left out of every constraint; where a turn shows no otherwise than a shift does (two side gaps read at the same height), the
/// turn is. With its factors at 0 a direction costs nothing and brings nothing, and the shortest move leaves it at rest.
/// </remarks>
internal static class Unseen
{
    /// <summary>A turn or a second line with less than this share, squared, of its own is taken for unseen: it would be all noise.</summary>
    private const double MinShare = 0.01;

    /// <summary>The same constraints, with factors of 0 for what is unseen.</summary>
    internal static IReadOnlyList<Constraint> LeftOut(IReadOnlyList<Constraint> constraints)
    {
        Dictionary<int, (double Right, double Up, bool Across, bool Turn)> seen = constraints.Where(constraint => constraint.Owner >= 0)
            .SelectMany(constraint => constraint.Items).Distinct()
            .ToDictionary(item => item, item => Seen(item, constraints));
        return [.. constraints.Select(constraint => constraint with { Factors = Left(constraint, seen) })];
    }

    private static double[] Left(Constraint constraint, Dictionary<int, (double Right, double Up, bool Across, bool Turn)> seen)
    {
        double[] factors = new double[constraint.Factors.Length];
        for (int k = 0; k < factors.Length; k++)
        {
            int item = constraint.Columns[k] / 3;
            (double right, double up, bool across, bool turn) = seen[item];
            (double alongRight, double alongUp, _) = constraint.Of(item);
            double along = (alongRight * right) + (alongUp * up);
            factors[k] = (constraint.Columns[k] % 3) switch
            {
                0 => across ? constraint.Factors[k] : along * right,
                1 => across ? constraint.Factors[k] : along * up,
                _ => turn ? constraint.Factors[k] : 0,
            };
        }

        return factors;
    }

    /// <summary>The line along which a shift shows best, whether one across it shows too, and whether a turn shows by itself.</summary>
    private static (double Right, double Up, bool Across, bool Turn) Seen(int item, IReadOnlyList<Constraint> constraints)
    {
        (double rr, double ru, double uu, double rt, double ut, double tt) = (0, 0, 0, 0, 0, 0);
        foreach (Constraint constraint in constraints.Where(constraint => constraint.Owner == item))
        {
            (double right, double up, double turn) = constraint.Of(item);
            (rr, ru, uu) = (rr + (right * right), ru + (right * up), uu + (up * up));
            (rt, ut, tt) = (rt + (right * turn), ut + (up * turn), tt + (turn * turn));
        }

        double half = Math.Sqrt((((rr - uu) / 2) * ((rr - uu) / 2)) + (ru * ru));   // the two eigenvalues of a symmetric 2 × 2 matrix
        (double most, double least) = (((rr + uu) / 2) + half, ((rr + uu) / 2) - half);
        double angle = Math.Atan2(2 * ru, rr - uu) / 2;
        (double x, double y) = most > 0 ? (Math.Cos(angle), Math.Sin(angle)) : (0, 0);
        (x, y) = (Math.Abs(x) < 1e-9 ? 0 : x, Math.Abs(y) < 1e-9 ? 0 : y);
        bool across = most > 0 && least > MinShare * most;
        (double along, double beside) = ((rt * x) + (ut * y), (ut * x) - (rt * y));
        double ownTurn = tt - (most > 0 ? along * along / most : 0) - (across ? beside * beside / least : 0);
        return (x, y, across, tt > 0 && ownTurn > MinShare * tt);
    }
}
