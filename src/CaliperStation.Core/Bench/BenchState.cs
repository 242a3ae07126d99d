using System.Collections.Immutable;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Bench;

/// <summary>How a bench is set.</summary>
public sealed record BenchSetup
{
    /// <summary>The smallest move of a pin that a hand can do; positive.</summary>
    public Length SmallestMove { get; init; } = Length.HalfTick;

    /// <summary>The unit of values that a caliper types without one; null for the standard's.</summary>
    public LengthUnit? KeyboardUnit { get; init; }

    /// <summary>What is said at the beginning: of the caliper, of assumed answers.</summary>
    public IReadOnlyList<string> Remarks { get; init; } = [];

    /// <summary>Usual reasons for setting something aside, most usual first; may be empty.</summary>
    public IReadOnlyList<string> Reasons { get; init; } = [];

    /// <summary>The port that a check of the caliper is kept under.</summary>
    public string Port { get; init; } = "";

    /// <summary>The hand that measures from here on; empty when not said.</summary>
    public string Hand { get; init; } = "";

    /// <summary>The sitting that goes on; null for one that begins.</summary>
    public Resume? Resume { get; init; }
}

/// <summary>An odd reading that is asked about.</summary>
/// <param name="Said">The question.</param>
/// <param name="IsFromCaliper">True when a move of the caliper makes it pointless.</param>
/// <param name="Typed">The ways to read what was typed, when that is the question; else null.</param>
public sealed record PendingWarning(Said.Warned Said, bool IsFromCaliper, TypedLength.Asked? Typed = null);

/// <summary>A request on its way.</summary>
/// <param name="At">When the caliper was asked.</param>
/// <param name="IsLate">True when its time is over: what may still come is nobody's.</param>
/// <param name="IsTold">True when it was said that an answer is waited for.</param>
public sealed record PendingRequest(TimeSpan At, bool IsLate, bool IsTold);

/// <summary>What a press did that a second one takes back.</summary>
internal abstract record Undo
{
    private Undo()
    {
    }

    /// <summary>A reading of this step was taken.</summary>
    internal sealed record Reading(string Step) : Undo;

    /// <summary>This readiness line or look was answered yes, or its time began.</summary>
    internal sealed record Confirmation(string Line) : Undo;

    /// <summary>A pin was said to be moved.</summary>
    internal sealed record Pin : Undo;

    /// <summary>A reason was offered.</summary>
    internal sealed record Offer : Undo;
}

/// <summary>The bench as what happened has made it. Immutable.</summary>
public sealed record BenchState
{
    internal BenchState(Work work, LiveCaliper caliper, BenchSetup setup)
    {
        Work = work;
        Caliper = caliper;
        Setup = setup;
    }

    /// <summary>What is worked on.</summary>
    public Work Work { get; init; }

    /// <summary>When something last came in, a tick too; UTC.</summary>
    public DateTimeOffset At { get; init; }

    /// <summary>The caliper.</summary>
    public LiveCaliper Caliper { get; init; }

    /// <summary>How the bench is set.</summary>
    public BenchSetup Setup { get; }

    /// <summary>What the readings say where something is held up, and before the signature; else null.</summary>
    public Advice? Advice { get; init; }

    /// <summary>The verdict told last, while its readings stand; or null.</summary>
    public Judgement? LastVerdict { get; init; }

    /// <summary>What readings should show after the advised moves were made, until each is taken again.</summary>
    public ImmutableDictionary<string, Length> ExpectedAfterMove { get; init; } = ImmutableDictionary<string, Length>.Empty;

    /// <summary>The odd reading that is asked about, or null.</summary>
    public PendingWarning? Warning { get; init; }

    /// <summary>The sitting of an earlier day of which it is asked whether this is the same coat, or null.</summary>
    public Resume? SameCoat { get; init; }

    /// <summary>Of the pins that are to be moved, how many were said to be.</summary>
    public int PinsMoved { get; init; }

    /// <summary>Which of the reasons of the setup is offered, or null.</summary>
    public int? Offered { get; init; }

    /// <summary>What is to be read on the screen, and since when.</summary>
    public (Said Said, TimeSpan Since)? Notice { get; init; }

    /// <summary>What is to be read after it, in this order.</summary>
    public ImmutableQueue<Said> NextNotices { get; init; } = [];

    /// <summary>The record that was filed.</summary>
    public Said.Closed? Closed { get; init; }

