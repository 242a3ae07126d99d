using System.Globalization;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>The numbers of one verdict in words: the only place where they become text.</summary>
/// <remarks>
/// What is shown never contradicts the verdict: all numbers get as many digits as it takes for the value shown to stand to each
/// limit shown (below, on it, above) as the value itself does, and for a margin that is not 0 not to be shown as 0. Ticks go from halves
/// over decimals to millimetres, fractions over decimal inches to millimetres.
/// </remarks>
/// <param name="Value">The value, with its unit.</param>
/// <param name="Lower">The lower limit, or null where there is none.</param>
/// <param name="Upper">The upper limit, or null where there is none.</param>
/// <param name="Margin">How far inside the nearest limit, or how far over it; never with a sign. Null where there is no limit.</param>
/// <param name="IsOver">True when the value is beyond a limit.</param>
/// <param name="LowerExcluded">True when the lower limit itself is not allowed.</param>
/// <param name="UpperExcluded">True when the upper limit itself is not allowed.</param>
public sealed record VerdictNumbers(string Value, string? Lower, string? Upper, string? Margin, bool IsOver, bool LowerExcluded, bool UpperExcluded)
{
    private const int MaxDecimals = 22;   // beyond every difference of means of takes, and within what decimal arithmetic has
    private const decimal Largest = 1e18m;   // a record's number may come from a stranger's file

    /// <summary>The limits in words: <c>limits -1 t to 1 t</c>, <c>at most 1 t</c>, <c>more than 1/2 in</c>, <c>no limits</c>.</summary>
    public string Limits => (Lower, Upper) is ({ }, { }) && !LowerExcluded && !UpperExcluded
        ? $"limits {LimitsShown.Words(Lower, false, Upper, false)}"
        : LimitsShown.Words(Lower, LowerExcluded, Upper, UpperExcluded);

    /// <summary>Value, limits and margin: <c>4 t, limits 3½ t to 4½ t, margin ½ t</c>; <c>7.2 t, limits 5 t to 7 t, over by 0.2 t</c>.</summary>
    public string Words => $"{Value}, {Limits}{(Margin is null ? "" : IsOver ? $", over by {Margin}" : $", margin {Margin}")}";

    /// <summary>Of a judgement, in the bench's display.</summary>
    public static VerdictNumbers Of(Judgement judgement, LengthDisplay show) => Of(
        judgement.Dimension,
        judgement.Dimension == Dimension.Length ? Exact(judgement.Exact) : Number(judgement.Value),
        Number(judgement.Lower), Number(judgement.Upper), judgement.Limits.LowerExcluded, judgement.Limits.UpperExcluded,
        judgement.Relation.Kind.IsSpread, show);

    /// <summary>Of a verdict that was filed.</summary>
    public static VerdictNumbers Of(RecordVerdict verdict, LengthDisplay show) => Of(
        verdict.Dimension, Number(verdict.Value), Number(verdict.Lower), Number(verdict.Upper), verdict.LowerExcluded, verdict.UpperExcluded,
        verdict.Kind.IsSpread, show);

    private static VerdictNumbers Of(
        Dimension dimension, decimal value, decimal? lower, decimal? upper, bool lowerExcluded, bool upperExcluded, bool isSpread, LengthDisplay show)
    {
        // a spread is never negative, so that its lower limit of 0 or below is no limit to be near to
        decimal? margin = Least(lower is { } low && !(isSpread && low <= 0) ? value - low : null, upper - value);
        List<Scale> scales = Scales(dimension, show);
        Scale scale = scales.Find(each => Tells(each, value, lower, upper, margin)) ?? scales[^1];
        return new VerdictNumbers(
            scale.Text(value),
            lower is { } from ? scale.Text(from) : null,
            upper is { } to ? scale.Text(to) : null,
            margin is { } far ? scale.Text(Math.Abs(far)) : null,
            margin < 0,
            lower is not null && lowerExcluded,
            upper is not null && upperExcluded);
    }

    private static bool Tells(Scale scale, decimal value, decimal? lower, decimal? upper, decimal? margin) =>
        Stands(scale, value, lower) && Stands(scale, value, upper) && (margin is not { } far || far == 0 || scale.Shown(far) != 0);

    private static bool Stands(Scale scale, decimal value, decimal? limit) =>
        limit is not { } known || scale.Shown(value).CompareTo(scale.Shown(known)) == value.CompareTo(known);

    private static decimal? Least(decimal? one, decimal? other) => one is { } a && other is { } b ? Math.Min(a, b) : one ?? other;

    private static decimal Exact(ExactLength length) => (decimal)length.Numerator / (decimal)length.Denominator;

    private static decimal? Number(double? number) => number is { } known ? Number(known) : null;

    /// <summary>With all its digits: a plain conversion keeps only fifteen.</summary>
    private static decimal Number(double number) => double.Abs(number) < (double)Largest
        ? decimal.Parse(number.ToString("R", CultureInfo.InvariantCulture), NumberStyles.Float, CultureInfo.InvariantCulture)
        : number < 0 ? -Largest : Largest;

    /// <summary>From the usual one to ever finer ones.</summary>
    private static List<Scale> Scales(Dimension dimension, LengthDisplay show)
    {
        static IEnumerable<Scale> Decimals(decimal unit, string mark, int least, int from, int most) =>
            Enumerable.Range(from, most - from + 1).Select(decimals => new Scale(unit, decimals, least, mark, null));
        IEnumerable<Scale> millimetres = Decimals(1_000_000, " mm", 2, 2, MaxDecimals);
        IEnumerable<Scale> inches = Decimals(25_400_000, " in", 4, 4, 6);
        IEnumerable<Scale> scales = (dimension, show) switch
        {
            (Dimension.Angle, _) => Decimals((decimal)(Math.PI / 180 * 1000), "°", 1, 1, MaxDecimals),
            (Dimension.Ratio, _) => Decimals(1, "", 3, 3, MaxDecimals),
            (Dimension.Length, LengthDisplay.Ticks) => [new Scale(LengthFormat.LastPlace(show).Nanometres, 0, 0, "", show), .. Decimals(793_750, " t", 0, 1, 3), .. millimetres],
            (Dimension.Length, LengthDisplay.Fraction) => [new Scale(LengthFormat.LastPlace(show).Nanometres, 0, 0, "", show), .. inches, .. millimetres],
            (Dimension.Length, LengthDisplay.Inch) => [.. inches, .. millimetres],
            (Dimension.Length, LengthDisplay.Millimetre) => millimetres,
        };
        return [.. scales];
    }

    /// <summary>One way to show a number: how many units, to how many decimals; of marks of a rule, as the display has them.</summary>
    private sealed record Scale(decimal Unit, int Decimals, int Least, string Mark, LengthDisplay? Marks)
    {
        /// <summary>What a reader takes from the text, in units.</summary>
        internal decimal Shown(decimal number) => Math.Round(number / Unit, Decimals, MidpointRounding.ToEven);

        internal string Text(decimal number)
        {
            decimal shown = Shown(number);
            if (Marks is { } display)
            {
                return LengthFormat.Show(Length.FromNanometres((long)(shown * Unit)), display);
            }

            string text = shown.ToString(string.Create(CultureInfo.InvariantCulture, $"F{Decimals}"), CultureInfo.InvariantCulture);
            int kept = Math.Max(text.TrimEnd('0').Length, text.Length - Decimals + Least);
            text = text[..kept].TrimEnd('.');
            return (shown == 0 ? text.TrimStart('-') : text) + Mark;
        }
    }
}
