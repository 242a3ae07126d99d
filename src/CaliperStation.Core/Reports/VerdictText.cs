using System.Globalization;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>A judgement in words, in the bench's unit.</summary>
public static class VerdictText
{
    /// <summary>Value, limits, margin and conformance probability: <c>4 t, limits 3½ t to 4½ t, margin ½ t, conformance 99.9 %</c>.</summary>
    public static string Short(Judgement judgement, LengthDisplay show)
    {
        VerdictNumbers numbers = VerdictNumbers.Of(judgement, show);
        string value = judgement.AngleMilliradians is { } milliradians ? $"{numbers.Value} ({Degrees(milliradians)})" : numbers.Value;
        return $"{(numbers with { Value = value }).Words}, conformance {Percent(judgement.Conformance)}";
    }

    /// <summary>The same with the study of hands that it rests on, where there is one.</summary>
    public static string Detail(Judgement judgement, LengthDisplay show) => Short(judgement, show) + By(judgement);

    /// <summary>The mark beside the word of a verdict, so that no colour is needed: the same on the screen and on paper.</summary>
    /// <remarks>All are in the WGL4 set (from memory), which the usual console fonts cover.</remarks>
    public static char Mark(Verdict verdict) => verdict switch
    {
        Verdict.Within => '√',
        Verdict.Borderline => '≈',
        Verdict.Outside => '×',
    };

    /// <summary>Why a borderline value cannot be told from one on the other side of its limit; empty for the other verdicts.</summary>
    public static string WhyNotTold(Standard standard, Judgement judgement)
    {
        double band = Judge.GuardFactor(standard.Judging, judgement.Degrees) * judgement.Uncertainty;
        return judgement.Verdict != Verdict.Borderline ? ""
            : $"; within or not cannot be told: the limit is nearer than this bench can tell, {Bench(judgement.Dimension, band, Math.Ceiling)}";
    }

    /// <summary>The studies of hands that a verdict rests on, and how well they know; nothing where there is none.</summary>
    private static string By(Judgement judgement) => judgement.Studies.Count == 0 ? ""
        : string.Create(CultureInfo.InvariantCulture, $", hand by study {string.Join(", ", judgement.Studies)} ({judgement.Degrees:0} degrees of freedom)");

    /// <summary>The limits in words: <c>limits -1 t to 1 t</c>, <c>at most 1 t</c>, <c>more than 1 t</c>.</summary>
    public static string Limits(Judgement judgement, LengthDisplay show) => VerdictNumbers.Of(judgement, show).Limits;

    /// <summary>A probability that never shows certainty it does not have: <c>99.9 %</c>, <c>&gt; 99.9 %</c>, <c>&lt; 0.1 %</c>.</summary>
    public static string Percent(double probability) => probability switch
    {
        > 0.999 => "> 99.9 %",
        < 0.001 => "< 0.1 %",
        _ => string.Create(CultureInfo.InvariantCulture, $"{probability * 100:0.0} %"),
    };

    /// <summary>A number of the judgement's own unit: a length in the display asked for, degrees, or a ratio.</summary>
    public static string Number(Judgement judgement, double number, LengthDisplay show) => judgement.Dimension switch
    {
        Dimension.Length => LengthFormat.Show(Length.FromNanometres(number, Rounding.HalfEven), show),
        Dimension.Angle => Degrees(number),
        Dimension.Ratio => number.ToString("0.000", CultureInfo.InvariantCulture),
    };

    /// <summary>A tolerance too narrow for the bench, with the uncertainty it would need: the one rounded up and the other down, so that what it has is never shown below what it needs.</summary>
    public static string Narrow(UnverifiableTolerance narrow) =>
        $"{Standard.WordsOf(narrow.Relation.Id)}: the tolerance is too narrow for this bench: one take has a standard uncertainty of {Bench(narrow.Dimension, narrow.Uncertainty, Math.Ceiling)}, it needs {Bench(narrow.Dimension, narrow.Needed, Math.Floor)} or less; it can come out borderline or outside, hardly within";

    /// <summary>What a bench can tell, far below a tick: in millimetres, degrees or plain.</summary>
    private static string Bench(Dimension dimension, double number, Func<double, double> rounded)
    {
        (double unit, int decimals, string mark) = dimension switch
        {
            Dimension.Length => (1e6, 3, " mm"),
            Dimension.Angle => (Math.PI / 180 * 1000, 2, "°"),
            Dimension.Ratio => (1, 4, ""),
        };
        double scale = Math.Pow(10, decimals);
        return (rounded(number / unit * scale) / scale).ToString(string.Create(CultureInfo.InvariantCulture, $"F{decimals}"), CultureInfo.InvariantCulture) + mark;
    }

    private static string Degrees(double milliradians) => string.Create(CultureInfo.InvariantCulture, $"{LimitsShown.Degrees(milliradians):0.0}°");
}
