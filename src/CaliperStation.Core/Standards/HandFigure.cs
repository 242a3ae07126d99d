using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>What a study found the standard uncertainty of a hand to be; it takes the place of the standard's own figure.</summary>
/// <param name="Hand">Initials of the hand it holds for; null for every hand that has none of its own.</param>
/// <param name="Repeatability">Standard uncertainty of one take by the same hand; it shrinks with the root of the number of takes. Not negative.</param>
/// <param name="RepeatabilityDegrees">Degrees of freedom it is known by, whole, at least 1.</param>
/// <param name="Reproducibility">Standard uncertainty by which hands differ; further takes of one hand do not make it smaller. Not negative.</param>
/// <param name="ReproducibilityDegrees">Degrees of freedom it is known by, whole, at least 1.</param>
/// <param name="Date">The day the study ended.</param>
/// <param name="Study">The study's id.</param>
public sealed record HandFigure(string? Hand, Length Repeatability, int RepeatabilityDegrees, Length Reproducibility, int ReproducibilityDegrees, DateOnly Date, string Study)
{
    /// <summary>More degrees of freedom than this are as good as all.</summary>
    public const int MostDegrees = 1_000_000;

    /// <summary>No hand is so uncertain.</summary>
    public static Length Largest => Length.Inch;

    /// <summary>Why these numbers cannot be a figure, or null.</summary>
    public string? Fault =>
        Repeatability < Length.Zero || Reproducibility < Length.Zero || Repeatability > Largest || Reproducibility > Largest ? "a standard uncertainty is at least 0 and at most 1 in"
        : RepeatabilityDegrees is < 1 or > MostDegrees || ReproducibilityDegrees is < 1 or > MostDegrees ? "degrees of freedom are whole and at least 1"
        : Study.Length is 0 or > 100 || Study.Any(sign => !char.IsAsciiLetterOrDigit(sign) && sign is not ('-' or '_' or '.')) ? "a study's id is letters, digits, -, _ and ."
        : null;

    /// <summary>How many days ago the study ended, on a day.</summary>
    public int AgeOn(DateOnly day) => day.DayNumber - Date.DayNumber;

    /// <summary>The figure of a hand among several: its own, else the one of every hand, else null. Case does not matter; of two of one kind the later one counts.</summary>
    public static HandFigure? Of(IReadOnlyList<HandFigure> figures, string hand) =>
        figures.LastOrDefault(figure => figure.Hand is { } own && string.Equals(own.Trim(), hand.Trim(), StringComparison.OrdinalIgnoreCase))
        ?? figures.LastOrDefault(figure => figure.Hand is null);
}
