namespace CaliperStation.Core.Correcting;

/// <summary>
/// Finds moves of a set of items, not rounded, that bring every goal into its acceptance interval or, where none do,
/// come as near as can be: the least sum of squared excesses, a convex problem solved by Newton steps on the goals outside.
/// </summary>
/// <remarks>
/// At the least sum the excesses, each times its factors, balance out to nothing; if any is left they prove that no move of
/// these items does it (Farkas' lemma). Small dense systems by Cholesky, written out here because thousands are solved in
/// one search and none may allocate.
/// </remarks>
internal sealed class MoveSolver
{
    /// <summary>Weight of a move against a goal: keeps unseen directions at rest and decides nothing else.</summary>
    private const double Ridge = 1e-9;

    /// <summary>Share of an interval's half width to stay clear of where no value is aimed at: what lies in the middle half stays within.</summary>
    internal const double Middle = 0.5;

    private readonly IReadOnlyList<Goal> _goals;
    private readonly bool[] _canTurn;
    private readonly int[] _slot;
    private readonly int[] _columns;
    private readonly double[] _gram;
    private readonly int[] _first;   // of each row of the lower half, where it begins: things hang together like a chain, so most of it is empty
    private readonly double[] _step;
    private readonly double[] _trial;
    private int _count;

    /// <param name="goals">The goals.</param>
    /// <param name="canTurn">For each item, whether its pins can turn it.</param>
    internal MoveSolver(IReadOnlyList<Goal> goals, bool[] canTurn)
    {
        _goals = goals;
        _canTurn = canTurn;
        int most = 3 * canTurn.Length;
        _slot = new int[most];
        _columns = new int[most];
        _gram = new double[most * most];
        _first = new int[most];
        _step = new double[most];
        _trial = new double[most];
    }

    /// <summary>Moves with which every goal is accepted, or null when no moves of these items do that.</summary>
    /// <param name="movable">The items that may move.</param>
    /// <param name="drawnIn">Share of each interval, 0 to below 1, to stay clear of on either side.</param>
    internal double[]? Within(ItemSet movable, double drawnIn = 0)
    {
        double[] moves = Nearest(movable, drawnIn);
        return Fits(moves, drawnIn) ? moves : null;
    }

    /// <summary>The moves with the least sum of squared excesses.</summary>
    internal double[] Nearest(ItemSet movable, double drawnIn = 0)
    {
        Select(movable);
        double[] moves = new double[_canTurn.Length * 3];
        double worth = Worth(moves, drawnIn);
        for (int iteration = 0; iteration < 50 && worth > 0; iteration++)
        {
            Begin();
            foreach (Goal goal in _goals)
            {
                double value = goal.After(moves);
                double excess = goal.Nearest(value).Excess(value, drawnIn);
                if (excess != 0)
                {
                    AddRow(goal, -excess);
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
        double[] aims = new double[_goals.Count];
        bool[] pulls = new bool[_goals.Count];
        for (int round = 0; round < 3; round++)   // a second and third time for limits and nominals that only then come into play
        {
            Begin();
            for (int k = 0; k < aims.Length; k++)
            {
                double value = _goals[k].After(moves);
                Zone zone = _goals[k].Nearest(value);
                if (zone.Aim is { } aim && movable.Has(_goals[k].Owner))
                {
                    (aims[k], pulls[k]) = (aim, true);
                }
                else if (zone.Excess(value, Middle) is not 0 and double excess)
                {
                    (aims[k], pulls[k]) = (value - excess, true);
                }

                if (pulls[k])
                {
                    AddRow(_goals[k], aims[k] - value);
                }
            }

            Solve(moves);
            Array.Copy(_trial, moves, moves.Length);
        }

        return moves;
    }

    private bool Fits(double[] moves, double drawnIn)
    {
        foreach (Goal goal in _goals)
        {
            double value = goal.After(moves);
            if (Math.Abs(goal.Nearest(value).Excess(value, drawnIn)) > Goal.Tolerance)
            {
                return false;
            }
        }

        return true;
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
        Array.Clear(_gram, 0, _count * _count);
        Array.Clear(_step, 0, _count);
        for (int i = 0; i < _count; i++)
        {
            _first[i] = i;
        }
    }

    private void AddRow(Goal goal, double wanted)
    {
        for (int i = 0; i < goal.Columns.Length; i++)
        {
            int row = _slot[goal.Columns[i]];
            if (row < 0)
            {
                continue;
            }

            _step[row] += goal.Factors[i] * wanted;
            for (int j = 0; j <= i; j++)
            {
                int column = _slot[goal.Columns[j]];
                if (column >= 0)
                {
                    _first[row] = Math.Min(_first[row], column);
                    _gram[(row * _count) + column] += goal.Factors[i] * goal.Factors[j];
                }
            }
        }
    }

    /// <summary>
    /// Solves (gram + ridge) step = wanted − ridge × moves, and leaves moves + step in <see cref="_trial"/>; by how much the
    /// sum of squares falls if no other goal comes into play.
    /// </summary>
    private double Solve(double[] moves)
    {
        double promise = 0;
        for (int i = 0; i < _count; i++)
        {
            Span<double> row = _gram.AsSpan(i * _count, i + 1);
            row[i] += Ridge;
            double right = _step[i] - (Ridge * moves[_columns[i]]);
            for (int j = _first[i]; j <= i; j++)
            {
                ReadOnlySpan<double> other = _gram.AsSpan(j * _count, j + 1);
                double sum = row[j];
                for (int k = Math.Max(_first[i], _first[j]); k < j; k++)
                {
                    sum -= row[k] * other[k];
                }

                row[j] = i == j ? Math.Sqrt(Math.Max(sum, Ridge / 2)) : sum / other[j];
            }

            for (int k = _first[i]; k < i; k++)
            {
                right -= row[k] * _step[k];
            }

            _step[i] = right / row[i];
            promise += _step[i] * _step[i];
        }

        Array.Copy(moves, _trial, moves.Length);
        for (int i = _count - 1; i >= 0; i--)
        {
            ReadOnlySpan<double> row = _gram.AsSpan(i * _count, i + 1);
            double value = _step[i] / row[i];
            for (int k = _first[i]; k < i; k++)
            {
                _step[k] -= row[k] * value;
            }

            _trial[_columns[i]] += value;
        }

        return promise;
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
        foreach (Goal goal in _goals)
        {
            double value = goal.After(moves);
            double excess = goal.Nearest(value).Excess(value, drawnIn);
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
