using System.Globalization;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Studies;

/// <summary>Where a caliper is tried.</summary>
public enum CheckPlace
{
    /// <summary>Between the outside jaws, near their root.</summary>
    Near,

    /// <summary>Between the outside jaws, at their tips: a jaw that is not square shows there.</summary>
    Far,

    /// <summary>Between the inside jaws, in a ring or a gap.</summary>
    Inside,

    /// <summary>With the depth rod, on a step.</summary>
    Depth,
}

/// <summary>What published procedures ask of the points of a check.</summary>
public enum CheckShortfall
{
    /// <summary>The closed jaws are not among them.</summary>
    ClosedJaws,

    /// <summary>There are too few blocks.</summary>
    TooFewBlocks,

    /// <summary>The longest block reaches too little of the range.</summary>
    Range,

    /// <summary>Root and tips of the jaws are not both tried at the shortest and the longest block.</summary>
    RootAndTips,

    /// <summary>Every block is a round length.</summary>
    RoundLengths,
}

/// <summary>One block and what the caliper showed on it.</summary>
/// <param name="Block">The length between the faces; zero for closed jaws.</param>
/// <param name="Shown">What the caliper showed.</param>
public readonly record struct CheckPoint(Length Block, Length Shown)
{
    /// <summary>Where it was tried.</summary>
    public CheckPlace Place { get; init; }

    /// <summary>What it shows too much.</summary>
    public Length Error => Shown - Block;

    /// <summary>True for the outside jaws.</summary>
    public bool IsOutside => Place is CheckPlace.Near or CheckPlace.Far;

    /// <summary>A point that is asked for: it should show the block itself.</summary>
    public static CheckPoint Asked(Length block, CheckPlace place = CheckPlace.Near) => new(block, block) { Place = place };
}

/// <summary>The words of a check in settings, options and JSON.</summary>
public static class CheckWords
{
    /// <summary>The word of a place.</summary>
    public static string Of(CheckPlace place) => place switch
    {
        CheckPlace.Near => "near",
        CheckPlace.Far => "far",
        CheckPlace.Inside => "inside",
        CheckPlace.Depth => "depth",
    };

    /// <summary>A point as it is written, a length and where it is tried: <c>30 mm</c>, <c>140 mm far</c>, <c>5.08 mm inside</c>. Without a word it is near.</summary>
    public static (string Length, CheckPlace Place) Split(string text)
    {
        string trimmed = text.Trim();
        foreach (CheckPlace place in Enum.GetValues<CheckPlace>())
        {
            if (trimmed.EndsWith(" " + Of(place), StringComparison.Ordinal))
            {
                return (trimmed[..^(Of(place).Length + 1)].TrimEnd(), place);
            }
        }

        return (trimmed, CheckPlace.Near);
    }
}

/// <summary>A permissible error that may grow with the length: <c>0.02 mm</c>, <c>0.02 mm + L/10000</c>.</summary>
/// <param name="Constant">What is allowed at any length; positive.</param>
/// <param name="Per">The length over this is allowed beside it; 0 for an error that does not grow.</param>
public readonly record struct PermissibleError(Length Constant, long Per = 0)
{
    private const long LeastPer = 100;              // 1 %: more is no caliper
    private const long MostPer = 1_000_000_000;     // a nanometre a metre

    /// <summary>True when an error at a length is permissible, reckoned exactly; on the bound it is.</summary>
    public bool Allows(Length error, Length length) => Per == 0
        ? error.Abs() <= Constant
        : ((Int128)error.Abs().Nanometres - Constant.Nanometres) * Per <= length.Abs().Nanometres;

    /// <summary>What is allowed at a length, cut to whole nanometres.</summary>
    public Length At(Length length) => Per == 0 ? Constant : Constant + Length.FromNanometres(length.Abs().Nanometres / Per);

    /// <summary>As <see cref="Parse"/> reads it.</summary>
    public override string ToString() => LengthFormat.ShowExact(Constant) + (Per == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $" + L/{Per}"));

    /// <summary>Reads a length with its unit and, where the error grows, <c>+ L/</c> and a whole number from 100 to 1 000 000 000; null when it is not written so, or not above zero.</summary>
    /// <param name="text">What was written.</param>
    /// <param name="unit">The unit of a bare number; null refuses one.</param>
    public static PermissibleError? Parse(string text, LengthUnit? unit = null)
    {
        string[] parts = text.Split('+', 2);
        long per = 0;
        if (parts.Length == 2 && !(parts[1].Trim() is ['L', '/', .. var digits] && long.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out per) && per is >= LeastPer and <= MostPer))
        {
            return null;
        }

        return LengthText.Parse(parts[0].Trim(), unit ?? LengthUnit.Millimetre) is { IsLength: true, Value: { } length } && (unit is not null || length.UnitWritten) && length.Value > Length.Zero
            ? new PermissibleError(length.Value, per)
            : null;
    }
}

