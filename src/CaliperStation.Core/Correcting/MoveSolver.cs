using MathNet.Numerics.LinearAlgebra;

namespace CaliperStation.Core.Correcting;

/// <summary>
/// Finds moves of a set of items, not rounded, that bring every constraint into its acceptance interval or, where none do,
/// come as near as can be: the least sum of squared excesses, a convex problem solved by Newton steps on the constraints outside.
/// </summary>
/// <remarks>
/// At the least sum the excesses, each times its factors, balance out to nothing; if any is left they prove that no move of
/// these items does it (Farkas' lemma).
/// </remarks>
internal sealed class MoveSolver
{
    /// <summary>Weight of a move against a constraint: keeps unseen directions at rest and decides nothing else.</summary>
    private const double Ridge = 1e-9;

    /// <summary>Share of an interval's half width to stay clear of where no value is aimed at: what lies in the middle half stays within.</summary>
    internal const double Middle = 0.5;

    private readonly IReadOnlyList<Constraint> _constraints;
    private readonly bool[] _canTurn;
    private readonly int[] _slot;
    private readonly int[] _columns;
    private readonly double[] _trial;
    private Matrix<double> _gram = null!;   // Begin makes both again
    private Vector<double> _wanted = null!;
    private int _count;

    /// <summary>As for <see cref="LeastSquares"/>: Core has no threads.</summary>
    static MoveSolver() => MathNet.Numerics.Control.UseSingleThread();

    /// <param name="constraints">The constraints.</param>
    /// <param name="canTurn">For each item, whether its pins can turn it.</param>
    internal MoveSolver(IReadOnlyList<Constraint> constraints, bool[] canTurn)
    {
        _constraints = constraints;
        _canTurn = canTurn;
        int most = 3 * canTurn.Length;
        _slot = new int[most];
        _columns = new int[most];
        _trial = new double[most];
    }

    /// <summary>Moves with which every constraint is accepted, or null when no moves of these items do that.</summary>
    /// <param name="movable">The items that may move.</param>
    internal double[]? Within(ItemSet movable)
    {
        double[] moves = Nearest(movable);
        return _constraints.All(constraint => constraint.Holding(constraint.After(moves))) ? moves : null;
    }

    /// <summary>The moves with the least sum of squared excesses.</summary>
    /// <param name="movable">The items that may move.</param>
    /// <param name="drawnIn">Share of each interval, 0 to below 1, to stay clear of on either side.</param>
    internal double[] Nearest(ItemSet movable, double drawnIn = 0)
    {
        Select(movable);
        double[] moves = new double[_canTurn.Length * 3];
        double worth = Worth(moves, drawnIn);
        for (int iteration = 0; iteration < 50 && worth > 0 && _count > 0; iteration++)
        {
            Begin();
            foreach (Constraint constraint in _constraints)
            {
                double value = constraint.After(moves);
                double excess = constraint.Nearest(value).Excess(value, drawnIn);
                if (excess != 0)
                {
                    AddRow(constraint, -excess);
                }
            }

            double promise = Solve(moves);
            double before = worth;
            worth = promise > 1e-9 * before ? Descend(moves, worth, drawnIn) : before;
            if (before - worth <= 1e-9 * before)
            {
                break;
            }
        }

        return moves;
    }

    /// <summary>
    /// Each of these items to its best place: least squares of the distances to what their own rules aim at; the rules of what stays
    /// only count where they would be left.
    /// </summary>
    internal double[] Best(ItemSet movable)
    {
        Select(movable);
        double[] moves = new double[_canTurn.Length * 3];
        double[] aims = new double[_constraints.Count];
        bool[] pulls = new bool[_constraints.Count];
        for (int round = 0; round < 3; round++)   // a second and third time for limits and nominals that only then come into play
        {
            Begin();
            for (int k = 0; k < aims.Length; k++)
            {
                double value = _constraints[k].After(moves);
                Interval interval = _constraints[k].Nearest(value);
                if (interval.Aim is { } aim && movable.Has(_constraints[k].Owner))
                {
                    (aims[k], pulls[k]) = (aim, true);
                }
                else if (interval.Excess(value, Middle) is not 0 and double excess)
                {
                    (aims[k], pulls[k]) = (value - excess, true);
                }

                if (pulls[k])
                {
                    AddRow(_constraints[k], aims[k] - value);
                }
            }

            Solve(moves);
            Array.Copy(_trial, moves, moves.Length);
        }

        return moves;
    }

    private void Select(ItemSet movable)
    {
        Array.Fill(_slot, -1);
        _count = 0;
        for (int item = 0; item < _canTurn.Length; item++)
        {
            for (int axis = 0; movable.Has(item) && axis < (_canTurn[item] ? 3 : 2); axis++)
            {
                _slot[(3 * item) + axis] = _count;
                _columns[_count++] = (3 * item) + axis;
            }
        }
    }

    private void Begin()
    {
        _gram = Matrix<double>.Build.Dense(_count, _count);
        _wanted = Vector<double>.Build.Dense(_count);
    }

    private void AddRow(Constraint constraint, double wanted)
    {
        for (int i = 0; i < constraint.Columns.Length; i++)
        {
            int row = _slot[constraint.Columns[i]];
            if (row < 0)
            {
                continue;
            }

            _wanted[row] += constraint.Factors[i] * wanted;
            for (int j = 0; j < constraint.Columns.Length; j++)
            {
                int column = _slot[constraint.Columns[j]];
                if (column >= 0)
                {
                    _gram[row, column] += constraint.Factors[i] * constraint.Factors[j];
                }
            }
        }
    }

    /// <summary>
    /// Solves (gram + ridge) step = wanted − ridge × moves, and leaves moves + step in <see cref="_trial"/>; by how much the
    /// sum of squares falls if no other constraint comes into play.
    /// </summary>
    private double Solve(double[] moves)
    {
        for (int i = 0; i < _count; i++)
        {
            _gram[i, i] += Ridge * Math.Max(1, 1e-4 * _gram[i, i]);   // very large factors want more, or the matrix is not positive in floating numbers
            _wanted[i] -= Ridge * moves[_columns[i]];
        }

        Vector<double> step = _gram.Cholesky().Solve(_wanted);
        Array.Copy(moves, _trial, moves.Length);
        for (int i = 0; i < _count; i++)
        {
            _trial[_columns[i]] += step[i];
        }

        return _wanted * step;
    }

    /// <summary>Goes towards the trial as far as the sum falls; the sum afterwards.</summary>
    private double Descend(double[] moves, double worth, double drawnIn)
    {
        for (int halving = 0; halving < 16; halving++)
        {
            double there = Worth(_trial, drawnIn);
            if (there < worth)
            {
                Array.Copy(_trial, moves, moves.Length);
                return there;
            }

            for (int i = 0; i < moves.Length; i++)
            {
                _trial[i] = (_trial[i] + moves[i]) / 2;
            }
        }

        return worth;
    }

    private double Worth(double[] moves, double drawnIn)
    {
        double sum = 0;
        foreach (Constraint constraint in _constraints)
        {
            double value = constraint.After(moves);
            double excess = constraint.Nearest(value).Excess(value, drawnIn);
            sum += excess * excess;
        }

        double travel = 0;
        for (int i = 0; i < moves.Length; i++)
        {
            travel += moves[i] * moves[i];
        }

        return sum == 0 ? 0 : sum + (Ridge * travel);
    }
}
