using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Studies;

/// <summary>A standard deviation with the degrees of freedom it is known by; in nanometres.</summary>
public readonly record struct KnownDeviation(double Deviation, int Degrees)
{
    /// <summary>Several of one kind in one: root of their squares by degrees (NIST/SEMATECH e-Handbook, 2.4.4.4). Null where none has a degree of freedom.</summary>
    public static KnownDeviation? Pool(IEnumerable<KnownDeviation> parts)
    {
        KnownDeviation[] all = [.. parts.Where(part => part.Degrees > 0)];
        int degrees = all.Sum(part => part.Degrees);
        return degrees > 0 ? new KnownDeviation(Math.Sqrt(all.Sum(part => part.Deviation * part.Deviation * part.Degrees) / degrees), degrees) : null;
    }
}

/// <summary>Repeats within days within runs: how much a day adds to what a hand does by chance.</summary>
/// <remarks>
/// NIST/SEMATECH e-Handbook of Statistical Methods, 2.4.4 (level-1, level-2 and level-3 standard deviations of a nested design). Level 1 is within a day,
/// level 2 that of the days' means, level 3 that of the runs' means; each pooled over what was measured.
/// </remarks>
/// <param name="Repeats">Readings a day, J.</param>
/// <param name="Days">Days a run, K.</param>
/// <param name="Runs">Runs, L.</param>
/// <param name="WithinDay">Level 1; null with one reading a day.</param>
/// <param name="OfDayMeans">Level 2; null with one day.</param>
/// <param name="OfRunMeans">Level 3; null with one run.</param>
public sealed record NestedStudy(int Repeats, int Days, int Runs, KnownDeviation? WithinDay, KnownDeviation? OfDayMeans, KnownDeviation? OfRunMeans)
{
    /// <summary>What days add, s_days² = s₂² − s₁²/J, in nm²; below nothing counts as none. Null where a level is missing.</summary>
    public double? DayVariance => OfDayMeans is { } days && WithinDay is { } within ? Math.Max(0, Square(days.Deviation) - (Square(within.Deviation) / Repeats)) : null;

    /// <summary>What runs add, s_runs² = s₃² − s₂²/K, in nm²; below nothing counts as none. Null where a level is missing.</summary>
    public double? RunVariance => OfRunMeans is { } runs && OfDayMeans is { } days ? Math.Max(0, Square(runs.Deviation) - (Square(days.Deviation) / Days)) : null;

    /// <summary>
    /// Standard deviation of one reading on any day of any run, s_R = √(s₃² + (K−1)/K · s₂² + (J−1)/J · s₁²); without runs √(s₂² + (J−1)/J · s₁²). Null where a
    /// level below is missing.
    /// </summary>
    public double? OneReading => WithinDay is not { } within || OfDayMeans is not { } days ? null
        : Math.Sqrt(
            (OfRunMeans is { } runs ? Square(runs.Deviation) + ((Days - 1.0) / Days * Square(days.Deviation)) : Square(days.Deviation))
            + ((Repeats - 1.0) / Repeats * Square(within.Deviation)));

    /// <summary>F of the days' means over the repeats, J · s₂² / s₁² (JCGM 100:2008, H.5.2.2), with its p-value; null where a level is missing or repeats do not vary.</summary>
    public (double F, double P)? DayTest
    {
        get
        {
            if (OfDayMeans is not { } days || WithinDay is not { Deviation: > 0 } within)
            {
                return null;
            }

            double f = Repeats * Square(days.Deviation) / Square(within.Deviation);
            return (f, 1 - Judging.Quantiles.FProbability(f, days.Degrees, within.Degrees));
        }
    }

    /// <summary>Analyses readings; null, with words in <paramref name="whyNot"/>, where they are not equally many or there is nothing to tell.</summary>
    /// <param name="groups">What was measured: group by run by day by repeat. Equally many everywhere.</param>
    /// <param name="whyNot">Why there is no analysis, or null.</param>
    public static NestedStudy? Of(IReadOnlyList<IReadOnlyList<IReadOnlyList<IReadOnlyList<Length>>>> groups, out string? whyNot)
    {
        int runs = groups.Select(group => group.Count).FirstOrDefault();
        int days = groups.SelectMany(group => group).Select(run => run.Count).FirstOrDefault();
        int repeats = groups.SelectMany(group => group).SelectMany(run => run).Select(day => day.Count).FirstOrDefault();
        bool isEven = groups.All(group => group.Count == runs && group.All(run => run.Count == days && run.All(day => day.Count == repeats)));
        whyNot = repeats == 0 ? "there is no reading"
            : !isEven ? "not every day has as many readings as the others: what is missing is not made up"
            : repeats == 1 && days == 1 && runs == 1 ? "nothing was repeated"
            : groups.Any(group => group.SelectMany(run => run).SelectMany(day => day).Any(reading => !Scatter.AreNear(reading, group[0][0][0], Scatter.Widest.Nanometres / ((long)repeats * days))))
            ? "its readings lie too far apart to be of one thing"
            : null;
        if (whyNot is not null)
        {
            return null;
        }

        IReadOnlyList<IReadOnlyList<Length>>[] allRuns = [.. groups.SelectMany(group => group)];

        // a day's mean is its sum over J, a run's its sum over JK: deviations of sums are exact, and only then divided
        KnownDeviation? Level(IEnumerable<Scatter> parts, double divisor) => KnownDeviation.Pool(
            parts.Where(part => part.Count > 1).Select(part => new KnownDeviation(part.StandardDeviation!.Value / divisor, part.Count - 1)));
        Length Sum(IEnumerable<Length> readings, Length origin) => readings.Aggregate(Length.Zero, (sum, reading) => sum + (reading - origin));
        return new NestedStudy(
            repeats, days, runs,
            Level(allRuns.SelectMany(run => run).Select(day => Scatter.Of(day)), 1),
            Level(allRuns.Select(run => Scatter.Of([.. run.Select(day => Sum(day, run[0][0]))])), repeats),
            Level(groups.Select(group => Scatter.Of([.. group.Select(run => Sum(run.SelectMany(day => day), group[0][0][0]))])), (double)repeats * days));
    }

    private static double Square(double value) => value * value;
}