/// <summary>What is permissible at each place.</summary>
/// <remarks>
/// Where nothing is said for the inside jaws and the depth rod, 0.02 mm more than outside: 0.02 and 0.04 mm for a digital step of 0.01 mm (f-m-s.dk/CaliperCalibration.htm; the same in DIN 862, table of permissible
/// errors); ISO 13385-1:2019 as explained in a maker's catalogue gives the depth rod so much more, and the inside jaws nothing (www2.mitutoyo.co.jp/eng/useful/catalog-2021/pageindices/index259.html).
/// </remarks>
/// <param name="Outside">Of the outside jaws, at root and tips.</param>
/// <param name="Inside">Of the inside jaws; null for what follows from the outside ones.</param>
/// <param name="Depth">Of the depth rod; null for what follows from the outside jaws.</param>
public sealed record CheckLimits(PermissibleError Outside, PermissibleError? Inside = null, PermissibleError? Depth = null)
{
    private static readonly Length _more = Length.FromMicrometres(20);

    /// <summary>What is permissible at a place.</summary>
    public PermissibleError Of(CheckPlace place) => place switch
    {
        CheckPlace.Near or CheckPlace.Far => Outside,
        CheckPlace.Inside => Inside ?? Outside with { Constant = Outside.Constant + _more },
        CheckPlace.Depth => Depth ?? Outside with { Constant = Outside.Constant + _more },
    };
}

/// <summary>A caliper tried on closed jaws and gauge blocks.</summary>
/// <remarks>
/// <para>Simple acceptance: an error of exactly the permissible one conforms. Blocks of any workshop grade are off by at most 1.6 µm at 150 mm (ISO 3650,
/// grade 2), more than ten times less than the 0.02 mm asked of a caliper of 0.01 mm, so no guard band is drawn in.</para>
/// <para>What it finds does not take the permissible error's place in the budget: a verified instrument is reckoned with what its class allows (JCGM 100:2008, F.2.4.2, from memory), for a handful of points
/// is no calibration over the range. A check confirms the permissible error that the budget reckons with, or does not.</para>
/// </remarks>
/// <param name="Range">How far the caliper opens.</param>
/// <param name="Permissible">Largest permissible error, in either direction.</param>
/// <param name="Points">In the order they are read: what was shown, or what is asked for.</param>
public sealed record CaliperCheck(Length Range, CheckLimits Permissible, IReadOnlyList<CheckPoint> Points)
{
    /// <summary>
    /// At least so many blocks besides the closed jaws, at least <see cref="CoveredPercent"/> of the range, and root and tips of the jaws at the shortest and the longest one: ISO 13385-1:2019 as explained in a maker's
    /// catalogue (www2.mitutoyo.co.jp/eng/useful/catalog-2021/pageindices/index258.html and index259.html).
    /// </summary>
    public const int MinBlocks = 5;

    /// <summary>The longest block reaches at least so much of the range.</summary>
    public const int CoveredPercent = 90;

    private static readonly Length _tenthOfAnInch = Length.FromNanometres(2_540_000);

    /// <summary>True when every point is.</summary>
    public bool IsWithin => Points.All(IsPointWithin);

    /// <summary>The point with the largest error in either direction; the first of several.</summary>
    /// <exception cref="InvalidOperationException">There are no points.</exception>
    public CheckPoint Worst => Points.MaxBy(point => point.Error.Abs().Nanometres);

