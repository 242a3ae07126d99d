using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>What a relation allows, in words: for lengths in each display, for angles and shares in one.</summary>
internal static class LimitsShown
{
    /// <summary>All intervals of a relation, joined by <c>or</c>.</summary>
    internal static string In(Relation relation, LengthDisplay display) =>
        string.Join(" or ", relation.Limits.Select(limits => One(relation.Kind, limits, display)));

    /// <summary>Milliradians as degrees.</summary>
    internal static double Degrees(double milliradians) => milliradians / 1000 * 180 / Math.PI;

    private static string One(RelationKind kind, Limits limits, LengthDisplay display)
    {
        if (kind.IsSpread && limits.Upper is { } most)
        {
            return $"{(limits.UpperExcluded ? "less than" : "at most")} {LengthFormat.Show(most, display)} apart";   // never negative, so the lower limit says nothing
        }

        (string? lower, string? upper) = kind.Dimension switch
        {
            Dimension.Angle => (Angle(limits.LowerNumber), Angle(limits.UpperNumber)),
            Dimension.Ratio => (Share(limits.LowerNumber), Share(limits.UpperNumber)),
            _ => (limits.Lower is { } low ? LengthFormat.Show(low, display) : null, limits.Upper is { } high ? LengthFormat.Show(high, display) : null),
        };
        return Words(lower, limits.LowerExcluded, upper, limits.UpperExcluded);
    }

    /// <summary>Two limits in words: <c>3 t to 5 t</c>, <c>at most 5 t</c>, <c>more than 3 t, at most 5 t</c>, where a limit itself is not allowed.</summary>
    internal static string Words(string? lower, bool lowerExcluded, string? upper, bool upperExcluded)
    {
        string atLeast = $"{(lowerExcluded ? "more than" : "at least")} {lower}", atMost = $"{(upperExcluded ? "less than" : "at most")} {upper}";
        return (lower, upper) switch
        {
            (null, null) => "no limits",
            (null, _) => atMost,
            (_, null) => atLeast,
            _ when lowerExcluded || upperExcluded => $"{atLeast}, {atMost}",
            _ => $"{lower} to {upper}",
        };
    }

    private static string? Angle(double? milliradians) =>
        milliradians is { } value ? string.Create(CultureInfo.InvariantCulture, $"{Degrees(value):0.##} deg") : null;

    private static string? Share(double? ratio) => ratio?.ToString("0.####", CultureInfo.InvariantCulture);
}
