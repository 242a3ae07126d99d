namespace CaliperStation.Core.Correcting;

/// <summary>The smallest set of items which, moved once, brings every goal of a component into its acceptance interval.</summary>
/// <remarks>
/// If a set cannot do it, nor can any part of it. So each set that fails is grown until any further item would let it
/// succeed; every set that succeeds must then contain one of the items left out. These obligations rule out nearly all
/// sets unseen, and the search by size stays exact. A set that succeeds must do so after rounding to what a hand can do;
/// where rounding spoils every set of the least size, sets one item larger are tried as well.
/// </remarks>
internal sealed class FewestRepins
{
    /// <summary>Up to this many items every set is considered.</summary>
    internal const int MostExact = 14;

    private const int MostThorough = 40;   // keeps a coat that cannot be met by whole steps from costing seconds

    private readonly MoveSolver _solver;
    private readonly StepSearch _rounding;
    private readonly int _count;
    private readonly List<ItemSet> _obligations;

    private FewestRepins(IReadOnlyList<Goal> goals, PinGrid[] grids)
    {
        _solver = new MoveSolver(goals, [.. grids.Select(grid => grid.CanTurn)]);
        _rounding = new StepSearch(goals, grids);
        _count = grids.Length;
        _obligations = [.. goals.Where(goal => !goal.Holds).Select(goal => goal.ItemSet).Distinct()];
    }

    /// <summary>True when the search leaves no set out, so that what it finds is proven fewest.</summary>
    internal static bool IsExact(IReadOnlyList<Goal> goals, PinGrid[] grids) => grids.Length <= MostExact && ZoneChoices.AllSearched(goals);

    /// <summary>The best moves; null when not even moving every item does it, rounding aside.</summary>
    /// <param name="goals">The goals, at least one of which does not hold.</param>
    /// <param name="grids">The items.</param>
    internal static RoundedMoves? Search(IReadOnlyList<Goal> goals, PinGrid[] grids)
    {
        RoundedMoves? best = null;
        foreach (IReadOnlyList<Goal> way in ZoneChoices.Of(goals))
        {
            RoundedMoves? found = new FewestRepins(way, grids).Search();
            best = found is not null && found.Beats(best) ? found : best;
        }

        return best;
    }

    private RoundedMoves? Search()
    {
        ItemSet all = ItemSet.First(_count);
        return _solver.Within(all) is null ? null : _count <= MostExact ? Exact(all) : Greedy(all);
    }

    private RoundedMoves Exact(ItemSet all)
    {
        foreach (int item in all.Members())
        {
            Oblige(all.Without(ItemSet.One(item)), all);
        }

        RoundedMoves? best = null;
        int least = 0;
        for (int size = 1; size <= _count && (least == 0 || size <= least + 1) && best is not { Outside: 0 }; size++)
        {
            List<(ItemSet Set, double[] Moves)> able = [.. AbleSets(size, all)];
            least = least == 0 && able.Count > 0 ? size : least;
            best = Rounded(able, best, thorough: false);
            best = best is { Outside: 0 } ? best : Rounded(able, best, thorough: true);
        }

        return best!;   // the set of all items is able, so one was found
    }

    /// <summary>The sets of one size that bring every goal within, rounding aside.</summary>
    private IEnumerable<(ItemSet Set, double[] Moves)> AbleSets(int size, ItemSet all)
    {
        for (ulong bits = ItemSet.First(size).Bits; bits <= all.Bits; bits = NextOfSameSize(bits))
        {
            ItemSet set = new(bits);
            if (_obligations.TrueForAll(set.Meets))
            {
                if (_solver.Within(set) is { } moves)
                {
                    yield return (set, moves);
                }
                else
                {
                    Grow(set, all);
                }
            }
        }
    }

    private RoundedMoves? Rounded(List<(ItemSet Set, double[] Moves)> able, RoundedMoves? best, bool thorough)
    {
        foreach ((ItemSet set, double[] moves) in able.Take(thorough ? MostThorough : able.Count))
        {
            RoundedMoves rounded = Rounded(set, moves, thorough);
            best = rounded.Beats(best) ? rounded : best;
        }

        return best;
    }

    /// <summary>Leaves out one item after the other while the rest succeeds; those that hardly move first.</summary>
    private RoundedMoves Greedy(ItemSet all)
    {
        ItemSet set = all;
        double[] best = _solver.Best(all);
        foreach (int item in all.Members().OrderBy(item => Math.Abs(best[3 * item]) + Math.Abs(best[(3 * item) + 1]) + Math.Abs(best[(3 * item) + 2])))
        {
            ItemSet fewer = set.Without(ItemSet.One(item));
            set = _solver.Within(fewer) is null ? set : fewer;
        }

        return Rounded([(set, _solver.Within(set)!)], null, thorough: true)!;
    }

    /// <summary>From the best place; where steps miss it, from as far inside the intervals as can be.</summary>
    private RoundedMoves Rounded(ItemSet set, double[] within, bool thorough)
    {
        RoundedMoves rounded = _rounding.Round(set, _solver.Best(set), thorough);
        foreach (double drawnIn in (ReadOnlySpan<double>)[0.8, 0.5, 0.2])
        {
            if (rounded.Outside > 0 && _solver.Within(set, drawnIn) is { } inside)
            {
                within = inside;
                break;
            }
        }

        if (rounded.Outside > 0)
        {
            RoundedMoves other = _rounding.Round(set, within, thorough);
            rounded = other.Beats(rounded) ? other : rounded;
        }

        return rounded;
    }

    private void Oblige(ItemSet set, ItemSet all)
    {
        if (!set.IsEmpty && _obligations.TrueForAll(set.Meets) && _solver.Within(set) is null)
        {
            _obligations.Add(all.Without(set));
        }
    }

    private void Grow(ItemSet failing, ItemSet all)
    {
        foreach (int item in all.Without(failing).Members())
        {
            ItemSet more = failing.With(ItemSet.One(item));
            failing = _solver.Within(more) is null ? more : failing;
        }

        _obligations.Add(all.Without(failing));
    }

    /// <summary>The next larger number with as many ones (Gosper's method, HAKMEM item 175).</summary>
    private static ulong NextOfSameSize(ulong bits)
    {
        ulong lowest = bits & (~bits + 1);
        ulong carried = bits + lowest;
        return carried | (((bits ^ carried) / lowest) >> 2);
    }
}
