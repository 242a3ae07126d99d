using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Judging;

/// <summary>Builds small invented standards by hand; whole numbers are micrometres.</summary>
internal sealed class Sheet
{
    private readonly List<Question> _questions = [];
    private readonly List<Look> _looks = [];
    private readonly List<Item> _items = [];
    private readonly List<Step> _steps = [];
    private readonly List<Relation> _relations = [];

    internal JudgingSettings Settings { get; init; } = new(DecisionRule.Guarded, 0.95, Um(500), Um(100), Um(20));

    internal static JudgingSettings Plain { get; } = new(DecisionRule.Plain, 0.95, Um(500), Um(100), Um(20));

    internal static Length Um(long micrometres) => Length.FromMicrometres(micrometres);

    internal static Length Nm(long nanometres) => Length.FromNanometres(nanometres);

    /// <summary>Nominal with a tolerance on both sides.</summary>
    internal static Limits Around(long nominal, long within) => new(Um(nominal - within), Um(nominal + within), Um(nominal));

    internal static Limits Between(long? lower, long? upper) =>
        new(lower is { } low ? Um(low) : (Length?)null, upper is { } high ? Um(high) : (Length?)null, null);

    internal static Limits Numbers(double? lower, double? upper) => new(null, null, null, lower, upper);

    internal static Condition WhenAnswer(string question, params string[] answers) => new([new ConditionPart.AnswerIs(question, answers)]);

    internal static Condition WhenLength(string relation, Comparison comparison, long micrometres) =>
        new([new ConditionPart.ValueIs(relation, comparison, Um(micrometres).Nanometres, Um(micrometres))]);

    internal static Condition WhenNumber(string relation, Comparison comparison, double number) =>
        new([new ConditionPart.ValueIs(relation, comparison, number, null)]);

    internal Sheet Question(string id, params string[] answers)
    {
        _questions.Add(new Question(id, id + "?", answers));
        return this;
    }

    internal Sheet Ready(string id, Condition? when = null)
    {
        _looks.Add(new Look(id, id, LookPlace.BeforeAll, null, null, when, null));
        return this;
    }

    internal Sheet Look(string id, LookPlace place, TimeSpan? wait = null)
    {
        _looks.Add(new Look(id, id, place, null, null, null, wait));
        return this;
    }

    internal Sheet Item(string id, string on, Condition? when = null)
    {
        _items.Add(new Item(id, id, on, new PlanePoint(Um(40_000), Um(10_000)), default, [default], null, when));
        return this;
    }

    /// <summary>A gap upwards, read at that place of the item; give no direction for a size.</summary>
    internal Sheet Step(string id, string of, string from, Condition? when = null, long right = 0, bool size = false)
    {
        _steps.Add(new Step(id, of, from, new PlanePoint(Um(right), default), null, size ? null : new Direction("up", 0, 1), id, null, null, when));
        return this;
    }

    internal Sheet Rule(string id, RelationKind kind, Limits limits, params string[] of) => Add(Relation(id, kind, [limits], of));

    internal Sheet Add(Relation relation)
    {
        _relations.Add(relation);
        return this;
    }

    internal static Relation Relation(string id, RelationKind kind, IReadOnlyList<Limits> limits, params string[] of) =>
        new(id, kind, of, limits, null, null, [], [], null, null);

    internal Standard Build() => new(
        "Invented", "1", LengthUnit.Millimetre, LengthDisplay.Millimetre, Sides.Viewer, Settings,
        _questions, _looks, [], _items, _steps, _relations, new string('0', 64));

    internal Plan Plan(params (string Question, string Answer)[] answers) =>
        Core.Standards.Plan.For(Build(), answers.ToDictionary(pair => pair.Question, pair => pair.Answer));

    /// <summary>Readings in micrometres, each with that standard uncertainty in micrometres.</summary>
    internal static Func<string, Measured?> Read(double uncertainty, params (string Step, long Value)[] readings)
    {
        Dictionary<string, Measured> known = readings.ToDictionary(pair => pair.Step, pair => new Measured(ExactLength.From(Um(pair.Value)), uncertainty * 1000));
        return step => known.TryGetValue(step, out Measured measured) ? measured : null;
    }

    /// <summary>The one judgement of a relation alone, over readings in micrometres.</summary>
    internal Judgement Verdict(Relation relation, double uncertainty, params (string Step, long Value)[] readings) =>
        Assert.Single(Judge.Relation(Build(), relation, Read(uncertainty, readings)));
}
