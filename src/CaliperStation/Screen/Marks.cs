using CaliperStation.Core.Judging;

namespace CaliperStation.Screen;

/// <summary>The mark and ink of every state and verdict, so that a colour is never the only sign.</summary>
/// <remarks>All marks are in the WGL4 set (from memory), which the usual console fonts cover.</remarks>
internal static class Marks
{
    /// <summary>The mark of a state of work.</summary>
    public static char Of(OrderState state) => state switch
    {
        OrderState.Ahead => '·',
        OrderState.Now => '►',
        OrderState.Within => '√',
        OrderState.Borderline => '≈',
        OrderState.Outside => '×',
        OrderState.Stale => '○',
        OrderState.Aside => '»',
        OrderState.Done => '■',
    };

    /// <summary>The ink of a state of work.</summary>
    public static Ink InkOf(OrderState state) => state switch
    {
        OrderState.Ahead => Ink.Quiet,
        OrderState.Now => Ink.Strong,
        OrderState.Within => Ink.Within,
        OrderState.Borderline => Ink.Borderline,
        OrderState.Outside => Ink.Outside,
        OrderState.Stale => Ink.Borderline,
        OrderState.Aside => Ink.Caution,
        OrderState.Done => Ink.Ground,
    };

    /// <summary>A verdict as a state of work.</summary>
    public static OrderState StateOf(Verdict verdict) => verdict switch
    {
        Verdict.Within => OrderState.Within,
        Verdict.Borderline => OrderState.Borderline,
        Verdict.Outside => OrderState.Outside,
    };
}
