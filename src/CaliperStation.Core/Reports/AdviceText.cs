using System.Globalization;
using System.Text;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>advise</c> in words. Everything taken from a file is escaped.</summary>
public static class AdviceText
{
    /// <summary>Displacements, doubts, what is to be read first, moves and contradictions; ends with a line feed.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="advice">What the readings say.</param>
    /// <param name="width">How wide the terminal is.</param>
    public static string All(Plan plan, Advice advice, int width = TableText.Unbounded)
    {
        StringBuilder text = new();
        text.Append($"displacements, {SidesWords(plan.Standard.Sides)}:\n");
        int widest = advice.Poses.Select(pose => PrintableText.Escape(pose.Item).Length).DefaultIfEmpty(0).Max();
        foreach (ItemPose pose in advice.Poses)
        {
            text.Append($"  {PrintableText.Escape(pose.Item).PadRight(widest)}  {Displacement(plan.Standard, pose)}\n");
        }

        if (advice.Outliers.Count > 0)
        {
            text.Append($"measure again before any pin is moved, these do not fit the rest: {Ids(advice.Outliers)}\n");
        }

        if (advice.Wanted.Count > 0)
        {
            text.Append($"read first, the move hangs on it: {Ids(advice.Wanted)}\n");
        }

        text.Append(Count(advice));
        foreach (ItemMove move in advice.Moves)
        {
            Append(text, plan, move);
        }

        foreach (string conflict in advice.Conflicts)
        {
            text.Append($"mind: {conflict}\n");
        }

        return TableText.Fitted(text.ToString(), width);
    }

    /// <summary>Where one item lies: <c>right 1½ t, down ½ t, turned 0.3° anticlockwise</c>; what no reading sees is said to be unseen.</summary>
    public static string Displacement(Standard standard, ItemPose pose) => string.Join(", ", Parts(standard, pose).Select(part => part.Words));

    /// <summary>The same without what is in its place or unseen; empty when nothing is off.</summary>
    public static string OffPlace(Standard standard, ItemPose pose) => string.Join(", ", Parts(standard, pose).Where(part => part.IsOff).Select(part => part.Words));

    private static IEnumerable<(string Words, bool IsOff)> Parts(Standard standard, ItemPose pose)
    {
        bool asWorn = standard.Sides == Sides.AsWorn;
        string none = LengthFormat.Show(Length.Zero, standard.Show);
        (string, bool) Along(double nanometres, string positive, string negative)
        {
            Length length = Length.FromNanometres(nanometres, Rounding.HalfEven);
            string shown = LengthFormat.Show(length.Abs(), standard.Show);
            return ($"{(length < Length.Zero ? negative : positive)} {shown}", shown != none);
        }

        yield return pose.Unseen.Contains("right") ? ("sideways unseen", false) : Along(pose.RightNanometres, asWorn ? "left" : "right", asWorn ? "right" : "left");
        yield return pose.Unseen.Contains("up") ? ("height unseen", false) : Along(pose.UpNanometres, "up", "down");
        string turn = Turn(pose.TurnMilliradians);
        yield return pose.Unseen.Contains("turn") ? ("turn unseen", false) : (turn, turn != NotTurned);
    }

    private const string NotTurned = "not turned";

    /// <summary>A turn as the viewer faces the blouse.</summary>
    private static string Turn(double milliradians)
    {
        string degrees = LimitsShown.Degrees(Math.Abs(milliradians)).ToString("0.0", CultureInfo.InvariantCulture);
        return degrees == "0.0" ? NotTurned : $"turned {degrees}° {(milliradians > 0 ? "anticlockwise" : "clockwise")}";
    }

    private static string SidesWords(Sides sides) => sides switch
    {
        Sides.Viewer => "left and right as you face the blouse",
        Sides.AsWorn => "left and right as the wearer has it on",
    };

    private static string Count(Advice advice) => (advice.Moves.Count, advice.ProvenFewest) switch
    {
        (0, _) when advice.Wanted.Count > 0 => "",
        (0, _) when advice.Conflicts.Count == 0 => "nothing to move\n",
        (0, _) => "no move helps\n",
        (1, true) => "fewest re-pins: 1 item\n",
        (var count, true) => string.Create(CultureInfo.InvariantCulture, $"fewest re-pins: {count} items\n"),
        (var count, false) => string.Create(CultureInfo.InvariantCulture, $"re-pins: {count} {(count == 1 ? "item" : "items")}, not proven to be the fewest\n"),
    };

    private static void Append(StringBuilder text, Plan plan, ItemMove move)
    {
        text.Append($"  {PrintableText.Escape(move.Item)}: {string.Join("; ", move.Pins.Select(pin => pin.Words))}\n");
        text.Append($"    {Cautions.Pins}\n");
        text.Append($"    then: {string.Join(", ", move.Should.Select(pair => $"{PrintableText.Escape(pair.Step)} {LengthFormat.Show(pair.Should, plan.Standard.Show)}"))}\n");
        text.Append($"    measure again: {Ids(move.MakesStale)}\n");
        if (move.WillBreak.Count > 0)
        {
            text.Append($"    alone it will put out: {Ids(move.WillBreak)}\n");
        }
    }

    private static string Ids(IEnumerable<string> ids) => string.Join(", ", ids.Select(PrintableText.Escape));
}
