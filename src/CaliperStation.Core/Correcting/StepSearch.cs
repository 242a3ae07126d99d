namespace CaliperStation.Core.Correcting;

/// <summary>Rounds moves to whole steps so that the constraints stay accepted and each item lies as near to its best place as steps allow.</summary>
/// <remarks>
/// Rounding each pin by itself can push a tight constraint out that another rounding keeps, and part a pair. So: from the nearest whole
/// steps, one item at a time takes the best of its neighbouring moves until none is better.
/// </remarks>
internal sealed class StepSearch
{
    private const int MaxPasses = 12;
    private const double TurnCost = 0.25;   // as much as two heights and a level that are off by 0.4 of the level's tolerance: less is not worth a turn

    private static readonly int[] _ways = [0, -1, 1];

    private readonly IReadOnlyList<Constraint> _constraints;
    private readonly IReadOnlyList<Constraint> _anyWay;
    private readonly PinGrid[] _grids;
    private readonly Constraint[][] _constraintsOf;
    private readonly (int Right, int Up)[][] _pins;
    private readonly double[] _moves;
    private readonly (int A, int B, int C)[] _steps;
    private readonly ItemSet _failing;
    private ItemSet _moving;

    /// <param name="constraints">The constraints, by one way to choose among their intervals.</param>
    /// <param name="anyWay">The same constraints with all their intervals, by which an item is sound or not.</param>
    /// <param name="grids">The items.</param>
    internal StepSearch(IReadOnlyList<Constraint> constraints, IReadOnlyList<Constraint> anyWay, PinGrid[] grids)
    {
        _constraints = constraints;
        _anyWay = anyWay;
        _grids = grids;
        _constraintsOf = [.. grids.Select((_, item) => constraints.Where(constraint => constraint.Items.Contains(item)).ToArray())];
        _pins = [.. grids.Select(grid => new (int, int)[grid.Pins])];
        _moves = new double[3 * grids.Length];
        _steps = new (int, int, int)[grids.Length];
        _failing = Constraint.FailingItems(anyWay);
    }

    /// <summary>The moves of these items rounded, from where they should go.</summary>
    /// <param name="items">The items that move.</param>
    /// <param name="start">Where they should go.</param>
    internal RoundedMoves Round(ItemSet items, double[] start)
    {
        int[] order = [.. items.Members()];
        _moving = items;
        Array.Clear(_moves);
        foreach (int item in order)
        {
            (double a, double b, double c) = Real(item, start);
            PinGrid grid = _grids[item];
            Put(item, (grid.Whole(a), grid.Whole(b), grid.CanTurn ? grid.Whole(c) : 0));
        }

        Improve(order);
        return Result(order);
    }

    private (double A, double B, double C) Real(int item, double[] start) => _grids[item].Steps(start[3 * item], start[(3 * item) + 1], start[(3 * item) + 2]);

    private RoundedMoves Result(int[] order)
    {
        (int Right, int Up)[][] pins = [.. _grids.Select(_ => Array.Empty<(int, int)>())];
        int moved = 0;
        List<int> needless = [];
        int sound = 0;
        long travel = 0;
        foreach (int item in order)
        {
            int count = _pins[item].Count(pin => pin != (0, 0));
            if (count > 0)
            {
                pins[item] = [.. _pins[item]];
                moved += count;
                travel += _pins[item].Sum(pin => (long)Math.Abs(pin.Right) + Math.Abs(pin.Up));
                sound += _failing.Has(item) ? 0 : 1;
                if (!_failing.Has(item) && !FailsAtRest(item))
                {
                    needless.Add(item);
                }
            }
        }

        return new RoundedMoves(pins, [.. _moves], Outside(), needless, sound, moved, travel);
    }

    /// <summary>True when an item's own rules would not hold if it alone stayed.</summary>
    private bool FailsAtRest(int item)
    {
        double[] rest = [.. _moves];
        Array.Clear(rest, 3 * item, 3);
        return _anyWay.Any(constraint => constraint.Owner == item && !constraint.Holding(constraint.After(rest)));
    }

