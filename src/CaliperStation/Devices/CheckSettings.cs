using CaliperStation.Core.Quantities;

namespace CaliperStation.Devices;

/// <summary>How a caliper is checked.</summary>
internal sealed record CheckSettings
{
    private static readonly IReadOnlyList<Length> _defaultBlocks = [.. new[] { 0, 30, 60, 90, 120, 140 }.Select(millimetres => Length.Millimetre.Times(millimetres))];   // before Default, which needs it

    /// <summary>Unless said.</summary>
    internal static CheckSettings Default { get; } = new();

    /// <summary>How far the caliper opens.</summary>
    internal Length Range { get; init; } = Length.Millimetre.Times(150);

    /// <summary>
    /// Largest permissible error. 0.02 mm for a digital step of 0.01 mm and short lengths: DIN 862, table of permissible errors
    /// (www.scribd.com/document/564783692/DIN862863); the same in data sheets that quote JIS B 7507 for 0 to 150 mm.
    /// </summary>
    internal Length Permissible { get; init; } = Length.FromMicrometres(20);

    /// <summary>After so many days <c>measure</c> reminds; 0 for never. Common practice, no source.</summary>
    internal int Days { get; init; } = 30;

    /// <summary>Closed jaws, then five blocks spread over 93 % of 150 mm; which lengths a set has is the bench's own (common practice, no source).</summary>
    internal IReadOnlyList<Length> Blocks { get; init; } = _defaultBlocks;
}
