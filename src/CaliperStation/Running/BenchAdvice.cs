using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Running;

/// <summary>The advice for a sitting's readings that still count.</summary>
internal static class BenchAdvice
{
    internal static Advice Of(SittingView view, Length smallestMove)
    {
        Dictionary<string, Measured> readings = [];
        foreach (Step step in view.State.Plan.Steps)
        {
            if (view.State.Measured(step.Id) is { } measured)
            {
                readings[step.Id] = measured;
            }
        }

        return Advise.For(view.State.Plan, readings, CorrectingSettings.For(view.State.Plan.Standard, smallestMove));
    }
}
