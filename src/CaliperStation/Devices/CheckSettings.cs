using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;

namespace CaliperStation.Devices;

/// <summary>How a caliper is checked.</summary>
internal sealed record CheckSettings
{
    // before Default, which needs it
    private static readonly IReadOnlyList<CheckPoint> _defaultPoints =
    [
        .. new[] { 0, 30_000, 41_300, 60_000, 90_000, 140_000 }.Select(micrometres => CheckPoint.Asked(Length.FromMicrometres(micrometres))),
        .. new[] { 30_000, 140_000 }.Select(micrometres => CheckPoint.Asked(Length.FromMicrometres(micrometres), CheckPlace.Far)),
    ];

    /// <summary>Unless said.</summary>
    internal static CheckSettings Default { get; } = new();

    /// <summary>How far the caliper opens.</summary>
    internal Length Range { get; init; } = Length.Millimetre.Times(150);

    /// <summary>
    /// Largest permissible errors. 0.02 mm for a digital step of 0.01 mm and short lengths: DIN 862, table of permissible errors
    /// (www.scribd.com/document/564783692/DIN862863); the same in data sheets that quote JIS B 7507 for 0 to 150 mm.
    /// </summary>
    internal CheckLimits Permissible { get; init; } = new(new PermissibleError(Length.FromMicrometres(20)));

    /// <summary>After so many days <c>measure</c> reminds; 0 for never. Common practice, no source.</summary>
    internal int Days { get; init; } = 30;

    /// <summary>
    /// What is read: closed jaws, then five blocks spread over 93 % of 150 mm, the shortest and the longest at the tips too; which lengths a set has is the bench's own (common practice, no source).
    /// 41.3 mm, which is no round length in either unit, is in usual sets for calipers (from memory).
    /// </summary>
    internal IReadOnlyList<CheckPoint> Points { get; init; } = _defaultPoints;

    /// <summary>The check that is asked for.</summary>
    internal CaliperCheck Asked => new(Range, Permissible, Points);
}
