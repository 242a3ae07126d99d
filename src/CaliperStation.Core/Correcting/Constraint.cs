namespace CaliperStation.Core.Correcting;

/// <summary>One acceptance interval of a constraint, in halves of its tolerance; infinite where there is no limit.</summary>
/// <param name="Low">Least accepted value.</param>
/// <param name="High">Greatest accepted value, not below <paramref name="Low"/>.</param>
/// <param name="Aim">The value aimed at, inside; null where any value inside is as good.</param>
internal readonly record struct Interval(double Low, double High, double? Aim)
{
    /// <summary>Signed excess beyond the interval drawn in by a share of its width (or of the tolerance, where it is open); 0 inside.</summary>
    internal double Excess(double value, double drawnIn = 0)
    {
        double width = double.IsFinite(High - Low) ? (High - Low) / 2 : 1;
        double low = Low + (drawnIn * width);
        double high = High - (drawnIn * width);
        return value < low ? value - low : value > high ? value - high : 0;
    }
}

/// <summary>
/// A value that must come to lie within an acceptance interval, as a linear function of moves: value now + Σ factor × move.
/// An <c>equal</c> gives one constraint for each pair of its readings. All numbers are in halves of the tolerance, so that constraints of
/// different tolerance and dimension weigh alike.
/// </summary>
/// <param name="Relation">Id of the rule.</param>
/// <param name="Now">The value now.</param>
/// <param name="Columns">The unknowns of moves it depends on: three for each item of a list; ascending.</param>
/// <param name="Factors">Change of the value for one unit of each.</param>
/// <param name="Intervals">The acceptance intervals, any of which will do; at least one.</param>
internal sealed record Constraint(string Relation, double Now, int[] Columns, double[] Factors, Interval[] Intervals)
{
    /// <summary>An excess below this is arithmetic.</summary>
    internal const double Tolerance = 1e-5;

    /// <summary>Position of the upper item, which the rule speaks of: what stands on another comes after it. −1 when no item changes the value.</summary>
    internal int Owner => Columns.Length == 0 ? -1 : Columns[^1] / 3;

    /// <summary>Positions in the list of the items it depends on.</summary>
    internal IEnumerable<int> Items => Columns.Select(column => column / 3).Distinct();

    /// <summary>The same as a set; only for lists that a set can hold.</summary>
    internal ItemSet ItemSet => Items.Aggregate(default(ItemSet), (set, item) => set.With(ItemSet.One(item)));

    /// <summary>True when the value now is accepted.</summary>
    internal bool Holds => Holding(Now);

    /// <summary>True when that value is accepted.</summary>
    internal bool Holding(double value) => Math.Abs(Nearest(value).Excess(value)) <= Tolerance;

    /// <summary>Change of the value for one unit of an item's shift to the right, shift upwards, and turn.</summary>
    internal (double Right, double Up, double Turn) Of(int item)
    {
        Span<double> factors = [0, 0, 0];
        for (int k = 0; k < Columns.Length; k++)
        {
            factors[Columns[k] % 3] += Columns[k] / 3 == item ? Factors[k] : 0;
        }

        return (factors[0], factors[1], factors[2]);
    }

    /// <summary>The value after the moves.</summary>
    internal double After(ReadOnlySpan<double> moves)
    {
        double value = Now;
        for (int k = 0; k < Columns.Length; k++)
        {
            value += Factors[k] * moves[Columns[k]];
        }

        return value;
    }

    /// <summary>The interval that a value is in or nearest to.</summary>
    internal Interval Nearest(double value)
    {
        Interval best = Intervals[0];
        for (int k = 1; k < Intervals.Length; k++)
        {
            best = Math.Abs(Intervals[k].Excess(value)) < Math.Abs(best.Excess(value)) ? Intervals[k] : best;
        }

        return best;
    }

    /// <summary>The items whose own rules do not hold now.</summary>
    internal static ItemSet FailingItems(IEnumerable<Constraint> constraints) =>
        constraints.Where(constraint => !constraint.Holds && constraint.Owner >= 0).Aggregate(default(ItemSet), (set, constraint) => set.With(ItemSet.One(constraint.Owner)));

    /// <summary>The same, its nearest interval widened to the value now: what was judged within, by exact arithmetic, holds.</summary>
    internal Constraint Holding()
    {
        Interval nearest = Nearest(Now);
        return this with { Intervals = [.. Intervals.Select(interval => interval == nearest ? interval with { Low = Math.Min(interval.Low, Now), High = Math.Max(interval.High, Now) } : interval)] };
    }

    /// <summary>The same rule, asking no more than that it gets no worse (by a hundredth, so that staying is clear of the edge).</summary>
    /// <param name="aims">Whether a move is to mend it, all the same, where that costs nothing.</param>
    internal Constraint NoWorse(bool aims)
    {
        Interval interval = Nearest(Now);
        return this with { Intervals = [new Interval(Math.Min(interval.Low, Now - 0.01), Math.Max(interval.High, Now + 0.01), aims ? interval.Aim : null)] };
    }
}

/// <summary>Where a rule has several nominals, each way to choose among them makes a problem of its own that is convex.</summary>
internal static class NominalChoices
{
    /// <summary>Up to this many ways are each searched; beyond, every rule goes by whichever interval is nearest on the way.</summary>
    internal const int Most = 64;

    /// <summary>True when each way is searched, so that nothing is missed.</summary>
    internal static bool AllSearched(IReadOnlyList<Constraint> constraints)
    {
        long ways = 1;
        foreach (Constraint constraint in constraints)
        {
            ways = Math.Min(ways * constraint.Intervals.Length, Most + 1);
        }

        return ways <= Most;
    }

    /// <summary>The ways, the one nearest to the present values first; the constraints as they are when there are too many.</summary>
    internal static IEnumerable<IReadOnlyList<Constraint>> Of(IReadOnlyList<Constraint> constraints)
    {
        if (!AllSearched(constraints))
        {
            return [constraints];
        }

        IEnumerable<Constraint[]> ways = [[]];
        foreach (Constraint constraint in constraints)
        {
            Interval[] intervals = [.. constraint.Intervals.OrderBy(interval => Math.Abs(interval.Excess(constraint.Now)))];
            ways = ways.SelectMany(way => intervals.Select(interval => (Constraint[])[.. way, constraint with { Intervals = [interval] }]));
        }

        return ways;
    }
}
