using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Sittings;

/// <summary>What is expected of the next reading of a step, from the standard, the readings so far and the last advice.</summary>
public static class Expectations
{
    /// <summary>How far beyond what its rules allow a thing may yet be pinned by mistake. Our own choice, no source.</summary>
    private static readonly Length Astray = Length.FromTicks(16);

    /// <summary>The expectation. Pure.</summary>
    /// <param name="state">What was measured so far.</param>
    /// <param name="step">The step that is to be read.</param>
    /// <param name="expectedAfterMove">What readings should become after the advised moves that were made, by step.</param>
    /// <param name="source">Where the reading comes from: it is compared with the last one from there, a typed one with none. Null before that is known.</param>
    /// <param name="movedSince">True when the caliper was seen to move since the last reading.</param>
    /// <param name="range">How far the instrument opens; null when not known.</param>
    public static Expectation Of(
        SittingState state, Step step, IReadOnlyDictionary<string, Length> expectedAfterMove, ReadingSource? source = null, bool movedSince = false, Length? range = null)
    {
        CoatSpan? near = Near(state, step, expectedAfterMove);
        Expectation plain = new()
        {
            Lower = near?.Least,
            Upper = near?.Most,
            Coat = Coat(state, step),
            MayBeNegative = step.From != step.Of,
            Range = range,
        };
        if (source is null or ReadingSource.Typed)
        {
            return plain;
        }

        List<(string Step, Reading Take)> instrument = [.. state.History
            .SelectMany(read => state.Readings[read].Takes.Select(take => (read, take)))
            .Where(taken => taken.take.Source == source)
            .OrderBy(taken => taken.take.At)];
        return instrument.Count == 0 ? plain : plain with
        {
            SittingUnit = instrument[0].Take.Unit,
            SittingResolution = instrument[^1].Take.Resolution,
            SittingResolutionUnit = instrument[^1].Take.Unit,
            Before = instrument[^1].Step == step.Id ? null : instrument[^1].Take.Value,
            MovedSince = movedSince,
        };
    }

    /// <summary>Where it should be: by its own rules, else near what the advice predicted, else beside the reading it is to equal.</summary>
    private static CoatSpan? Near(SittingState state, Step step, IReadOnlyDictionary<string, Length> expectedAfterMove)
    {
        if (Own(state.Plan, step) is { Least: { } least, Most: { } most })
        {
            return new CoatSpan(least, most);
        }

        Length within = state.Plan.Standard.Judging.Within;
        if (expectedAfterMove.TryGetValue(step.Id, out Length should))
        {
            return new CoatSpan(should - within, should + within);
        }

        return Beside(state, step, within);
    }

    /// <summary>What its rules allow beside the reading that it is compared with; null where that was not read yet.</summary>
    private static CoatSpan? Beside(SittingState state, Step step, Length within)
    {
        foreach (Relation relation in state.Plan.Relations.Where(relation => relation.Kind.ComparesReadings && relation.Of.Contains(step.Id)))
        {
            if (relation.Of.Where(other => other != step.Id).Select(state.Measured).OfType<Measured>().FirstOrDefault() is { Value: var beside, Uncertainty: > 0 })
            {
                Length apart = relation.Limits.Max(limits => limits.Upper) ?? within;
                Length value = beside.ToLength(Rounding.HalfEven);
                return new CoatSpan(value - apart, value + apart);
            }
        }

        return null;
    }

    /// <summary>What the step's own rules allow, all together; a side without a limit is null.</summary>
    private static (Length? Least, Length? Most)? Own(Plan plan, Step step)
    {
        List<(Length? Lower, Length? Upper)> limits = [.. plan.Relations
            .Where(relation => relation.JudgesEach && relation.Of.Contains(step.Id))
            .SelectMany(relation => relation.Limits.Select(limit => (limit.Lower - Nominals.Halves(plan.Relations, relation), limit.Upper - Nominals.Halves(plan.Relations, relation))))];
        return limits.Count == 0 ? null : (
            limits.Exists(limit => limit.Lower is null) ? null : limits.Min(limit => limit.Lower),
            limits.Exists(limit => limit.Upper is null) ? null : limits.Max(limit => limit.Upper));
    }

    /// <summary>
    /// What is possible on this coat: the limits of the step's own rules widened by their width and half an inch; where it has none, an inch about what the drawing shows, else from
    /// the item lying wholly over the near edge to the far edge of what it is read from. The second of a pair is not further from the first than an item half an inch off its place makes it. Null where the
    /// standard says none of it.
    /// </summary>
    private static CoatSpan? Coat(SittingState state, Step step)
    {
        (Length? least, Length? most) = Own(state.Plan, step) ?? (null, null);
        if (least is { } lower && most is { } upper)
        {
            Length margin = Astray + (upper - lower);
            return new CoatSpan(lower - margin, upper + margin);
        }

        CoatSpan? reach = Reach(state.Plan, step, least, most);
        return (Beside(state, step, state.Plan.Standard.Judging.Within) ?? Drawn(state.Plan, step)) is { } aim && reach is { } span
            && Length.Max(span.Least, aim.Least - Astray.Times(2)) is var from && Length.Min(span.Most, aim.Most + Astray.Times(2)) is var to && from <= to
            ? new CoatSpan(from, to)   // of a pair the one grows by what the other loses
            : reach;
    }

    private static CoatSpan? Drawn(Plan plan, Step step) => step.Of != step.From && new CoatLayout(plan).Drawn(step) is { } drawn ? new CoatSpan(drawn, drawn) : null;

    private static CoatSpan? Reach(Plan plan, Step step, Length? least, Length? most)
    {
        if (Reach(plan, step.Of) is not { } own)
        {
            return null;
        }

        if (step.Of == step.From)
        {
            return new CoatSpan(-Astray, own + Astray);
        }

        return Reach(plan, step.From) is { } other && (least ?? -own) - Astray is var from && (most ?? other + Astray) is var to && from <= to ? new CoatSpan(from, to) : null;
    }

    /// <summary>A bound of every length on an item or a landmark: the longer side and half of the shorter, which is more than any diagonal.</summary>
    private static Length? Reach(Plan plan, string name) =>
        (plan.Standard.FindItem(name)?.Size ?? plan.Standard.Landmarks.FirstOrDefault(landmark => landmark.Name == name)?.Size) is { } size
            ? Length.Max(size.Right, size.Up) + Length.Min(size.Right, size.Up).DividedBy(2, Rounding.Up)
            : null;
}
