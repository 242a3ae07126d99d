using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;

namespace CaliperStation.Running;

/// <summary>The emulated caliper at the plain bench: it rests at the step's gap at once, so that a pipe need not wait for a hand.</summary>
internal sealed class EmulatedPress(EmulatedCaliper caliper, SyntheticBlouse blouse, TimeProvider clock) : IPressSource
{
    public bool MovedSinceTaken => true;   // a hand that is not there is never asked whether it moved

    public Task<PressResult> PressAsync(Step step, CancellationToken stop)
    {
        CaliperEvent.Value value = caliper.Settle(blouse.Gap(step.Id));
        return Task.FromResult(PressResult.Of(new Reading(
            value.Length, value.Unit, value.Resolution, ReadingSource.Emulated, SittingSession.Now(clock), value.Raw)));
    }

    public void Taken(Reading reading)
    {
    }
}
