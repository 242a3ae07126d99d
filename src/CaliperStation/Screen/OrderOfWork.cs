using CaliperStation.Core.Judging;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Screen;

/// <summary>Draws the order of work, scrolled so that what is to be done now is seen with its item's name.</summary>
internal static class OrderPainter
{
    /// <summary>Draws the lines into a region.</summary>
    public static void Paint(Canvas canvas, Region region, IReadOnlyList<OrderLine> order, int current)
    {
        if (region.IsEmpty || order.Count == 0)
        {
            return;
        }

        // The last row says how much is to come, when it does not all fit.
        int rows = order.Count > region.Height && region.Height > 3 ? region.Height - 1 : region.Height;
        int first = FirstLine(order.Count, current, rows);
        int below = order.Count - first - rows;
        if (below > 0 && rows < region.Height)
        {
            canvas.Write(region.Row(rows), TextCells.Fit($"↓ {below} more", region.Width), CellStyle.Quiet);
        }

        for (int row = 0; row < rows && first + row < order.Count; row++)
        {
            PaintLine(canvas, region.Row(row), order[first + row], first + row == current);
        }

        int heading = HeadingOf(order, current);
        if (heading >= 0 && heading < first && region.Height > 1)
        {
            canvas.Write(region.Row(0), new string(' ', region.Width), CellStyle.Ground);
            PaintLine(canvas, region.Row(0), order[heading], false);
        }
    }

    /// <summary>The line shown first: what is now stands a little below the middle, for what was done tells more than what is to come.</summary>
    private static int FirstLine(int count, int current, int rows) =>
        Math.Clamp(current - (rows * 6 / 10), 0, Math.Max(0, count - rows));

    private static int HeadingOf(IReadOnlyList<OrderLine> order, int current)
    {
        int index = Math.Min(current, order.Count - 1);
        while (index >= 0 && !order[index].IsHeading)
        {
            index--;
        }

        return index;
    }

    private static void PaintLine(Canvas canvas, Region row, OrderLine line, bool isCurrent)
    {
        OrderState state = isCurrent ? OrderState.Now : line.State;
        bool isQuietHeading = line.IsHeading && state is OrderState.Now or OrderState.Ahead;
        canvas.Put(row.X, row.Y, line.IsHeading && isQuietHeading ? ' ' : Marks.Of(state), Marks.StyleOf(state));

        CellStyle style = (line.IsHeading, state) switch
        {
            (true, _) => CellStyle.Heading,
            (false, OrderState.Ahead) => CellStyle.Quiet,
            (false, OrderState.Now) => CellStyle.Strong,
            (false, OrderState.Outside) => CellStyle.Outside,
            _ => CellStyle.Ground,
        };
        int indent = line.IsHeading ? 2 : 3;
        int valueColumns = TextCells.Columns(line.Value);
        bool hasValue = valueColumns > 0 && valueColumns + indent + 4 <= row.Width;
        int room = row.Width - indent - (hasValue ? valueColumns + 1 : 0);
        canvas.Write(row, TextCells.FitName(line.Text, room), style, indent);
        if (hasValue)
        {
            canvas.Write(row, line.Value, style, row.Width - valueColumns);
        }
    }
}

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
