using System.Collections.Immutable;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Sittings;

/// <summary>The sitting as two pure functions: state + command → events or a refusal; state + event → state.</summary>
/// <remarks>
/// The screen, the plain bench, replay after a crash and the tests all drive these two. Rules that may live here: which
/// command fits which prompt, and what an event changes. What the prompt is follows from the state, see
/// <see cref="SittingView"/>. Time comes in as a value; nothing here reads a clock, a file or a port.
/// <code>
/// prompt   | Confirm | Take | Retake | Move | Aside | Sign
/// Look     |   yes   |      |  yes*  | yes  |  yes‡ |
/// Read     |         | yes  |  yes*  | yes  |  yes† |
/// Decide   |         |      |  yes   | yes  |  yes  |
/// Sign     |         |      |  yes*  | yes  |       | yes
/// Closed   |         |      |        |      |       |
/// Before all is ready nothing is retaken or moved; a readiness line may be taken back before the first reading. A hand may take over, a tag be corrected and the sitting be given up at every prompt but Closed.
/// * when there is a reading to take again   † when a further take is wanted for a borderline judgement   ‡ when the look was answered no
/// </code>
/// </remarks>
public static class Sitting
{
    /// <summary>The state a sitting begins in. The plan must have been made from the event's own answers.</summary>
    public static SittingState Begin(Plan plan, SittingEvent.Started started) => new(plan, started);

