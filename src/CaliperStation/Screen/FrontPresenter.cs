using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Screen;

/// <summary>Makes the drawing of the blouse's front from a sitting.</summary>
internal static class FrontPresenter
{
    internal static FrontDrawing Of(SittingView view, Prompt prompt, IReadOnlyList<ItemMove> moves)
    {
        Plan plan = view.State.Plan;
        Dictionary<string, (double Right, double Up, double Width, double Height)> places = CoatPicture.Of(plan).ToDictionary(
            pair => pair.Key, pair => (Inches(pair.Value.Centre.Right), Inches(pair.Value.Centre.Up), Inches(pair.Value.Size.Right), Inches(pair.Value.Size.Up)));
        List<FrontShape> shapes = [];
        foreach ((string name, (double right, double up, double width, double height)) in places)
        {
            Item? item = plan.Items.FirstOrDefault(worn => worn.Id == name);
            shapes.Add(new FrontShape(
                item?.Name ?? name, item is null, right, up, width, height,
                item is null ? OrderState.Ahead : OrderStates.OfItem(view, item.Id))
            { Rows = item?.Rows?.RowCount ?? 1 });
        }

        Step? now = prompt switch
        {
            Prompt.Read read => read.Step,
            Prompt.Decide decide => decide.Last,
            _ => null,
        };
        return new FrontDrawing([.. shapes.OrderByDescending(shape => shape.IsLandmark)], now is null || prompt is Prompt.Decide ? null : Gap(plan, now, places), [.. moves.SelectMany(move => Arrows(plan, move, places))])
        {
            Gaps = [.. plan.Steps.Where(step => step.Of == now?.Of).Select(step => Gap(plan, step, places)).OfType<FrontGap>()],
            Sides = shapes.Count == 0 ? null : plan.Standard.Sides switch
            {
                Sides.Viewer => ("left", "right", "as you face it"),
                Sides.AsWorn => ("right", "left", "as worn"),
            },
        };
    }

    private static FrontGap? Gap(Plan plan, Step step, Dictionary<string, (double Right, double Up, double Width, double Height)> places)
    {
        if (!places.TryGetValue(step.Of, out (double Right, double Up, double Width, double Height) item))
        {
            return null;
        }

        double right = item.Right + Inches(step.At.Right);
        double up = item.Up + Inches(step.At.Up);
        if (step.From == step.Of)
        {
            string size = $"{(step.IsHeight ? "height of" : "across")} the {plan.Standard.NameOf(step.Of)}";
            return step.IsHeight
                ? new FrontGap(right, item.Up - (item.Height / 2), right, item.Up + (item.Height / 2), size)
                : new FrontGap(item.Right - (item.Width / 2), up, item.Right + (item.Width / 2), up, size);
        }

        double gap = Inches(Nominals.Of(plan.Standard, step.Id));
        (double acrossRight, double acrossUp) = step.Grows is { } grows ? (grows.Right, grows.Up) : (0, 1);
        string words = $"{plan.Standard.NameOf(step.From)} to {plan.Standard.NameOf(step.Of)}";
        return new FrontGap(right - (acrossRight * gap), up - (acrossUp * gap), right, up, words);
    }

    private static IEnumerable<FrontArrow> Arrows(Plan plan, ItemMove move, Dictionary<string, (double Right, double Up, double Width, double Height)> places)
    {
        Item item = plan.Items.First(worn => worn.Id == move.Item);
        (double right, double up, _, _) = places[move.Item];
        return move.Pins
            .Where(pin => pin.Right != Length.Zero || pin.Up != Length.Zero)
            .Select(pin => new FrontArrow(
                right + Inches(item.Pins[pin.Pin].Right),
                up + Inches(item.Pins[pin.Pin].Up),
                Inches(pin.Right),
                Inches(pin.Up)));
    }

    private static double Inches(Length length) => length.Nanometres / 25_400_000.0;
}
