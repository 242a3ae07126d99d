namespace CaliperStation.Core.Standards;

/// <summary>A sum of readings, each times its factor, that must lie between two values, in nanometres.</summary>
internal readonly record struct LinearBound((string Step, double Factor)[] Terms, double Low, double High);

/// <summary>Whether readings can be found that keep every bound.</summary>
/// <remarks>
/// The simplex method for bounds alone, without an objective (B. Dutertre and L. de Moura, "A fast linear-arithmetic solver for DPLL(T)", CAV 2006, section 3), by Bland's rule, which always ends: a sum that is
/// out of its bounds takes the place of a variable that can still move; where none can, nothing keeps them all.
/// </remarks>
internal sealed class LinearBounds
{
    private const double Inch = 25_400_000;        // sums of an inch or so are computed best
    private const double Tolerance = 1e-8;         // a quarter of a nanometre
    private const int MostTurns = 10_000;

    private readonly double[,] _rows;              // each basic variable as a sum of the others
    private readonly int[] _basic, _others;
    private readonly double[] _value, _low, _high;

    private LinearBounds(IReadOnlyList<LinearBound> bounds)
    {
        string[] steps = [.. bounds.SelectMany(bound => bound.Terms).Select(term => term.Step).Distinct()];
        int count = steps.Length + bounds.Count;
        _rows = new double[bounds.Count, steps.Length];
        (_others, _basic) = ([.. Enumerable.Range(0, steps.Length)], [.. Enumerable.Range(steps.Length, bounds.Count)]);
        (_value, _low, _high) = (new double[count], new double[count], new double[count]);
        Array.Fill(_low, double.NegativeInfinity);
        Array.Fill(_high, double.PositiveInfinity);
        for (int row = 0; row < bounds.Count; row++)
        {
            (_low[steps.Length + row], _high[steps.Length + row]) = (bounds[row].Low / Inch, bounds[row].High / Inch);
            foreach ((string step, double factor) in bounds[row].Terms)
            {
                _rows[row, Array.IndexOf(steps, step)] += factor;
            }
        }
    }

    /// <summary>True when some readings keep all of them.</summary>
    internal static bool CanHold(IReadOnlyList<LinearBound> bounds) => bounds.All(bound => bound.Low <= bound.High) && new LinearBounds(bounds).Solve();

    private bool Solve()
    {
        for (int turn = 0; turn < MostTurns; turn++)
        {
            int row = -1;
            for (int r = 0; r < _basic.Length; r++)
            {
                bool isOut = _value[_basic[r]] < _low[_basic[r]] - Tolerance || _value[_basic[r]] > _high[_basic[r]] + Tolerance;
                row = isOut && (row < 0 || _basic[r] < _basic[row]) ? r : row;
            }

            if (row < 0)
            {
                return true;
            }

            int variable = _basic[row];
            bool grows = _value[variable] < _low[variable];
            int column = -1;
            for (int c = 0; c < _others.Length; c++)
            {
                double factor = grows ? _rows[row, c] : -_rows[row, c];
                bool canMove = (factor > Tolerance && _value[_others[c]] < _high[_others[c]]) || (factor < -Tolerance && _value[_others[c]] > _low[_others[c]]);
                column = canMove && (column < 0 || _others[c] < _others[column]) ? c : column;
            }

            if (column < 0)
            {
                return false;
            }

            Exchange(row, column, grows ? _low[variable] : _high[variable]);
        }

        return true;   // not decided: nothing is said against them
    }

    /// <summary>Moves the sum of a row to a value, and lets it change places with the variable of a column.</summary>
    private void Exchange(int row, int column, double target)
    {
        double pivot = _rows[row, column], move = (target - _value[_basic[row]]) / pivot;
        _value[_basic[row]] = target;
        _value[_others[column]] += move;
        for (int c = 0; c < _others.Length; c++)
        {
            _rows[row, c] = c == column ? 1 / pivot : -_rows[row, c] / pivot;
        }

        for (int r = 0; r < _basic.Length; r++)
        {
            double factor = _rows[r, column];
            if (r == row || factor == 0)
            {
                continue;
            }

            _value[_basic[r]] += factor * move;
            for (int c = 0; c < _others.Length; c++)
            {
                _rows[r, c] = c == column ? factor / pivot : _rows[r, c] + (factor * _rows[row, c]);
            }
        }

        (_basic[row], _others[column]) = (_others[column], _basic[row]);
    }
}
