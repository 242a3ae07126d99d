using CaliperStation.Core.Judging;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Screen;

/// <summary>The state of steps and items in the order of work, as far as the sitting has come.</summary>
internal static class OrderStates
{
    /// <summary>A step's state, whatever is prompted.</summary>
    internal static OrderState OfStep(SittingView view, string step)
    {
        if (!view.State.Readings.TryGetValue(step, out StepReadings? readings))
        {
            return OrderState.Ahead;
        }

        if (readings.IsStale)
        {
            return OrderState.Stale;
        }

        List<Judgement> judged = [.. view.Judgements.Where(judgement => judgement.Steps.Contains(step) && judgement.Verdict != Verdict.Within)];
        return judged.Count == 0 ? OrderState.Within
            : judged.All(judgement => SittingView.IsAside(view.State, judgement)) ? OrderState.Aside
            : judged.Any(judgement => judgement.Verdict == Verdict.Outside && !SittingView.IsAside(view.State, judgement)) ? OrderState.Outside
            : OrderState.Borderline;
    }

    /// <summary>An item's state: the worst of its steps, <see cref="OrderState.Now"/> when it is worked on.</summary>
    internal static OrderState OfItem(SittingView view, string item)
    {
        List<OrderState> states = [.. view.State.Plan.Steps.Where(step => step.Of == item).Select(step => OfStep(view, step.Id))];
        bool current = view.Prompt switch
        {
            Prompt.Read read => read.Step.Of == item,
            Prompt.Decide decide => decide.Last.Of == item,
            _ => false,
        };
        return states.Contains(OrderState.Outside) ? OrderState.Outside
            : current ? OrderState.Now
            : states.Contains(OrderState.Stale) ? OrderState.Stale
            : states.Contains(OrderState.Borderline) ? OrderState.Borderline
            : states.Contains(OrderState.Aside) ? OrderState.Aside
            : states.Count > 0 && states.TrueForAll(state => state == OrderState.Within) ? OrderState.Within
            : OrderState.Ahead;
    }
}
