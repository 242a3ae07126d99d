using System.Threading.Channels;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;

namespace CaliperStation.Running;

/// <summary>A real caliper at the plain bench: a press waits for a steady value as long as a person would hold still.</summary>
internal sealed class WaitingPress(LiveCaliper live, TimeProvider clock) : IPressSource
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);   // the longest answer window among published instruments
    private static readonly TimeSpan LookAgain = TimeSpan.FromMilliseconds(20);

    private readonly Channel<CaliperEvent> _seen = Channel.CreateUnbounded<CaliperEvent>(new UnboundedChannelOptions { SingleReader = true });

    public bool MovedSinceTaken => live.MovedSinceTaken;

    /// <summary>Something the caliper did; from its task.</summary>
    internal void Post(CaliperEvent seen) => _seen.Writer.TryWrite(seen);

    public async Task<PressResult> PressAsync(Step step, CancellationToken stop)
    {
        long began = clock.GetTimestamp();
        while (true)
        {
            while (_seen.Reader.TryRead(out CaliperEvent? seen))
            {
                live.Saw(seen);
                if (live.OwnPress(seen, SittingSession.Now(clock)) is { } pressed)
                {
                    return PressResult.Of(pressed);
                }
            }

            PressResult result = live.OwnPress(null, SittingSession.Now(clock)) is { } lone ? PressResult.Of(lone) : live.Press(SittingSession.Now(clock));
            if (result.Reading is not null || clock.GetElapsedTime(began) >= Patience)
            {
                return result;
            }

            await Task.Delay(LookAgain, clock, stop).ConfigureAwait(false);
        }
    }

    public void Taken(Reading reading) => live.Taken(reading);
}
