using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Running;

/// <summary>The bench of a second measurement in lines: it asks and takes, and tells nothing of the first record until it is signed.</summary>
internal sealed class SecondBench(SecondSession session, Record first, IPressSource caliper, LineReader input, IPlainFace face, TimeProvider clock)
    : LineBench(caliper, input, face, clock)
{
    protected override SittingState State => Second.State;

    protected override Prompt Wanted => Second.Prompt;

    private SecondSitting Second => session.Sitting;

    protected override void Begin()
    {
        foreach (ReadyLine line in Wanted is Prompt.Closed ? [] : State.Plan.Ready)
        {
            Face.Remark($"before you begin: {line.Ask}{(line.Caution is { } caution ? $" ({caution})" : "")}");
        }
    }

    protected override void Ask()
    {
        IReadOnlyList<ChosenStep> steps = Second.Started.Steps;
        Face.Prompt(Wanted, steps.TakeWhile(step => State.Counts(step.Step)).Count() + 1, steps.Count);
    }

    protected override string? Carry(SittingCommand command)
    {
        Decision decision = session.Do(command);
        if (decision.Refusal is null)
        {
            TellReadings(decision.Events);
        }

        return decision.Refusal;
    }

    /// <summary>Files the record, and only then tells how it compares.</summary>
    protected override int Close()
    {
        Record record = session.File(first);
        foreach (RecordComparison comparison in record.Comparisons)
        {
            Face.Comparison(Second, comparison);
        }

        if (record.Kind == RecordKind.Recheck && !record.Agrees)
        {
            Face.Doubtful(RecordOfSecond.Doubtful(State.Plan, first, record.Comparisons));
        }

        Face.Closed(record);
        return record.Agrees ? ExitCode.Good : ExitCode.NotWithin;
    }
}
