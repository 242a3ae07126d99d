using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Running;

/// <summary>A real caliper at the plain bench: a press waits for a steady value as long as a person would hold still.</summary>
/// <remarks>Its loss and return are told on standard error at once, between the lines of the bench.</remarks>
internal sealed class WaitingPress(LiveCaliper live, TimeProvider clock, TextWriter error, Action? pressed = null) : IPressSource
{
    private static readonly TimeSpan Patience = LiveCaliper.Window;
    private static readonly TimeSpan LookAgain = TimeSpan.FromMilliseconds(20);

    private readonly Lock _gate = new();
    private readonly PressGate _presses = new();
    private readonly HashSet<string> _toldBad = [];
    private Reading? _pressed;
    private string? _ended;   // why a press that waits need not wait longer
    private TaskCompletionSource _happened = new(TaskCreationOptions.RunContinuationsAsynchronously);

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
        bool isPress;
        lock (_gate)
        {
            said = live.Saw(seen);
            _pressed = live.Answer(seen, SittingSession.Now(clock)) ?? live.OwnPress(seen, SittingSession.Now(clock)) ?? _pressed;
            _ended = seen is CaliperEvent.Lost || (seen is CaliperEvent.Refused && live.Asks) ? said : _ended;
            isPress = seen is CaliperEvent.Press && _presses.Accept(clock.GetElapsedTime(0));
            _happened.TrySetResult();
        }

        if (isPress)
        {
            pressed?.Invoke();
        }

        if (said is not null && IsToldAtOnce(seen))
        {
            error.WriteLine(PrintableText.Escape(said));
        }
    }

    /// <summary>A bad frame is told once for each reason, not at each of ten a second; a press tells it again.</summary>
    private bool IsToldAtOnce(CaliperEvent seen)
    {
        if (seen is CaliperEvent.Opened)
        {
            _toldBad.Clear();
        }

        return seen is CaliperEvent.Lost or CaliperEvent.Opened or CaliperEvent.Noted || (seen is CaliperEvent.Refused bad && _toldBad.Add(bad.Words));
    }

    public async Task<PressResult> PressAsync(Step step, CancellationToken stop)
    {
        long began = clock.GetTimestamp();
        for (Task next = Next(); IsOpening && clock.GetElapsedTime(began) <= Patience; next = Next())
        {
            await WaitAsync(next, stop).ConfigureAwait(false);
        }

        if (Begin() is { } refusal)
        {
            return PressResult.Refused(refusal);
        }

        began = clock.GetTimestamp();
        while (true)
        {
            Task next = Next();
            PressResult result = Look(out bool ended);
            if (ended || clock.GetElapsedTime(began) > Patience)
            {
                return result;
            }

            await WaitAsync(next, stop).ConfigureAwait(false);
        }
    }

    public void Taken(Reading reading)
    {
        lock (_gate)
        {
            live.Taken(reading);
        }
    }

    /// <summary>Done when the caliper does something more. Ask for it before looking, so that nothing falls between.</summary>
    private Task Next()
    {
        lock (_gate)
        {
            _happened = _happened.Task.IsCompleted ? new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously) : _happened;
            return _happened.Task;
        }
    }

    /// <summary>Waits for it, but not long: a value becomes steady, or a press of its own, by mere time.</summary>
    private async Task WaitAsync(Task next, CancellationToken stop)
    {
        await Task.WhenAny(next, Task.Delay(LookAgain, clock, stop)).ConfigureAwait(false);
        stop.ThrowIfCancellationRequested();
    }

    private bool IsOpening
    {
        get
        {
            lock (_gate)
            {
                return live.IsOpening;
            }
        }
    }

    /// <summary>Begins to wait, and asks a caliper that wants to be asked; gives why it cannot be, or null.</summary>
    private string? Begin()
    {
        lock (_gate)
        {
            _ended = null;
            if (!live.Asks)
            {
                return null;
            }

            _pressed = null;   // nothing from before the question is its answer
            (bool sent, string words) = live.Ask();
            return sent ? null : words;
        }
    }

    private PressResult Look(out bool ended)
    {
        lock (_gate)
        {
            ended = true;
            DateTimeOffset now = SittingSession.Now(clock);
            if ((_pressed ?? live.OwnPress(null, now)) is { } own && now - own.At <= Patience)
            {
                _pressed = null;
                return PressResult.Of(own);   // the caliper's own button answered
            }

            if ((_ended ?? live.Unanswered()) is { } why)
            {
                return PressResult.Refused(why);
            }

            PressResult steady = live.Asks ? PressResult.Refused(LiveCaliper.Silence) : live.Press(now);
            ended = steady.Reading is not null;
            return steady;
        }
    }
}
