using CaliperStation.Core.Bench;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Screen;

/// <summary>Makes the screen's data from a sitting. Pure; all text leaves here safe for a terminal.</summary>
internal static class BenchPresenter
{
    internal static BenchModel Of(BenchState state, TimeSpan now)
    {
        SittingView view = state.Work.View;
        Standard standard = view.State.Plan.Standard;
        Want want = state.Want;
        (List<OrderLine> order, int current) = Order(view, want);
        Reading? live = state.Caliper.Shown(now);
        string title = state.Work switch
        {
            Work.Remeasuring { Remeasurement.Started.Kind: var kind } => $"{RecordWords.Of(kind)}, {standard.Name}, {standard.Edition}",
            Work.Checking => "gauge blocks",
            _ => $"{standard.Name}, {standard.Edition}",
        };
        return new BenchModel(
            Safe(title),
            Safe(view.State.IsPractice || state.Caliper.Source is ReadingSource.Emulated or ReadingSource.Replay ? $"{view.State.Tag}  PRACTICE" : view.State.Tag),
            Safe(view.State.Hand),
            Safe(state.Caliper.Words),
            state.Caliper.IsTrouble || !state.Caliper.IsThere,
            order,
            current,
            PromptOf(state, want),
            LiveOf(live?.Value, state.Caliper.Steady(now) is not null, standard.Show),
            StripPresenter.Of(view, want.Prompt, live?.Value, state.Caliper.Resolution),
            FrontPresenter.Of(view, want.Prompt, want.Prompt is Prompt.Decide ? state.Advice?.Moves ?? [] : []),
            state.LastVerdict is { } judgement ? VerdictOf(judgement, standard.Show) : null,
            state.Notice is { } notice ? Safe(Capital(BenchText.Words(notice.Said, standard.Show))) : "",
            want.Prompt is Prompt.Decide && want is { Warning: null, SameCoat: null } ? AdviceOf(view.State.Plan, state.Advice) : [],
            Keys(want),
            SidesOf(standard.Sides));
    }

    private static (List<OrderLine> Lines, int Current) Order(SittingView view, Want want)
    {
        Plan plan = view.State.Plan;
        List<OrderLine> lines = [];
        int current = 0;
        void Add(OrderLine line, bool isNow)
        {
            current = isNow ? lines.Count : current;
            lines.Add(isNow && line.State is (OrderState.Ahead or OrderState.Stale) ? line with { State = OrderState.Now } : line);
        }

        foreach (ReadyLine ready in want.IsJudged ? plan.Ready : [])
        {
            bool now = want.Prompt is Prompt.Ready prompt && prompt.Line.Id == ready.Id;
            Add(new OrderLine(Safe(ready.Ask), view.State.IsConfirmed(ready.Id) ? OrderState.Within : OrderState.Ahead, false, ""), now);
        }

        string item = "";
        foreach (Step step in plan.Steps.Where(step => Shown(view, step)))
        {
            if (step.Of != item)
            {
                item = step.Of;
                lines.Add(new OrderLine(Safe(plan.Standard.NameOf(item)), want.IsJudged ? OrderStates.OfItem(view, item) : OrderState.Ahead, true, ""));
            }

            bool now = want.Prompt switch
            {
                Prompt.Read read => read.Step.Id == step.Id,
                Prompt.Decide decide => decide.Last.Id == step.Id,
                _ => false,
            };
            string value = view.State.Measured(step.Id) is { } measured ? LengthFormat.Show(measured.Value, plan.Standard.Show) : "";
            Add(new OrderLine(Safe(Standard.WordsOf(step.Id)), want.IsJudged ? OrderStates.OfStep(view, step.Id) : view.State.Counts(step.Id) ? OrderState.Done : OrderState.Ahead, false, value), now);
        }

        if (want.Block is null)
        {
            Add(new OrderLine("sign", want.Prompt is Prompt.Closed ? OrderState.Within : OrderState.Ahead, false, ""), want.Prompt is Prompt.Sign or Prompt.Closed);
        }

        return (lines, current);
    }

    /// <summary>A step that turned out not to apply is not shown.</summary>
    private static bool Shown(SittingView view, Step step) => view.State.Readings.ContainsKey(step.Id) || view.Missing.Contains(step);

