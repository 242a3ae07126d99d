using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Running;

/// <summary>
/// Asks about an odd reading before it is taken: the same answer given again takes it.
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
        Doubt? doubt = Plausibility.Of(reading, Expectations.Of(state, step, System.Collections.Immutable.ImmutableDictionary<string, Length>.Empty, reading.Source, movedSince));
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
}
