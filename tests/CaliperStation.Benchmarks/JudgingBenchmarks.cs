using System.Globalization;
using BenchmarkDotNet.Attributes;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Benchmarks;

/// <summary>Judging a whole sitting of 60 readings again; the target is 100 µs.</summary>
[MemoryDiagnoser]
public class JudgingBenchmarks
{
    private SittingState _read = null!;

    private SittingState _halfRead = null!;

    /// <summary>Ten items, each on the one below, six readings and four rules each, one of them by a measured value.</summary>
    [GlobalSetup]
    public void Setup()
    {
        Plan plan = Plan.For(Standard(), new Dictionary<string, string>());
        SittingState state = Sitting.Begin(plan, new SittingEvent.Started("s", "T-1", "AB", plan.Standard.Sha256, plan.Answers) { At = default });
        foreach (Step step in plan.Steps)
        {
            Reading reading = new(Length.FromMicrometres(3000), LengthUnit.Millimetre, Length.FromMicrometres(10), ReadingSource.Typed, default, "3.00 mm");
            state = Sitting.Apply(state, new SittingEvent.Took(step.Id, reading) { At = default });
            _halfRead = state.Readings.Count == 30 ? state : _halfRead;
        }

        _read = state;
        if (SittingView.Of(_read) is not { Prompt: Prompt.Sign, IsVerified: true, Judgements.Count: > 60 } || SittingView.Of(_halfRead).Prompt is not Prompt.Read)
        {
            throw new InvalidOperationException("The sitting that is measured is not the one that is meant.");
        }
    }

    [Benchmark]
    public SittingView Sixty_readings() => SittingView.Of(_read);

    [Benchmark]
    public SittingView Thirty_of_sixty_readings() => SittingView.Of(_halfRead);

    private static Standard Standard()
    {
        List<Item> items = [];
        List<Step> steps = [];
        List<Relation> relations = [];
        Limits usual = Around(3000, 500);
        for (int i = 0; i < 10; i++)
        {
            string item = "item-" + i.ToString(CultureInfo.InvariantCulture);
            string below = i == 0 ? "pocket" : "item-" + (i - 1).ToString(CultureInfo.InvariantCulture);
            string[] own = [.. Enumerable.Range(0, 6).Select(s => $"{item}-{s}")];
            items.Add(new Item(item, item, below, new PlanePoint(Length.Inch, Length.Inch), default, [default], null, null));
            steps.AddRange(own.Select((id, s) => new Step(id, item, below, new PlanePoint(Length.FromTicks(s), default), null, new Direction("up", 0, 1), id, null, null, null)));
            relations.Add(new Relation(item + "-height", RelationKind.Gap, own[..4], [usual, Around(0, 100)], null, null, [], [], null, null));
            relations.Add(new Relation(item + "-level", RelationKind.Level, own[..2], [Around(0, 500)], null, null, [], [], null, null));
            relations.Add(new Relation(item + "-even", RelationKind.Equal, own[2..5], [new Limits(null, Length.FromMicrometres(500), null)], null, null, [], [], null, null));
            relations.Add(new Relation(item + "-last", RelationKind.Gap, own[5..], [usual], null, null, [], [],
                new Condition([new ConditionPart.ValueIs(item + "-even", Comparison.Less, 0, Length.Millimetre)]), null));
        }

        JudgingSettings settings = new(DecisionRule.Guarded, 0.95, Length.Tick, Length.FromMicrometres(100), Length.FromMicrometres(20));
        return new Standard("Invented", "1", LengthUnit.Millimetre, LengthDisplay.Millimetre, Sides.Viewer, settings, [], [], [], items, steps, relations, new string('0', 64));
    }

    private static Limits Around(long nominal, long within) =>
        new(Length.FromMicrometres(nominal - within), Length.FromMicrometres(nominal + within), Length.FromMicrometres(nominal));
}