    private void Improve(int[] order)
    {
        bool better = true;
        for (int pass = 0; better && pass < MaxPasses; pass++)
        {
            better = false;
            foreach (int item in order)
            {
                better |= Improve(item);
            }
        }
    }

    /// <summary>Takes the best of the moves next to an item's; true when it is another one.</summary>
    private bool Improve(int item)
    {
        PinGrid grid = _grids[item];
        (int a, int b, int c) = _steps[item];
        (int, int, int) best = (a, b, c);
        double least = Cost(item);
        foreach (int i in _ways)   // of equal moves the first counts: one along a direction that nothing sees stays out
        {
            foreach (int j in _ways)
            {
                foreach (int k in grid.CanTurn ? _ways : [0])
                {
                    (int, int, int) there = (grid.Next(a, i), grid.Next(b, j), grid.Next(c, k));
                    Put(item, there);
                    double cost = Cost(item);
                    (least, best) = cost < least - 1e-9 ? (cost, there) : (least, best);
                }
            }
        }

        Put(item, best);
        return best != (a, b, c);
    }

    private void Put(int item, (int A, int B, int C) steps)
    {
        _steps[item] = steps;
        _grids[item].PinSteps(steps.A, steps.B, steps.C, _pins[item]);
        (_moves[3 * item], _moves[(3 * item) + 1], _moves[(3 * item) + 2]) = _grids[item].Rigid(_pins[item]);
    }

    private int Outside() => _constraints.Count(constraint => !constraint.Holding(constraint.After(_moves)));

    /// <summary>
    /// What an item's place costs: a missed constraint outweighs any distance; among moves that miss none the nearest to what the rules of
    /// the items that move aim at, and a shift before a turn. The last factor makes constraints near their limit count more: the readings
    /// afterwards will scatter.
    /// </summary>
    private double Cost(int item)
    {
        double cost = _steps[item].B == _steps[item].C || !_grids[item].CanTurn ? 0 : TurnCost;
        foreach (Constraint constraint in _constraintsOf[item])
        {
            double value = constraint.After(_moves);
            Interval interval = constraint.Nearest(value);
            double excess = interval.Excess(value);
            double off = _moving.Has(constraint.Owner) ? value - interval.Aim ?? 0 : interval.Excess(value, MoveSolver.Middle);
            double squared = off * off;
            cost += (Math.Abs(excess) > Constraint.Tolerance ? 1000 : 0) + (1000 * excess * excess) + (squared * (1 + (4 * squared * squared)));
        }

        return cost;
    }
}

/// <summary>Moves of some items in whole steps of their pins, with what they cost.</summary>
/// <param name="Pins">For each item, its pins' moves in whole steps; empty for an item that stays.</param>
/// <param name="Moves">The rigid moves they make: three numbers for each item.</param>
/// <param name="Outside">How many constraints are not accepted after them.</param>
/// <param name="Needless">The items that move whose own rules hold and would hold if they stayed: they only cure what stands on them.</param>
/// <param name="Sound">How many items move whose own rules hold now.</param>
/// <param name="PinsMoved">How many pins move.</param>
/// <param name="Travel">Sum of all pins' steps to the right or left and up or down.</param>
internal sealed record RoundedMoves((int Right, int Up)[][] Pins, double[] Moves, int Outside, IReadOnlyList<int> Needless, int Sound, int PinsMoved, long Travel)
{
    /// <summary>How many items move.</summary>
    internal int Items => Pins.Count(pins => pins.Length > 0);

    /// <summary>Positions of those that move.</summary>
    internal IEnumerable<int> Moved => Enumerable.Range(0, Pins.Length).Where(item => Pins[item].Length > 0);

    /// <summary>True when nothing better is to be had from more items.</summary>
    internal bool IsGood => Outside == 0 && Needless.Count == 0;

    /// <summary>The order in which moves are preferred: fewer constraints missed, sound foundations left, fewer items, those that are outside, fewer pins, less travel.</summary>
    internal bool Beats(RoundedMoves? other) =>
        other is null || (Outside, Needless.Count, Items, Sound, PinsMoved, Travel).CompareTo((other.Outside, other.Needless.Count, other.Items, other.Sound, other.PinsMoved, other.Travel)) < 0;
}
