using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Bench;

/// <summary>What the loop knows beside the sitting.</summary>
/// <param name="Caliper">Name and health of the caliper in words.</param>
/// <param name="CaliperTrouble">True when it is lost or absent.</param>
/// <param name="Live">The value last shown by it, or null when there is none or it is too old.</param>
/// <param name="IsSteady">True when that value can be taken.</param>
/// <param name="Resolution">One step of its display.</param>
/// <param name="LastVerdict">The verdict told last, or null.</param>
/// <param name="Message">What was said last.</param>
/// <param name="Advice">What the readings say: where something is outside, and before the signature; else null.</param>
internal sealed record BenchFacts(
    string Caliper, bool CaliperTrouble, Length? Live, bool IsSteady, Length Resolution, Judgement? LastVerdict, string Message, Advice? Advice);

/// <summary>Makes the screen's data from a sitting. Pure; all text leaves here safe for a terminal.</summary>
internal static class BenchPresenter
{
    internal static BenchModel Of(SittingView view, BenchFacts facts)
    {
        SittingState state = view.State;
        Standard standard = state.Plan.Standard;
        (List<OrderLine> order, int current) = Order(view);
        return new BenchModel(
            Safe($"{standard.Name}, {standard.Edition}"),
            Safe(state.Started.Tag),
            Safe(state.Started.Hand),
            Safe(facts.Caliper),
            facts.CaliperTrouble,
            order,
            current,
            PromptOf(view, facts.Advice),
            LiveOf(facts, standard.Show),
            StripPresenter.Of(view, facts.Live, facts.Resolution),
            FrontPresenter.Of(view, view.Prompt is Prompt.Decide ? facts.Advice?.Moves ?? [] : []),
            facts.LastVerdict is { } judgement ? VerdictOf(judgement, standard.Show) : null,
            Safe(facts.Message),
            view.Prompt is Prompt.Decide ? AdviceOf(state.Plan, facts.Advice) : [],
            Keys(view),
            SidesOf(standard.Sides));
    }

    private static (List<OrderLine> Lines, int Current) Order(SittingView view)
    {
        Plan plan = view.State.Plan;
        List<OrderLine> lines = [];
        int current = 0;
        void Add(OrderLine line, bool isNow)
        {
            current = isNow ? lines.Count : current;
            lines.Add(isNow && line.State is (OrderState.Ahead or OrderState.Stale) ? line with { State = OrderState.Now } : line);
        }

        foreach (ReadyLine ready in plan.Ready)
        {
            bool now = view.Prompt is Prompt.Ready prompt && prompt.Line.Id == ready.Id;
            Add(new OrderLine(Safe(ready.Ask), view.State.Confirmed.Contains(ready.Id) ? OrderState.Within : OrderState.Ahead, false, ""), now);
        }

        string item = "";
        foreach (Step step in plan.Steps.Where(step => Shown(view, step)))
        {
            if (step.Of != item)
            {
                item = step.Of;
                lines.Add(new OrderLine(Safe(plan.Standard.NameOf(item)), OrderStates.OfItem(view, item), true, ""));
            }

            bool now = view.Prompt switch
            {
                Prompt.Read read => read.Step.Id == step.Id,
                Prompt.Decide decide => decide.Last.Id == step.Id,
                _ => false,
            };
            string value = view.State.Measured(step.Id) is { } measured ? LengthFormat.Show(measured.Value, plan.Standard.Show) : "";
            Add(new OrderLine(Safe(step.Id.Replace('-', ' ')), OrderStates.OfStep(view, step.Id), false, value), now);
        }

        Add(new OrderLine("sign", view.Prompt is Prompt.Closed ? OrderState.Within : OrderState.Ahead, false, ""), view.Prompt is Prompt.Sign or Prompt.Closed);
        return (lines, current);
    }

    /// <summary>A step that turned out not to apply is not shown.</summary>
    private static bool Shown(SittingView view, Step step) => view.State.Readings.ContainsKey(step.Id) || view.Missing.Contains(step);

