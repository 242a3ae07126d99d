using System.Globalization;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Records;

/// <summary>The words and instants a record is written with, and back.</summary>
public static class RecordWords
{
    private const string InstantFormat = "yyyy-MM-dd'T'HH:mm:ss.fff'Z'";

    /// <summary>An instant: ISO 8601, UTC, to the millisecond.</summary>
    public static string Instant(DateTimeOffset at) => at.UtcDateTime.ToString(InstantFormat, CultureInfo.InvariantCulture);

    /// <summary>The word of a kind.</summary>
    public static string Of(RecordKind kind) => kind switch
    {
        RecordKind.Sitting => "sitting",
        RecordKind.Countersign => "countersign",
        RecordKind.Recheck => "recheck",
    };

    /// <summary>The word of a verdict.</summary>
    public static string Of(Verdict verdict) => verdict switch
    {
        Verdict.Within => "within",
        Verdict.Borderline => "borderline",
        Verdict.Outside => "outside",
    };

    /// <summary>The word of a unit.</summary>
    public static string Of(LengthUnit unit) => unit switch
    {
        LengthUnit.Millimetre => "mm",
        LengthUnit.Inch => "in",
    };

    /// <summary>The word of a source.</summary>
    public static string Of(ReadingSource source) => source switch
    {
        ReadingSource.Typed => "typed",
        ReadingSource.Serial => "serial",
        ReadingSource.Keyboard => "keyboard",
        ReadingSource.Replay => "replay",
        ReadingSource.Emulated => "emulated",
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

    /// <summary>The member that a word stands for.</summary>
    /// <exception cref="FormatException">None.</exception>
    internal static T Back<T>(string word, Func<T, string> of)
        where T : struct, Enum
    {
        foreach (T member in Enum.GetValues<T>())
        {
            if (of(member) == word)
            {
                return member;
            }
        }

        throw new FormatException(word);
    }

    /// <summary>The instant of a text in the form above.</summary>
    /// <exception cref="FormatException">It is not of that form.</exception>
    internal static DateTimeOffset InstantOf(string text) =>
        DateTimeOffset.ParseExact(text, InstantFormat, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal);
}
