using System.Globalization;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>advise</c> in words.</summary>
public static class AdviceText
{
    /// <summary>Displacements, doubts, what is to be read first, moves and contradictions; ends with a line feed.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="advice">What the readings say.</param>
    /// <param name="width">How wide the terminal is.</param>
    public static string All(Plan plan, Advice advice, int width = TableText.Unbounded)
    {
        List<string> lines = [$"displacements, {StandardTable.SidesWords(plan.Standard)}:"];
        lines.AddRange(TableText.Of([.. advice.Poses.Select(pose => (string[])[pose.Item, Displacement(plan.Standard, pose)])], TableText.Unbounded, "  ").Split('\n')[..^1]);
        if (advice.Outliers.Count > 0)
        {
            lines.Add($"measure again before any pin is moved, these do not fit the rest: {string.Join(", ", advice.Outliers)}");
        }

        if (advice.Wanted.Count > 0)
        {
            lines.Add($"read first, the move hangs on it: {string.Join(", ", advice.Wanted)}");
        }

        if (Count(advice) is { Length: > 0 } count)
        {
            lines.Add(count);
        }

        lines.AddRange(advice.Moves.SelectMany(move => Lines(plan, move)));
        lines.AddRange(advice.Conflicts.Select(conflict => $"mind: {conflict}"));
        return TableText.Fitted(lines, width);
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

    private static string Count(Advice advice) => (advice.Moves.Count, advice.ProvenFewest) switch
    {
        (0, _) when advice.Wanted.Count > 0 => "",
        (0, _) when advice.Conflicts.Count == 0 => "nothing to move",
        (0, _) => "no move helps",
        (1, true) => "fewest re-pins: 1 item",
        (var count, true) => string.Create(CultureInfo.InvariantCulture, $"fewest re-pins: {count} items"),
        (var count, false) => string.Create(CultureInfo.InvariantCulture, $"re-pins: {count} {(count == 1 ? "item" : "items")}, not proven to be the fewest"),
    };

    private static IEnumerable<string> Lines(Plan plan, ItemMove move)
    {
        yield return $"  {move.Item}: {string.Join("; ", move.Pins.Select(pin => pin.Words))}";
        yield return $"    {Cautions.Pins}";
        yield return $"    then: {string.Join(", ", move.Should.Select(pair => $"{pair.Step} {LengthFormat.Show(pair.Should, plan.Standard.Show)}"))}";
        yield return $"    measure again: {string.Join(", ", move.MakesStale)}";
        if (move.WillBreak.Count > 0)
        {
            yield return $"    alone it will put out: {string.Join(", ", move.WillBreak)}";
        }
    }
}
