using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Judging;

/// <summary>What a step was read as: the exact mean of its takes, with its standard uncertainty.</summary>
/// <param name="Value">The mean.</param>
/// <param name="Uncertainty">Standard uncertainty in nanometres.</param>
public readonly record struct Measured(ExactLength Value, double Uncertainty);
