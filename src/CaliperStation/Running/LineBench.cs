using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>A bench in lines: asks, takes an answer a line, and refuses what cannot be taken; first and second measurements differ in what they tell.</summary>
internal abstract class LineBench(IPressSource caliper, LineReader input, IPlainFace face, TimeProvider clock)
{
    private readonly Doubts _doubts = new();

    /// <summary>What was measured so far.</summary>
    protected abstract SittingState State { get; }

    /// <summary>What is wanted.</summary>
    protected abstract Prompt Wanted { get; }

    /// <summary>Where everything is told.</summary>
    protected IPlainFace Face => face;

    /// <summary>Works until the record is filed, <c>stop</c>, the end of the input or a cancellation; gives the exit code.</summary>
    internal async Task<int> RunAsync(CancellationToken stop)
    {
        Begin();
        while (Wanted is not Prompt.Closed)
        {
            Ask();
            Answer answer = await input.ReadAsync(stop).ConfigureAwait(false) is { } line ? Answer.Of(line, State.Plan.Standard.Unit) : new Answer.Stop();
            if (answer is Answer.Stop)
            {
                return ExitCode.Interrupted;
            }

            try
            {
                await TakeAsync(answer, stop).ConfigureAwait(false);
            }
            catch (StoreException fault)
            {
                face.Refused($"not written, so it does not count: {fault.Message}");
            }
        }

        return Close();
    }

    /// <summary>Told before the first prompt.</summary>
    protected abstract void Begin();

    /// <summary>Tells what is wanted.</summary>
    protected abstract void Ask();

    /// <summary>Carries a command out; the refusal, or null when it was done and told.</summary>
    protected abstract string? Carry(SittingCommand command);

    /// <summary>The items that were moved when the answer names these.</summary>
    protected virtual IReadOnlyList<string> Moved(IReadOnlyList<string> named) => named;

    /// <summary>Files the record and tells how it ended; gives the exit code.</summary>
    protected abstract int Close();

    /// <summary>Tells the readings among the events, which are on the disk.</summary>
    protected void TellReadings(IEnumerable<SittingEvent> events)
    {
        foreach (SittingEvent.Took took in events.OfType<SittingEvent.Took>())
        {
            face.Reading(State.Plan.FindStep(took.Step)!, took.Reading, State.Readings[took.Step].Takes.Length);
        }
    }

    private async Task TakeAsync(Answer answer, CancellationToken stop)
    {
        switch (answer)
        {
            case Answer.Unreadable unreadable:
                face.Refused(unreadable.Why);
                break;
            case Answer.Press when Wanted is Prompt.Read read:
                PressResult press = await caliper.PressAsync(read.Step, stop).ConfigureAwait(false);
                Take(press.Reading, press.Refusal);
                break;
            case Answer.Press:
                face.Refused(Sitting.Wanted(Wanted));
                break;
            case Answer.Typed typed:
                Take(typed.Reading(SittingSession.Now(clock)), null);
                break;
            case var answered when answered.Command(Moved) is { } command:
                Do(command);
                break;
        }
    }

    private void Take(Reading? reading, string? refusal)
    {
        if (reading is null)
        {
            face.Refused(refusal ?? "there is no reading");
        }
        else if (Wanted is Prompt.Read read && _doubts.About(State, read.Step, reading, caliper.MovedSinceTaken) is { } doubt)
        {
            face.Refused(doubt);
        }
        else if (Do(new SittingCommand.Take(reading)))
        {
            caliper.Taken(reading);
        }
    }

    private bool Do(SittingCommand command)
    {
        if (Carry(command) is not { } refusal)
        {
            return true;
        }

        face.Refused(refusal);
        return false;
    }
}
