using System.Globalization;
using System.Text;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;
using CsCheck;

namespace CaliperStation.Core.Tests.Standards;

public class WorkOrderPropertyTests
{
    private sealed record Blouse(int[] Order, int[] StandsOn, int[] StepsOf, (int From, int Other)[] Extra, (int Asks, int About)[] Conditions);

    // Items 0.. stand on an earlier one or on the garment; the file names them in any order.
    private static readonly Gen<Blouse> Blouses = Gen.Int[1, 9].SelectMany(n => Gen.Select(
        Gen.Shuffle(Enumerable.Range(0, n).ToArray()),
        Gen.Int[-1, 20].Array[n],
        Gen.Int[0, 3].Array[n],
        Gen.Select(Gen.Int[0, n - 1], Gen.Int[0, n - 1]).Array[0, 3],
        Gen.Select(Gen.Int[0, n - 1], Gen.Int[0, n - 1]).Array[0, 3],
        (order, on, steps, extra, conditions) => new Blouse(order, [.. on.Select((at, item) => at < 0 || item == 0 ? -1 : at % item)], steps, extra, conditions)));

    [Fact]
    public void Nothing_is_measured_before_what_it_stands_on_or_is_measured_from()
    {
        int loaded = 0;
        Blouses.Sample(
            blouse =>
            {
                StandardLoad load = StandardText.Load(Text(blouse));
                if (!load.IsStandard)
                {
                    Assert.All(load.Faults, fault => Assert.Equal(FaultKind.Cycle, fault.Kind));   // a random condition may ask for the impossible
                    return;
                }

                Interlocked.Increment(ref loaded);
                Plan plan = Plan.For(load.Standard, new Dictionary<string, string>());
                Assert.Equal(load.Standard.Steps.Count, plan.Steps.Count);
                foreach (Step step in plan.Steps)
                {
                    HashSet<string> below = [];
                    Below(load.Standard, step.Of, below);
                    Assert.All(plan.Steps.Where(lower => below.Contains(lower.Of)), lower => Assert.True(plan.PositionOf(lower.Id) < plan.PositionOf(step.Id), $"{step.Id} before {lower.Id}"));
                }

                foreach (Relation relation in load.Standard.Relations.Where(relation => relation.When is not null))
                {
                    Relation asked = load.Standard.FindRelation(((ConditionPart.ValueIs)relation.When!.Parts[0]).Relation)!;
                    Assert.All(asked.Needs.Except(relation.Needs), need => Assert.True(plan.PositionOf(need) < relation.Needs.Except(asked.Needs).Select(plan.PositionOf).DefaultIfEmpty(int.MaxValue).Min()));
                }
            },
            iter: 300, threads: 1);
        Assert.True(loaded > 100);
    }

    [Fact]
    public void Loading_and_showing_the_same_text_gives_the_same_each_time()
    {
        Blouses.Sample(
            blouse =>
            {
                StandardLoad first = StandardText.Load(Text(blouse)), second = StandardText.Load(Text(blouse));
                Assert.Equal(first.Faults, second.Faults);
                if (first.IsStandard && second.IsStandard)
                {
                    Plan one = Plan.For(first.Standard, new Dictionary<string, string>()), two = Plan.For(second.Standard, new Dictionary<string, string>());
                    Assert.Equal(StandardTable.Text(one), StandardTable.Text(two));
                    Assert.Equal(StandardTable.Json(one), StandardTable.Json(two));
                }
            },
            iter: 100, threads: 1);
    }

    // Written as a plain graph search of its own, not by the code under test.
    private static void Below(Standard standard, string item, HashSet<string> below)
    {
        IEnumerable<string> lower = standard.Steps.Where(step => step.Of == item).Select(step => step.From).Concat(standard.Items.Where(other => other.Id == item).Select(other => other.StandsOn));
        foreach (string thing in lower.Where(thing => thing != item && below.Add(thing)).ToList())
        {
            Below(standard, thing, below);
        }
    }

    private static string Text(Blouse blouse)
    {
        StringBuilder toml = new("name = \"Random\"\nedition = \"1\"\nunit = \"mm\"\n[judging]\nwithin = \"1\"\n");
        foreach (int item in blouse.Order)
        {
            string on = blouse.StandsOn[item] < 0 ? "the garment" : $"item{blouse.StandsOn[item]}";
            toml.Append(CultureInfo.InvariantCulture, $"[[item]]\nid = \"item{item}\"\nname = \"item {item}\"\nstands_on = \"{on}\"\nsize = [\"20\", \"10\"]\nplace = [\"0\", \"above 3\"]\npins = [[\"0\", \"0\"]]\n");
            for (int step = 0; step <= blouse.StepsOf[item]; step++)
            {
                AppendStep(toml, $"step{item}-{step}", item, on);
            }
        }

        foreach (((int a, int b), int index) in blouse.Extra.Select((pair, index) => (pair, index)).Where(entry => entry.pair.From != entry.pair.Other))
        {
            AppendStep(toml, $"extra{index}", Math.Max(a, b), $"item{Math.Min(a, b)}");
        }

        foreach (((int asks, int about), int index) in blouse.Conditions.Select((pair, index) => (pair, index)))
        {
            toml.Append(CultureInfo.InvariantCulture, $"[[relation]]\nid = \"value{index}\"\nkind = \"gap\"\nof = \"step{about}-0\"\nmin = \"0\"\n");
            toml.Append(CultureInfo.InvariantCulture, $"[[relation]]\nid = \"asks{index}\"\nkind = \"gap\"\nof = \"step{asks}-0\"\nnominal = \"3\"\nwhen = {{ value{index} = \">= 2\" }}\n");
        }

        return toml.ToString();
    }

    private static void AppendStep(StringBuilder toml, string id, int item, string from)
    {
        toml.Append(CultureInfo.InvariantCulture, $"[[step]]\nid = \"{id}\"\nof = \"item{item}\"\nfrom = \"{from}\"\nat = [\"middle\", \"bottom\"]\ngrows = \"up\"\nask = \"Edge to edge\"\n");
        toml.Append(CultureInfo.InvariantCulture, $"[[relation]]\nid = \"rule-{id}\"\nkind = \"gap\"\nof = \"{id}\"\nnominal = \"3\"\n");
    }
}
