using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>What a study found of a hand, in words.</summary>
public static class HandFigureText
{
    /// <summary><c>AB: 0.061 mm a take (60 degrees of freedom), hands differ by 0.03 mm (2), study … of 2026-12-01</c>.</summary>
    public static string Words(HandFigure figure) => string.Create(CultureInfo.InvariantCulture,
        $"{figure.Hand ?? "every hand"}: {Millimetres(figure.Repeatability)} a take ({figure.RepeatabilityDegrees} degrees of freedom), hands differ by {Millimetres(figure.Reproducibility)} ({figure.ReproducibilityDegrees}), study {figure.Study} of {figure.Date:yyyy-MM-dd}");

    /// <summary>What is said when a sitting begins: which figure holds, or that it is too old; null where there is none.</summary>
    /// <param name="figures">Those of the sitting.</param>
    /// <param name="hand">Who measures; empty when not known.</param>
    /// <param name="standard">The standard's own figure.</param>
    /// <param name="days">How old it may be; 0 for as old as it likes.</param>
    /// <param name="today">The day.</param>
    public static string? Reminder(IReadOnlyList<HandFigure> figures, string hand, Length standard, int days, DateOnly today)
    {
        if (HandFigure.Of(figures, hand) is not { } figure)
        {
            return null;
        }

        string words = $"Uncertainty of the hand by a study, in place of the standard's {Millimetres(standard)}: {Words(figure)}.";
        int age = figure.AgeOn(today);
        return age < 0 ? FormattableString.Invariant($"{words} That study is dated {-age} days ahead of this computer's clock: look at the clock.")
            : days > 0 && age > days ? FormattableString.Invariant($"{words} It is {age} days old; {days} are allowed here: make a new study (\"caliper-station study\").")
            : words;
    }

    private static string Millimetres(Length length) => string.Create(CultureInfo.InvariantCulture, $"{length.Nanometres / 1e6:0.000###} mm");
}
