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

/// <summary>Makes the screen's data from a sitting. Pure.</summary>
internal static class BenchPresenter
{
    internal static BenchModel Of(BenchState state, TimeSpan now)
    {
        SittingView view = state.Work.View;
        Standard standard = view.State.Plan.Standard;
        Want want = state.Want;
        (List<OrderLine> order, int current) = Order(view, want, state.Work);
        Reading? live = want.Prompt is Prompt.Read ? state.Caliper.Shown(now) : null;   // elsewhere nothing is measured, and a value would be read as one
        string title = state.Work switch
        {
            Work.Checking => "gauge blocks",
            Work.Studying => standard.Name,
            _ => $"{standard.Name}, {standard.Edition}",
        };
        string kind = state.Work switch   // beside the tag, where it is never left out
        {
            Work.Remeasuring { Remeasurement.Started.Kind: var second } => RecordWords.Of(second),
            Work.Studying => "study of hands",
            _ => "",
        };
        bool isPractice = view.State.IsPractice || state.Caliper.Source is ReadingSource.Emulated or ReadingSource.Replay;
        LimitStrip? strip = StripPresenter.Of(view, want.Prompt, live?.Value, state.Caliper.Resolution);
        FrontDrawing front = state.Work is Work.Studying ? FrontDrawing.None : FrontPresenter.Of(view, want.Prompt, want.Prompt is Prompt.Decide ? state.Advice?.Moves ?? [] : []);
        IReadOnlyList<Offer> offers = Offers.Of(state);
        AdvisedPin? pin = want is { Warning: null, SameCoat: null, Reason: null } ? want.Pin : null;
        return new BenchModel(
            title,
            string.Join("  ", new[] { view.State.Tag, kind, isPractice ? "PRACTICE" : "" }.Where(part => part.Length > 0)),
            view.State.Hand,
            state.Caliper.Words,
            state.Caliper.IsTrouble || !state.Caliper.IsThere,
            order,
            current,
            PromptOf(state, want),
            pin is not null ? MoveOf(pin, standard) : LiveOf(live?.Value, state.Caliper.Steady(now) is not null, standard.Show, state.Caliper.IsThere ? "no value from the caliper yet" : "type the length"),
            strip,
            front,
            VerdictNow(state, want, live is not null, now, standard.Show),
            state.Notice is { } notice && (want.Pin is null || notice.Said is not (Said.Advised or Said.PinMoved)) && notice.Said is not Said.Closed ? Capital(BenchText.Words(notice.Said, standard.Show)) : "",
            want.Prompt is Prompt.Decide && want is { Warning: null, SameCoat: null } ? AdviceOf(view.State.Plan, state.Advice) : [],
            Keys(offers),
            front.Shapes.Count > 0 ? SidesOf(standard.Sides) : "")
        {
            Offers = offers,
            Progress = ProgressOf(view, want),
            Next = NextOf(want),
            Target = strip is null && want.Prompt is Prompt.Read { Step.Id: var first } && want.IsJudged
                ? Nominals.Known(standard, first) is { } nominal ? $"nominal {LengthFormat.Show(nominal, standard.Show)}; its pair is judged with it" : "judged together with its pair"
                : "",
        };
    }

    /// <summary>What holds the work up, else the verdict told last; it is older once the caliper goes on to what is wanted now.</summary>
    private static VerdictLine? VerdictNow(BenchState state, Want want, bool hasLive, TimeSpan now, LengthDisplay show)
    {
        bool isNew = state.Notice is { Said: Said.Took, Since: var since } && now - since < BenchEngine.Readable;   // however fast the hand goes on, it is to be read
        IReadOnlyList<Judgement> held = want.Prompt is Prompt.Decide decide ? decide.Outside : want.Outside;
        bool isOfShown = want.Prompt is not Prompt.Read || !hasLive || state.Caliper.Steadiness.IsWhereTaken;
        return held.Count > 0 ? VerdictOf(held.MaxBy(judgement => (judgement.Verdict, -judgement.Conformance))!, show) with { IsOfShown = isOfShown }
            : want.Prompt is Prompt.Sign or Prompt.Closed || state.LastVerdict is not { } last ? null   // what there is to say of all of them stands above
            : VerdictOf(last, show) with { IsOfShown = isOfShown, IsOlder = !isOfShown && want.Prompt is Prompt.Read { Again: null } && !isNew };
    }

