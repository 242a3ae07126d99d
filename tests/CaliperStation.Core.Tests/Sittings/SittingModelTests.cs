using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Judging;
using CsCheck;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Sittings;

/// <summary>Sittings under random commands, beside a model that knows only sets of names and one fixed order.</summary>
public sealed class SittingModelTests
{
    /// <summary>What one random command is made of: its kind, a pick among names, and a reading.</summary>
    private static readonly Gen<(int Kind, int Pick, long Value)[]> Commands = Gen.Select(
        Gen.Frequency((2, Gen.Const(0)), (10, Gen.Const(1)), (2, Gen.Const(2)), (1, Gen.Const(3)), (1, Gen.Const(4)), (2, Gen.Const(5)), (2, Gen.Const(6))),
        Gen.Int[0, 9],
        Gen.Frequency((6, Gen.Const(3000L)), (1, Gen.Const(3400L)), (1, Gen.Const(3500L)), (1, Gen.Const(9000L)))).Array[0, 60];

    /// <summary>A step and a rule of its own on each of five items, two on the first; guards turn with borderline values at 3.5 mm.</summary>
    private static readonly (string Item, string On, string[] Steps)[] Tower = [
        ("rack", "pocket", ["rack-1", "rack-2"]), ("badge", "rack", ["badge-1"]), ("star", "badge", ["star-1"]), ("cord", "shoulder", ["cord-1"]), ("tie", "cord", ["tie-1"])];

    [Theory]
    [InlineData(DecisionRule.Plain)]
    [InlineData(DecisionRule.Guarded)]
    public void A_sitting_goes_as_a_model_of_names_and_sets_says(DecisionRule rule) => Commands.Sample(commands =>
    {
        SittingRun run = new(Blouse(rule).Plan());
        Model model = new(rule);
        Assert.Equal(model.Wants, Wants(run.Prompt));
        foreach ((int kind, int pick, long value) in commands)
        {
            SittingState before = run.State;
            SittingCommand command = Command(kind, pick, value);
            Decision decision = run.Try(command);
            Assert.Equal(model.Do(command), decision.Refusal is null);
            Assert.Equal(model.Wants, Wants(run.Prompt));
            Assert.Equal(decision.Refusal is null, decision.Events.Count > 0);
            Assert.True(decision.Refusal is null || before.Equals(run.State));
        }

        Assert.Equal(run.State, run.Replayed());
        Assert.Equal(run.State.GetHashCode(), run.Replayed().GetHashCode());
        Assert.Equal(model.IsVerified, run.View.IsVerified);
    }, iter: 400, print: null);

    /// <summary>The order of work, readiness first, never measures what stands on something that is not told yet.</summary>
    [Fact]
    public void Nothing_is_asked_above_an_item_that_is_not_within_or_set_aside() => Commands.Sample(commands =>
    {
        SittingRun run = new(Blouse(DecisionRule.Guarded).Plan());
        foreach ((int kind, int pick, long value) in commands)
        {
            run.Try(Command(kind, pick, value));
            if (run.Prompt is Prompt.Read { Again: null } read)
            {
                Assert.DoesNotContain(run.View.Open, open => open.Steps.Any(step => run.State.Plan.ItemsAbove(run.State.Plan.FindStep(step)!.Of).Contains(read.Step.Of)));
            }
        }
    }, iter: 100, print: null);

    [Fact]
    public void Every_event_goes_through_its_text_and_still_gives_the_same_state() => Commands.Sample(commands =>
    {
        SittingRun run = new(Blouse(DecisionRule.Guarded).Plan());
        SittingState state = run.State;
        foreach ((int kind, int pick, long value) in commands)
        {
            foreach (SittingEvent happened in run.Try(Command(kind, pick, value)).Events)
            {
                state = Sitting.Apply(state, SittingEventJson.Read(SittingEventJson.Kind(happened), SittingEventJson.Body(happened), happened.At)!);
            }
        }

        Assert.Equal(run.State, state);
    }, iter: 100, print: null);

    private static Sheet Blouse(DecisionRule rule)
    {
        Sheet sheet = new Sheet { Settings = new Sheet().Settings with { Rule = rule } }.Ready("hands").Ready("pockets");
        foreach ((string item, string on, string[] steps) in Tower)
        {
            sheet.Item(item, on);
            foreach (string step in steps)
            {
                sheet.Step(step, item, on).Rule(step, RelationKind.Gap, Around(3000, 500), step);
            }
        }

        return sheet;
    }

    private static SittingCommand Command(int kind, int pick, long value) => kind switch
    {
        0 => new SittingCommand.Confirm(),
        1 => new SittingCommand.Take(SittingRun.Reading(value)),
        2 => new SittingCommand.Retake(),
        3 => new SittingCommand.Retake(pick < 6 ? Model.Order[pick].Step : "nobody"),
        4 => new SittingCommand.Move(pick < 5 ? [Tower[pick].Item] : pick < 7 ? ["rack", "tie"] : pick < 9 ? [] : ["pocket"]),
        5 => new SittingCommand.Aside(pick == 0 ? " " : "a reason"),
        _ => new SittingCommand.Sign(pick == 0 ? "too long" : "AB"),
    };

