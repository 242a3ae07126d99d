using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;

namespace CaliperStation.Running;

/// <summary>The emulated caliper at the plain bench: it rests at the step's gap at once, so that a pipe need not wait for a hand.</summary>
/// <param name="caliper">The caliper.</param>
/// <param name="gap">What it finds at the step of that id.</param>
internal sealed class EmulatedPress(EmulatedCaliper caliper, Func<string, Length> gap) : IPressSource
{
    public bool MovedSinceTaken => true;   // a hand that is not there is never asked whether it moved

    public Task<PressResult> PressAsync(Step step, CancellationToken stop)
    {
        return Task.FromResult(PressResult.Of(caliper.Settle(gap(step.Id)).Reading with { Arrived = TimeSpan.Zero }));
    }

    public void Taken(Reading reading)
    {
    }
}
