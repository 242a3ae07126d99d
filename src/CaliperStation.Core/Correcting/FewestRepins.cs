namespace CaliperStation.Core.Correcting;

/// <summary>
/// The smallest set of items which, moved once, brings every constraint of a component into its acceptance interval. A sound foundation
/// stays: only items are moved whose own rules do not hold, and what stands on those, unless nothing else does it.
/// </summary>
/// <remarks>
/// If a set cannot do it, nor can any part of it. So each set that fails is grown until any further item would let it
/// succeed; every set that succeeds must then contain one of the items left out. These obligations rule out nearly all
/// sets unseen, and the search by size stays exact. A set that succeeds must do so after rounding to what a hand can do;
/// where rounding spoils every set of the least size, sets one item larger are tried as well.
/// </remarks>
internal sealed class FewestRepins
{
    /// <summary>Up to this many items every set is considered.</summary>
    internal const int MaxExact = 14;

    private readonly MoveSolver _solver;
    private readonly StepSearch _rounding;
    private readonly int _count;
    private readonly ItemSet _failing;
    private readonly ItemSet[] _below;   // of each item, those its own rules are read from
    private readonly List<ItemSet> _obligations;
    private bool _anyItem;

    private FewestRepins(IReadOnlyList<Constraint> constraints, IReadOnlyList<Constraint> anyWay, PinGrid[] grids)
    {
        _failing = Constraint.FailingItems(anyWay);
        _below = [.. grids.Select((_, item) => constraints.Where(constraint => constraint.Owner == item).Aggregate(default(ItemSet), (set, constraint) => set.With(constraint.ItemSet)).Without(ItemSet.One(item)))];
        _solver = new MoveSolver(constraints, [.. grids.Select(grid => grid.CanTurn)]);
        _rounding = new StepSearch(constraints, anyWay, grids);
        _count = grids.Length;
        _obligations = [.. constraints.Where(constraint => !constraint.Holds).Select(constraint => constraint.ItemSet).Distinct()];
    }

    /// <summary>True when the search leaves no set out, so that what it finds is proven fewest.</summary>
    internal static bool IsExact(IReadOnlyList<Constraint> constraints, PinGrid[] grids) => grids.Length <= MaxExact && NominalChoices.AllSearched(constraints);

    /// <summary>The best moves; null when not even moving every item does it, rounding aside.</summary>
    /// <param name="constraints">The constraints, at least one of which does not hold.</param>
    /// <param name="grids">The items.</param>
    internal static RoundedMoves? Search(IReadOnlyList<Constraint> constraints, PinGrid[] grids)
    {
        RoundedMoves? best = null;
        foreach (IReadOnlyList<Constraint> way in NominalChoices.Of(constraints))
        {
            RoundedMoves? found = new FewestRepins(way, constraints, grids).Search();
            best = found is not null && found.Beats(best) ? found : best;
        }

        return best;
    }

    private RoundedMoves? Search()
    {
        ItemSet all = ItemSet.First(_count);
        ItemSet unsound = Unsound(all);   // the largest set that may be moved
        _anyItem = _solver.Within(unsound) is null;
        all = _anyItem ? all : unsound;
        return _anyItem && _solver.Within(all) is null ? null : _count <= MaxExact ? Exact(all) : Greedy(all);
    }

    /// <summary>Of these items those whose own rules do not hold, and what stands on one of them.</summary>
    private ItemSet Unsound(ItemSet among) => among.Members()   // each after what it stands on
        .Aggregate(default(ItemSet), (set, item) => _failing.Has(item) || _below[item].Meets(set) ? set.With(ItemSet.One(item)) : set);

    /// <summary>The sets of so many more items, of which each fails or stands on one that moves; of any items where nothing else can.</summary>
    private IEnumerable<ItemSet> Sets(int size, ItemSet chosen = default, int from = 0)
    {
        if (size == 0)
        {
            yield return chosen;
            yield break;
        }

        for (int item = from; item < _count; item++)
        {
            if (_anyItem || _failing.Has(item) || _below[item].Meets(chosen))
            {
                foreach (ItemSet set in Sets(size - 1, chosen.With(ItemSet.One(item)), item + 1))
                {
                    yield return set;
                }
            }
        }
    }

    private RoundedMoves Exact(ItemSet all)
    {
        foreach (int item in all.Members())
        {
            Oblige(all.Without(ItemSet.One(item)), all);
        }

        RoundedMoves? best = null;
        int least = 0;
        for (int size = 1; size <= all.Count && (least == 0 || size <= least + 1) && best is not { IsGood: true }; size++)
        {
            foreach (ItemSet set in AbleSets(size, all))
            {
                RoundedMoves rounded = Rounded(set);
                best = rounded.Beats(best) ? rounded : best;
                least = least == 0 ? size : least;
            }
        }

        return best!;   // the set of all items is able, so one was found
    }

    /// <summary>The sets of one size that bring every constraint within, rounding aside.</summary>
    private IEnumerable<ItemSet> AbleSets(int size, ItemSet all)
    {
        foreach (ItemSet set in Sets(size))
        {
            if (_obligations.TrueForAll(set.Meets))
            {
                if (_solver.Within(set) is not null)
                {
                    yield return set;
                }
                else
                {
                    Grow(set, all);
                }
            }
        }
    }

    /// <summary>Leaves out one item after the other while the rest succeeds; those that hardly move first.</summary>
    private RoundedMoves Greedy(ItemSet all)
    {
        ItemSet set = all;
        double[] best = _solver.Best(all);
        foreach (int item in all.Members().OrderBy(item => Math.Abs(best[3 * item]) + Math.Abs(best[(3 * item) + 1]) + Math.Abs(best[(3 * item) + 2])))
        {
            ItemSet fewer = set.Without(ItemSet.One(item));
            fewer = _anyItem ? fewer : Unsound(fewer);
            set = _solver.Within(fewer) is null ? set : fewer;
        }

        return Rounded(set);
    }

    /// <summary>From the best place; where steps miss it, from the middle of the intervals.</summary>
    private RoundedMoves Rounded(ItemSet set)
    {
        RoundedMoves rounded = _rounding.Round(set, _solver.Best(set));
        return rounded.IsGood || _rounding.Round(set, _solver.Nearest(set, MoveSolver.Middle)) is not { } other || !other.Beats(rounded) ? rounded : other;
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
}
