using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Records;

/// <summary>
/// A remeasurement as its events have made it: the chosen steps of a record, one take each, in the order of work.
/// Immutable. It knows nothing of the first record's values, so nothing of them can be seen before the signature.
/// </summary>
public sealed class Remeasurement
{
    private Remeasurement(RemeasurementStarted started, SittingState state)
    {
        Started = started;
        State = state;
    }

    /// <summary>How it began.</summary>
    public RemeasurementStarted Started { get; }

    /// <summary>Its readings and signature.</summary>
    public SittingState State { get; }

    /// <summary>As a sitting, with nothing judged.</summary>
    public SittingView View => SittingView.Unjudged(State, [.. Started.Steps.Where(step => !State.Counts(step.Step)).Select(step => State.Plan.FindStep(step.Step)!)], Prompt);

    /// <summary>What is wanted next: at a re-check first what is seen to after a touch-up; a reading, the signature, or nothing.</summary>
    public Prompt Prompt => State.Signed is not null || State.Abandoned is not null ? new Prompt.Closed()
        : Looks.FirstOrDefault(look => !State.IsConfirmed(look.Id)) is { } look ? new Prompt.See(look, State.BegunAt(look.Id), State.IsNot(look.Id))
        : Started.Steps.FirstOrDefault(step => !State.Counts(step.Step)) is { } next ? new Prompt.Read(State.Plan.FindStep(next.Step)!, null)
        : new Prompt.Sign();

    /// <summary>The state it begins in.</summary>
    /// <param name="plan">The plan of the first record.</param>
    /// <param name="started">The event.</param>
    /// <exception cref="ArgumentException">A chosen step is not in the plan.</exception>
    public static Remeasurement Begin(Plan plan, RemeasurementStarted started) => started.Steps.FirstOrDefault(step => plan.FindStep(step.Step) is null) is { } unknown
        ? throw new ArgumentException($"Step {unknown.Step} is not in the plan.", nameof(started))
        : new Remeasurement(started, Sitting.Begin(
            plan, new SittingEvent.Started(started.Sitting, started.Tag, started.Hand, started.StandardSha256, started.Answers) { At = started.At }));

    /// <summary>What a command comes to. A refused command changes nothing.</summary>
    public Decision Decide(SittingCommand command, DateTimeOffset at) => command switch
    {
        SittingCommand.Take take => Prompt is Prompt.Read read
            ? Decision.Of(new SittingEvent.Took(read.Step.Id, take.Reading with { Hand = State.Hand, Arrived = default }) { At = at })
            : Decision.Refused(RefusalKind.NoReadingNow, Prompt),
        SittingCommand.Retake retake => Retake(retake, at),
        SittingCommand.Sign sign => Sign(sign, at),
        SittingCommand.Confirm or SittingCommand.NotSo or SittingCommand.Unconfirm => Sitting.Decide(View, command, at),
        SittingCommand.Move => Decision.Refused(RefusalKind.NotInThisWork, $"nothing is moved while it is only measured again; stop, move it, and measure this blouse again: caliper-station measure STANDARD --tag {PrintableText.Escape(Started.Tag)}"),
        SittingCommand.Aside => Decision.Refused(RefusalKind.NotInThisWork, "nothing is set aside while it is only measured again: nothing is judged here"),
        SittingCommand.TakeOver => Decision.Refused(RefusalKind.NotInThisWork, "one hand takes a second measurement from beginning to end; another hand begins its own"),
        SittingCommand.CorrectTag => Decision.Refused(RefusalKind.NotInThisWork, "the tag is the first record's; if this is another blouse, abandon this measurement"),
        SittingCommand.Abandon abandon => Abandon(abandon, at),
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    /// <summary>What an event makes of it; null for an event that has no place in it.</summary>
    public Remeasurement? Apply(SittingEvent happened) => happened switch
    {
        SittingEvent.Took took when Started.Steps.Any(step => step.Step == took.Step) => new(Started, Sitting.Apply(State, took)),
        SittingEvent.Confirmed or SittingEvent.NotSo or SittingEvent.Begun or SittingEvent.Unconfirmed or SittingEvent.Withdrew or SittingEvent.Signed or SittingEvent.Abandoned => new(Started, Sitting.Apply(State, happened)),
        _ => null,
    };

    /// <summary>What is seen to before its readings.</summary>
    public IReadOnlyList<Look> Looks => Started.Kind == RecordKind.Recheck ? State.Plan.TouchUp : [];

    private Decision Retake(SittingCommand.Retake retake, DateTimeOffset at)
    {
        string? step = retake.Step ?? State.History.LastOrDefault();
        return Prompt is Prompt.Closed || step is null ? Decision.Refused(RefusalKind.NothingToRetake, Prompt)
            : State.Counts(step) ? Decision.Of(new SittingEvent.Withdrew(step) { At = at })
            : Decision.Refused(Sitting.NotRead(State, step));
    }

    private Decision Abandon(SittingCommand.Abandon abandon, DateTimeOffset at) =>
        Prompt is Prompt.Closed ? Decision.Refused(RefusalKind.Closed, Prompt)
        : Sitting.FaultOf(abandon.Reason, "abandon") is { } fault ? Decision.Refused(fault)
        : Decision.Of(new SittingEvent.Abandoned(abandon.Reason.Trim()) { At = at });

    private Decision Sign(SittingCommand.Sign sign, DateTimeOffset at) =>
        Prompt is not Prompt.Sign ? Decision.Refused(RefusalKind.NotToSignYet, Prompt)
        : Initials.Validate(sign.Initials) is { } fault ? Decision.Refused(RefusalKind.NoInitials, fault)
        : !Initials.Same(sign.Initials, Started.Hand) ? Decision.Refused(RefusalKind.OtherHand, $"who measured signs: the initials given at the start were {Started.Hand}")
        : Decision.Of(new SittingEvent.Signed(Initials.Of(sign.Initials)) { At = at });
}

/// <summary>Who is who, by initials.</summary>
public static class InitialsComparer
{
    /// <summary>True when these initials measured any of that record, also what was withdrawn since.</summary>
    public static bool Measured(Record record, string initials) => record.Hands
        .Concat(record.Readings.SelectMany(reading => reading.Takes.Select(take => take.Hand)))
        .Append(record.Hand)
        .Any(hand => Initials.Same(hand, initials));

    /// <summary>True when they measured any of it, or signed it: they may not countersign it.</summary>
    public static bool TookPart(Record record, string initials) => Measured(record, initials) || Initials.Same(record.SignedBy, initials);
}
