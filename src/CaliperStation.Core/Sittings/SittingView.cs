using CaliperStation.Core.Judging;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Sittings;

/// <summary>What a sitting wants next.</summary>
public abstract record Prompt
{
    private Prompt()
    {
    }

    /// <summary>See to a readiness line or a look, and say whether it is so.</summary>
    /// <param name="Look">What must hold.</param>
    /// <param name="Begun">Since when its time runs, UTC; null when it has none or was not begun.</param>
    /// <param name="IsNot">True when it was answered no: it is set right and looked at again, or set aside.</param>
    public sealed record See(Look Look, DateTimeOffset? Begun, bool IsNot) : Prompt
    {
        /// <summary>When yes may be said, UTC; null when that hangs on no time.</summary>
        public DateTimeOffset? Until => Begun + Look.Wait;
    }

    /// <summary>Read a step; <paramref name="Again"/> names the borderline judgement a further take is wanted for, else null.</summary>
    public sealed record Read(Step Step, Judgement? Again) : Prompt;

    /// <summary>
    /// Something is outside, or borderline where no further take can tell it better: retake, move or set aside. <paramref name="Outside"/> holds
    /// all of one verdict: what is outside comes first. <paramref name="Last"/> is the step read last.
    /// </summary>
    public sealed record Decide(IReadOnlyList<Judgement> Outside, Step Last) : Prompt;

    /// <summary>All is read: sign.</summary>
    public sealed record Sign : Prompt;

    /// <summary>Nothing more.</summary>
    public sealed record Closed : Prompt;
}

/// <summary>What follows from a state: every judgement, what holds the work up, and what is wanted next.</summary>
/// <remarks>
/// The rules of going on:
/// 1. Readiness lines come first, in order.
/// 2. A judgement outside that is not set aside holds up everything.
/// 3. A borderline one that is not set aside holds up the steps of every item above the items it was read on, those
///    read from one of them, and the signature; what is wanted then is a further take, whose mean the bench can tell better.
/// 4. Where further takes can hardly help (see <see cref="FurtherTakes"/>), such a one is to be decided like what is outside: a pin
///    moved, or an aside.
/// 5. A look whose place is reached holds up everything after it until it is answered yes or set aside; one whose time runs holds up only what it comes before, what stands
///    on its item or is measured from it, and the signature.
/// 6. Else the first step in the order of work that applies and has no reading that counts.
/// </remarks>
public sealed class SittingView
{
    private SittingView(SittingState state, IReadOnlyList<Judgement> judgements, IReadOnlyList<Step> missing, Prompt prompt)
    {
        State = state;
        Judgements = judgements;
        Missing = missing;
        Prompt = prompt;
    }

    /// <summary>The state this follows from.</summary>
    public SittingState State { get; }

    /// <summary>Every judgement that can be given, in the order of the file.</summary>
    public IReadOnlyList<Judgement> Judgements { get; }

    /// <summary>Steps that apply, as far as can be told, and have no reading that counts, in the order of work.</summary>
    public IReadOnlyList<Step> Missing { get; }

    /// <summary>What is wanted next.</summary>
    public Prompt Prompt { get; }

    /// <summary>True when every judgement is within and nothing was set aside.</summary>
    public bool IsAllWithin => State.Asides.IsEmpty && Missing.Count == 0 && Judgements.All(judgement => judgement.Verdict == Verdict.Within)
        && State.Plan.Ready.Concat(State.Plan.Looks).All(look => State.IsConfirmed(look.Id));

    /// <summary>True when all is within and every reading was measured by a person.</summary>
    public bool IsVerified => IsAllWithin && !State.IsPractice;

    /// <summary>Judgements that are not within and were not set aside.</summary>
    public IEnumerable<Judgement> Open => Judgements.Where(judgement => judgement.Verdict != Verdict.Within && !IsAside(State, judgement));

    /// <summary>A view that judges nothing: what is to be read is given.</summary>
    public static SittingView Unjudged(SittingState state, IReadOnlyList<Step> missing, Prompt prompt) => new(state, [], missing, prompt);

