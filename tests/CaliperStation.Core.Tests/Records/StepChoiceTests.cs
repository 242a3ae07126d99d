using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Judging;
using CaliperStation.Core.Tests.Sittings;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Core.Tests.Records;

/// <summary>The coat's standard uncertainty is about 0.101 mm a take, its limits 3 ± 0.5 mm.</summary>
public sealed class StepChoiceTests
{
    [Fact]
    public void What_carries_comes_first_then_what_was_close_then_the_lot_and_all_in_the_order_of_work()
    {
        IReadOnlyList<ChosenStep> chosen = StepChoice.ForCountersign(RemeasurementSample.First(badge: 3250), RemeasurementSample.Plan, 0.2, 1);

        // the badge has a margin of 0.25 mm, 2.5 standard uncertainties and half of what there is; the cord is all that is left for the lot
        Assert.Equal([("rack-left", "carries"), ("rack-right", "carries"), ("badge-gap", "close"), ("cord-drop", "random")], chosen.Select(step => (step.Step, step.Why)));
    }

    [Fact]
    public void One_seed_is_one_choice_and_of_two_steps_each_comes_by_some_seed()
    {
        Record first = RemeasurementSample.First();
        string[] lots = [.. Enumerable.Range(0, 40).Select(seed => Lot(first, 0.2, seed))];

        Assert.Equal(["badge-gap", "cord-drop"], lots.Distinct().Order());
        Assert.Equal(lots, Enumerable.Range(0, 40).Select(seed => Lot(first, 0.2, seed)));
    }

    [Theory]
    [InlineData(0, 1)]
    [InlineData(0.2, 1)]
    [InlineData(0.5, 1)]
    [InlineData(0.51, 2)]
    [InlineData(1, 2)]
    public void The_share_is_rounded_up_and_never_none(double share, int steps) =>
        Assert.Equal(steps, StepChoice.ForCountersign(RemeasurementSample.First(), RemeasurementSample.Plan, share, 3).Count(step => step.Why == "random"));

    [Fact]
    public void A_share_beyond_all_is_misuse() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => StepChoice.ForCountersign(RemeasurementSample.First(), RemeasurementSample.Plan, double.NaN, 1));

    [Fact]
    public void An_even_pair_is_not_close_to_a_limit()
    {
        Sheet sheet = new Sheet().Item("rack", "pocket").Item("cord", "shoulder")
            .Step("left", "rack", "pocket").Step("right", "rack", "pocket").Step("drop", "cord", "shoulder")
            .Rule("even", RelationKind.Equal, Sheet.Between(0, 1000), "left", "right").Rule("cord", RelationKind.Gap, Sheet.Around(3000, 600), "drop");
        Record first = RecordOfSitting.Make(Coat.Ready(sheet).Take(3000, 3000, 3000).Sign().View, new ChainPlace("0123456789abcdef", 1, Record.NoPrevious));

        // the pair has 1 mm to its limit, 7 standard uncertainties; the cord 0.6 mm, 6: the closest, and not near all the same
        Assert.DoesNotContain(StepChoice.ForCountersign(first, sheet.Plan(), 0, 1), step => step.Why == "close");
    }

    [Theory]
    [InlineData(3000, 3000, 3000, "")]
    [InlineData(3000, 3090, 3090, "")]
    [InlineData(3000, 3000, 3120, "drop")]
    [InlineData(3000, 3120, 3000, "left right")]
    public void Where_limits_are_narrow_only_what_is_off_its_middle_is_close(long left, long right, long drop, string close)
    {
        // limits of 0.2 mm either way are less than three of the 0.101 mm even in the middle
        Sheet sheet = new Sheet { Settings = Sheet.Plain }.Item("rack", "pocket").Item("cord", "shoulder")
            .Step("left", "rack", "pocket").Step("right", "rack", "pocket").Step("drop", "cord", "shoulder")
            .Rule("even", RelationKind.Equal, Sheet.Between(0, 200), "left", "right").Rule("cord", RelationKind.Gap, Sheet.Around(3000, 200), "drop");
        Record first = RecordOfSitting.Make(Coat.Ready(sheet).Take(left, right, drop).Sign().View, new ChainPlace("0123456789abcdef", 1, Record.NoPrevious));

        Assert.Equal(close, string.Join(' ', StepChoice.ForCountersign(first, sheet.Plan(), 0, 1).Where(step => step.Why == "close").Select(step => step.Step)));
    }

    [Fact]
    public void A_recheck_looks_at_every_item()
    {
        IReadOnlyList<ChosenStep> chosen = StepChoice.ForRecheck(RemeasurementSample.First(cord: 3010), RemeasurementSample.Plan, []);

        Assert.Equal([("rack-left", "carries"), ("rack-right", "carries"), ("badge-gap", "item"), ("cord-drop", "item")], chosen.Select(step => (step.Step, step.Why)));
    }

    [Fact]
    public void A_recheck_looks_at_what_moved_most_before()
    {
        Record before = RemeasurementSample.First(cord: 2900);
        Record last = RemeasurementSample.First(badge: 3010);

        Assert.Equal(
            [("rack-left", "carries"), ("rack-right", "carries"), ("badge-gap", "item"), ("cord-drop", "moved")],
            StepChoice.ForRecheck(last, RemeasurementSample.Plan, [before, last]).Select(step => (step.Step, step.Why)));
        Assert.DoesNotContain(StepChoice.ForRecheck(last, RemeasurementSample.Plan, [last]), step => step.Why is "moved" or "random");
    }

    [Fact]
    public void A_recheck_looks_at_everything_that_moved_beyond_the_uncertainty()
    {
        Record before = RemeasurementSample.First(badge: 2750, cord: 2750);
        Record last = RemeasurementSample.First(badge: 3100, cord: 3140);   // 0.35 and 0.39 mm; √2·2·0.101 = 0.285 mm is the bound

        Assert.Equal(["badge-gap", "cord-drop"], StepChoice.ForRecheck(last, RemeasurementSample.Plan, [before, last]).Where(step => step.Why == "moved").Select(step => step.Step));
    }

    private static string Lot(Record first, double share, long seed) =>
        Assert.Single(StepChoice.ForCountersign(first, RemeasurementSample.Plan, share, seed), step => step.Why == "random").Step;
}
