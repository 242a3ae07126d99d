using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Judging;

/// <summary>A part of a variance that a study of so many degrees of freedom found; <c>default</c> is none.</summary>
/// <param name="Variance">In nm².</param>
/// <param name="Degrees">At least 1, or 0 with no variance.</param>
public readonly record struct StudiedVariance(double Variance, int Degrees);

/// <summary>What a step was read as: the exact mean of its takes, with its standard uncertainty.</summary>
/// <param name="Value">The mean.</param>
/// <param name="Uncertainty">Standard uncertainty in nanometres.</param>
public readonly record struct Measured(ExactLength Value, double Uncertainty)
{
    /// <summary>The part of its variance that a study of hands found for repeats.</summary>
    public StudiedVariance Repeats { get; init; }

    /// <summary>The part that it found between hands.</summary>
    public StudiedVariance Between { get; init; }

    /// <summary>The study's id, or null where the standard's own figure was taken.</summary>
    public string? Study { get; init; }
}