    /// <summary>Works everything out anew.</summary>
    public static SittingView Of(SittingState state)
    {
        RelationEvaluation judged = new(state.Plan, state.Measured);
        List<Step> missing = [.. state.Plan.Steps.Where(step => !state.Counts(step.Id) && judged.Applies(step) != false)];
        return new SittingView(state, judged.All, missing, Next(state, judged, missing));
    }

    /// <summary>True when that judgement was set aside.</summary>
    public static bool IsAside(SittingState state, Judgement judgement) => state.Asides.Any(aside => aside.Relation == judgement.Relation.Id && aside.Step == AsideStep(judgement));

    /// <summary>The step an aside is kept under: the one read, for a relation that holds for each; else null.</summary>
    internal static string? AsideStep(Judgement judgement) => judgement.Relation.JudgesEach ? judgement.Steps[0] : null;

    private static Prompt Next(SittingState state, RelationEvaluation judged, List<Step> missing)
    {
        Plan plan = state.Plan;
        if (state.Signed is not null || state.Abandoned is not null)
        {
            return new Prompt.Closed();
        }

        if (plan.Ready.FirstOrDefault(line => !state.IsConfirmed(line.Id)) is { } line)
        {
            return LookAt(state, line);
        }

        List<Judgement> open = [.. judged.All.Where(judgement => judgement.Verdict != Verdict.Within && !IsAside(state, judgement))];
        List<Judgement> outside = [.. open.Where(judgement => judgement.Verdict == Verdict.Outside)];
        if (outside.Count > 0)
        {
            return new Prompt.Decide(outside, plan.FindStep(state.History[^1])!);   // whatever is outside was read
        }

        Step? next = missing.FirstOrDefault();
        List<Judgement> holding = [.. open.Where(judgement => next is null || HoldsUp(plan, judgement, next))];
        List<Judgement> lowest = [.. holding.Where(judgement => !judged.Deciding(judgement).Any(step => holding.Exists(other => HoldsUp(plan, other, plan.FindStep(step)!))))];
        lowest = lowest.Count > 0 ? lowest : holding;   // rules over several items may hold each other up
        Judgement? borderline = lowest.Find(judgement => FurtherTakes.Help(judged, judgement, step => state.Readings[step].Budget(plan.Standard.Judging)));
        return borderline is not null ? new Prompt.Read(FewestTakes(state, judged.Deciding(borderline)), borderline)
            : lowest.Count > 0 ? new Prompt.Decide(lowest, plan.FindStep(state.History[^1])!)
            : plan.Looks.FirstOrDefault(look => !state.IsSettled(look.Id) && HoldsUp(state, look, next)) is { } due ? LookAt(state, due)
            : next is not null ? new Prompt.Read(next, null)
            : new Prompt.Sign();
    }

    private static Prompt.See LookAt(SittingState state, Look look) => new(look, state.BegunAt(look.Id), state.IsNot(look.Id));

    private static bool HoldsUp(SittingState state, Look look, Step? next)
    {
        Plan plan = state.Plan;
        if (next is null)
        {
            return true;
        }

        string? item = plan.ItemOf(look);
        return plan.PositionOf(look) <= plan.PositionOf(next.Id) && (state.BegunAt(look.Id) is null || (item is not null && ((look.Place.When == LookWhen.Before && next.Of == item) || plan.StandsOn(next, item))));
    }

    /// <summary>True when a step may be read though something is outside: nothing that is not within holds it up.</summary>
    public bool MayRead(Step step) => !Open.Any(judgement => HoldsUp(State.Plan, judgement, step));

    private static bool HoldsUp(Plan plan, Judgement judgement, Step next)
    {
        foreach (string item in judgement.Steps.Select(step => plan.FindStep(step)!.Of).Distinct())
        {
            if (plan.StandsOn(next, item))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Of these steps the one with the fewest takes, the later one of equals: it is at hand.</summary>
    private static Step FewestTakes(SittingState state, IEnumerable<string> steps) => steps
        .OrderBy(step => state.Readings[step].Takes.Length)
        .ThenByDescending(state.Plan.PositionOf)
        .Select(step => state.Plan.FindStep(step)!)
        .First();
}
