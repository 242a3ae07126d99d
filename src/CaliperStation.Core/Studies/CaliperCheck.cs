using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Studies;

/// <summary>One block and what the caliper showed on it.</summary>
/// <param name="Block">The length between the faces; zero for closed jaws.</param>
/// <param name="Shown">What the caliper showed.</param>
public readonly record struct CheckPoint(Length Block, Length Shown)
{
    /// <summary>What it shows too much.</summary>
    public Length Error => Shown - Block;
}

/// <summary>A caliper tried on closed jaws and gauge blocks.</summary>
/// <remarks>
/// Simple acceptance: an error of exactly the permissible one conforms. Blocks of any workshop grade are off by at most 1.6 µm at 150 mm (ISO 3650,
/// grade 2), more than ten times less than the 0.02 mm asked of a caliper of 0.01 mm, so no guard band is drawn in.
/// </remarks>
/// <param name="Range">How far the caliper opens.</param>
/// <param name="Permissible">Largest permissible error, in either direction; positive.</param>
/// <param name="Points">In the order they were read.</param>
public sealed record CaliperCheck(Length Range, Length Permissible, IReadOnlyList<CheckPoint> Points)
{
    /// <summary>
    /// At least so many blocks besides the closed jaws, and at least <see cref="CoveredPercent"/> of the range: ISO 13385-1:2019 as explained in a maker's
    /// catalogue (www2.mitutoyo.co.jp/eng/useful/catalog-2021/pageindices/index258.html).
    /// </summary>
    public const int MinBlocks = 5;

    /// <summary>The longest block reaches at least so much of the range.</summary>
    public const int CoveredPercent = 90;

    /// <summary>True when every point is.</summary>
    public bool IsWithin => Points.All(IsPointWithin);

    /// <summary>The point with the largest error in either direction; the first of several.</summary>
    /// <exception cref="InvalidOperationException">There are no points.</exception>
    public CheckPoint Worst => Points.MaxBy(point => point.Error.Abs().Nanometres);

    /// <summary>True when the point's error is permissible.</summary>
    public bool IsPointWithin(CheckPoint point) => point.Error.Abs() <= Permissible;

    /// <summary>Why these cannot be the points of a check, or null.</summary>
    public static string? Validate(Length range, Length permissible, IReadOnlyList<Length> blocks)
    {
        ArgumentNullException.ThrowIfNull(blocks);
        return blocks.Count == 0 ? "there is no block to read"
            : permissible <= Length.Zero ? "the permissible error must be above zero"
            : range <= Length.Zero ? "the range must be above zero"
            : blocks.Any(block => block < Length.Zero) ? "no block is shorter than nothing"
            : blocks.Any(block => block > range) ? "a block is longer than the caliper opens"
            : blocks.Distinct().Count() < blocks.Count ? "a block is named twice"
            : null;
    }

    /// <summary>What published procedures ask and these blocks do not give, in words; null when they do.</summary>
    public static string? Shortfall(Length range, IReadOnlyList<Length> blocks)
    {
        ArgumentNullException.ThrowIfNull(blocks);
        int count = blocks.Count(block => block > Length.Zero);
        bool reaches = count > 0 && blocks.Max(block => block.Nanometres) * (Int128)100 >= range.Nanometres * (Int128)CoveredPercent;
        return !blocks.Contains(Length.Zero) ? "the closed jaws are not among the points"
            : count < MinBlocks ? FormattableString.Invariant($"{count} blocks where at least {MinBlocks} are asked")
            : reaches ? null
            : FormattableString.Invariant($"the longest block reaches less than {CoveredPercent} % of the range");
    }
}