    /// <summary>How the bench was left, or null.</summary>
    public BenchEnd? End { get; init; }

    /// <summary>True while a press waits for a value: nothing else is to be answered yet.</summary>
    public bool IsBusy => Waiting is not null || Request is { IsLate: false } || IsFiling;

    internal PressGate Gate { get; init; }

    internal TimeSpan? SaidAt { get; init; }   // the key that ended what was typed may be held down: it then presses

    internal PressGate NotSoGate { get; init; }

    internal Undo? LastDone { get; init; }   // by a press: a second one soon after it takes it back

    /// <summary>When the press came that would take back what was done last; it counts when nothing follows it.</summary>
    internal TimeSpan? TakingBack { get; init; }

    internal bool AllMoved { get; init; }   // the last of the pins was said to be moved; that counts once it can no longer be taken back

    internal bool HeardPress { get; init; }   // what was heard last was a press, and no value of the caliper's own button: presses in a row are of one kind

    internal int InARow { get; init; }   // presses in a row since something was asked

    /// <summary>When the last of the presses came that would answer what is asked; it counts when nothing follows it.</summary>
    internal TimeSpan? Insisted { get; init; }

    /// <summary>Since when a press waits for a steady value, or for a request that may be made.</summary>
    internal TimeSpan? Waiting { get; init; }

    internal PendingRequest? Request { get; init; }

    internal TimeSpan? LastAsked { get; init; }   // for a while after it a value is an answer, perhaps a second one, and no press of the caliper's own button

    internal bool OwesAnswer { get; init; }   // a request was given up for good; should its answer come all the same, it is nobody's

    internal bool IsFiling { get; init; }

    internal string? Guided { get; init; }

    internal bool SummaryTold { get; init; }

    internal ImmutableHashSet<string> TimesOver { get; init; } = [];   // looks of which it was told

    internal bool IsOpening { get; init; } = true;   // nobody did anything yet

    /// <summary>What is wanted now.</summary>
    public Want Want
    {
        get
        {
            SittingView view = Work.View;
            Plan plan = view.State.Plan;
            Step? wanted = view.Prompt is Prompt.Decide ? Wanted(view) : null;
            Prompt prompt = wanted is null ? view.Prompt : new Prompt.Read(wanted, null);
            IReadOnlyList<string> steps = Work is Work.Remeasuring again ? [.. again.Remeasurement.Started.Steps.Select(step => step.Step)] : [.. plan.Steps.Select(step => step.Id)];
            int at = prompt is Prompt.Read read ? steps.ToList().IndexOf(read.Step.Id) + 1 : 0;
            return new Want(prompt, at, steps.Count)
            {
                Outside = wanted is not null && view.Prompt is Prompt.Decide decide ? decide.Outside : [],
                SameCoat = SameCoat,
                Pin = prompt is Prompt.Decide && Pins is { Count: > 0 } pins ? pins[Math.Min(PinsMoved, pins.Count - 1)] : null,
                Reason = Offered is { } offered ? Setup.Reasons[offered] : null,
                Warning = Warning?.Said,
                Hand = view.State.Hand,
                Left = prompt is Prompt.See { Until: { } until } && until > At ? until - At : null,
                Block = Work is Work.Checking check && prompt is Prompt.Read { Step.Id: var point } ? check.AskedAt(point) : null,
                IsJudged = Work is Work.Measuring,
            };
        }
    }

    /// <summary>The pins that are to be moved by the advice, item by item; those that stay are not among them.</summary>
    internal IReadOnlyList<AdvisedPin> Pins
    {
        get
        {
            (string Item, PinMove Pin)[] all = [.. (Advice?.Moves ?? []).SelectMany(move => move.Pins.Where(pin => pin.Moves).Select(pin => (move.Item, pin)))];
            return [.. all.Select((pin, at) => new AdvisedPin(pin.Item, pin.Pin, at + 1, all.Length))];
        }
    }

    /// <summary>The first reading that the advised move still needs; before it one below it that was withdrawn.</summary>
    private Step? Wanted(SittingView view)
    {
        Step? wanted = Advice?.Wanted.Select(id => view.Missing.FirstOrDefault(step => step.Id == id)).FirstOrDefault(step => step is not null);
        Step? first = wanted is null ? null : view.Missing.FirstOrDefault(step => view.State.Plan.StandsOn(wanted, step.Of)) ?? wanted;
        return first is not null && view.MayRead(first) ? first : null;
    }
}