    /// <summary>How far the work is, over all readings and within the item.</summary>
    private static string ProgressOf(SittingView view, Want want)
    {
        if (want.Prompt is not Prompt.Read { Step: var step } || want.At == 0)
        {
            return "";
        }

        Plan plan = view.State.Plan;
        List<string> own = [.. plan.Steps.Where(each => each.Of == step.Of).Select(each => each.Id)];
        string whole = FormattableString.Invariant($"reading {want.At} of {want.Of}");
        return !want.IsJudged || own.Count < 2 ? whole : FormattableString.Invariant($"{whole}, {plan.Standard.NameOf(step.Of)} {own.IndexOf(step.Id) + 1} of {own.Count}");
    }

    /// <summary>One pin's move, to be drawn large: arrows as the viewer sees them.</summary>
    private static LiveReadout MoveOf(AdvisedPin pin, Standard standard)
    {
        List<string> ways = [];
        void Way(Length by, char forth, char back)
        {
            if (by != Length.Zero)
            {
                ways.Add($"{(by > Length.Zero ? forth : back)}{LengthFormat.Show(by.Abs(), standard.Show)}");
            }
        }

        Way(pin.Move.Up, '↑', '↓');
        Way(pin.Move.Right, '→', '←');
        return new LiveReadout(string.Join("  ", ways), FormattableString.Invariant($"{standard.NameOf(pin.Item)}, {pin.Move.Name}, {pin.At} of {pin.Of}"), LiveState.None);
    }

    private static (List<OrderLine> Lines, int Current) Order(SittingView view, Want want, Work work)
    {
        bool isBlind = work is Work.Studying;
        Plan plan = view.State.Plan;
        List<OrderLine> lines = [];
        int current = 0;
        void Add(OrderLine line, bool isNow)
        {
            current = isNow ? lines.Count : current;
            lines.Add(isNow && line.State is (OrderState.Ahead or OrderState.Stale) ? line with { State = OrderState.Now } : line);
        }

        void AddLook(Look look)
        {
            bool now = want.Prompt is Prompt.See prompt && prompt.Look.Id == look.Id;
            OrderState state = view.State.IsConfirmed(look.Id) ? OrderState.Within
                : view.State.IsNot(look.Id) ? OrderState.Outside
                : view.State.IsSettled(look.Id) ? OrderState.Aside
                : OrderState.Ahead;
            Add(new OrderLine(look.Name, state, false, view.State.BegunAt(look.Id) is not null && state == OrderState.Ahead ? "…" : ""), now);
        }

        foreach (Look look in work is Work.Remeasuring { Remeasurement: var second } ? second.Looks : want.IsJudged ? plan.Ready : [])
        {
            AddLook(look);
        }

        string item = "";
        foreach ((Step? step, Look? look) in plan.StepsAndLooks.Where(each => each.Step is null || Shown(view, each.Step)))
        {
            if (step is null)
            {
                if (want.IsJudged)
                {
                    AddLook(look!);
                }

                continue;
            }

            if (step.Of != item)
            {
                item = step.Of;
                lines.Add(new OrderLine(plan.Standard.NameOf(item), want.IsJudged ? OrderStates.OfItem(view, item) : OrderState.Ahead, true, ""));
            }

            bool now = want.Prompt switch
            {
                Prompt.Read read => read.Step.Id == step.Id,
                Prompt.Decide decide => decide.Last.Id == step.Id,
                _ => false,
            };
            string value = !isBlind && view.State.Measured(step.Id) is { } measured ? LengthFormat.Show(measured.Value, plan.Standard.Show) : "";
            Add(new OrderLine(step.Name, want.IsJudged ? OrderStates.OfStep(view, step.Id) : view.State.Counts(step.Id) ? OrderState.Done : OrderState.Ahead, false, value), now);
        }

        if (want.Block is null && !isBlind)   // a check and a study end with their last reading
        {
            Add(new OrderLine("sign", view.State.Signed is not null ? OrderState.Within : OrderState.Ahead, false, ""), want.Prompt is Prompt.Sign or Prompt.Closed);
        }

        return (lines, current);
    }

    /// <summary>A step that turned out not to apply is not shown.</summary>
    private static bool Shown(SittingView view, Step step) => view.State.Readings.ContainsKey(step.Id) || view.Missing.Contains(step);

