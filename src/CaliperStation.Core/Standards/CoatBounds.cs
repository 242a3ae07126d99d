using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>How far from the middle of the chest anything on the picture may lie.</summary>
/// <remarks>
/// Generous, so that sleeves lie beside and a cap lies above the largest coat; a slip of a decimal point still falls
/// outside. Common practice, no source.
/// </remarks>
internal static class CoatBounds
{
    internal const string Words = "a place within 18 in to either side, 30 in below and 24 in above the middle of the chest";

    private static readonly Length Side = Length.Inch.Times(18);
    private static readonly Length Below = Length.Inch.Times(-30);
    private static readonly Length Above = Length.Inch.Times(24);

    internal static bool Hold(PlanePoint place) => place.Right.Abs() <= Side && place.Up >= Below && place.Up <= Above;
}
