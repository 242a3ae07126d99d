using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Judging;
using CsCheck;

namespace CaliperStation.Core.Tests.Studies;

/// <summary>
/// 0.02 mm for a step of 0.01 mm: DIN 862, table of permissible errors (www.scribd.com/document/564783692/DIN862863). At least five points over at least
/// 90 % of the range, root and tip of the jaws at the shortest and the longest: ISO 13385-1:2019 as explained in a maker's catalogue
/// (www2.mitutoyo.co.jp/eng/useful/catalog-2021/pageindices/index258.html and index259.html). Steps of 49.88 mm: a procedure based on JIS B 7507
/// (www.scribd.com/document/598577534/Procedure-for-Caliper-Calibration-Rev-1). Grades of blocks: TestData/Studies/gauge_block_grades_iso3650_din861.csv (diesella.dk/kundeservice/tekniske-data).
/// </summary>
public sealed class CaliperCheckTests
{
    private static readonly Length Range = Millimetres(150);
    private static readonly CheckLimits Permissible = new(new PermissibleError(Length.FromMicrometres(20)));

    private static Length Millimetres(decimal value) => Length.FromNanometres((long)(value * 1_000_000));

    [Theory]
    [InlineData(20, true)]
    [InlineData(-20, true)]
    [InlineData(30, false)]
    [InlineData(-30, false)]
    public void An_error_conforms_up_to_and_with_the_permissible_one(int micrometres, bool within)
    {
        CaliperCheck check = new(Range, Permissible, [new(Length.Zero, Length.Zero), new(Millimetres(49.88m), Millimetres(49.88m) + Length.FromMicrometres(micrometres))]);

        Assert.Equal(within, check.IsWithin);
        Assert.Equal(Length.FromMicrometres(micrometres), check.Worst.Error);
    }

    [Fact]
    public void Five_blocks_over_nine_tenths_of_the_range_one_of_them_odd_at_root_and_tips_are_what_is_asked()
    {
        Assert.Empty(Asked([0m, 30, 41.3m, 90, 120, 135], [30, 135]).Shortfalls);
        Assert.Contains(CheckShortfall.Range, Asked([0m, 30, 41.3m, 90, 120, 134.99m], [30, 134.99m]).Shortfalls);
        Assert.Contains(CheckShortfall.TooFewBlocks, Asked([0m, 30, 41.3m, 90, 140], [30, 140]).Shortfalls);
        Assert.Contains(CheckShortfall.ClosedJaws, Asked([30, 41.3m, 90, 120, 140], [30, 140]).Shortfalls);
        Assert.Contains(CheckShortfall.RootAndTips, Asked([0m, 30, 41.3m, 90, 120, 140], [140]).Shortfalls);
        Assert.Contains(CheckShortfall.RootAndTips, Asked([0m, 30, 41.3m, 90, 120], [30, 140]).Shortfalls);   // 140 only at the tips
        Assert.Contains(CheckShortfall.RoundLengths, Asked([0m, 30, 60, 90, 120, 140], [30, 140]).Shortfalls);
        Assert.Contains(CheckShortfall.RoundLengths, Asked([0m, 25.4m, 50.8m, 76.2m, 101.6m, 137.16m], [25.4m, 137.16m]).Shortfalls);
    }

    [Fact]
    public void A_stepped_block_alone_reaches_far_enough_and_is_odd_but_has_too_few_steps()
    {
        CaliperCheck check = Asked([0m, 49.88m, 99.76m, 149.64m], [49.88m, 149.64m]);

        Assert.Equal([CheckShortfall.TooFewBlocks], check.Shortfalls);
        Assert.Equal(3, check.OutsideBlocks.Count);
        Assert.NotNull(check.Shortfall);
    }

    [Fact]
    public void Inside_jaws_and_depth_rod_count_for_no_point_of_the_outside_jaws()
    {
        CaliperCheck check = Asked([0m, 30, 41.3m, 90, 140], [30, 140]);

        CaliperCheck more = check with { Points = [.. check.Points, CheckPoint.Asked(Millimetres(5.08m), CheckPlace.Inside), CheckPoint.Asked(Millimetres(20), CheckPlace.Depth)] };
        Assert.Contains(CheckShortfall.TooFewBlocks, more.Shortfalls);
        Assert.Equal(4, more.OutsideBlocks.Count);
    }

    [Fact]
    public void What_cannot_be_checked_is_refused()
    {
        Assert.NotNull(Asked([]).Fault);
        Assert.NotNull((Asked([0m]) with { Permissible = new(new PermissibleError(Length.Zero)) }).Fault);
        Assert.NotNull((Asked([0m]) with { Permissible = new(new PermissibleError(Length.FromMicrometres(20)), Depth: new PermissibleError(Length.Zero)) }).Fault);
        Assert.NotNull((Asked([0m]) with { Range = Length.Zero }).Fault);
        Assert.NotNull(Asked([-1]).Fault);
        Assert.NotNull(Asked([151]).Fault);
        Assert.NotNull(Asked([0m, 0]).Fault);
        Assert.NotNull((Asked([0m]) with { Points = [CheckPoint.Asked(Length.Zero, CheckPlace.Inside)] }).Fault);
        Assert.Null(Asked([0m, 150], [150]).Fault);
    }

