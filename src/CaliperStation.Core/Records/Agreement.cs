using CaliperStation.Core.Judging;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Core.Records;

/// <summary>Whether two measurements of one thing agree.</summary>
/// <remarks>
/// En = |a − b| / √(Ua² + Ub²), agreement when it is at most 1 (ISO 13528:2015, 9.7; there signed, for against an assigned
/// value). The expanded uncertainties are U = k·u with k = 2 (JCGM 100:2008, 6.2.1), so En is also the difference over the
/// expanded uncertainty of the difference. The two are taken as independent: what one caliper does wrong both times alike
/// cancels in the difference, so the bound is not drawn too tight by it.
/// </remarks>
public static class Agreement
{
    /// <summary>The coverage factor: about 95 % of a normal distribution (JCGM 100:2008, 6.3.3).</summary>
    public const double CoverageFactor = 2;

    /// <summary>The En number of two values, from their standard uncertainties; any one unit.</summary>
    /// <exception cref="ArgumentOutOfRangeException">An uncertainty is negative, or both are 0.</exception>
    public static double En(double first, double firstUncertainty, double second, double secondUncertainty)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(firstUncertainty);
        ArgumentOutOfRangeException.ThrowIfNegative(secondUncertainty);
        double expanded = Propagation.Combine([CoverageFactor, CoverageFactor], [firstUncertainty, secondUncertainty]);
        ArgumentOutOfRangeException.ThrowIfZero(expanded, nameof(firstUncertainty));
        return Math.Abs(first - second) / expanded;
    }

    /// <summary>True when values with that En number agree.</summary>
    public static bool Holds(double en) => en <= 1;

    /// <summary>One step against its first measurement.</summary>
    public static RecordComparison Compare(ChosenStep step, Measured first, Measured second)
    {
        double en = Math.Abs((first.Value - second.Value).ToDouble())
            / Propagation.Combine([CoverageFactor, CoverageFactor], [first.Uncertainty, second.Uncertainty]);
        return new RecordComparison(step.Step, step.Why, first.Value.ToDouble(), second.Value.ToDouble(), en, Holds(en));
    }

    /// <summary>What a record's takes come to by its own settings.</summary>
    public static Measured Measured(Record record, RecordReading reading) => new StepReadings([.. reading.Takes], false).Measured(record.Judging);
}

/// <summary>A step to measure again.</summary>
/// <param name="Step">The step.</param>
/// <param name="Why">Why, a word of <see cref="RecordComparison.Why"/>; the hand must not see it before the signature.</param>
public sealed record ChosenStep(string Step, string Why);