    /// <summary>What a command comes to. A refused command changes nothing.</summary>
    /// <param name="view">What follows from the present state.</param>
    /// <param name="command">What is asked.</param>
    /// <param name="at">The present instant, UTC.</param>
    public static Decision Decide(SittingView view, SittingCommand command, DateTimeOffset at) => command switch
    {
        SittingCommand.Confirm => Confirm(view.Prompt, at),
        SittingCommand.NotSo => NotSo(view.Prompt, at),
        SittingCommand.Unconfirm unconfirm => Unconfirm(view, unconfirm, at),
        SittingCommand.Take take => Take(view, take, at),
        SittingCommand.Retake retake => Retake(view, retake, at),
        SittingCommand.Move move => Move(view, move, at),
        SittingCommand.Aside aside => Aside(view, aside, at),
        SittingCommand.Sign sign => Sign(view, sign, at),
        SittingCommand.TakeOver over => TakeOver(view, over, at),
        SittingCommand.CorrectTag tag => CorrectTag(view, tag, at),
        SittingCommand.Abandon abandon => Abandon(view, abandon, at),
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    /// <summary>What an event makes of a state.</summary>
    public static SittingState Apply(SittingState state, SittingEvent happened) => happened switch
    {
        SittingEvent.Started => throw new ArgumentException("A sitting begins once.", nameof(happened)),
        SittingEvent.Confirmed confirmed => state.With(
            confirmed: state.Confirmed.Add(new LookNote(confirmed.Line, confirmed.At)),
            standingNo: Without(state, confirmed.Line)),
        SittingEvent.NotSo not => state.With(
            notSo: state.NotSo.Add(new LookNote(not.Line, not.At)),
            standingNo: not.Line,
            begun: state.Begun.RemoveAll(begun => begun.Line == not.Line)),
        SittingEvent.Begun begun => state.With(begun: state.Begun.Add(new LookNote(begun.Line, begun.At))),
        SittingEvent.Unconfirmed unconfirmed => state.IsConfirmed(unconfirmed.Line)
            ? state.With(confirmed: state.Confirmed.RemoveAll(note => note.Line == unconfirmed.Line))
            : state.With(begun: state.Begun.RemoveAll(note => note.Line == unconfirmed.Line)),
        SittingEvent.Took took => Took(state, took),
        SittingEvent.Withdrew withdrew => state.With(
            readings: state.Readings.Remove(withdrew.Step),
            withdrawn: Withdrawn(state, [withdrew.Step], moved: false, withdrew.At),
            history: state.History.Remove(withdrew.Step),
            asides: Standing(state, [withdrew.Step])),
        SittingEvent.Moved moved => Moved(state, moved),
        SittingEvent.SetAside aside => state.With(standingNo: Without(state, aside.Relation), asides: state.Asides.Add(new AsideNote(aside.Relation, aside.Step, aside.Reason, aside.At))),
        SittingEvent.Signed signed => state.With(signed: signed),
        SittingEvent.HandChanged changed => state.With(hand: changed.Hand),
        SittingEvent.TagCorrected corrected => state.With(tag: corrected.Tag, tagCorrections: state.TagCorrections.Add(new TagNote(state.Tag, corrected.Reason, corrected.At))),
        SittingEvent.Abandoned abandoned => state.With(abandoned: abandoned),
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    /// <summary>What is wanted, in words for a refusal.</summary>
    public static string Wanted(Prompt prompt) => prompt switch
    {
        Prompt.See { Look: { IsReady: true } line } => $"confirm first: {line.Ask}",
        Prompt.See { IsNot: true } not => $"not so: {not.Look.Ask}; set it right and look again, move an item, or set it aside with a reason",
        Prompt.See look => $"look first: {look.Look.Ask}",
        Prompt.Read { Again: { } again } read => $"{Standard.WordsOf(again.Relation.Id)} is borderline: too near its limit to be told; take {read.Step.Name} once more, or move the item, or set it aside with a reason",
        Prompt.Read read => $"a reading is wanted: {read.Step.Ask}",
        Prompt.Decide decide => $"{Are([.. decide.Outside.Select(j => Standard.WordsOf(j.Relation.Id)).Distinct()])} {(decide.Outside[0].Verdict == Verdict.Outside ? "outside" : "borderline: too near the limit for this bench to tell, and further takes hardly help")}; retake, move an item, or set it aside with a reason",
        Prompt.Sign => "all is read; sign",
        Prompt.Closed => "this sitting is closed",
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    private static Decision Confirm(Prompt prompt, DateTimeOffset at) => prompt switch
    {
        Prompt.See { Look: { Wait: not null } look, Begun: null } => Decision.Of(new SittingEvent.Begun(look.Id) { At = at }),
        Prompt.See { Until: { } until } when at < until => Decision.Refused(RefusalKind.TooSoon, $"its time is not over: {Left(until - at)} more"),
        Prompt.See { Look: var look } => Decision.Of(new SittingEvent.Confirmed(look.Id) { At = at }),
        _ => Decision.Refused(RefusalKind.NothingToConfirm, prompt),
    };

    private static Decision NotSo(Prompt prompt, DateTimeOffset at) => prompt switch
    {
        Prompt.See { Look: { IsReady: true } line } => Decision.Refused(RefusalKind.ReadyFirst, $"see to it first: {line.Ask}"),
        Prompt.See { IsNot: true, Begun: null } => Decision.Refused(RefusalKind.DeniedAlready, prompt),
        Prompt.See { Look: var look } => Decision.Of(new SittingEvent.NotSo(look.Id) { At = at }),
        _ => Decision.Refused(RefusalKind.NothingToDeny, prompt),
    };

    private static Decision Unconfirm(SittingView view, SittingCommand.Unconfirm unconfirm, DateTimeOffset at)
    {
        SittingState state = view.State;
        bool isTooLate = view.Prompt is Prompt.Closed || (state.History.Count > 0 && state.Plan.Ready.Any(line => line.Id == unconfirm.Line));
        return isTooLate || (!state.IsConfirmed(unconfirm.Line) && state.BegunAt(unconfirm.Line) is null)
            ? Decision.Refused(RefusalKind.NotToTakeBack, view.Prompt)
            : Decision.Of(new SittingEvent.Unconfirmed(unconfirm.Line) { At = at });
    }

    /// <summary>How long, in words: whole minutes, in the last one seconds; never less than is left.</summary>
    public static string Left(TimeSpan left) => left > TimeSpan.FromMinutes(1)
        ? FormattableString.Invariant($"{Math.Ceiling(left.TotalMinutes):0} min")
        : FormattableString.Invariant($"{Math.Ceiling(Math.Max(0, left.TotalSeconds)):0} s");

    private static string Are(string[] rules) => rules.Length == 1 ? $"{rules[0]} is" : $"{string.Join(", ", rules)} are";

    private static Decision Take(SittingView view, SittingCommand.Take take, DateTimeOffset at)
    {
        Step? step = view.Prompt switch
        {
            Prompt.Read read when take.Step is null || take.Step == read.Step.Id => read.Step,
            Prompt.Decide when take.Step is { } named => view.Missing.FirstOrDefault(step => step.Id == named && view.MayRead(step)),
            _ => null,
        };
        if (step is null)
        {
            return Decision.Refused(RefusalKind.NoReadingNow, view.Prompt);
        }

        return IsDivisor(view.State.Plan, step.Id) && MeanWith(view.State, step.Id, take.Reading).Numerator == 0
            ? Decision.Refused(RefusalKind.DivisorIsZero, "nothing can be divided by 0: this reading, and its mean with the takes before it, must not be 0")
            : Decision.Of(new SittingEvent.Took(step.Id, take.Reading with { Hand = view.State.Hand, Arrived = default }) { At = at });
    }

    /// <summary>True when a share or an angle is taken over this step.</summary>
    private static bool IsDivisor(Plan plan, string step) => plan.Relations.Any(relation => relation.Kind.Divisor(relation) == step);

    private static ExactLength MeanWith(SittingState state, string step, Reading reading) =>
        ExactLength.Mean([.. Counting(state, step).Add(reading).Select(take => take.Value)]);

    private static Decision Retake(SittingView view, SittingCommand.Retake retake, DateTimeOffset at)
    {
        if (view.State.Signed is not null || view.State.Abandoned is not null || view.Prompt is Prompt.See { Look.IsReady: true })   // of what ends with its last reading, that one may yet be wrong
        {
            return Decision.Refused(RefusalKind.NothingToRetake, view.Prompt);
        }

        if (retake.Step is { } named)
        {
            return view.State.Counts(named)
                ? Decision.Of(new SittingEvent.Withdrew(named) { At = at })
                : Decision.Refused(NotRead(view.State, named));
        }

        return view.State.History.IsEmpty
            ? Decision.Refused(RefusalKind.NothingToRetake, view.Prompt)
            : Decision.Of(new SittingEvent.Withdrew(view.State.History[^1]) { At = at });
    }

    private static Decision Move(SittingView view, SittingCommand.Move move, DateTimeOffset at)
    {
        if (view.Prompt is Prompt.Closed or Prompt.See { Look.IsReady: true })
        {
            return Decision.Refused(RefusalKind.NothingMovesNow, view.Prompt);
        }

        Plan plan = view.State.Plan;
        string known = string.Join(", ", plan.Items.Select(item => item.Id));
        if (move.Items.Count == 0)
        {
            return Decision.Refused(RefusalKind.NoItem, $"say which item was moved: {known}");
        }

        string? unknown = move.Items.FirstOrDefault(item => plan.Items.All(worn => worn.Id != item));
        return unknown is null
            ? Decision.Of(new SittingEvent.Moved([.. move.Items.Distinct()]) { At = at })
            : Decision.Refused(RefusalKind.UnknownItem, $"there is no item \"{PrintableText.Escape(unknown)}\" on this blouse; say one or more of: {known}");
    }

    private static Decision Aside(SittingView view, SittingCommand.Aside aside, DateTimeOffset at)
    {
        IReadOnlyList<Judgement> held = view.Prompt switch
        {
            Prompt.Decide decide => decide.Outside,
            Prompt.Read { Again: { } again } => [again],
            _ => [],
        };
        string reason = aside.Reason.Trim();
        if (view.Prompt is Prompt.See { IsNot: true, Look: var look })
        {
            return FaultOf(reason, "aside") is { } wanting ? Decision.Refused(wanting) : Decision.Of(new SittingEvent.SetAside(look.Id, null, reason) { At = at });
        }

        return held.Count == 0 ? Decision.Refused(RefusalKind.NothingToSetAside, view.Prompt)
            : FaultOf(reason, "aside") is { } fault ? Decision.Refused(fault)
            : Decision.Of([.. held.Select(judgement => new SittingEvent.SetAside(judgement.Relation.Id, SittingView.AsideStep(judgement), reason) { At = at })]);
    }

    private static Decision Sign(SittingView view, SittingCommand.Sign sign, DateTimeOffset at) =>
        view.Prompt is not Prompt.Sign ? Decision.Refused(RefusalKind.NotToSignYet, view.Prompt)
        : Initials.Validate(sign.Initials) is { } fault ? Decision.Refused(RefusalKind.NoInitials, fault)
        : Decision.Of(new SittingEvent.Signed(Initials.Of(sign.Initials)) { At = at });

    private static Decision TakeOver(SittingView view, SittingCommand.TakeOver over, DateTimeOffset at) =>
        view.Prompt is Prompt.Closed ? Decision.Refused(RefusalKind.Closed, view.Prompt)
        : Initials.Validate(over.Hand) is { } fault ? Decision.Refused(RefusalKind.NoInitials, fault)
        : Initials.Same(over.Hand, view.State.Hand) ? Decision.Refused(RefusalKind.MeasuresAlready, $"{Initials.Of(over.Hand)} measures already")
        : Decision.Of(new SittingEvent.HandChanged(Initials.Of(over.Hand)) { At = at });

    private static Decision CorrectTag(SittingView view, SittingCommand.CorrectTag correct, DateTimeOffset at) =>
        view.Prompt is Prompt.Closed ? Decision.Refused(RefusalKind.Closed, view.Prompt)
        : BlouseTag.Validate(correct.Tag) is { } fault ? Decision.Refused(RefusalKind.NoTag, fault)
        : correct.Tag == view.State.Tag ? Decision.Refused(RefusalKind.SameTag, $"the tag is {view.State.Tag} already")
        : FaultOf(correct.Reason, "the new tag") is { } wanting ? Decision.Refused(wanting)
        : Decision.Of(new SittingEvent.TagCorrected(correct.Tag, correct.Reason.Trim()) { At = at });

    private static Decision Abandon(SittingView view, SittingCommand.Abandon abandon, DateTimeOffset at) =>
        view.Prompt is Prompt.Closed ? Decision.Refused(RefusalKind.Closed, view.Prompt)
        : FaultOf(abandon.Reason, "abandon") is { } wanting ? Decision.Refused(wanting)
        : Decision.Of(new SittingEvent.Abandoned(abandon.Reason.Trim()) { At = at });

    /// <summary>What is wrong with a reason said after a word, or null.</summary>
    public static string? ValidateReason(string reason, string after) => FaultOf(reason, after)?.Words;

    /// <summary>The same, typed.</summary>
    internal static Refusal? FaultOf(string reason, string after) => reason.Trim() switch
    {
        "" => new(RefusalKind.NoReason, $"say the reason after {after}: it is kept"),
        { Length: > MaxReasonLength } => new(RefusalKind.LongReason, $"the reason is longer than {MaxReasonLength} characters; say it shorter"),
        _ => null,
    };

    /// <summary>The refusal to take a step again that has no reading.</summary>
    internal static Refusal NotRead(SittingState state, string step) => new(
        RefusalKind.NotRead, $"\"{PrintableText.Escape(step)}\" has no reading to take again; read so far: {string.Join(", ", state.History.Select(state.Plan.Standard.StepName).DefaultIfEmpty("nothing"))}");

    private static SittingState Took(SittingState state, SittingEvent.Took took)
    {
        Reading reading = took.Reading.Hand.Length == 0 ? took.Reading with { Hand = state.Hand } : took.Reading;   // journals of before had one hand a sitting
        return state.With(
            readings: state.Readings.SetItem(took.Step, new StepReadings(Counting(state, took.Step).Add(reading), false)),
            history: state.History.Remove(took.Step).Add(took.Step),
            asides: Standing(state, [took.Step]),
            hands: reading.Hand.Length > 0 ? state.Hands.Add(reading.Hand) : state.Hands,
            practice: state.IsPractice || reading.IsPretended);
    }

    private static ImmutableArray<Reading> Counting(SittingState state, string step) =>
        state.Readings.GetValueOrDefault(step) is { IsStale: false } counting ? counting.Takes : [];

    private static SittingState Moved(SittingState state, SittingEvent.Moved moved)
    {
        IReadOnlyList<string> stale = StaleReadings.After(state.Plan, moved.Items);
        HashSet<string> again = [.. state.Plan.Looks.Where(look => IsAgain(state.Plan, look, moved.Items)).Select(look => look.Id)];
        return state.With(
            confirmed: state.Confirmed.RemoveAll(note => again.Contains(note.Line)),
            begun: state.Begun.RemoveAll(note => again.Contains(note.Line)),
            standingNo: again.Contains(state.StandingNo) ? "" : state.StandingNo,
            readings: state.Readings.SetItems(stale
                .Where(state.Readings.ContainsKey)
                .Select(step => KeyValuePair.Create(step, state.Readings[step] with { IsStale = true }))),
            withdrawn: Withdrawn(state, stale, moved: true, moved.At),
            history: state.History.RemoveAll(stale.Contains),
            asides: Standing(state, stale).RemoveAll(aside => again.Contains(aside.Relation)),
            moves: state.Moves.Add(new MoveNote([.. moved.Items], moved.At)));
    }

    private static string Without(SittingState state, string look) => state.StandingNo == look ? "" : state.StandingNo;

    /// <summary>True for a look after one of these items, a step of one, or all: it saw them where they no longer are.</summary>
    private static bool IsAgain(Plan plan, Look look, IReadOnlyList<string> items) =>
        look.Place.When == LookWhen.After && (plan.ItemOf(look) is not { } item || items.Contains(item));

    private static ImmutableList<WithdrawnNote> Withdrawn(SittingState state, IReadOnlyList<string> steps, bool moved, DateTimeOffset at) =>
        state.Withdrawn.AddRange(steps.Where(state.Counts).Select(step => new WithdrawnNote(step, moved, at, state.Readings[step].Takes)));

    /// <summary>
    /// The asides that stand when these steps lose or change their readings: what was set aside was another value, or
    /// was set aside under a rule that may not apply any more.
    /// </summary>
    private static ImmutableList<AsideNote> Standing(SittingState state, IReadOnlyList<string> steps)
    {
        if (state.Asides.IsEmpty)
        {
            return state.Asides;
        }

        HashSet<string> lost = [.. StaleReadings.LostJudgements(state.Plan, steps)];
        return state.Asides.RemoveAll(aside => state.Plan.Standard.FindRelation(aside.Relation) is { } relation && (
            (aside.Step is { } step ? relation.AddSteps.Prepend(step) : relation.Needs).Any(steps.Contains)
            || (relation.When?.Parts.OfType<ConditionPart.ValueIs>().Any(part => lost.Contains(part.Relation)) ?? false)));
    }

    private const int MaxReasonLength = 200;
}
