using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Records;

/// <summary>Chooses which steps of a record are measured again, always in the order of work.</summary>
/// <remarks>
/// A step has the first reason that fits: it <c>carries</c> (other items stand on its item), it was <c>close</c> to a limit,
/// it <c>moved</c> before, it stands for an <c>item</c> of which nothing else is looked at, it came by lot (<c>random</c>).
/// </remarks>
public static class StepChoice
{
    /// <summary>The share by lot where nothing is said.</summary>
    public const double DefaultShare = 0.2;

    /// <summary>
    /// A verdict is close when its margin is within three standard uncertainties: then a remeasurement, which differs by
    /// √2 of them, is likely enough to come out otherwise. Our own choice, no source.
    /// </summary>
    private const double Near = 3;

    /// <summary>
    /// Where the limits are so narrow that the middle itself is that near to them, only what lies in the outer half of what is allowed is
    /// close: else all would be, and nothing would be said by it. Our own choice, no source.
    /// </summary>
    private const double Outer = 0.5;

    /// <summary>For a countersign: what carries, what is close, and of the rest a share by lot, at least one.</summary>
    /// <param name="first">The record.</param>
    /// <param name="plan">The plan it was measured by.</param>
    /// <param name="share">0 to 1, rounded up to whole steps.</param>
    /// <param name="seed">The same seed chooses the same steps.</param>
    /// <exception cref="ArgumentOutOfRangeException">The share is not from 0 to 1.</exception>
    public static IReadOnlyList<ChosenStep> ForCountersign(Record first, Plan plan, double share, long seed)
    {
        if (share is not (>= 0 and <= 1))
        {
            throw new ArgumentOutOfRangeException(nameof(share), share, "A share is from 0 to 1.");
        }

        Dictionary<string, string> chosen = Telling(first, plan);
        List<string> rest = [.. Known(first, plan).Select(step => step.Id).Where(step => !chosen.ContainsKey(step))];
        int count = Math.Max(1, (int)Math.Ceiling((share * rest.Count) - 1e-9));   // 0.2 of 5 is 1, not what rounding leaves over it
        foreach (string step in SplitMix64.Choose(rest, count, seed))
        {
            chosen[step] = "random";
        }

        return InOrder(chosen, first, plan);
    }

    /// <summary>For a recheck: what carries, what was close, what moved most in the blouse's past, and of every other item the step nearest to a limit.</summary>
    /// <param name="last">The record to be checked against.</param>
    /// <param name="plan">The plan it was measured by.</param>
    /// <param name="past">The blouse's records of the same standard in the order of time, the last one among them or not.</param>
    public static IReadOnlyList<ChosenStep> ForRecheck(Record last, Plan plan, IReadOnlyList<Record> past)
    {
        Dictionary<string, string> chosen = Telling(last, plan);
        List<(string Step, double En)> moves = [.. Known(last, plan).Select(step => (step.Id, LargestChange(step.Id, past))).Where(move => move.Item2 > 0)];
        double most = moves.Select(move => move.En).DefaultIfEmpty().Max();
        foreach ((string step, double en) in moves)
        {
            if (!Agreement.Holds(en) || en.Equals(most))
            {
                chosen.TryAdd(step, "moved");
            }
        }

        foreach (IGrouping<string, Step> item in Known(last, plan).GroupBy(step => step.Of).Where(item => !item.Any(step => chosen.ContainsKey(step.Id))))
        {
            chosen[item.MinBy(step => Closest(last, step.Id))!.Id] = "item";
        }

        return InOrder(chosen, last, plan);
    }

    /// <summary>The steps that carry others or were close to a limit.</summary>
    private static Dictionary<string, string> Telling(Record record, Plan plan)
    {
        Dictionary<string, string> chosen = Known(record, plan)
            .Where(step => plan.Items.Any(item => item.Id == step.Of) && plan.ItemsAbove(step.Of).Count > 0)
            .ToDictionary(step => step.Id, _ => "carries");
        foreach (string step in record.Verdicts.Where(IsClose).SelectMany(verdict => verdict.Steps))
        {
            chosen.TryAdd(step, "close");
        }

        return chosen;
    }

    private static bool IsClose(RecordVerdict verdict) => verdict.Verdict != Verdict.Within
        || (MarginOf(verdict) is { } margin && margin <= Near * verdict.Uncertainty && !(RoomOf(verdict) is { } room && margin > Outer * room));

    /// <summary>The least margin of a step's verdicts in standard uncertainties; infinite where there is no limit.</summary>
    private static double Closest(Record record, string step) => record.Verdicts.Where(verdict => verdict.Steps.Contains(step))
        .Select(verdict => verdict.Uncertainty > 0 && MarginOf(verdict) is { } margin ? margin / verdict.Uncertainty : double.PositiveInfinity)
        .DefaultIfEmpty(double.PositiveInfinity).Min();

    /// <summary>The margin to the nearest limit; null where there is none.</summary>
    private static double? MarginOf(RecordVerdict verdict) => (verdict.Value - LowerOf(verdict), verdict.Upper - verdict.Value) switch
    {
        ({ } below, { } above) => Math.Min(below, above),
        var (below, above) => below ?? above,
    };

    /// <summary>The largest margin that there can be: that of the middle, or of no spread at all; null where there is no largest.</summary>
    private static double? RoomOf(RecordVerdict verdict) =>
        verdict.Kind.IsSpread ? verdict.Upper : (verdict.Upper - verdict.Lower) / 2;

    /// <summary>A spread stands for a difference of either sign: being near 0 is no nearness to a limit.</summary>
    private static double? LowerOf(RecordVerdict verdict) => verdict is { Kind.IsSpread: true, Lower: <= 0 } ? null : verdict.Lower;

    /// <summary>The largest En number between a reading of the step and the one before it; 0 when there are not two.</summary>
    private static double LargestChange(string step, IReadOnlyList<Record> past)
    {
        double largest = 0;
        Measured? before = null;
        foreach (Record record in past)
        {
            if (record.Readings.FirstOrDefault(reading => reading.Step == step) is not { } reading)
            {
                continue;
            }

            Measured now = Agreement.Measured(record, reading);
            largest = before is { } then ? Math.Max(largest, Agreement.Compare(new ChosenStep(step, ""), then, now).En) : largest;
            before = now;
        }

        return largest;
    }

    /// <summary>The steps that can be measured again: read in the record, and known to the plan.</summary>
    private static IEnumerable<Step> Known(Record record, Plan plan)
    {
        HashSet<string> read = [.. record.Readings.Select(reading => reading.Step)];
        return plan.Steps.Where(step => read.Contains(step.Id));
    }

    private static List<ChosenStep> InOrder(Dictionary<string, string> chosen, Record record, Plan plan) =>
        [.. Known(record, plan).Where(step => chosen.ContainsKey(step.Id)).Select(step => new ChosenStep(step.Id, chosen[step.Id]))];
}
