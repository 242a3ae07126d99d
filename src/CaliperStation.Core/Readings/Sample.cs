using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Readings;

/// <summary>One value as an instrument sent it.</summary>
/// <param name="Value">The length.</param>
/// <param name="Unit">The unit it was shown in.</param>
/// <param name="Resolution">One step of its last digit; positive.</param>
/// <param name="At">When its last byte was read, on any clock that only goes forward.</param>
public readonly record struct Sample(Length Value, LengthUnit Unit, Length Resolution, TimeSpan At);
