using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;

namespace CaliperStation.Running;

/// <summary>A real caliper at the plain bench: a press waits for a steady value as long as a person would hold still.</summary>
/// <remarks>Its loss and return are told on standard error at once, between the lines of the bench.</remarks>
internal sealed class WaitingPress(LiveCaliper live, TimeProvider clock, TextWriter error, Action? pressed = null) : IPressSource
{
    private static readonly TimeSpan Patience = LiveCaliper.Window;
    private static readonly TimeSpan LookAgain = TimeSpan.FromMilliseconds(20);

    private readonly Lock _gate = new();
    private Reading? _pressed;

    public bool MovedSinceTaken
    {
        get
        {
            lock (_gate)
            {
                return live.MovedSinceTaken;
            }
        }
    }

    /// <summary>Something the caliper did; from its task.</summary>
    internal void Post(CaliperEvent seen)
    {
        string? said;
        lock (_gate)
        {
            said = live.Saw(seen);
            _pressed = live.Answer(seen, SittingSession.Now(clock)) ?? live.OwnPress(seen, SittingSession.Now(clock)) ?? _pressed;
        }

        if (seen is CaliperEvent.Press)
        {
            pressed?.Invoke();
        }

        if (said is not null && seen is (CaliperEvent.Lost or CaliperEvent.Opened or CaliperEvent.Noted))
        {
            error.WriteLine(PrintableText.Escape(said));
        }
    }

    public async Task<PressResult> PressAsync(Step step, CancellationToken stop)
    {
        long began = clock.GetTimestamp();
        if (Ask() is { } refusal)
        {
            return PressResult.Refused(refusal);
        }

        while (true)
        {
            PressResult result = Look();
            if (result.Reading is not null || clock.GetElapsedTime(began) > Patience)
            {
                return result;
            }

            await Task.Delay(LookAgain, clock, stop).ConfigureAwait(false);
        }
    }

    public void Taken(Reading reading)
    {
        lock (_gate)
        {
            live.Taken(reading);
        }
    }

    /// <summary>Asks a caliper that wants to be asked; gives why it cannot be, or null.</summary>
    private string? Ask()
    {
        lock (_gate)
        {
            if (!live.Asks)
            {
                return null;
            }

            _pressed = null;   // nothing from before the question is its answer
            (bool sent, string words) = live.Ask();
            return sent ? null : words;
        }
    }

    private PressResult Look()
    {
        lock (_gate)
        {
            DateTimeOffset now = SittingSession.Now(clock);
            if ((_pressed ?? live.OwnPress(null, now)) is { } own && now - own.At <= Patience)
            {
                _pressed = null;
                return PressResult.Of(own);   // the caliper's own button answered
            }

            return live.Asks ? PressResult.Refused(live.Unanswered() ?? "The caliper gave no reading.") : live.Press(now);
        }
    }
}
