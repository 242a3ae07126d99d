using CaliperStation.Core.Correcting;
using CaliperStation.Core.Standards;
using CsCheck;

namespace CaliperStation.Core.Tests.Correcting;

public sealed class StaleReadingsTests
{
    [Fact]
    public void Moving_an_item_makes_stale_what_is_read_on_it_and_what_is_read_from_it_in_the_order_of_work() =>
        Assert.Equal(
            ["badge-gap-left", "badge-gap-right", "badge-left", "badge-right", "badge-2-gap"],
            StaleReadings.After(Blouse.RackAndBadges().Plan(), ["badge"]));

    [Fact]
    public void What_stands_on_a_moved_item_keeps_its_readings_to_other_things() =>
        Assert.DoesNotContain("badge-2-gap", StaleReadings.After(Blouse.RackAndBadges().Plan(), ["rack"]));

    [Fact]
    public void A_landmark_does_not_move() =>
        Assert.Empty(StaleReadings.After(Blouse.RackAndBadges().Plan(), ["pocket", "nobody"]));

    [Fact]
    public void A_rule_is_lost_with_any_of_its_readings_and_with_the_rule_it_hangs_on()
    {
        Condition onHeight = new([new ConditionPart.ValueIs("badge-height", Comparison.Less, 1, Blouse.L(4))]);
        Condition onSecond = new([new ConditionPart.ValueIs("second", Comparison.Less, 1, Blouse.L(4))]);
        Limits limits = Blouse.Around(RelationKind.Gap, 8, 2);
        Plan plan = Blouse.RackAndBadges()
            .Add(new Relation("third", RelationKind.Gap, ["rack-left"], [limits], null, null, [], [], onSecond, null))
            .Add(new Relation("second", RelationKind.Gap, ["rack-left"], [limits], null, null, [], [], onHeight, null))
            .Plan();

        Assert.Equal(["badge-height", "third", "second"], StaleReadings.LostJudgements(plan, ["badge-gap-left"]));
    }

    [Fact]
    public void The_steps_asked_again_are_those_a_plain_graph_search_reaches() => Gen.Select(
        Gen.Int[1, 14], Gen.Int[0, 40], Gen.Int[0, 1_000_000], Gen.Int[0, 16_383]).Sample((items, steps, seed, moved) =>
    {
        Plan plan = RandomPlan(items, steps, new Random(seed));
        List<string> movedIds = [.. plan.Items.Select(item => item.Id).Where(id => (moved >> int.Parse(id[1..], System.Globalization.CultureInfo.InvariantCulture) & 1) != 0)];

        Assert.Equal(Searched(plan, movedIds), StaleReadings.After(plan, movedIds));
    }, iter: 300);

    /// <summary>Items and steps are nodes, an edge runs from each end of a step to the step and no further: readings move nothing.</summary>
    private static List<string> Searched(Plan plan, List<string> moved)
    {
        Dictionary<string, List<string>> edges = [];
        foreach (Step step in plan.Steps)
        {
            foreach (string end in new[] { step.Of, step.From })
            {
                edges.TryAdd("item " + end, []);
                edges["item " + end].Add("step " + step.Id);
            }
        }

        HashSet<string> reached = [];
        Queue<string> waiting = new(moved.Select(id => "item " + id));
        while (waiting.TryDequeue(out string? node))
        {
            if (reached.Add(node))
            {
                edges.GetValueOrDefault(node, []).ForEach(waiting.Enqueue);
            }
        }

        return [.. plan.Steps.Select(step => step.Id).Where(id => reached.Contains("step " + id))];
    }

    private static Plan RandomPlan(int items, int steps, Random random)
    {
        Blouse blouse = new();
        for (int i = 0; i < items; i++)
        {
            blouse.Item($"i{i}", i == 0 ? "pocket" : Lower(i, random), 64, 32, Blouse.P(0, 0));
        }

        for (int s = 0; s < steps; s++)
        {
            int of = random.Next(items);
            blouse.Step($"s{s}", $"i{of}", random.Next(5) == 0 ? $"i{of}" : Lower(of, random), 0, 0, "up");
        }

        return blouse.Plan();
    }

    private static string Lower(int item, Random random) => item == 0 || random.Next(3) == 0 ? "pocket" : $"i{random.Next(item)}";
}
