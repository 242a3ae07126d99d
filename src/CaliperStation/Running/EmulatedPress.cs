using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;

namespace CaliperStation.Running;

/// <summary>The emulated caliper at the plain bench: it rests at the step's gap at once, so that a pipe need not wait for a hand.</summary>
/// <param name="caliper">The caliper.</param>
/// <param name="gap">What it finds at the step of that id.</param>
/// <param name="clock">The bench's time.</param>
internal sealed class EmulatedPress(EmulatedCaliper caliper, Func<string, Length> gap, TimeProvider clock) : IPressSource
{
    public bool MovedSinceTaken => true;   // a hand that is not there is never asked whether it moved

    public Task<PressResult> PressAsync(Step step, CancellationToken stop)
    {
        CaliperEvent.Value value = caliper.Settle(gap(step.Id));
        return Task.FromResult(PressResult.Of(new Reading(
            value.Length, value.Unit, value.Resolution, ReadingSource.Emulated, SittingSession.Now(clock), value.Raw)));
    }

    public void Taken(Reading reading)
    {
    }
}
