using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>A full bench in lines: one prompt a line, one answer a line, for pipes, screen readers and serial consoles.</summary>
internal sealed class PlainBench(
    SittingSession session, IPressSource caliper, LineReader input, IPlainFace face, Func<SittingSession, string> file, TimeProvider clock)
{
    private readonly Doubts _doubts = new();

    /// <summary>The smallest move of a pin that a hand can do.</summary>
    internal Length SmallestMove { get; init; } = Length.HalfTick;

    /// <summary>Works until the record is filed, <c>stop</c>, the end of the input or a cancellation; gives the exit code.</summary>
    internal async Task<int> RunAsync(CancellationToken stop)
    {
        foreach (TooNarrow narrow in TooNarrow.In(session.State.Plan, TypedRule.Usual.DecimalMillimetre))
        {
            face.Narrow(narrow);
        }

        if (session.View.Prompt is Prompt.Decide)
        {
            Advise();   // resumed where something was outside: the advice was on the screen then
        }

        Prompt? before = null;
        while (session.View.Prompt is not Prompt.Closed)
        {
            if (session.View.Prompt is Prompt.Sign && before is not Prompt.Sign)
            {
                Summarize();
            }

            before = session.View.Prompt;
            face.Prompt(session.View);
            string? line = await input.ReadAsync(stop).ConfigureAwait(false);
            if (line is null)
            {
                return ExitCode.Interrupted;
            }

            Answer answer = Answer.Of(line, session.State.Plan.Standard.Unit);
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

        bool verified = session.View.IsVerified;
        face.Closed(file(session), verified);
        return verified ? ExitCode.Good : ExitCode.NotWithin;
    }

    private async Task TakeAsync(Answer answer, CancellationToken stop)
    {
        switch (answer)
        {
            case Answer.Unreadable unreadable:
                face.Refused(unreadable.Why);
                break;
            case Answer.Press when session.View.Prompt is Prompt.Read read:
                PressResult press = await caliper.PressAsync(read.Step, stop).ConfigureAwait(false);
                Take(press.Reading, press.Refusal);
                break;
            case Answer.Press:
                face.Refused(Sitting.Wanted(session.View.Prompt));
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
                Do(new SittingCommand.Move(moved.Items.Count > 0 ? moved.Items : [.. BenchAdvice.Of(session.View, SmallestMove).Moves.Select(move => move.Item)]));
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
        else if (_doubts.About(session.View, reading, caliper.MovedSinceTaken) is { } doubt)
        {
            face.Refused(doubt);
        }
        else
        {
            Do(new SittingCommand.Take(reading));
            caliper.Taken(reading);
        }
    }

    private void Do(SittingCommand command)
    {
        Outcome outcome = session.Do(command);
        if (outcome.Refusal is { } refusal)
        {
            face.Refused(refusal);
            return;
        }

        foreach (SittingEvent.Took took in outcome.Events.OfType<SittingEvent.Took>())
        {
            face.Reading(session.State.Plan.FindStep(took.Step)!, took.Reading, session.State.Readings[took.Step].Takes.Length);
        }

        foreach (Judgement judgement in outcome.Verdicts)
        {
            face.Verdict(judgement);
        }

        if (outcome.Stale.Count > 0)
        {
            face.Stale(outcome.Stale);
        }

        if (outcome.Verdicts.Any(judgement => judgement.Verdict == Verdict.Outside))
        {
            Advise();
        }
    }

    /// <summary>Where everything lies, before it is signed.</summary>
    private void Summarize()
    {
        foreach (ItemPose pose in BenchAdvice.Of(session.View, SmallestMove).Poses)
        {
            face.Displaced(session.State.Plan, pose);
        }
    }

    private void Advise()
    {
        Advice advice = BenchAdvice.Of(session.View, SmallestMove);
        foreach (string step in advice.Doubtful)
        {
            face.Remark($"{step} does not fit the other readings: measure this one again before any pin is moved");
        }

        foreach (string conflict in advice.Conflicts)
        {
            face.Remark(conflict);
        }

        foreach (ItemMove move in advice.Moves)
        {
            face.Advice(session.State.Plan, move);
        }
    }
}
