using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Correcting;

public sealed class FewestRepinsTests
{
    private const int Reach = 5;   // half ticks to either side that the exhaustive search tries

    /// <summary>
    /// Each of up to four things by every whole step within reach, all together, where nothing moves whose own rules would hold if it
    /// stayed: written without anything of the product.
    /// </summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Never_more_items_than_trying_every_move_of_every_item_finds(bool severalNominals)
    {
        Random random = new(severalNominals ? 5 : 4);
        int solved = 0;
        for (int coat = 0; coat < 1000; coat++)
        {
            (Plan plan, Dictionary<string, Measured> readings) = Stack(random, 2 + random.Next(3), severalNominals);
            int? fewest = Exhaustive(plan, readings);

            Advice advice = Advise.For(plan, readings, CorrectingSettings.For(plan.Standard));

            if (fewest is { } count)
            {
                solved++;
                Assert.Empty(advice.Conflicts);
                Assert.True(advice.Moves.Count <= count, $"coat {coat}: {advice.Moves.Count} moved, {count} would do");
            }

            if (advice.Conflicts.Count == 0)
            {
                Assert.True(AllWithin(plan, After(readings, advice)), $"coat {coat}");
            }
        }

        Assert.True(solved > 500, $"only {solved} coats could be solved: the test says too little");
    }

    [Fact]
    public void Leaving_sets_out_of_the_search_loses_none()
    {
        Random random = new(8);
        for (int coat = 0; coat < 100; coat++)
        {
            (Plan plan, Dictionary<string, Measured> readings) = Stack(random, 7, false);
            CoatLayout layout = new(plan);
            IReadOnlyList<Constraint> all = Constraints.Of(plan, new RelationEvaluation(plan, readings), [.. plan.Steps.Select(step => SensitivityRow.For(plan, layout, step))], new HashSet<string>());
            foreach (Component component in Component.Of(all, plan.Items.Count).Where(each => each.Constraints.Any(constraint => !constraint.Holds)))
            {
                PinGrid[] grids = [.. component.Items.Select(item => new PinGrid(plan.Items[item], CorrectingSettings.For(plan.Standard)))];
                RoundedMoves? found = FewestRepins.Search(component.Constraints, grids);

                MoveSolver solver = new(component.Constraints, [.. grids.Select(grid => grid.CanTurn)]);
                StepSearch rounding = new(component.Constraints, component.Constraints, grids);
                bool MayMove(ItemSet set, int item) => component.Constraints.Any(constraint => constraint.Owner == item && (!constraint.Holds || constraint.ItemSet.Without(ItemSet.One(item)).Meets(set)));
                int[] sizes = [.. Enumerable.Range(1, (1 << grids.Length) - 1).Select(bits => new ItemSet((ulong)bits))
                    .Where(set => set.Members().All(item => MayMove(set, item)))
                    .Where(set => solver.Within(set) is not null && rounding.Round(set, solver.Best(set)).IsGood)
                    .Select(set => set.Count)];

                Assert.True(FewestRepins.IsExact(component.Constraints, grids));
                Assert.True(sizes.Length == 0 || (found is { Outside: 0 } && found.Pins.Count(pins => pins.Length > 0) <= sizes.Min()), $"coat {coat}");
            }
        }
    }

    [Fact]
    public void An_item_outside_is_moved_rather_than_all_that_stands_on_it()
    {
        Plan plan = Blouse.RackAndBadges().Plan();
        Dictionary<string, Measured> readings = Read(
            ("rack-left", 60), ("rack-right", 60), ("rack-low-left", 11), ("rack-low-right", 11),
            ("badge-gap-left", 13), ("badge-gap-right", 13), ("badge-left", 84), ("badge-right", 84), ("badge-2-gap", 8));

        ItemMove move = Assert.Single(Advise.For(plan, readings, CorrectingSettings.For(plan.Standard)).Moves);

        Assert.Equal("rack", move.Item);
        Assert.Equal([("left pin", Blouse.L(0), Blouse.L(-3)), ("right pin", Blouse.L(0), Blouse.L(-3))], Blouse.Pins(move));
    }

    [Fact]
    public void Of_two_things_that_would_each_do_the_one_with_fewer_pins_is_moved()
    {
        Plan plan = new Blouse { Rule = DecisionRule.Plain }
            .Item("bar", "pocket", 128, 32, Blouse.P(-48, 0), Blouse.P(48, 0)).Placed(0, 32).Item("star", "bar", 32, 32, Blouse.P(0, 0)).Placed(0, 40)
            .Step("gap", "star", "bar", 0, -16, "up").Rule64("gap", RelationKind.Gap, 8, 2, "gap").Plan();

        Assert.Equal("star", Assert.Single(Advise.For(plan, Read(("gap", 14)), CorrectingSettings.For(plan.Standard)).Moves).Item);
    }

    [Fact]
    public void Beyond_fourteen_items_in_one_stack_the_moves_help_but_are_not_called_the_fewest()
    {
        (Plan plan, Dictionary<string, Measured> readings) = Eighteen((4, 12), (5, 4));

        Advice advice = Advise.For(plan, readings, CorrectingSettings.For(plan.Standard));

        Assert.False(advice.ProvenFewest);
        Assert.NotEmpty(advice.Moves);
        Assert.True(AllWithin(plan, After(readings, advice)));
    }

    [Fact]
    public void In_a_high_stack_too_only_the_thing_that_is_outside_is_moved()
    {
        (Plan plan, Dictionary<string, Measured> readings) = Eighteen((17, 12));

        Advice advice = Advise.For(plan, readings, CorrectingSettings.For(plan.Standard));

        Assert.Equal("i17", Assert.Single(advice.Moves).Item);
        Assert.Empty(advice.Conflicts);
    }

