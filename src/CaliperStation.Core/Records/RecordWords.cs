using CaliperStation.Core.Judging;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Records;

/// <summary>The words a record is written with, beside those of <see cref="FileWords"/>.</summary>
public static class RecordWords
{
    /// <summary>The word of a kind.</summary>
    public static string Of(RecordKind kind) => kind switch
    {
        RecordKind.Sitting => "sitting",
        RecordKind.Countersign => "countersign",
        RecordKind.Recheck => "recheck",
    };

    /// <summary>Why takes were withdrawn: an item they depend on was moved.</summary>
    internal const string Moved = "moved";

    private const string Retaken = "retaken";   // withdrawn to be taken again

    /// <summary>Why takes no longer count.</summary>
    internal static string Why(RecordWithdrawal withdrawal) => withdrawal.Moved ? Moved : Retaken;

    /// <summary>The word of a verdict.</summary>
    public static string Of(Verdict verdict) => verdict switch
    {
        Verdict.Within => "within",
        Verdict.Borderline => "borderline",
        Verdict.Outside => "outside",
    };

    /// <summary>Which limits were not allowed themselves; null for none, which is then not written.</summary>
    internal static string? Excludes(RecordVerdict verdict) => (verdict.LowerExcluded, verdict.UpperExcluded) switch
    {
        (true, true) => "both",
        (true, false) => "lower",
        (false, true) => "upper",
        (false, false) => null,
    };

    internal static string Of(Dimension dimension) => dimension switch
    {
        Dimension.Length => "length",
        Dimension.Angle => "angle",
        Dimension.Ratio => "ratio",
    };

    internal static string Of(DecisionRule rule) => rule switch
    {
        DecisionRule.Plain => "plain",
        DecisionRule.Guarded => "guarded",
    };
}
