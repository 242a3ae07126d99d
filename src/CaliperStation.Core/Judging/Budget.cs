using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>The uncertainty budget of one reading, in nanometres.</summary>
/// <param name="Caliper">Standard uncertainty from the caliper's permissible error.</param>
/// <param name="Resolution">Standard uncertainty from one step of the display or rule.</param>
/// <param name="Hand">Standard uncertainty of the hand on cloth, for one take.</param>
/// <param name="Takes">Number of takes averaged; at least 1.</param>
public readonly record struct Budget(double Caliper, double Resolution, double Hand, int Takes)
{
    /// <summary>The study's figure that <see cref="Hand"/> is of, with what it found between hands; null for the standard's own.</summary>
    public HandFigure? Figure { get; init; }

    /// <summary>Combined in quadrature; only the hand's own share shrinks with the number of takes, by its root. What hands differ by stays.</summary>
    public double Combined => Math.Sqrt((Caliper * Caliper) + (Resolution * Resolution) + (Hand * Hand / Takes) + (Between * Between));

    private double Between => Figure?.Reproducibility.Nanometres ?? 0;

    /// <summary>The budget of a step read <paramref name="takes"/> times by one hand.</summary>
    /// <param name="settings">With what studies found, where they did.</param>
    /// <param name="resolution">One step of the display or rule.</param>
    /// <param name="takes">At least 1.</param>
    /// <param name="hand">Initials of the hand; empty where it is not known.</param>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="takes"/> is below 1.</exception>
    public static Budget Of(JudgingSettings settings, Length resolution, int takes, string hand = "")
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(takes, 1);
        HandFigure? figure = HandFigure.Of(settings.Figures, hand);
        return new Budget(Rectangular(settings.Caliper.Nanometres), DigitalStep(resolution.Nanometres), (figure?.Repeatability ?? settings.Hand).Nanometres, takes) { Figure = figure };
    }

    /// <summary>The same of takes by several hands: the hand that makes it most uncertain counts.</summary>
    /// <exception cref="ArgumentOutOfRangeException">There is no take.</exception>
    public static Budget Of(JudgingSettings settings, Length resolution, IReadOnlyList<string> handOfEachTake) =>
        handOfEachTake.Distinct(StringComparer.OrdinalIgnoreCase).DefaultIfEmpty("").Select(hand => Of(settings, resolution, handOfEachTake.Count, hand)).MaxBy(budget => budget.Combined);

    /// <summary>A reading with this uncertainty, and how well that is known.</summary>
    public Measured Measure(ExactLength value) => Figure is not { } figure ? new Measured(value, Combined) : new Measured(value, Combined)
    {
        Repeats = new StudiedVariance(Hand * Hand / Takes, figure.RepeatabilityDegrees),
        Between = new StudiedVariance(Between * Between, figure.ReproducibilityDegrees),
        Study = figure.Study,
    };

    /// <summary>Standard uncertainty of a value known to lie within ±<paramref name="halfWidth"/>: a/√3 (JCGM 100:2008, 4.3.7).</summary>
    public static double Rectangular(double halfWidth) => halfWidth / Math.Sqrt(3);

    /// <summary>Standard uncertainty of a display that shows whole steps: d/√12 (JCGM 100:2008, F.2.2.1).</summary>
    public static double DigitalStep(double step) => step / Math.Sqrt(12);
}
