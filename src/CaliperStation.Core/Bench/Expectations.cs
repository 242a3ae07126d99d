using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Bench;

/// <summary>What can be expected of the next reading of a step.</summary>
internal static class Expectations
{
    internal static Expectation Of(SittingState state, Step step, Reading reading, bool movedSince)
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
