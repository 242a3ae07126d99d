using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Running;

/// <summary>
/// Asks about an odd reading before it is taken: the same answer given again takes it. A fraction or ticks typed by hand
/// are not asked about, for no digit and no unit is lost on a rule.
/// </summary>
internal sealed class Doubts
{
    private static readonly Length SameHold = Length.FromMicrometres(50);   // what counts as held still: the second press reads the same gap

    private (string Step, DoubtKind Kind, Length Value)? _asked;

    /// <summary>What to ask, or null when the reading is to be taken.</summary>
    /// <param name="state">What was measured so far.</param>
    /// <param name="step">The step that is to be read.</param>
    /// <param name="reading">The reading.</param>
    /// <param name="movedSince">True when the caliper was seen to move since the last reading.</param>
    internal string? About(SittingState state, Step step, Reading reading, bool movedSince)
    {
        Doubt? doubt = Plausibility.Of(new Sample(reading.Value, reading.Unit, reading.Resolution, default), Expected(state, step, reading, movedSince));
        if (doubt is null)
        {
            _asked = null;
            return null;
        }

        if (_asked is { } asked && asked.Step == step.Id && asked.Kind == doubt.Kind && (asked.Value - reading.Value).Abs() <= SameHold)
        {
            _asked = null;
            return null;
        }

        _asked = (step.Id, doubt.Kind, reading.Value);
        return $"{doubt.Words} Given again, it is taken.";
    }

    private static Expectation Expected(SittingState state, Step step, Reading reading, bool movedSince)
    {
        Expectation plain = new() { MayBeNegative = step.From != step.Of };
        bool offRule = reading.Source == ReadingSource.Typed && reading.Resolution >= Length.HalfTick;
        if (offRule)
        {
            return plain;
        }

        List<Limits> limits = [.. state.Plan.Relations.Where(relation => relation.HoldsForEach && relation.Kind != RelationKind.Pitch && relation.Of.Contains(step.Id)).SelectMany(relation => relation.Limits)];
        plain = limits.Count == 0 || limits.Exists(limit => limit.Lower is null || limit.Upper is null)
            ? plain
            : plain with { Lower = limits.Min(limit => limit.Lower!.Value), Upper = limits.Max(limit => limit.Upper!.Value) };
        if (reading.Source == ReadingSource.Typed)
        {
            return plain;
        }

        List<(string Step, Reading Take)> instrument = [.. state.History
            .SelectMany(read => state.Readings[read].Takes.Select(take => (read, take)))
            .Where(taken => taken.take.Source == reading.Source)
            .OrderBy(taken => taken.take.At)];
        return instrument.Count == 0 ? plain : plain with
        {
            SittingUnit = instrument[0].Take.Unit,
            SittingResolution = instrument[^1].Take.Unit == reading.Unit ? instrument[^1].Take.Resolution : null,
            Before = instrument[^1].Step == step.Id ? null : instrument[^1].Take.Value,
            MovedSince = movedSince,
        };
    }
}
