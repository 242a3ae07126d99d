using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Devices;

public sealed class SyntheticBlouseTests
{
    /// <summary>Every kind of relation over one invented coat; its figures are made up.</summary>
    private const string EveryKind = """
        name = "Harbour blouse, every rule"
        edition = "1"
        unit = "in"
        [judging]
        within = "1/32"
        hand = "0.10 mm"
        [[item]]
        id = "rack"
        name = "rack"
        stands_on = "pocket"
        size = ["4", "3/4"]
        place = ["0", "1/2"]
        pins = [["-1", "0"], ["1", "0"]]
        [[item]]
        id = "plate"
        name = "plate"
        stands_on = "rack"
        size = ["2", "1/2"]
        place = ["0", "1"]
        pins = [["0", "0"]]
        [[step]]
        id = "low-left"
        of = "rack"
        from = "pocket"
        at = ["-1 1/2", "-3/8"]
        grows = "up"
        ask = "Pocket to rack, left"
        [[step]]
        id = "low-right"
        of = "rack"
        from = "pocket"
        at = ["1 1/2", "-3/8"]
        grows = "up"
        ask = "Pocket to rack, right"
        [[step]]
        id = "rack-width"
        of = "rack"
        reads = "width"
        ask = "Width of the rack"
        [[step]]
        id = "pocket-width"
        of = "rack"
        from = "pocket"
        at = ["2", "0"]
        grows = "right"
        ask = "Width of the pocket"
        [[step]]
        id = "plate-left"
        of = "plate"
        from = "rack"
        at = ["-1", "0"]
        grows = "right"
        ask = "Rack's left end to the plate"
        [[step]]
        id = "plate-right"
        of = "plate"
        from = "rack"
        at = ["1", "0"]
        grows = "left"
        ask = "Plate to the rack's right end"
        [[step]]
        id = "plate-gap"
        of = "plate"
        from = "rack"
        at = ["0", "-1/4"]
        grows = "up"
        ask = "Rack to plate"
        [[step]]
        id = "plate-width"
        of = "plate"
        reads = "width"
        ask = "Width of the plate"
        [[relation]]
        id = "height"
        kind = "gap"
        of = ["low-left", "low-right"]
        min = "1/16"
        max = "3/16"
        [[relation]]
        id = "level"
        kind = "level"
        of = ["low-left", "low-right"]
        within = "1/64"
        [[relation]]
        id = "narrow"
        kind = "not-more-than"
        of = ["rack-width", "pocket-width"]
        [[relation]]
        id = "size"
        kind = "size"
        of = ["rack-width"]
        nominal = "4"
        [[relation]]
        id = "centred"
        kind = "equal"
        of = ["plate-left", "plate-right"]
        [[relation]]
        id = "adds-up"
        kind = "sum"
        of = ["plate-left", "plate-width", "plate-right"]
        nominal = "4"
        within = "1/8"
        [[relation]]
        id = "half"
        kind = "share"
        of = ["plate-width", "rack-width"]
        min = 0.4
        max = 0.6
        [[relation]]
        id = "spacing"
        kind = "pitch"
        of = ["plate-gap"]
        add = ["rack.height", "plate.height"]
        any-of = ["1", "7/8"]
        """;

    [Fact]
    public void Every_rule_of_the_example_is_within_for_any_seed()
    {
        Standard standard = Load(File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "TestData", "quayside-parade.toml")));
        foreach (string second in (string[])["no", "yes"])
        {
            AllWithin(Plan.For(standard, new Dictionary<string, string> { ["second-badge"] = second }));
        }
    }

    [Fact]
    public void Every_kind_of_rule_is_within_for_any_seed() => AllWithin(Plan.For(Load(EveryKind), new Dictionary<string, string>()));

    [Fact]
    public void The_same_seed_is_the_same_blouse_and_another_is_another()
    {
        Plan plan = Plan.For(Load(EveryKind), new Dictionary<string, string>());
        List<Length> Gaps(ulong seed)
        {
            SyntheticBlouse blouse = new(plan, seed, Length.FromNanometres(12_700));
            return [.. plan.Steps.Select(step => blouse.Gap(step.Id))];
        }

        Assert.Equal(Gaps(5), Gaps(5));
        Assert.NotEqual(Gaps(5), Gaps(6));
    }

    [Fact]
    public void Equal_gaps_are_as_the_drawing_has_them()
    {
        Plan plan = Plan.For(Load(EveryKind), new Dictionary<string, string>());

        // Drawn: a plate 2 in wide in the middle of a rack 4 in wide leaves 1 in on either side.
        Length left = new SyntheticBlouse(plan, 1, Length.FromNanometres(12_700)).Gap("plate-left");
        Assert.InRange(left.Nanometres, Length.Inch.Nanometres - 150_000, Length.Inch.Nanometres + 150_000);
    }

    /// <summary>Read with either caliper and with the display one count off either way, the worst that it does at rest.</summary>
    private static void AllWithin(Plan plan)
    {
        for (ulong seed = 0; seed < 60; seed++)
        {
            Length count = TransmittedValue.ResolutionOf(seed % 2 == 0 ? LengthUnit.Inch : LengthUnit.Millimetre);
            SyntheticBlouse blouse = new(plan, seed, count);
            HandEmulation hand = new(seed, count);
            double uncertainty = Budget.Of(plan.Standard.Judging, count, 1).Combined;
            SeededNoise flicker = new(seed);
            Measured? Read(string step) => new Measured(
                ExactLength.From(hand.Steady(blouse.Gap(step)) + count.Times((long)(flicker.For(step).Bits(0) % 3) - 1)), uncertainty);

            foreach (Judgement judgement in plan.Relations.SelectMany(relation => Judge.Relation(plan.Standard, relation, Read)))
            {
                Assert.True(
                    judgement.Verdict == Verdict.Within,
                    $"seed {seed}: {judgement.Relation.Id} is {judgement.Verdict} at {judgement.Value}, limits {judgement.Lower} to {judgement.Upper}");
            }
        }
    }

    private static Standard Load(string toml)
    {
        StandardLoad load = StandardText.Load(toml);
        return load.Standard ?? throw new InvalidDataException(string.Join('\n', load.Faults));
    }
}
