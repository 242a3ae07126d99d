using BenchmarkDotNet.Attributes;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Benchmarks;

/// <summary>
/// The whole advice (poses, fewest re-pins, words) for coats of 4 to 14 items in one stack, with 40 readings on 12. Target:
/// 12 items in 10 ms or less. Half of the items lie off their place, so that several must be moved.
/// </summary>
[MemoryDiagnoser]
public class FewestRepinsBenchmark
{
    private const int Coats = 16;

    private readonly Dictionary<string, Measured>[] _readings = new Dictionary<string, Measured>[Coats];
    private Plan _plan = null!;
    private int _next;

    [Params(4, 6, 8, 10, 12, 14)]
    public int Items { get; set; }

    [GlobalSetup]
    public void Build()
    {
        Random random = new(20);
        _plan = Stack(Items);
        for (int coat = 0; coat < Coats; coat++)
        {
            _readings[coat] = Readings(random);
        }
    }

    [Benchmark]
    public Advice Advice() => Advise.For(_plan, _readings[_next++ % Coats], CorrectingSettings.For(_plan.Standard));

    /// <summary>Each item on the one before; four readings on every third item, three on the others: 40 on 12.</summary>
    private static Plan Stack(int count)
    {
        List<Item> items = [];
        List<Step> steps = [];
        List<Relation> relations = [];
        for (int i = 0; i < count; i++)
        {
            (string id, string on) = ($"item-{i}", i == 0 ? "pocket" : $"item-{i - 1}");
            items.Add(new Item(id, id, on, P(96, 32), P(0, 40), [P(-32, 0), P(32, 0)], null, null));
            Add(steps, id, on, "low-left", P(-32, -16), new Direction("up", 0, 1));
            Add(steps, id, on, "low-right", P(32, -16), new Direction("up", 0, 1));
            Add(steps, id, on, "left", P(-48, 0), new Direction("right", 1, 0));
            relations.Add(Rule($"{id}-height", RelationKind.Gap, 8, $"{id}-low-left", $"{id}-low-right"));
            if (i % 3 == 0)
            {
                Add(steps, id, on, "right", P(48, 0), new Direction("left", -1, 0));
                relations.Add(Rule($"{id}-centred", RelationKind.Equal, 0, $"{id}-left", $"{id}-right"));
            }
            else
            {
                relations.Add(Rule($"{id}-side", RelationKind.Gap, 20, $"{id}-left"));
            }
        }

        Standard standard = new(
            "Invented", "1", LengthUnit.Inch, LengthDisplay.Ticks, Sides.Viewer,
            new JudgingSettings(DecisionRule.Guarded, 0.95, Length.Tick, Length.FromMicrometres(100), Length.FromMicrometres(20)),
            [], [], [], items, steps, relations, new string('0', 64));
        return Plan.For(standard, new Dictionary<string, string>());
    }

    private Dictionary<string, Measured> Readings(Random random)
    {
        Dictionary<string, (double Right, double Up, double Turn)> poses = _plan.Items.ToDictionary(
            item => item.Id, _ => random.Next(2) == 0 ? (0.0, 0.0, 0.0) : (Uniform(random) * 2e6, Uniform(random) * 2e6, Uniform(random) * 0.03));
        double Shift(string item, Step step) => poses.TryGetValue(item, out (double Right, double Up, double Turn) pose)
            ? (step.Grows!.Right * (pose.Right - (pose.Turn * step.At.Up.Nanometres))) + (step.Grows.Up * (pose.Up + (pose.Turn * step.At.Right.Nanometres)))
            : 0;
        return _plan.Steps.ToDictionary(step => step.Id, step =>
        {
            double nominal = (step.Grows!.Up != 0 ? 8 : 20) * 396_875;
            double value = nominal + Shift(step.Of, step) - Shift(step.From, step) + (Uniform(random) * 170_000);   // uniform noise of 0.1 mm
            return new Measured(ExactLength.From(Length.FromNanometres(value, Rounding.HalfEven)), 100_000);
        });
    }

    private static Relation Rule(string id, RelationKind kind, long nominal, params string[] of) => new(
        id, kind, of, [new Limits(kind == RelationKind.Equal ? null : L(nominal - 2), L(nominal + 2), L(nominal))], null, null, [], [], null, null);

    private static void Add(List<Step> steps, string of, string from, string name, PlanePoint at, Direction grows) =>
        steps.Add(new Step($"{of}-{name}", of, from, at, null, grows, name, null, null, null));

    private static double Uniform(Random random) => (2 * random.NextDouble()) - 1;

    private static Length L(long sixtyFourths) => Length.FromSixtyFourths(sixtyFourths);

    private static PlanePoint P(long right, long up) => new(L(right), L(up));
}