    private static (Plan Plan, Dictionary<string, Measured> Readings) Eighteen(params (int Item, long SixtyFourths)[] off)
    {
        Blouse blouse = new() { Rule = DecisionRule.Plain };
        List<(string, long)> values = [];
        for (int i = 0; i < 18; i++)
        {
            blouse.Item($"i{i}", i == 0 ? "pocket" : $"i{i - 1}", 32, 16, Blouse.P(0, 0))
                .Step($"s{i}", $"i{i}", i == 0 ? "pocket" : $"i{i - 1}", 0, -8, "up").Rule64($"r{i}", RelationKind.Gap, 8, 2, $"s{i}");
            values.Add(($"s{i}", off.Where(one => one.Item == i).Select(one => one.SixtyFourths).DefaultIfEmpty(8).First()));
        }

        return (blouse.Plan(), Read([.. values]));
    }

    [Fact]
    public void Nothing_is_moved_when_every_rule_holds()
    {
        Plan plan = Blouse.RackAndBadges().Plan();
        Advice advice = Advise.For(plan, Read(("rack-left", 60), ("rack-right", 60), ("rack-low-left", 8), ("rack-low-right", 8)), CorrectingSettings.For(plan.Standard));

        Assert.Empty(advice.Moves);
        Assert.Empty(advice.Conflicts);
        Assert.True(advice.ProvenFewest);
    }

    internal static Dictionary<string, Measured> Read(params (string Step, long SixtyFourths)[] readings) =>
        readings.ToDictionary(pair => pair.Step, pair => new Measured(ExactLength.From(Blouse.L(pair.SixtyFourths)), Synthetic.Noise));

    internal static bool AllWithin(Plan plan, Dictionary<string, Measured> readings) => plan.Relations
        .SelectMany(relation => Judge.Relation(plan.Standard, relation, step => readings.TryGetValue(step, out Measured found) ? found : null))
        .All(judgement => judgement.Verdict == Verdict.Within);

    internal static Dictionary<string, Measured> After(Dictionary<string, Measured> readings, Advice advice)
    {
        Dictionary<string, Measured> after = new(readings);
        foreach ((string step, Length should) in advice.Moves.SelectMany(move => move.Should))
        {
            after[step] = readings[step] with { Value = ExactLength.From(should) };
        }

        return after;
    }

    /// <summary>Things on one pin each, read upwards from one another and from the pocket, at random.</summary>
    private static (Plan Plan, Dictionary<string, Measured> Readings) Stack(Random random, int items, bool severalNominals)
    {
        Blouse blouse = new() { Rule = DecisionRule.Plain };
        List<(string, long)> values = [];
        for (int i = 0; i < items; i++)
        {
            blouse.Item($"i{i}", i == 0 ? "pocket" : $"i{i - 1}", 32, 16, Blouse.P(0, 0));
            for (int s = 0; s < 1 + (random.Next(3) == 0 ? 1 : 0); s++)
            {
                string id = $"s{i}-{s}";
                blouse.Step(id, $"i{i}", i == 0 || random.Next(4) == 0 ? "pocket" : $"i{random.Next(i)}", 0, -8, random.Next(2) == 0 ? "up" : "down");
                Limits[] limits = severalNominals && random.Next(3) == 0
                    ? [Blouse.Around(RelationKind.Gap, 20, 1), Blouse.Around(RelationKind.Gap, 25, 1)]
                    : [Blouse.Around(RelationKind.Gap, 20, 1)];
                blouse.Add(new Relation("r" + id, RelationKind.Gap, [id], limits, null, null, [], [], null, null));
                values.Add((id, 20 + (random.Next(2) == 0 ? 0 : random.Next(-4, 5))));
            }
        }

        return (blouse.Plan(), Read([.. values]));
    }

    private static int? Exhaustive(Plan plan, Dictionary<string, Measured> readings)
    {
        int count = plan.Items.Count;
        Dictionary<string, int> index = plan.Items.Select((item, k) => (item.Id, k)).ToDictionary(pair => pair.Id, pair => pair.k);
        (long Value, int Of, int From, int Sign, long[] Nominals)[] rules = [.. plan.Relations.Select(relation => (relation, step: plan.FindStep(relation.Of[0])!)).Select(pair => (
            (long)(readings[pair.step.Id].Value.ToDouble() / 396_875), index[pair.step.Of], index.GetValueOrDefault(pair.step.From, -1),
            pair.step.Grows!.Up > 0 ? 1 : -1, pair.relation.Limits.Select(limits => limits.Nominal!.Value.Nanometres / 396_875).ToArray()))];
        int? fewest = null;
        int[] moves = new int[count];
        bool Holds((long Value, int Of, int From, int Sign, long[] Nominals) rule) =>
            rule.Nominals.Any(nominal => Math.Abs(rule.Value + (rule.Sign * (moves[rule.Of] - (rule.From < 0 ? 0 : moves[rule.From]))) - nominal) <= 1);
        bool IsNeeded(int item)
        {
            int move = moves[item];
            moves[item] = 0;
            bool needed = move == 0 || rules.Any(rule => rule.Of == item && !Holds(rule));
            moves[item] = move;
            return needed;
        }

        void Try(int item, int moved)
        {
            if (fewest <= moved)
            {
                return;
            }

            if (item == count)
            {
                fewest = rules.All(Holds) && Enumerable.Range(0, count).All(IsNeeded) ? moved : fewest;
                return;
            }

            for (int steps = -Reach; steps <= Reach; steps++)
            {
                moves[item] = steps;
                Try(item + 1, moved + (steps == 0 ? 0 : 1));
            }
        }

        Try(0, 0);
        return fewest;
    }
}