    private static BenchPrompt PromptOf(BenchState state, Want want)
    {
        SittingView view = state.Work.View;
        LengthDisplay show = view.State.Plan.Standard.Show;
        string words = Safe(Capital(BenchText.Ask(want, show)));
        if (want.SameCoat is not null || want.Warning is not null)
        {
            return new BenchPrompt(PromptKind.Question, words, "", "");
        }

        return want.Prompt switch
        {
            Prompt.Ready ready => new BenchPrompt(PromptKind.Ready, Safe(ready.Line.Ask), Safe(ready.Line.Hint), Safe(ready.Line.Caution)),
            Prompt.Read { Again: not null } read => new BenchPrompt(PromptKind.Reading, Safe($"Once more, it is borderline: {read.Step.Ask}"), Safe(read.Step.Hint), Safe(read.Step.Caution)),
            Prompt.Read read when want.Outside.Count > 0 => new BenchPrompt(PromptKind.Reading, Safe($"Outside; before it is moved: {read.Step.Ask}"), Safe(read.Step.Hint), Safe(read.Step.Caution)),
            Prompt.Read read => new BenchPrompt(PromptKind.Reading, Safe(read.Step.Ask), Safe(read.Step.Hint), Safe(read.Step.Caution)),
            Prompt.Decide => new BenchPrompt(PromptKind.Decide, words, "", Cautions.Pins),
            Prompt.Sign => new BenchPrompt(PromptKind.Sign, want.Hand.Length > 0 ? $"All is read. One press signs as {Safe(want.Hand)}." : "All is read. Type your initials and press Enter to sign.", want.IsJudged ? Summary(view, state.Advice) : "", ""),
            Prompt.Closed when state.Closed is { } closed => new BenchPrompt(PromptKind.Closed, Safe(Capital(BenchText.Words(closed, show))), "", ""),
            Prompt.Closed => new BenchPrompt(PromptKind.Closed, "Signed; it is being filed.", "", ""),
            _ => throw new System.Diagnostics.UnreachableException(),
        };
    }

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

    private static LiveReadout LiveOf(Length? shownNow, bool isSteady, LengthDisplay show)
    {
        if (shownNow is not { } live)
        {
            return new LiveReadout("", "", LiveState.None);
        }

        string big = LengthFormat.Show(live, show);
        IEnumerable<string> all =   // decimal inches last: where they have no room, the mark and what is left over say the same
        [
            LengthFormat.Show(live, LengthDisplay.Ticks),
            LengthFormat.ShowNearestMark(live),
            LengthFormat.Show(live, LengthDisplay.Millimetre),
            LengthFormat.Show(live, LengthDisplay.Inch),
        ];
        return new LiveReadout(big, string.Join(" · ", all.Where(text => text != big)), isSteady ? LiveState.Steady : LiveState.Moving);
    }

    private static VerdictLine VerdictOf(Judgement judgement, LengthDisplay show) => new(
        judgement.Verdict,
        $"{VerdictText.Word(judgement.Verdict).ToUpperInvariant()}  {Safe(Standard.WordsOf(judgement.Relation.Id))}",
        VerdictText.Detail(judgement, show));

    private static IReadOnlyList<string> AdviceOf(Plan plan, Advice? advice)
    {
        if (advice is null)
        {
            return [];
        }

        IEnumerable<string> outliers = advice.Outliers.Take(1).Select(step => $"{Standard.WordsOf(step)} does not fit the rest: measure it again before any pin is moved.");
        IEnumerable<string> moves = advice.Moves.Select(move => $"{plan.Standard.NameOf(move.Item)}: {string.Join("; ", move.Pins.Select(pin => pin.Words))}");
        IEnumerable<string> broken = advice.Moves.SelectMany(move => move.WillBreak).Distinct().ToList() is { Count: > 0 } ids ? [$"Mind: that move alone puts outside {string.Join(", ", ids.Select(Standard.WordsOf))}."] : [];
        return [.. outliers.Concat(moves).Concat(advice.Conflicts).Concat(broken).Take(2).Select(Safe)];
    }

    private static List<KeyHint> Keys(Want want)
    {
        KeyHint stop = new(BenchKeys.Stop, "stop");
        KeyHint retake = new(BenchKeys.Retake, "retake");
        if (want.SameCoat is not null)
        {
            return [new(BenchKeys.Yes, "yes, the same"), stop];
        }

        if (want.Warning is not null)
        {
            return [new(BenchKeys.Yes, "yes, it is meant"), new(BenchKeys.Press, "measure again"), stop];
        }

        return want.Prompt switch
        {
            Prompt.Ready => [new(BenchKeys.Press, "confirm"), stop],
            Prompt.Read { Again: not null } => [new(BenchKeys.Press, "take"), retake, new(BenchKeys.Aside, "set aside"), stop],
            Prompt.Read when want.Outside.Count > 0 => [new(BenchKeys.Press, "take"), new(BenchKeys.Moved, "moved"), retake, new(BenchKeys.Aside, "set aside"), stop],
            Prompt.Read => [new(BenchKeys.Press, "take"), retake, stop],
            Prompt.Decide => [new(BenchKeys.Moved, "moved"), retake, new(BenchKeys.Aside, "set aside"), stop],
            Prompt.Sign => [new(BenchKeys.Press, "sign"), retake, stop],
            Prompt.Closed => [new(BenchKeys.Press, "leave")],
            _ => throw new System.Diagnostics.UnreachableException(),
        };
    }

    private static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    private static string Safe(string? text) => PrintableText.Escape(text ?? "");
}
