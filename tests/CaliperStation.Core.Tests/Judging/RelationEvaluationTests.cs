using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CsCheck;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Judging;

/// <summary>What applies, and what is said of it, is the same for the sitting and for the advice.</summary>
public sealed class RelationEvaluationTests
{
    private static readonly DateTimeOffset At = new(2026, 3, 1, 9, 0, 0, TimeSpan.Zero);

    /// <summary>A badge is read only on a high rack.</summary>
    private static Plan HighRackOnly() => new Sheet()
        .Item("rack", "pocket").Item("badge", "rack")
        .Step("rack-low", "rack", "pocket").Step("badge-low", "badge", "rack", WhenLength("rack-height", Comparison.AtLeast, 19_050))
        .Rule("rack-height", RelationKind.Gap, Between(0, 50_000), "rack-low")
        .Rule("badge-height", RelationKind.Gap, Around(6350, 500), "badge-low")
        .Plan();

    [Fact]
    public void A_reading_of_a_step_that_does_not_apply_moves_no_pin_and_is_not_judged()
    {
        Plan plan = HighRackOnly();
        (string, long)[] readings = [("rack-low", 12_700), ("badge-low", 25_400)];
        SittingView view = SittingView.Of(State(plan, readings));
        Assert.Equal(["rack-height"], view.Judgements.Select(judgement => judgement.Relation.Id));
        Assert.IsType<Prompt.Sign>(view.Prompt);

        Advice advice = Advise.For(plan, Measured(plan, readings), CorrectingSettings.For(plan.Standard));
        Assert.Empty(advice.Moves);
        Assert.Equal(["rack"], advice.Poses.Select(pose => pose.Item));
        Assert.Equal(["rack-low"], new RelationEvaluation(plan, Measured(plan, readings)).Readings.Keys);
    }

    [Fact]
    public void A_reading_of_a_step_that_applies_counts_in_both()
    {
        Plan plan = HighRackOnly();
        (string, long)[] readings = [("rack-low", 20_000), ("badge-low", 25_400)];
        Assert.Equal(["badge-height"], SittingView.Of(State(plan, readings)).Open.Select(judgement => judgement.Relation.Id));
        Assert.Single(Advise.For(plan, Measured(plan, readings), CorrectingSettings.For(plan.Standard)).Moves);
    }

    [Fact]
    public void A_spread_that_is_within_moves_nothing_though_a_pair_inside_it_is_read_more_coarsely()
    {
        Plan plan = new Sheet().Item("a", "pocket").Item("b", "pocket").Item("c", "pocket")
            .Step("a", "a", "pocket").Step("b", "b", "pocket").Step("c", "c", "pocket")
            .Rule("even", RelationKind.Equal, Between(null, 500), "a", "b", "c").Plan();
        Dictionary<string, Measured> readings = new()
        {
            ["a"] = new(ExactLength.From(Um(3000)), 1000),
            ["b"] = new(ExactLength.From(Um(3480)), 1000),
            ["c"] = new(ExactLength.From(Um(3479)), 400_000),
        };
        Assert.Equal(Verdict.Within, Assert.Single(new RelationEvaluation(plan, readings).All).Verdict);
        Assert.Empty(Advise.For(plan, readings, CorrectingSettings.For(plan.Standard)).Moves);
    }

    /// <summary>A standard with two or three items, rules of several kinds, and conditions on answers and on values, in chains.</summary>
    private sealed record Drawn(int Items, (int Item, int From, bool Apart)[] Steps, (int Kind, int First, int Second, int Nominal, int Within, int When, int Over)[] Rules, int[] StepWhen, int[] Readings, bool Guarded);

    private static readonly Gen<Drawn> AnyDrawn = Gen.Select(
        Gen.Int[1, 3],
        Gen.Select(Gen.Int[0, 2], Gen.Int[-1, 2], Gen.Bool).Array[2, 6],
        Gen.Select(Gen.Int[0, 5], Gen.Int[0, 5], Gen.Int[0, 5], Gen.Int[-1, 4], Gen.Int[1, 4], Gen.Int[-6, 6], Gen.Int[0, 4]).Array[1, 7],
        Gen.Int[-12, 6].Array[6],
        Gen.Int[-1, 9].Array[6],
        Gen.Bool,
        (items, steps, rules, when, readings, guarded) => new Drawn(items, steps, rules, when, readings, guarded));

