using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>The bench of a second measurement in lines: it asks and takes, and tells nothing of the first record until it is signed.</summary>
internal sealed class SecondBench(SecondSession session, Record first, IPressSource caliper, LineReader input, IPlainFace face, TimeProvider clock)
{
    private readonly Doubts _doubts = new();

    private SecondSitting Sitting => session.Sitting;

    /// <summary>Works until the record is filed, <c>stop</c>, the end of the input or a cancellation; gives the exit code.</summary>
    internal async Task<int> RunAsync(CancellationToken stop)
    {
        foreach (ReadyLine line in Sitting.Prompt is Prompt.Closed ? [] : Sitting.State.Plan.Ready)
        {
            face.Remark($"before you begin: {line.Ask}{(line.Caution is { } caution ? $" ({caution})" : "")}");
        }

        while (Sitting.Prompt is not Prompt.Closed)
        {
            IReadOnlyList<ChosenStep> steps = Sitting.Started.Steps;
            face.Prompt(Sitting.Prompt, steps.TakeWhile(step => Sitting.State.Counts(step.Step)).Count() + 1, steps.Count);
            if (await input.ReadAsync(stop).ConfigureAwait(false) is not { } line)
            {
                return ExitCode.Interrupted;
            }

            Answer answer = Answer.Of(line, Sitting.State.Plan.Standard.Unit);
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

    private async Task TakeAsync(Answer answer, CancellationToken stop)
    {
        switch (answer)
        {
            case Answer.Unreadable unreadable:
                face.Refused(unreadable.Why);
                break;
            case Answer.Press when Sitting.Prompt is Prompt.Read read:
                PressResult press = await caliper.PressAsync(read.Step, stop).ConfigureAwait(false);
                Take(press.Reading, press.Refusal);
                break;
            case Answer.Press:
                face.Refused(Core.Sittings.Sitting.Wanted(Sitting.Prompt));
                break;
            case Answer.Typed typed:
                Take(typed.Reading(SittingSession.Now(clock)), null);
                break;
            case Answer.Ok:
                Do(new SittingCommand.Confirm());
                break;
            case Answer.Retake retake:
                Do(new SittingCommand.Retake(retake.Step));
                break;
            case Answer.Moved moved:
                Do(new SittingCommand.Move(moved.Items));
                break;
            case Answer.Aside aside:
                Do(new SittingCommand.Aside(aside.Reason));
                break;
            case Answer.Sign sign:
                Do(new SittingCommand.Sign(sign.Initials));
                break;
        }
    }

    private void Take(Reading? reading, string? refusal)
    {
        if (reading is null)
        {
            face.Refused(refusal ?? "there is no reading");
        }
        else if (Sitting.Prompt is Prompt.Read read && _doubts.About(Sitting.State, read.Step, reading, caliper.MovedSinceTaken) is { } doubt)
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
        Decision decision = session.Do(command);
        if (decision.Refusal is { } refusal)
        {
            face.Refused(refusal);
            return false;
        }

        foreach (SittingEvent.Took took in decision.Events.OfType<SittingEvent.Took>())
        {
            face.Reading(Sitting.State.Plan.FindStep(took.Step)!, took.Reading, Sitting.State.Readings[took.Step].Takes.Length);
        }

        return true;
    }

    /// <summary>Files the record, and only then tells how it compares.</summary>
    private int Close()
    {
        Record record = session.File(first);
        foreach (RecordComparison comparison in record.Comparisons)
        {
            face.Comparison(Sitting, comparison);
        }

        if (record.Kind == RecordKind.Recheck && !record.Verified)
        {
            face.Doubtful(RecordOfSecond.Doubtful(Sitting.State.Plan, first, record.Comparisons));
        }

        face.Closed(record);
        return record.Verified ? ExitCode.Good : ExitCode.NotWithin;
    }
}
