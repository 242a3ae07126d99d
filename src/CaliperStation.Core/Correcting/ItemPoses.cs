using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>Where every item lies as far as readings tell, for pictures and templates; <see cref="Advise"/> says what to do about it.</summary>
public static class ItemPoses
{
    /// <summary>Each item that has any reading, in the order of work.</summary>
    /// <param name="plan">What the blouse goes through.</param>
    /// <param name="readings">By step, those that count; steps that the plan does not have, or that do not apply, are passed over.</param>
    public static IReadOnlyList<ItemPose> Of(Plan plan, IReadOnlyDictionary<string, Measured> readings)
    {
        RelationEvaluation evaluation = new(plan, readings);
        CoatLayout layout = new(plan);
        LinearModel model = LinearModel.Of(
            plan,
            [.. plan.Steps.Select(step => SensitivityRow.For(plan, layout, step))],
            new ExpectedReadings(plan, evaluation.Relations, evaluation.Readings),
            evaluation.Readings);
        return PoseFit.Poses(model, PoseFit.Of(model));
    }

    /// <summary>Where a point of an item lies from the item's nominal centre, in nanometres.</summary>
    /// <param name="offset">The point's offset from the item's centre.</param>
    /// <param name="pose">How the item lies; null: in its nominal place.</param>
    /// <param name="times">How many times too large the displacement is taken; 1 for the truth.</param>
    public static (double Right, double Up) Displaced(PlanePoint offset, ItemPose? pose, double times = 1)
    {
        (double right, double up) = (offset.Right.Nanometres, offset.Up.Nanometres);
        if (pose is null)
        {
            return (right, up);
        }

        double turn = pose.TurnMilliradians / 1000 * times;
        return (
            (pose.RightNanometres * times) + (right * Math.Cos(turn)) - (up * Math.Sin(turn)),
            (pose.UpNanometres * times) + (right * Math.Sin(turn)) + (up * Math.Cos(turn)));
    }
}