    private static BenchPrompt PromptOf(SittingView view, Advice? advice) => view.Prompt switch
    {
        Prompt.Ready ready => new BenchPrompt(PromptKind.Ready, Safe(ready.Line.Ask), Safe(ready.Line.Hint), Safe(ready.Line.Caution)),
        Prompt.Read { Again: not null } read => new BenchPrompt(PromptKind.Reading, Safe($"Once more, it is borderline: {read.Step.Ask}"), Safe(read.Step.Hint), Safe(read.Step.Caution)),
        Prompt.Read read => new BenchPrompt(PromptKind.Reading, Safe(read.Step.Ask), Safe(read.Step.Hint), Safe(read.Step.Caution)),
        Prompt.Decide decide => new BenchPrompt(PromptKind.Decide, Safe(Outside(decide)), "", Safe(decide.Last.Caution)),
        Prompt.Sign => new BenchPrompt(PromptKind.Sign, view.State.Started.Hand.Length > 0 ? $"All is read. One press signs as {Safe(view.State.Started.Hand)}." : "All is read. Type your initials and press Enter to sign.", Summary(view, advice), ""),
        Prompt.Closed => new BenchPrompt(PromptKind.Closed, view.IsVerified ? "The record is filed: verified." : "The record is filed: not verified.", "", ""),
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    private static string SidesOf(Sides sides) => sides switch
    {
        Sides.Viewer => "left, right: as you face it",
        Sides.AsWorn => "left, right: as worn",
    };

    private static string Summary(SittingView view, Advice? advice)
    {
        int within = view.Judgements.Count(judgement => judgement.Verdict == Verdict.Within);
        string verdicts = view.State.Asides.IsEmpty
            ? $"{within} of {view.Judgements.Count} verdicts within."
            : $"{within} of {view.Judgements.Count} verdicts within, {view.State.Asides.Count} set aside: the record will not be verified.";
        IEnumerable<string> places = (advice?.Poses ?? []).Select(pose => Safe($"{view.State.Plan.Standard.NameOf(pose.Item)}: {AdviceText.Displacement(view.State.Plan.Standard, pose)}."));
        return string.Join(" ", places.Prepend(verdicts));
    }

    private static LiveReadout LiveOf(BenchFacts facts, LengthDisplay show)
    {
        if (facts.Live is not { } live)
        {
            return new LiveReadout("", "", LiveState.None);
        }

        ShownLength shown = LengthFormat.All(live);
        string small = string.Join(" · ", Enum.GetValues<LengthDisplay>().Where(display => display != show).Select(shown.In));
        return new LiveReadout(shown.In(show), small, facts.IsSteady ? LiveState.Steady : LiveState.Moving);
    }

    private static VerdictLine VerdictOf(Judgement judgement, LengthDisplay show) => new(
        judgement.Verdict,
        $"{VerdictText.Word(judgement.Verdict).ToUpperInvariant()}  {Safe(judgement.Relation.Id.Replace('-', ' '))}",
        VerdictText.Detail(judgement, show));

    private static IReadOnlyList<string> AdviceOf(Plan plan, Advice? advice)
    {
        if (advice is null)
        {
            return [];
        }

        IEnumerable<string> doubtful = advice.Doubtful.Take(1).Select(step => $"{step} does not fit the rest: measure it again before any pin is moved.");
        IEnumerable<string> moves = advice.Moves.Select(move => $"{plan.Standard.NameOf(move.Item)}: {string.Join("; ", move.Pins.Select(pin => pin.Words))}");
        IEnumerable<string> broken = advice.Moves.SelectMany(move => move.WillBreak).Distinct().ToList() is { Count: > 0 } ids ? [$"Mind: that move alone puts outside {string.Join(", ", ids)}."] : [];
        return [.. doubtful.Concat(moves).Concat(advice.Conflicts).Concat(broken).Take(2).Select(Safe)];
    }

    private static List<KeyHint> Keys(SittingView view)
    {
        KeyHint stop = new(BenchKeys.Stop, "stop");
        KeyHint retake = new(BenchKeys.Retake, "retake");
        return view.Prompt switch
        {
            Prompt.Ready => [new(BenchKeys.Press, "confirm"), stop],
            Prompt.Read { Again: not null } => [new(BenchKeys.Press, "take"), retake, new(BenchKeys.Aside, "set aside"), stop],
            Prompt.Read => [new(BenchKeys.Press, "take"), retake, stop],
            Prompt.Decide => [new(BenchKeys.Moved, "moved"), retake, new(BenchKeys.Aside, "set aside"), stop],
            Prompt.Sign => [new(BenchKeys.Press, "sign"), retake, stop],
            Prompt.Closed => [new(BenchKeys.Press, "leave")],
            _ => throw new System.Diagnostics.UnreachableException(),
        };
    }

    private static string Outside(Prompt.Decide decide)
    {
        string rules = string.Join(", ", decide.Outside.Select(judgement => judgement.Relation.Id.Replace('-', ' ')).Distinct());
        return $"Outside: {rules}. Move the item, take the reading again, or set it aside with a reason.";
    }

    private static string Safe(string? text) => PrintableText.Escape(text ?? "");
}
