using CaliperStation.Core.Judging;
using CaliperStation.Core.Reports;

namespace CaliperStation.Screen;

/// <summary>The mark and style of every state and verdict, so that a colour is never the only sign.</summary>
/// <remarks>All marks are in the WGL4 set (from memory), which the usual console fonts cover.</remarks>
internal static class Marks
{
    /// <summary>The mark of a state of work.</summary>
    public static char Of(OrderState state) => state switch
    {
        OrderState.Ahead => '·',
        OrderState.Now => '►',
        OrderState.Within => VerdictText.Mark(Verdict.Within),
        OrderState.Borderline => VerdictText.Mark(Verdict.Borderline),
        OrderState.Outside => VerdictText.Mark(Verdict.Outside),
        OrderState.Stale => '○',
        OrderState.Aside => '»',
        OrderState.Done => '■',
    };

    /// <summary>The style of a state of work.</summary>
    public static CellStyle StyleOf(OrderState state) => state switch
    {
        OrderState.Ahead => CellStyle.Quiet,
        OrderState.Now => CellStyle.Strong,
        OrderState.Within => CellStyle.Within,
        OrderState.Borderline => CellStyle.Borderline,
        OrderState.Outside => CellStyle.Outside,
        OrderState.Stale => CellStyle.Borderline,
        OrderState.Aside => CellStyle.Caution,
        OrderState.Done => CellStyle.Ground,
    };

    /// <summary>A verdict as a state of work.</summary>
    public static OrderState StateOf(Verdict verdict) => verdict switch
    {
        Verdict.Within => OrderState.Within,
        Verdict.Borderline => OrderState.Borderline,
        Verdict.Outside => OrderState.Outside,
    };
}
