using System.Diagnostics;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Bench;

/// <summary>Something that can be done at the bench.</summary>
public enum Act
{
    /// <summary>A press: the obvious next thing.</summary>
    Press,

    /// <summary>A length is typed.</summary>
    Type,

    /// <summary>Yes to what is asked.</summary>
    Yes,

    /// <summary>No to what is asked.</summary>
    No,

    /// <summary>What was done last is taken back.</summary>
    Undo,

    /// <summary>A reading is taken again.</summary>
    Retake,

    /// <summary>Items were moved.</summary>
    Moved,

    /// <summary>Go on though something is not within.</summary>
    Aside,

    /// <summary>Sign and close.</summary>
    Sign,

    /// <summary>Another hand measures.</summary>
    Hand,

    /// <summary>The tag is corrected.</summary>
    Tag,

    /// <summary>The work is given up.</summary>
    Abandon,

    /// <summary>Leave; resume later.</summary>
    Stop,
}

/// <summary>Something that can be done now, and would not be refused.</summary>
/// <param name="Act">What.</param>
/// <param name="Does">In few words, for a row of keys.</param>
/// <param name="Means">In a line, for a page of help.</param>
public sealed record Offer(Act Act, string Does, string Means)
{
    /// <summary>What is typed for it; empty for what has no word.</summary>
    public string Word { get; init; } = "";

    /// <summary>What a person has to say after the word, such as <c>REASON</c>; empty for nothing.</summary>
    public string Takes { get; init; } = "";

    /// <summary>What may be said after the word, each with its name; empty where nothing is to be chosen.</summary>
    public IReadOnlyList<(string Said, string Name)> Choices { get; init; } = [];

    /// <summary>How a line says it.</summary>
    public string Said => Act switch
    {
        Act.Press => "an empty line",
        Act.Type => "a length",
        _ => $"{Word} {Takes}".Trim(),
    };

    /// <summary>True when the second switch does it.</summary>
    public bool IsNotSo { get; init; }
}

/// <summary>What can be done now: the row of keys, the page of help and the clicks are all made of this.</summary>
/// <remarks>Whether a command would be refused is asked of the work itself, so that nothing is offered that does not work.</remarks>
public static class Offers
{
    /// <summary>All of it, most needed first.</summary>
    public static IReadOnlyList<Offer> Of(BenchState state)
    {
        if (state.End is not null)
        {
            return [];
        }

        Want want = state.Want;
        IEnumerable<Offer?> all =
            want.SameCoat is not null ? [Say(Act.Yes, "yes, the same", "this is the same coat; three quick presses say it too"), NotSo(Say(Act.No, "not this coat", "leave, and choose the right one")), .. Ways(state)]
            : want.Warning is not null ? [.. Doubt(state), .. Meanwhile(state, want), .. Ways(state)]
            : [.. Next(state, want), .. Back(state, want), .. Others(state, want), .. Ways(state)];
        return [.. all.OfType<Offer>()];
    }

    /// <summary>An odd reading is asked about.</summary>
    private static IEnumerable<Offer?> Doubt(BenchState state)
    {
        PendingWarning warning = state.Warning!;
        if (warning.Typed is { Candidates.Count: > 1 })
        {
            yield return Length("type it with its unit");
        }
        else
        {
            yield return Say(Act.Yes, "yes, it is meant", "the reading is meant and is taken; three quick presses say it too");
            yield return Length("it is typed again");
        }

        yield return NotSo(Say(Act.No, "no", "it is not taken; measure again"));
        yield return Say(Act.Undo, "", "the same as no");
    }

    /// <summary>What can be done as well while an odd reading is asked about: on the page of help, for it is seldom wanted.</summary>
    private static IEnumerable<Offer?> Meanwhile(BenchState state, Want want) =>
        Back(state, want).Concat(Others(state, want)).OfType<Offer>().Where(offer => offer.Act != Act.Undo).Select(offer => offer with { Does = "", IsNotSo = false });

