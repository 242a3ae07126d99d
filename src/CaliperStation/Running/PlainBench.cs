using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Running;

/// <summary>A full bench in lines: one prompt a line, one answer a line, for pipes, screen readers and serial consoles.</summary>
internal sealed class PlainBench(
    SittingSession session, IPressSource caliper, LineReader input, IPlainFace face, Func<SittingSession, string> file, TimeProvider clock)
    : LineBench(caliper, input, face, clock)
{
    private Prompt? _asked;

    /// <summary>The smallest move of a pin that a hand can do.</summary>
    internal Length SmallestMove { get; init; } = Length.HalfTick;

    protected override SittingState State => session.State;

    protected override Prompt Wanted => session.View.Prompt;

    protected override void Begin()
    {
        foreach (TooNarrow narrow in TooNarrow.In(State.Plan, TypedRule.Usual.DecimalMillimetre))
        {
            Face.Narrow(narrow);
        }

        if (Wanted is Prompt.Decide)
        {
            Advise();   // resumed where something was outside: the advice was on the screen then
        }
    }

    protected override void Ask()
    {
        if (Wanted is Prompt.Sign && _asked is not Prompt.Sign)
        {
            Summarize();
        }

        _asked = Wanted;
        Face.Prompt(session.View);
    }

    /// <summary>A move without a name is the advised one.</summary>
    protected override IReadOnlyList<string> Moved(IReadOnlyList<string> named) =>
        named.Count > 0 ? named : [.. BenchAdvice.Of(session.View, SmallestMove).Moves.Select(move => move.Item)];

    protected override string? Carry(SittingCommand command)
    {
        Outcome outcome = session.Do(command);
        if (outcome.Refusal is not null)
        {
            return outcome.Refusal;
        }

        TellReadings(outcome.Events);
        foreach (Judgement judgement in outcome.Verdicts)
        {
            Face.Verdict(judgement);
        }

        if (outcome.Stale.Count > 0)
        {
            Face.Stale(outcome.Stale);
        }

        if (outcome.Verdicts.Any(judgement => judgement.Verdict == Verdict.Outside))
        {
            Advise();
        }

        return null;
    }

    protected override int Close()
    {
        bool verified = session.View.IsVerified;
        Face.Closed(file(session), verified);
        return verified ? ExitCode.Good : ExitCode.NotWithin;
    }

    /// <summary>Where everything lies, before it is signed.</summary>
    private void Summarize()
    {
        foreach (ItemPose pose in BenchAdvice.Of(session.View, SmallestMove).Poses)
        {
            Face.Displaced(State.Plan, pose);
        }
    }

    private void Advise()
    {
        Advice advice = BenchAdvice.Of(session.View, SmallestMove);
        foreach (string step in advice.Doubtful)
        {
            Face.Remark($"{step} does not fit the other readings: measure this one again before any pin is moved");
        }

        foreach (string conflict in advice.Conflicts)
        {
            Face.Remark(conflict);
        }

        foreach (ItemMove move in advice.Moves)
        {
            Face.Advice(State.Plan, move);
        }
    }
}
