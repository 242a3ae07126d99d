using System.Globalization;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Devices;

/// <summary>A value as a caliper's line transmits it: sign, decimal number, blank, unit.</summary>
internal static class TransmittedValue
{
    /// <summary>One count of an ordinary display: 0.01 mm or 0.0005 in.</summary>
    internal static Length ResolutionOf(LengthUnit unit) => unit switch
    {
        LengthUnit.Millimetre => Length.FromNanometres(10_000),
        LengthUnit.Inch => Length.FromNanometres(12_700),
    };

    /// <summary>E.g. <c>+12.34 mm</c>, <c>-0.5000 in</c>. The value is shown to the display's last digit.</summary>
    internal static string Text(Length value, LengthUnit unit)
    {
        (long step, int decimals, string name) = unit switch
        {
            LengthUnit.Millimetre => (10_000L, 2, "mm"),
            LengthUnit.Inch => (2_540L, 4, "in"),   // 0.0001 in: the last digit of a display that counts 0.0005 in
        };
        Length shown = value.RoundedTo(Length.FromNanometres(step), Rounding.HalfEven);
        string digits = (shown.Abs().Nanometres / step).ToString(CultureInfo.InvariantCulture).PadLeft(decimals + 1, '0');
        return $"{(shown < Length.Zero ? '-' : '+')}{digits[..^decimals]}.{digits[^decimals..]} {name}";
    }
}
