namespace CaliperStation.Core.Quantities;

/// <summary>A place or an offset on the front of the blouse, as the viewer faces it.</summary>
/// <param name="Right">To the viewer's right.</param>
/// <param name="Up">Upwards.</param>
public readonly record struct PlanePoint(Length Right, Length Up);
