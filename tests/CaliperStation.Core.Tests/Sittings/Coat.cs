using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Judging;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Sittings;

/// <summary>The invented coats the sittings are worked on: 3 mm ± 0.5 mm each; guarded by about 0.17 mm with one take.</summary>
internal static class Coat
{
    internal static Limits Usual => Around(3000, 500);

    /// <summary>A rack with two heights that must be level, a badge on it, a cord apart; two readiness lines.</summary>
    internal static Sheet RackBadgeCord() => new Sheet()
        .Ready("hands").Ready("pockets")
        .Item("badge", "rack").Item("rack", "pocket").Item("cord", "shoulder")
        .Step("badge-gap", "badge", "rack")
        .Step("rack-left", "rack", "pocket", right: -10_000).Step("rack-right", "rack", "pocket", right: 10_000)
        .Step("cord-drop", "cord", "shoulder")
        .Rule("rack-height", RelationKind.Gap, Usual, "rack-left", "rack-right")
        .Rule("rack-level", RelationKind.Level, Around(0, 500), "rack-left", "rack-right")
        .Rule("badge-height", RelationKind.Gap, Usual, "badge-gap")
        .Rule("cord-drop", RelationKind.Gap, Usual, "cord-drop");

    internal static SittingRun Ready(Sheet sheet, params (string Question, string Answer)[] answers)
    {
        SittingRun run = new(sheet.Plan(answers));
        while (run.Prompt is Core.Sittings.Prompt.See)
        {
            run.Confirm();
        }

        return run;
    }

    internal static SittingRun Ready() => Ready(RackBadgeCord());
}
