using System.Globalization;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>What one command came to, once it is on the disk.</summary>
/// <param name="Events">The events; empty when refused.</param>
/// <param name="Refusal">Why it was refused, or null.</param>
/// <param name="Verdicts">Judgements that these events brought about or changed, in the order of the file.</param>
/// <param name="Stale">Steps whose readings these events made stale, in the order of work.</param>
internal sealed record Outcome(
    IReadOnlyList<SittingEvent> Events, string? Refusal, IReadOnlyList<Judgement> Verdicts, IReadOnlyList<string> Stale);

/// <summary>A sitting tied to the journal: an event counts only when it is on the disk.</summary>
internal sealed class SittingSession
{
    private readonly IJournal _journal;
    private readonly TimeProvider _clock;

    private SittingSession(IJournal journal, TimeProvider clock, SittingState state)
    {
        _journal = journal;
        _clock = clock;
        View = SittingView.Of(state);
    }

    /// <summary>What follows from the present state.</summary>
    internal SittingView View { get; private set; }

    internal SittingState State => View.State;

    internal string Id => State.Started.Sitting;

    /// <summary>Begins a new sitting.</summary>
    /// <exception cref="StoreException">It could not be written.</exception>
    internal static SittingSession Begin(IJournal journal, TimeProvider clock, Plan plan, string tag, string hand)
    {
        DateTimeOffset now = Now(clock);
        string id = NewId(now, tag);
        SittingEvent.Started started = new(id, tag, hand, plan.Standard.Sha256, plan.Answers) { At = now };
        journal.Append(now, id, SittingEventJson.Kind(started), SittingEventJson.Body(started));
        return new SittingSession(journal, clock, Sitting.Begin(plan, started));
    }

    /// <summary>Goes on where the events end.</summary>
    internal static SittingSession Resume(IJournal journal, TimeProvider clock, Plan plan, SittingEvent.Started started, IEnumerable<SittingEvent> events) =>
        new(journal, clock, events.Aggregate(Sitting.Begin(plan, started), Sitting.Apply));

    /// <summary>The id of what begins now.</summary>
    internal static string NewId(DateTimeOffset now, string tag) =>
        $"{now.UtcDateTime.ToString("yyyyMMdd'T'HHmmss", CultureInfo.InvariantCulture)}{now.Millisecond:000}Z-{tag}";

    /// <summary>The present instant as events keep it: whole milliseconds, UTC.</summary>
    internal static DateTimeOffset Now(TimeProvider clock) => DateTimeOffset.FromUnixTimeMilliseconds(clock.GetUtcNow().ToUnixTimeMilliseconds());

    /// <summary>Does one command: decided, written and flushed, then applied.</summary>
    /// <exception cref="StoreException">An event could not be written; it and those after it did not happen.</exception>
    internal Outcome Do(SittingCommand command)
    {
        Decision decision = Sitting.Decide(View, command, Now(_clock));
        if (decision.Refusal is { } refusal)
        {
            return new Outcome([], refusal, [], []);
        }

        SittingView before = View;
        foreach (SittingEvent happened in decision.Events)
        {
            _journal.Append(happened.At, Id, SittingEventJson.Kind(happened), SittingEventJson.Body(happened));
            View = SittingView.Of(Sitting.Apply(State, happened));
        }

        return new Outcome(decision.Events, null, Changed(before, View), NewlyStale(before.State, View.State));
    }

    private static List<Judgement> Changed(SittingView before, SittingView after) =>
        [.. after.Judgements.Where(now => !before.Judgements.Any(then =>
            then.Relation.Id == now.Relation.Id && then.Steps[0] == now.Steps[0] && then.Exact == now.Exact
            && then.Value.Equals(now.Value) && then.Uncertainty.Equals(now.Uncertainty)))];

    private static List<string> NewlyStale(SittingState before, SittingState after) =>
        [.. after.Plan.Steps.Select(step => step.Id).Where(id =>
            after.Readings.GetValueOrDefault(id) is { IsStale: true } && before.Readings.GetValueOrDefault(id) is { IsStale: false })];
}