    /// <summary>The obvious next thing, and no to it.</summary>
    private static IEnumerable<Offer?> Next(BenchState state, Want want)
    {
        if (want.Reason is not null)
        {
            yield return Press("this reason", "set aside with this reason");
            yield return NotSo(Aside(state, "the next", "the next reason; after the last none"));
            yield return Say(Act.No, "", "the next reason");
            yield break;
        }

        switch (want.Prompt)
        {
            case Prompt.See see:
                if (Can(state, new SittingCommand.Confirm()))
                {
                    string does = see.Look.Wait is not null && see.Begun is null ? "it begins" : see.IsNot ? "now it is so" : see.Look.IsReady ? "confirm" : "yes";
                    yield return Press(does, see.Look.Wait is not null && see.Begun is null ? "its time begins" : "it is so");
                    yield return Say(Act.Yes, "", "the same as the press");
                }

                yield return Can(state, new SittingCommand.NotSo()) ? NotSo(Say(Act.No, want.Left is null ? "no" : "begin again", want.Left is null ? "it is not so: it is set right first" : "its time begins anew")) : null;
                break;
            case Prompt.Read:
                yield return state.Caliper.IsThere ? Press("take", "the caliper's value is taken") : null;
                yield return Length("a length is typed");
                break;
            case Prompt.Decide when state.Advice is { Outliers: [var odd, ..] } && state.Work.View.State.Counts(odd):
                yield return Press("read it again", $"{state.Work.View.State.Plan.Standard.StepName(odd)} is read again: it does not fit the rest");
                break;
            case Prompt.Decide when want.Pin is { } pin && !state.AllMoved:
                yield return Press(pin.Of == 1 ? "it is moved" : "pin moved", pin.Of == 1 ? "the pin is moved as advised" : "this pin is moved as advised; the next one follows");
                break;
            case Prompt.Decide when want.Pin is null && state.Setup.Reasons.Count > 0:
                yield return Press("set aside", "usual reasons for setting aside are offered");
                break;
            case Prompt.Sign:
                yield return want.Hand.Length > 0 && Can(state, new SittingCommand.Sign(want.Hand)) ? Press("sign", $"signed as {want.Hand}, and filed") : null;
                yield return Can(state, new SittingCommand.Sign(want.Hand.Length > 0 ? want.Hand : Anybody(state))) ? Say(Act.Sign, "", "signed with these initials, and filed; the initials alone do too") : null;
                break;
            case Prompt.Closed when state.Closed is not null:
                yield return Press("leave", "the record is filed; leave");
                break;
            case Prompt.Closed when !state.IsBusy:
                yield return Press("file it", "it is signed; file it once more");
                break;
            default:
                break;
        }
    }

    /// <summary>Back: what was done last, or an earlier reading.</summary>
    private static IEnumerable<Offer?> Back(BenchState state, Want want)
    {
        SittingView view = state.Work.View;
        bool isPin = want.Reason is null && state.PinsMoved > 0;
        bool canRetake = view.State.History is [.., _] && Can(state, new SittingCommand.Retake(null));
        if (canRetake)
        {
            Offer retake = Say(Act.Retake, "retake", $"{view.State.Plan.Standard.StepName(view.State.History[^1])} is read again, or an earlier reading") with
            {
                Choices = [.. view.State.History.Reverse().Where(step => Can(state, new SittingCommand.Retake(step))).Select(step => (step, view.State.Plan.Standard.StepName(step)))],
            };
            yield return retake with { IsNotSo = !isPin && want.Reason is null && want.Prompt is not Prompt.See };
        }

        if (LastDone(state) is { } undone)
        {
            yield return Say(Act.Undo, isPin ? "not moved" : "", $"taken back: {NameOf(undone, view.State.Plan.Standard)}; a second press within a second does too") with { IsNotSo = isPin };
        }
    }

    /// <summary>What was moved, and what is set aside.</summary>
    private static IEnumerable<Offer?> Others(BenchState state, Want want)
    {
        Plan plan = state.Work.View.State.Plan;
        IReadOnlyList<string> advised = Advised(state, want);
        bool mayMove = plan.Items is [var first, ..] && Can(state, new SittingCommand.Move([first.Id]));
        if (mayMove)
        {
            yield return Say(Act.Moved, advised.Count == 0 ? "" : want.Pin is { Of: > 1 } ? "all moved" : "moved", advised.Count == 0 ? "an item was moved: its readings are taken again" : "all was moved as advised, or an item") with
            {
                Takes = advised.Count == 0 ? "ITEM" : "[ITEM]",
                Choices = [.. plan.Items.Select(item => (item.Id, item.Name))],
            };
        }

        yield return want.Reason is null ? Aside(state, "set aside", "go on though it is not within: with a reason; the record is then not verified") : null;
    }