    private static string Wants(Prompt prompt) => prompt switch
    {
        Prompt.See ready => "ready " + ready.Look.Id,
        Prompt.Read { Again: { } again } read => $"again {read.Step.Id} for {again.Relation.Id}",
        Prompt.Read read => "read " + read.Step.Id,
        Prompt.Decide decide => "decide " + string.Join(' ', decide.Outside.Select(judgement => judgement.Relation.Id)),
        Prompt.Sign => "sign",
        Prompt.Closed => "closed",
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    /// <summary>
    /// The model: a step is unread, or has readings; its verdict is by the mean alone: at 3 mm within, well beyond 3.5 mm
    /// outside, near 3.5 mm, by the guarded rule, borderline; if six takes would not tell it with that mean, it is to be decided. Each step has one rule, of the same name.
    /// </summary>
    private sealed class Model(DecisionRule rule)
    {
        private readonly Dictionary<string, List<long>> _read = [];
        private readonly HashSet<string> _aside = [];
        private readonly List<string> _history = [];
        private int _confirmed;
        private bool _signed;

        internal static (string Step, string Item, string[] Touches)[] Order { get; } =
            [.. Tower.SelectMany(level => level.Steps.Select(step => (step, level.Item, new[] { level.Item, level.On })))];

        internal bool IsVerified => _read.Count == Order.Length && _aside.Count == 0 && Order.All(entry => Verdict(entry.Step) == 'w');

        internal string Wants
        {
            get
            {
                if (_signed)
                {
                    return "closed";
                }

                if (_confirmed < 2)
                {
                    return "ready " + (_confirmed == 0 ? "hands" : "pockets");
                }

                string[] outside = Open('o');
                if (outside.Length > 0)
                {
                    return "decide " + string.Join(' ', outside);
                }

                (string Step, string Item, string[] Touches) next = Order.FirstOrDefault(entry => !_read.ContainsKey(entry.Step));
                string ItemOf(string step) => Order.Single(entry => entry.Step == step).Item;
                string[] all = [.. Open('b').Where(step => next.Step is null || IsAbove(next.Item, ItemOf(step)))];
                string[] holding = [.. all.Where(step => !all.Any(other => IsAbove(ItemOf(step), ItemOf(other))))];   // what is below comes first
                string? helped = holding.FirstOrDefault(step => _read[step].Count < 6 && Verdict(6 * (_read[step].Sum() / 1000) / _read[step].Count, 6) != 'b');
                return helped is not null ? $"again {helped} for {helped}" : holding.Length > 0 ? "decide " + string.Join(' ', holding) : next.Step is not null ? "read " + next.Step : "sign";
            }
        }

        /// <summary>True when the command is accepted.</summary>
        internal bool Do(SittingCommand command)
        {
            string[] wants = Wants.Split(' ');
            bool working = wants[0] is not ("ready" or "closed");
            switch (command)
            {
                case SittingCommand.Confirm when wants[0] == "ready":
                    _confirmed++;
                    return true;
                case SittingCommand.Take take when wants[0] is "read" or "again":
                    _read.TryAdd(wants[1], []);
                    _read[wants[1]].Add(take.Reading.Value.Nanometres);
                    _history.Remove(wants[1]);
                    _history.Add(wants[1]);
                    _aside.Remove(wants[1]);
                    return true;
                case SittingCommand.Retake retake when working && (retake.Step ?? _history.LastOrDefault()) is { } step && _read.ContainsKey(step):
                    Forget(step);
                    return true;
                case SittingCommand.Move { Items: { Count: > 0 } items } when working && items.All(item => Tower.Any(level => level.Item == item)):
                    Order.Where(entry => entry.Touches.Any(items.Contains)).ToList().ForEach(entry => Forget(entry.Step));
                    return true;
                case SittingCommand.Aside { Reason: "a reason" } when wants[0] is "decide" or "again":
                    _aside.UnionWith(wants[0] == "again" ? [wants[1]] : wants[1..]);
                    return true;
                case SittingCommand.Sign { Initials: "AB" } when wants[0] == "sign":
                    _signed = true;
                    return true;
                default:
                    return false;
            }
        }

        private string[] Open(char verdict) => [.. Order.Select(entry => entry.Step).Where(step => !_aside.Contains(step) && Verdict(step) == verdict)];

        private char Verdict(string step) => !_read.TryGetValue(step, out List<long>? takes) ? '-' : Verdict(takes.Sum() / 1000, takes.Count);

        private char Verdict(long sum, int count)
        {
            if (rule == DecisionRule.Plain)
            {
                return sum <= 3500 * count ? 'w' : 'o';
            }

            double instrument = (20.0 * 20 / 3) + (10.0 * 10 / 12);
            double guard = 1.6448536269514722 * Math.Sqrt(instrument + (100.0 * 100 / count));
            double mean = (double)sum / count;
            return mean <= 3500 - guard ? 'w' : mean <= 3500 + guard ? 'b' : 'o';
        }

        private void Forget(string step)
        {
            _read.Remove(step);
            _history.Remove(step);
            _aside.Remove(step);
        }

        private static bool IsAbove(string item, string below) =>
            Tower.Single(level => level.Item == item).On is var on && (on == below || (Tower.Any(level => level.Item == on) && IsAbove(on, below)));
    }
}
