using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Sittings;

/// <summary>One sitting driven by commands, with every event kept; whole numbers are micrometres.</summary>
internal sealed class SittingRun
{
    private static readonly DateTimeOffset Start = new(2026, 3, 1, 9, 0, 0, TimeSpan.Zero);

    private readonly SittingEvent.Started _started;

    internal SittingRun(Plan plan)
    {
        _started = new SittingEvent.Started("s-1", "QG-017", "AB", plan.Standard.Sha256, plan.Answers) { At = Start };
        State = Sitting.Begin(plan, _started);
        View = SittingView.Of(State);
    }

    internal SittingState State { get; private set; }

    internal SittingView View { get; private set; }

    internal List<SittingEvent> Events { get; } = [];

    internal Prompt Prompt => View.Prompt;

    /// <summary>The step asked for, or null when something else is wanted.</summary>
    internal string? Asked => (Prompt as Prompt.Read)?.Step.Id;

    /// <summary>The relation a further take is wanted for, or null.</summary>
    internal string? AskedAgainFor => (Prompt as Prompt.Read)?.Again?.Relation.Id;

    internal string[] Outside => Prompt is Prompt.Decide decide ? [.. decide.Outside.Select(judgement => judgement.Relation.Id)] : [];

    internal static Reading Reading(long micrometres, long resolution = 10) =>
        new(Length.FromMicrometres(micrometres), LengthUnit.Millimetre, Length.FromMicrometres(resolution), ReadingSource.Typed, Start, "typed");

    internal Decision Try(SittingCommand command)
    {
        Decision decision = Sitting.Decide(View, command, Start.AddSeconds(Events.Count + 1));
        foreach (SittingEvent happened in decision.Events)
        {
            State = Sitting.Apply(State, happened);
            Events.Add(happened);
        }

        View = SittingView.Of(State);
        return decision;
    }

    internal SittingRun Do(SittingCommand command)
    {
        Assert.Null(Try(command).Refusal);
        return this;
    }

    internal Refusal Refused(SittingCommand command)
    {
        SittingState before = State;
        Decision decision = Try(command);
        Assert.Empty(decision.Events);
        Assert.Equal(before, State);
        return Assert.IsType<Refusal>(decision.Refusal);
    }

    internal SittingRun Confirm() => Do(new SittingCommand.Confirm());

    internal SittingRun Take(params long[] micrometres) => micrometres.Aggregate(this, (run, value) => run.Do(new SittingCommand.Take(Reading(value))));

    internal SittingRun Retake(string? step = null) => Do(new SittingCommand.Retake(step));

    internal SittingRun Move(params string[] items) => Do(new SittingCommand.Move(items));

    internal SittingRun Aside(string reason = "told the tailor") => Do(new SittingCommand.Aside(reason));

    internal SittingRun Sign(string initials = "AB") => Do(new SittingCommand.Sign(initials));

    /// <summary>The state its events make from the beginning.</summary>
    internal SittingState Replayed() => Events.Aggregate(Sitting.Begin(State.Plan, _started), Sitting.Apply);
}
