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
    /// <summary>Combined in quadrature; only the hand's share shrinks with the number of takes, by its root.</summary>
    public double Combined => Math.Sqrt((Caliper * Caliper) + (Resolution * Resolution) + (Hand * Hand / Takes));

    /// <summary>The budget of a step read <paramref name="takes"/> times.</summary>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="takes"/> is below 1.</exception>
    public static Budget Of(JudgingSettings settings, Length resolution, int takes)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(takes, 1);
        return new Budget(Rectangular(settings.Caliper.Nanometres), DigitalStep(resolution.Nanometres), settings.Hand.Nanometres, takes);
    }

    /// <summary>Standard uncertainty of a value known to lie within ±<paramref name="halfWidth"/>: a/√3 (JCGM 100:2008, 4.3.7).</summary>
    public static double Rectangular(double halfWidth) => halfWidth / Math.Sqrt(3);

    /// <summary>Standard uncertainty of a display that shows whole steps: d/√12 (JCGM 100:2008, F.2.2.1).</summary>
    public static double DigitalStep(double step) => step / Math.Sqrt(12);
}