    /// <summary>The ways out.</summary>
    private static IEnumerable<Offer?> Ways(BenchState state)
    {
        SittingView view = state.Work.View;
        string[] others = state.Work is Work.Studying { Study: var study } ? [.. study.Plan.Hands.Where(hand => hand != study.Hand)] : [];
        yield return Say(Act.Stop, "stop", state.Closed is not null ? "leave; the record is filed" : "leave; every reading is kept, and it goes on later");
        if (state.SameCoat is null && Can(state, new SittingCommand.TakeOver(others is [var other, ..] ? other : Anybody(state))))
        {
            yield return Say(Act.Hand, "", "another hand measures from here on") with { Choices = [.. others.Select(hand => (hand, hand))] };
        }

        if (Can(state, new SittingCommand.CorrectTag(view.State.Tag == "A" ? "B" : "A", "-")))
        {
            yield return Say(Act.Tag, "", $"the tag {view.State.Tag} was wrong");
        }

        if (Can(state, new SittingCommand.Abandon("-")))
        {
            yield return Say(Act.Abandon, "", "given up for good: not this coat, or begun by mistake; no record is made");
        }
    }

    /// <summary>The items that are moved when none is named.</summary>
    internal static IReadOnlyList<string> Advised(BenchState state, Want want) =>
        want.Prompt is Prompt.See { IsNot: true, Look: var seen } ? state.Work.View.State.Plan.ItemOf(seen) is { } item ? [item] : []
        : [.. (state.Advice?.Moves ?? []).Select(move => move.Item)];

    /// <summary>What <c>undo</c> takes back; null when there is nothing.</summary>
    internal static Undo? LastDone(BenchState state)
    {
        SittingState sitting = state.Work.View.State;
        IEnumerable<(DateTimeOffset At, Undo Done, SittingCommand Back)> done =
        [
            .. sitting.History.TakeLast(1).Select(step => (sitting.Readings[step].Takes[^1].At, (Undo)new Undo.Reading(step), (SittingCommand)new SittingCommand.Retake(step))),
            .. sitting.Confirmed.TakeLast(1).Concat(sitting.Begun.TakeLast(1)).Select(note => (note.At, (Undo)new Undo.Confirmation(note.Line), (SittingCommand)new SittingCommand.Unconfirm(note.Line))),
        ];
        IEnumerable<DateTimeOffset> stands = [.. sitting.Moves.Select(move => move.At), .. sitting.Asides.Select(aside => aside.At), .. sitting.NotSo.Select(no => no.At)];   // what cannot be taken back, nor what was before it
        return state.Offered is not null ? new Undo.Offer()
            : state.PinsMoved > 0 ? new Undo.Pin()
            : done.Where(each => each.At >= stands.DefaultIfEmpty(each.At).Max()).OrderByDescending(each => each.At).FirstOrDefault(each => Can(state, each.Back)).Done;
    }

    private static string NameOf(Undo undone, Standard standard) => undone switch
    {
        Undo.Offer => "the offered reason",
        Undo.Pin => "this pin is not moved",
        Undo.Reading { Step: var step } => standard.StepName(step),
        Undo.Confirmation { Line: var line } => standard.FindLook(line)?.Ask ?? line,
        _ => throw new UnreachableException(),
    };

    private static bool Can(BenchState state, SittingCommand command) => state.Work.Decide(command, state.At).Refusal is null;

    /// <summary>Initials that are not those of the hand that measures.</summary>
    private static string Anybody(BenchState state) => state.Work.View.State.Hand == "ZZ" ? "YY" : "ZZ";

    private static Offer? Aside(BenchState state, string does, string means) =>
        Can(state, new SittingCommand.Aside("-")) ? Say(Act.Aside, does, means) with { Takes = state.Setup.Reasons.Count > 0 ? "[REASON]" : "REASON" } : null;

    private static Offer Press(string does, string means) => new(Act.Press, does, means);

    private static Offer Length(string means) => new(Act.Type, "", means) { Word = "14 t, 7/16, 11.1 mm" };

    private static Offer? NotSo(Offer? offer) => offer is null ? null : offer with { IsNotSo = true };

    private static Offer Say(Act act, string does, string means)
    {
        AnswerWord word = Answer.Words.First(known => known.Act == act);
        return new Offer(act, does, means) { Word = word.Word, Takes = word.Takes };
    }
}
