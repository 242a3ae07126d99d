using System.Globalization;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Reports;

/// <summary>A judgement in words, in the bench's unit.</summary>
public static class VerdictText
{
    /// <summary>The word for a verdict.</summary>
    public static string Word(Verdict verdict) => verdict switch
    {
        Verdict.Within => "within",
        Verdict.Borderline => "borderline",
        Verdict.Outside => "outside",
    };

    /// <summary>Value, limits, margin and conformance probability: <c>4 t, limits 3½ t to 4½ t, margin ½ t, conformance 99.9 %</c>.</summary>
    public static string Detail(Judgement judgement, LengthDisplay show)
    {
        string value = Number(judgement, judgement.Value, show);
        string angle = judgement.AngleMilliradians is { } milliradians ? $" ({Degrees(milliradians)})" : "";
        string margin = double.IsFinite(judgement.Margin)
            ? judgement.Margin >= 0 ? $", margin {Number(judgement, judgement.Margin, show)}" : $", over by {Number(judgement, -judgement.Margin, show)}"
            : "";
        return $"{value}{angle}, {Limits(judgement, show)}{margin}, conformance {Percent(judgement.Conformance)}";
    }

    /// <summary>The limits in words: <c>limits −1 t to 1 t</c>, <c>at most 1 t</c>, <c>at least 1 t</c>.</summary>
    public static string Limits(Judgement judgement, LengthDisplay show) => (judgement.Lower, judgement.Upper) switch
    {
        ({ } lower, { } upper) => $"limits {Number(judgement, lower, show)} to {Number(judgement, upper, show)}",
        (null, { } upper) => $"at most {Number(judgement, upper, show)}",
        ({ } lower, null) => $"at least {Number(judgement, lower, show)}",
        _ => "no limits",
    };

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

    /// <summary>A tolerance too narrow for the bench, with the uncertainty it would need.</summary>
    public static string Narrow(TooNarrow narrow)
    {
        (string have, string need) = narrow.Dimension switch
        {
            Dimension.Length => (Millimetres(narrow.Uncertainty), Millimetres(narrow.Needed)),
            Dimension.Angle => (Degrees(narrow.Uncertainty), Degrees(narrow.Needed)),
            Dimension.Ratio => (Plain(narrow.Uncertainty), Plain(narrow.Needed)),
        };
        return $"{narrow.Relation.Id}: the tolerance is too narrow for this bench: one take has a standard uncertainty of {have}, it needs {need} or less; it can come out borderline or outside, hardly within";
    }

    private static string Millimetres(double nanometres) => string.Create(CultureInfo.InvariantCulture, $"{nanometres / 1e6:0.000} mm");

    private static string Plain(double ratio) => ratio.ToString("0.0000", CultureInfo.InvariantCulture);

    private static string Degrees(double milliradians) => string.Create(CultureInfo.InvariantCulture, $"{milliradians * 180 / Math.PI / 1000:0.0}°");
}
