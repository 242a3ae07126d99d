using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Running;

/// <summary>What readings should show after the advised moves were made, until each is taken again.</summary>
internal sealed class Foretold
{
    private readonly Dictionary<string, Length> _readings = [];

    /// <summary>The reading foretold for a step, or null.</summary>
    internal Length? Of(string step) => _readings.TryGetValue(step, out Length should) ? should : null;

    /// <summary>Takes in what happened; the advice is the one that stood when it did.</summary>
    internal void After(SittingEvent happened, Advice? advice)
    {
        switch (happened)
        {
            case SittingEvent.Moved moved:
                _readings.Clear();
                if (advice is not null && advice.Moves.Select(move => move.Item).ToHashSet().SetEquals(moved.Items))
                {
                    foreach ((string step, Length should) in advice.Moves.SelectMany(move => move.Should))
                    {
                        _readings[step] = should;
                    }
                }

                break;   // of other moves nothing is known
            case SittingEvent.Took took:
                _readings.Remove(took.Step);
                break;
            default:
                break;
        }
    }
}