    /// <summary>True when the point's error is permissible.</summary>
    public bool IsPointWithin(CheckPoint point) => Permissible.Of(point.Place).Allows(point.Error, point.Block);

    /// <summary>Why these cannot be the points of a check, or null.</summary>
    public string? Fault =>
        Points.Count == 0 ? "there is no block to read"
        : Enum.GetValues<CheckPlace>().Any(place => Permissible.Of(place).Constant <= Length.Zero) ? "the permissible error must be above zero"
        : Range <= Length.Zero ? "the range must be above zero"
        : Points.Any(point => point.Block < Length.Zero) ? "no block is shorter than nothing"
        : Points.Any(point => point.Block > Range) ? "a block is longer than the caliper opens"
        : Points.Any(point => point.Block == Length.Zero && point.Place == CheckPlace.Inside) ? "the inside jaws cannot be tried on nothing"
        : Points.DistinctBy(point => (point.Block, point.Place)).Count() < Points.Count ? "a block is named twice"
        : null;

    /// <summary>What published procedures ask and these points do not give; empty when they do.</summary>
    /// <remarks>
    /// That one block is odd, a whole number neither of millimetres nor of tenths of an inch, is so in published procedures (steps of 49.88 mm: www.scribd.com/document/598577534/Procedure-for-Caliper-Calibration-Rev-1):
    /// an error that repeats with the marks of a vernier or the pitch of a scale is the same on all round lengths.
    /// </remarks>
    public IReadOnlyList<CheckShortfall> Shortfalls
    {
        get
        {
            List<CheckPoint> outside = [.. Points.Where(point => point.IsOutside)];
            IReadOnlyList<Length> blocks = OutsideBlocks;
            bool Tried(Length block, CheckPlace place) => outside.Exists(point => point.Block == block && point.Place == place);
            List<CheckShortfall> less = [];
            void Ask(bool given, CheckShortfall kind)
            {
                if (!given)
                {
                    less.Add(kind);
                }
            }

            Ask(outside.Exists(point => point.Block == Length.Zero), CheckShortfall.ClosedJaws);
            Ask(blocks.Count >= MinBlocks, CheckShortfall.TooFewBlocks);
            Ask(blocks.Count > 0 && blocks[^1].Nanometres * (Int128)100 >= Range.Nanometres * (Int128)CoveredPercent, CheckShortfall.Range);
            Ask(blocks.Count > 0 && new[] { blocks[0], blocks[^1] }.All(block => Tried(block, CheckPlace.Near) && Tried(block, CheckPlace.Far)), CheckShortfall.RootAndTips);
            Ask(blocks.Any(block => block.Nanometres % Length.Millimetre.Nanometres != 0 && block.Nanometres % _tenthOfAnInch.Nanometres != 0), CheckShortfall.RoundLengths);
            return less;
        }
    }

    /// <summary>The blocks between the outside jaws, each once, the shortest first.</summary>
    public IReadOnlyList<Length> OutsideBlocks => [.. Points.Where(point => point.IsOutside).Select(point => point.Block).Where(block => block > Length.Zero).Distinct().Order()];

    /// <summary>The shortfalls in words; null when there is none.</summary>
    public string? Shortfall => Shortfalls is { Count: > 0 } less ? string.Join("; ", less.Select(Words)) : null;

    private string Words(CheckShortfall kind) => kind switch
    {
        CheckShortfall.ClosedJaws => "the closed jaws are not among the points",
        CheckShortfall.TooFewBlocks => FormattableString.Invariant($"{OutsideBlocks.Count} {(OutsideBlocks.Count == 1 ? "block" : "blocks")} where at least {MinBlocks} are asked"),
        CheckShortfall.Range => FormattableString.Invariant($"the longest block reaches less than {CoveredPercent} % of the range"),
        CheckShortfall.RootAndTips => "root and tips of the jaws are not both tried at the shortest and the longest block",
        CheckShortfall.RoundLengths => "every block is a round length, where an error that repeats with the scale does not show",
    };
}