    [Fact]
    public void The_advice_and_the_sitting_agree_on_every_verdict_and_nothing_is_moved_when_all_is_within()
    {
        int conditional = 0, verified = 0, left = 0;
        AnyDrawn.Sample(
            drawn =>
            {
                Plan plan = PlanOf(drawn);
                (string, long)[] readings = [.. plan.Steps.Select((step, index) => (step.Id, Value: (long)drawn.Readings[index % 6])).Where(pair => pair.Value >= 0).Select(pair => (pair.Id, pair.Value * 250))];
                SittingState state = State(plan, readings);
                SittingView view = SittingView.Of(state);
                RelationEvaluation evaluation = new(plan, Measured(plan, readings));
                Assert.Equal(view.Judgements.Select(Said), evaluation.All.Select(Said));
                conditional += view.Judgements.Count(judgement => judgement.Relation.When is not null);
                left += readings.Length - evaluation.Readings.Count;

                CoatLayout layout = new(plan);
                IReadOnlyList<Constraint> constraints = Constraints.Of(plan, evaluation, [.. plan.Steps.Select(step => SensitivityRow.For(plan, layout, step))], new HashSet<string>());
                Assert.Equal(view.Judgements.Select(judgement => judgement.Relation.Id).Distinct(), constraints.Select(constraint => constraint.Relation).Distinct());
                Assert.All(
                    constraints.Where(constraint => view.Judgements.All(judgement => judgement.Relation.Id != constraint.Relation || judgement.Verdict == Verdict.Within)),
                    constraint => Assert.True(constraint.Holds, constraint.Relation));
                Assert.All(
                    view.Judgements.Where(judgement => judgement.Verdict == Verdict.Outside),
                    judgement => Assert.Contains(constraints, constraint => constraint.Relation == judgement.Relation.Id && !constraint.Holds));
                if (view.Judgements.All(judgement => judgement.Verdict == Verdict.Within))
                {
                    verified++;
                    Advice advice = Advise.For(plan, Measured(plan, readings), CorrectingSettings.For(plan.Standard));
                    Assert.Empty(advice.Moves);
                    Assert.Empty(advice.Conflicts);
                }
            },
            iter: 3000, threads: 1);
        Assert.True(conditional > 200 && verified > 200 && left > 200, $"{conditional} {verified} {left}");
    }

    private static (string, string, Verdict, ExactLength, double, double) Said(Judgement judgement) =>
        (judgement.Relation.Id, string.Join(',', judgement.Steps), judgement.Verdict, judgement.Exact, judgement.Value, judgement.Uncertainty);

    private static Plan PlanOf(Drawn drawn)
    {
        Sheet sheet = new Sheet { Settings = drawn.Guarded ? new Sheet().Settings : Plain }.Question("cord", "yes", "no");
        for (int item = 0; item < drawn.Items; item++)
        {
            sheet.Item($"i{item}", item == 0 ? "pocket" : $"i{item - 1}");
        }

        for (int step = 0; step < drawn.Steps.Length; step++)
        {
            (int item, int from, _) = drawn.Steps[step];
            item %= drawn.Items;
            sheet.Step($"s{step}", $"i{item}", from >= 0 && from < item ? $"i{from}" : "pocket", When(drawn.StepWhen[step], drawn), right: 1000 * (step - 3));
        }

        for (int rule = 0; rule < drawn.Rules.Length; rule++)
        {
            var (kind, first, second, nominal, within, when, over) = drawn.Rules[rule];
            (first, second) = (first % drawn.Steps.Length, second % drawn.Steps.Length);
            RelationKind known = first == second ? RelationKind.Gap : kind switch { 0 => RelationKind.Equal, 1 => RelationKind.Level, 2 => RelationKind.NotMoreThan, 3 => RelationKind.Sum, _ => RelationKind.Gap };
            Limits limits = known.Word switch
            {
                "equal" => Between(null, within * 250),
                "not-more-than" => Between(null, within * 100),
                _ => Around(nominal * 250, within * 250),
            };
            string[] of = known == RelationKind.Gap && over != 0 ? [$"s{first}"] : first == second ? [$"s{first}"] : [$"s{first}", $"s{second}"];
            sheet.Add(Sheet.Relation($"r{rule}", known, [limits], of) with { When = When(when == rule + 1 ? 0 : when, drawn) });
        }

        return sheet.Plan(("cord", "yes"));
    }

    /// <summary>None; on the answer; or on the value of a rule, which may itself not apply, not be there, or look back.</summary>
    private static Condition? When(int drawn, Drawn all) => drawn switch
    {
        <= -3 => null,
        -2 => WhenAnswer("cord", "yes"),
        -1 => WhenAnswer("cord", "no"),
        0 => null,
        _ when drawn <= all.Rules.Length => WhenLength($"r{drawn - 1}", drawn % 2 == 0 ? Comparison.More : Comparison.AtMost, 500),
        _ => null,
    };

    private static SittingState State(Plan plan, (string Step, long Micrometres)[] readings) => readings.Aggregate(
        Sitting.Begin(plan, new SittingEvent.Started("s-1", "QG-017", "AB", plan.Standard.Sha256, plan.Answers) { At = At }),
        (state, reading) => Sitting.Apply(state, new SittingEvent.Took(
            reading.Step, new Reading(Um(reading.Micrometres), LengthUnit.Millimetre, Um(10), ReadingSource.Typed, At, "typed"))
        { At = At }));

    private static Dictionary<string, Measured> Measured(Plan plan, (string Step, long Micrometres)[] readings) =>
        readings.ToDictionary(reading => reading.Step, reading => new Measured(ExactLength.From(Um(reading.Micrometres)), Budget.Of(plan.Standard.Judging, Um(10), 1).Combined));
}
