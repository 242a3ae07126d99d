using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Tests.Studies;

/// <summary>
/// 0.02 mm for a step of 0.01 mm: DIN 862, table of permissible errors (www.scribd.com/document/564783692/DIN862863). At least five points over at least
/// 90 % of the range: ISO 13385-1:2019 as explained in a maker's catalogue
/// (www2.mitutoyo.co.jp/eng/useful/catalog-2021/pageindices/index258.html). Steps of 49.88 mm: a procedure based on JIS B 7507
/// (www.scribd.com/document/598577534/Procedure-for-Caliper-Calibration-Rev-1).
/// </summary>
public sealed class CaliperCheckTests
{
    private static readonly Length Range = Millimetres(150);
    private static readonly Length Permissible = Length.FromMicrometres(20);

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
    public void Five_blocks_over_nine_tenths_of_the_range_and_the_closed_jaws_are_what_is_asked()
    {
        Assert.Null(CaliperCheck.Shortfall(Range, [.. new[] { 0m, 30, 60, 90, 120, 135 }.Select(Millimetres)]));
        Assert.NotNull(CaliperCheck.Shortfall(Range, [.. new[] { 0m, 30, 60, 90, 120, 134.99m }.Select(Millimetres)]));
        Assert.NotNull(CaliperCheck.Shortfall(Range, [.. new[] { 0m, 30, 60, 90, 140 }.Select(Millimetres)]));
        Assert.NotNull(CaliperCheck.Shortfall(Range, [.. new[] { 10m, 30, 60, 90, 120, 140 }.Select(Millimetres)]));
    }

    [Fact]
    public void A_stepped_block_alone_reaches_far_enough_but_has_too_few_steps() =>
        Assert.Contains("3 blocks", CaliperCheck.Shortfall(Range, [.. new[] { 0m, 49.88m, 99.76m, 149.64m }.Select(Millimetres)]), StringComparison.Ordinal);

    [Fact]
    public void What_cannot_be_checked_is_refused()
    {
        Assert.NotNull(CaliperCheck.Validate(Range, Permissible, []));
        Assert.NotNull(CaliperCheck.Validate(Range, Length.Zero, [Length.Zero]));
        Assert.NotNull(CaliperCheck.Validate(Length.Zero, Permissible, [Length.Zero]));
        Assert.NotNull(CaliperCheck.Validate(Range, Permissible, [Millimetres(-1)]));
        Assert.NotNull(CaliperCheck.Validate(Range, Permissible, [Millimetres(151)]));
        Assert.NotNull(CaliperCheck.Validate(Range, Permissible, [Length.Zero, Length.Zero]));
        Assert.Null(CaliperCheck.Validate(Range, Permissible, [Length.Zero, Millimetres(150)]));
    }
}