    /// <summary>0.02 mm outside, 0.04 mm inside and depth: calibration data of a company (f-m-s.dk/CaliperCalibration.htm).</summary>
    [Fact]
    public void Inside_jaws_and_depth_rod_are_allowed_more_unless_it_is_said()
    {
        CheckPoint Read(CheckPlace place, int micrometres) => CheckPoint.Asked(Millimetres(20), place) with { Shown = Millimetres(20) + Length.FromMicrometres(micrometres) };
        CaliperCheck check = Asked([0m]);

        Assert.Equal([false, false, true, true], Enum.GetValues<CheckPlace>().Select(place => check.IsPointWithin(Read(place, 40))));
        Assert.Equal([false, false, false, false], Enum.GetValues<CheckPlace>().Select(place => check.IsPointWithin(Read(place, 41))));
        Assert.False((check with { Permissible = Permissible with { Inside = new PermissibleError(Length.FromMicrometres(30)) } }).IsPointWithin(Read(CheckPlace.Inside, 40)));
    }

    [Theory]
    [InlineData("0.02 mm", 20_000, 0)]
    [InlineData("0.02 mm + L/10000", 20_000, 10_000)]
    [InlineData("0.001 in+L/5000", 25_400, 5_000)]
    public void An_error_that_grows_is_written_with_the_length_over_a_number(string text, long nanometres, long per)
    {
        PermissibleError error = PermissibleError.Parse(text)!.Value;

        Assert.Equal(new PermissibleError(Length.FromNanometres(nanometres), per), error);
        Assert.Equal(error, PermissibleError.Parse(error.ToString()));
    }

    [Theory]
    [InlineData("0.02")]
    [InlineData("0 mm")]
    [InlineData("-0.02 mm")]
    [InlineData("0.02 mm + L/99")]
    [InlineData("0.02 mm + L/0")]
    [InlineData("0.02 mm + L/1000000001")]
    [InlineData("0.02 mm + L/99999999999999999999")]
    [InlineData("0.02 mm + 10000")]
    [InlineData("0.02 mm + L")]
    [InlineData("0.02 mm +")]
    [InlineData("L/10000")]
    [InlineData("")]
    public void What_is_written_otherwise_is_none(string text) => Assert.Null(PermissibleError.Parse(text));

    /// <summary>0.02 mm + L/10000 allows 0.03 mm at 100 mm; the bound itself is allowed, a nanometre beyond is not, also where the length does not divide.</summary>
    [Fact]
    public void A_growing_error_is_reckoned_exactly()
    {
        PermissibleError grows = new(Length.FromMicrometres(20), 10_000);
        Assert.Equal(Length.FromMicrometres(30), grows.At(Millimetres(100)));
        Assert.True(grows.Allows(Length.FromMicrometres(-30), Millimetres(100)));
        Assert.False(grows.Allows(Length.FromNanometres(30_001), Millimetres(100)));
        Gen.Select(Gen.Long[-200_000, 200_000], Gen.Long[0, 1_000_000_000], Gen.Long[1, 1_000_000]).Sample((error, length, per) =>
            new PermissibleError(Length.FromMicrometres(20), per).Allows(Length.FromNanometres(error), Length.FromNanometres(length)) == ((Math.Abs(error) - 20_000) * (decimal)per <= length));
    }

    /// <summary>Simple acceptance with a ratio of at least 4 to 1: ASME B89.1.14-2018 as summarised (eurocaltech.com/blog-details.php?recId=26). Every grade of block up to the range gives ten.</summary>
    [Fact]
    public void Blocks_of_any_grade_are_good_enough_for_simple_acceptance()
    {
        List<PublishedRow> rows = [.. PublishedRows.Of("gauge_block_grades_iso3650_din861.csv", "Studies").Where(row => row.Number("length_up_to_mm") <= 150)];

        Assert.Equal(["00", "0", "1", "2"], rows.Select(row => row["grade"]).Distinct());
        Assert.All(rows, row => Assert.True(Permissible.Outside.Constant >= Length.FromNanometres((long)(row.Number("length_deviation_limit_um")!.Value * 1_000)).Times(10)));
        Assert.Equal(1.60, rows.Max(row => row.Number("length_deviation_limit_um")));   // what the page and the remarks say
    }

    [Theory]
    [InlineData("30 mm", "30 mm", CheckPlace.Near)]
    [InlineData(" 140 mm far ", "140 mm", CheckPlace.Far)]
    [InlineData("5.08 mm inside", "5.08 mm", CheckPlace.Inside)]
    [InlineData("20 depth", "20", CheckPlace.Depth)]
    [InlineData("1 11/32 in near", "1 11/32 in", CheckPlace.Near)]
    [InlineData("30 mmfar", "30 mmfar", CheckPlace.Near)]
    public void The_place_is_the_last_word(string text, string length, CheckPlace place) => Assert.Equal((length, place), CheckWords.Split(text));

    private static CaliperCheck Asked(decimal[] near, params decimal[] far) => new(
        Range, Permissible, [.. near.Select(block => CheckPoint.Asked(Millimetres(block))), .. far.Select(block => CheckPoint.Asked(Millimetres(block), CheckPlace.Far))]);
}