    private static BenchPrompt PromptOf(BenchState state, Want want)
    {
        SittingView view = state.Work.View;
        LengthDisplay show = view.State.Plan.Standard.Show;
        string words = Capital(BenchText.Ask(want, show));
        if (want.SameCoat is not null || want.Warning is not null || want.Reason is not null)
        {
            return new BenchPrompt(want.Reason is null ? PromptKind.Question : PromptKind.Decide, words, "", "");
        }

        return want.Prompt switch
        {
            Prompt.See look => new BenchPrompt(look.Look.IsReady ? PromptKind.Ready : look.IsNot ? PromptKind.Amend : PromptKind.Look, BenchText.LookAsk(look, want.Left), look.Look.Hint ?? "", look.Look.Caution ?? ""),
            Prompt.Read { Again: not null } read => new BenchPrompt(PromptKind.Reading, $"Once more, it is too near the limit to be told: {read.Step.Ask}", read.Step.Hint ?? "", read.Step.Caution ?? ""),
            Prompt.Read read when want.Outside.Count > 0 => new BenchPrompt(PromptKind.Reading, $"Outside; before it is moved: {read.Step.Ask}", read.Step.Hint ?? "", read.Step.Caution ?? ""),
            Prompt.Read read => new BenchPrompt(PromptKind.Reading, read.Step.Ask, read.Step.Hint ?? "", read.Step.Caution ?? ""),
            Prompt.Decide => new BenchPrompt(PromptKind.Decide, words, "", Cautions.Pins),
            Prompt.Sign => new BenchPrompt(PromptKind.Sign, want.Hand.Length > 0 ? $"All is read. One press signs as {want.Hand}." : "All is read. Type your initials and press Enter to sign.", want.IsJudged ? Summary(view, state.Advice) : "", ""),
            Prompt.Closed when state.Closed is { } closed => new BenchPrompt(PromptKind.Closed, Capital(BenchText.Words(closed, show)), "", ""),
            Prompt.Closed => new BenchPrompt(PromptKind.Closed, view.State.Abandoned is not null ? "Given up: no record is made of it." : view.State.Signed is null ? "All is read." : "Signed; it is being filed.", "", ""),
            _ => throw new System.Diagnostics.UnreachableException(),
        };
    }

    private static string NextOf(Want want) => want switch
    {
        { SameCoat: not null } => "same coat?",
        { Warning: not null } => "meant?",
        { Reason: not null } => "set aside?",
        { Pin: { } pin } => pin.Move.Name,
        { Prompt: Prompt.See see } => Standard.WordsOf(see.Look.Id),
        { Prompt: Prompt.Read read } => read.Step.Name,
        { Prompt: Prompt.Sign } => "sign",
        { Prompt: Prompt.Closed } => "",
        _ => "",
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
        IEnumerable<string> places = (advice?.Poses ?? []).Select(pose => (pose.Item, Off: AdviceText.OffPlace(view.State.Plan.Standard, pose))).Where(pose => pose.Off.Length > 0)
            .Select(pose => $"{view.State.Plan.Standard.NameOf(pose.Item)}: {pose.Off}.");
        return string.Join(" ", places.Prepend(verdicts));
    }

    private static LiveReadout LiveOf(Length? shownNow, bool isSteady, LengthDisplay show, string none)
    {
        if (shownNow is not { } live)
        {
            return new LiveReadout("", none, LiveState.None);
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
        $"{RecordWords.Of(judgement.Verdict).ToUpperInvariant()}  {Standard.WordsOf(judgement.Relation.Id)}",
        VerdictText.Short(judgement, show));   // which study the hand goes by was told when the sitting began

    private static IReadOnlyList<string> AdviceOf(Plan plan, Advice? advice)
    {
        if (advice is null)
        {
            return [];
        }

        IEnumerable<string> outliers = advice.Outliers.Take(1).Select(step => $"{plan.Standard.StepName(step)} does not fit the rest: measure it again before any pin is moved.");
        IEnumerable<string> moves = advice.Moves.Select(move => $"{plan.Standard.NameOf(move.Item)}: {string.Join("; ", move.Pins.Select(pin => pin.Words))}");
        IEnumerable<string> broken = advice.Moves.SelectMany(move => move.WillBreak).Distinct().ToList() is { Count: > 0 } ids ? [$"Mind: that move alone puts outside {string.Join(", ", ids.Select(Standard.WordsOf))}."] : [];
        return [.. outliers.Concat(moves).Concat(advice.Conflicts).Concat(broken).Take(2)];
    }

    private static List<KeyHint> Keys(IReadOnlyList<Offer> offers) =>
    [
        .. offers.Where(offer => offer.Does.Length > 0 && BenchKeys.ActionFor(offer) is not null).Select(offer => new KeyHint(BenchKeys.NameOf(BenchKeys.ActionFor(offer)!.Value), offer.Does)),
        new(BenchKeys.NameOf(BenchAction.Help), "help"),
    ];

    private static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];
}
