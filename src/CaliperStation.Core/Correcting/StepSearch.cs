namespace CaliperStation.Core.Correcting;

/// <summary>Rounds moves to whole steps so that the goals stay accepted and each item lies as near to its best place as steps allow.</summary>
/// <remarks>
/// Rounding each pin by itself can push a tight goal out that another rounding keeps. So: from the nearest whole steps, one
/// item at a time takes the best of its neighbouring moves until none is better; if a goal is still missed, whole moves near
/// the start are tried item by item, giving up a branch as soon as a goal that no later item can change is missed.
/// </remarks>
internal sealed class StepSearch(IReadOnlyList<Goal> goals, PinGrid[] grids)
{
    private const int MostBranches = 3_000;

    private readonly double[] _moves = new double[3 * grids.Length];
    private readonly int[][] _steps = [.. grids.Select(_ => new int[3])];
    private int _branches;

    internal RoundedMoves Round(ItemSet items, double[] start)
    {
        int[] order = [.. items.Members()];
        Array.Clear(_moves);
        (double, double, double)[] real = new (double, double, double)[grids.Length];
        foreach (int item in order)
        {
            (double a, double b, double c) = grids[item].Steps(start[3 * item], start[(3 * item) + 1], start[(3 * item) + 2]);
            real[item] = (a, b, c);
            Put(item, grids[item].Whole(a), grids[item].Whole(b), grids[item].CanTurn ? grids[item].Whole(c) : 0);
        }

        Improve(order);
        if (Outside(goals) > 0)
        {
            int[][] kept = [.. _steps.Select(steps => (int[])steps.Clone())];
            _branches = 0;
            if (Branch(order, 0, real))
            {
                Improve(order);
            }
            else
            {
                Array.ForEach(order, item => Put(item, kept[item][0], kept[item][1], kept[item][2]));
            }
        }

        return Result(order);
    }

    private RoundedMoves Result(int[] order)
    {
        (int Right, int Up)[][] pins = [.. grids.Select(_ => Array.Empty<(int, int)>())];
        int moved = 0;
        long travel = 0;
        foreach (int item in order)
        {
            (int Right, int Up)[] steps = grids[item].PinSteps(_steps[item][0], _steps[item][1], _steps[item][2]);
            if (steps.Any(pin => pin != (0, 0)))
            {
                pins[item] = steps;
                moved += steps.Count(pin => pin != (0, 0));
                travel += steps.Sum(pin => (long)Math.Abs(pin.Right) + Math.Abs(pin.Up));
            }
        }

        return new RoundedMoves(pins, (double[])_moves.Clone(), Outside(goals), moved, travel);
    }

    private void Improve(int[] order)
    {
        for (int pass = 0; pass < 12; pass++)
        {
            bool better = false;
            foreach (int item in order)
            {
                better |= Improve(item);
            }

            if (!better)
            {
                return;
            }
        }
    }

    private bool Improve(int item)
    {
        PinGrid grid = grids[item];
        (int a, int b, int c) = (_steps[item][0], _steps[item][1], _steps[item][2]);
        (int a, int b, int c) best = (a, b, c);
        double least = Cost();
        for (int i = -1; i <= 1; i++)
        {
            for (int j = -1; j <= 1; j++)
            {
                for (int k = grid.CanTurn ? -1 : 0; k <= (grid.CanTurn ? 1 : 0); k++)
                {
                    (int a, int b, int c) there = (i == 0 ? a : grid.Next(a, i), j == 0 ? b : grid.Next(b, j), k == 0 ? c : grid.Next(c, k));
                    Put(item, there.a, there.b, there.c);
                    double cost = Cost();
                    if (cost < least - 1e-9)
                    {
                        (least, best) = (cost, there);
                    }
                }
            }
        }

        Put(item, best.a, best.b, best.c);
        return best != (a, b, c);
    }

    private bool Branch(int[] order, int depth, (double A, double B, double C)[] real)
    {
        if (depth == order.Length)
        {
            return Outside(goals) == 0;
        }

        int item = order[depth];
        PinGrid grid = grids[item];
        ItemSet later = order.Skip(depth + 1).Aggregate(default(ItemSet), (set, next) => set.With(ItemSet.One(next)));
        List<Goal> settled = [.. goals.Where(goal => goal.ItemSet.Has(item) && !goal.ItemSet.Meets(later))];
        foreach (int a in Near(grid, real[item].A))
        {
            foreach (int b in Near(grid, real[item].B))
            {
                foreach (int c in grid.CanTurn ? Near(grid, real[item].C) : [0])
                {
                    if (++_branches > MostBranches)
                    {
                        return false;
                    }

                    Put(item, a, b, c);
                    if (Outside(settled) == 0 && Branch(order, depth + 1, real))
                    {
                        return true;
                    }
                }
            }
        }

        return false;
    }

    private static IEnumerable<int> Near(PinGrid grid, double steps)
    {
        int whole = grid.Whole(steps);
        int other = grid.Next(whole, steps >= whole ? 1 : -1);
        int third = grid.Next(whole, steps >= whole ? -1 : 1);
        return [whole, other, third];
    }

    private void Put(int item, int a, int b, int c)
    {
        (_steps[item][0], _steps[item][1], _steps[item][2]) = (a, b, c);
        (_moves[3 * item], _moves[(3 * item) + 1], _moves[(3 * item) + 2]) = grids[item].Rigid(grids[item].PinSteps(a, b, c));
    }

    private int Outside(IReadOnlyList<Goal> among)
    {
        int outside = 0;
        foreach (Goal goal in among)
        {
            outside += goal.Holding(goal.After(_moves)) ? 0 : 1;
        }

        return outside;
    }

    /// <summary>
    /// A missed goal outweighs any distance; among moves that miss none the nearest to what is aimed at. The last factor
    /// makes goals near their limit count more: the readings afterwards will scatter.
    /// </summary>
    private double Cost()
    {
        double cost = 0;
        foreach (Goal goal in goals)
        {
            double value = goal.After(_moves);
            Zone zone = goal.Nearest(value);
            double excess = zone.Excess(value);
            double off = value - zone.Aim ?? 0;
            cost += (Math.Abs(excess) > Goal.Tolerance ? 1000 : 0) + (1000 * excess * excess) + (off * off * (1 + (4 * off * off * off * off)));
        }

        return cost;
    }
}
