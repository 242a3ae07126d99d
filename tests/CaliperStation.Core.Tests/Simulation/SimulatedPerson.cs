using System.Globalization;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Correcting;

namespace CaliperStation.Core.Tests.Simulation;

/// <summary>One thing a person does. The repeats of a held or bouncing press are of one act.</summary>
/// <param name="Act">Its number.</param>
/// <param name="Does">Does it; gives what the bench hears of it, or null when that is nothing.</param>
/// <param name="IsPress">True for a press of any kind.</param>
internal sealed record PersonDeed(int Act, Func<BenchState, TimeSpan, BenchInput?> Does, bool IsPress = false);

/// <summary>A person at the bench who reads what is wanted, does it, and slips.</summary>
internal sealed class SimulatedPerson(Random random, Plan plan, SimulatedCaliper caliper, double slips)
{
    private const double PlaceNoise = 1_500_000;
    private const double TurnNoise = 0.006;
    private const double HandNoise = 80_000;
    private const double MoveNoise = 100_000;
    private const int Patience = 40;   // decisions until everything is set aside

    private static readonly string[] Nonsense = ["xyz", "11/4", "ok", "yes", "retake nothing", "moved nothing", "aside", "sign QX", "1/128 in", "tag", "hand", "99999999999999 in", "moved", "14"];

    private readonly PriorityQueue<PersonDeed, (TimeSpan, int)> _due = new();
    private readonly Synthetic _coat = Displaced(random, plan);
    private TimeSpan _idle;
    private int _order;
    private int _acts;
    private int _decisions;
    private int _atGap = -1;

    /// <summary>The lengths that the text typed last can mean: in millimetres, inches or ticks.</summary>
    internal IReadOnlyList<long> TypedLast { get; private set; } = [];

    internal int Acts => _acts;

    internal TimeSpan Due => _due.TryPeek(out _, out (TimeSpan At, int) next) ? next.At : _idle;

    internal void Begin(TimeSpan now)
    {
        _due.Clear();
        _idle = now + Ms(200, 2_000);
        _atGap = -1;
    }

    /// <summary>What the person does now; null while only thinking.</summary>
    internal PersonDeed? Next(BenchState state, TimeSpan now)
    {
        if (_due.Count > 0)
        {
            return Dequeue();
        }

        if (state.IsBusy && random.NextDouble() < 0.9)
        {
            _idle = now + Ms(200, 500);
            return null;
        }

        Think(state, now);
        _idle = now + Ms(600, 2_500);
        return null;
    }

    private static Synthetic Displaced(Random random, Plan plan)
    {
        Synthetic coat = Synthetic.Lantern(plan);
        double much = random.NextDouble() < 0.3 ? 0.2 : 1;   // some coats come nearly in order
        foreach (Item item in plan.Items)
        {
            coat.Poses[item.Id] = new Pose(Synthetic.Gauss(random) * PlaceNoise * much, Synthetic.Gauss(random) * PlaceNoise * much, Synthetic.Gauss(random) * TurnNoise * much);
        }

        return coat;
    }

    private void Think(BenchState state, TimeSpan now)
    {
        Want want = state.Want;
        TimeSpan soon = now + Ms(300, 1_500);
        if (state.Closed is not null)
        {
            Press(soon + Ms(900, 1_200));
            return;
        }

        if (Slip(0.02))
        {
            Aside(state, soon);
            return;
        }

        if (want.SameCoat is not null)
        {
            Insist(soon, new Answer.Yes());
            return;
        }

        if (want.Warning is { } warning)
        {
            Warned(state, warning, soon);
            return;
        }

        switch (want.Prompt)
        {
            case Prompt.See:
            case Prompt.Sign:
                Confirm(want, soon);
                break;
            case Prompt.Read { Again: { } } when random.NextDouble() < 0.1:
                Decide(state, soon);
                break;
            case Prompt.Read read:
                Read(read.Step, soon);
                break;
            case Prompt.Decide:
                Decide(state, soon);
                break;
            default:
                Press(soon + Ms(900, 1_200));   // signed and not filed yet
                break;
        }
    }

    private void Aside(BenchState state, TimeSpan at)
    {
        switch (random.Next(12))
        {
            case 0:
                Say(at, new Answer.Hand(random.Next(2) == 0 ? "QX" : "RV"));
                break;
            case 1:
                Say(at, new Answer.Tag($"HL-{random.Next(1, 30):000}", "read wrongly"));
                break;
            case 2 when random.NextDouble() < 0.2:
                Say(at, new Answer.Abandon("wrong coat"));
                break;
            case 3 when random.NextDouble() < 0.5:
                Say(at, new Answer.Stop());
                break;
            case 4:
                Say(at, new Answer.Retake(null));
                break;
            case 5 when state.Work.View.State.History is { Count: > 0 } read:
                Say(at, new Answer.Retake(read[random.Next(read.Count)]));
                break;
            case 6:
                string item = plan.Items[random.Next(plan.Items.Count)].Id;
                bool really = random.Next(2) == 0;
                Do(at, (_, _) =>
                {
                    if (really)
                    {
                        Shift(item, MoveNoise * 5);
                    }

                    return new BenchInput.Says(new Answer.Moved([item]));
                });
                break;
            case 7:
                Do(at, (_, _) => new BenchInput.Press(PressOrigin.Script));
                break;
            case 8:
                Do(at, (_, _) => new BenchInput.UnlockedPad());
                break;
            case 9:
                Shift(plan.Items[random.Next(plan.Items.Count)].Id, MoveNoise);   // knocked, and nobody noticed
                break;
            case 10:
                Hold(at, moves: true);
                break;
            default:
                string line = Nonsense[random.Next(Nonsense.Length)];
                Do(at, (_, _) =>
                {
                    TypedLast = line == "14" ? Ways(14) : TypedLast;   // the only length among them
                    return new BenchInput.Says(Answer.Of(line));
                });
                break;
        }
    }

    private void Confirm(Want want, TimeSpan at)
    {
        if (Slip(0.1))
        {
            Press(at - Ms(0, 200));   // too early
        }
        else if (Slip(0.1))
        {
            Hold(at, moves: false);
        }
        else if (Slip(0.05))
        {
            InARow(2, at);
        }
        else if (random.NextDouble() < 0.2)
        {
            Say(at, want.Prompt is Prompt.See ? new Answer.Ok() : random.Next(2) == 0 ? new Answer.Sign("QX") : new Answer.Word("QX"));
        }
        else
        {
            Press(at + Ms(850, 1_500));
        }
    }

    private void Read(Step step, TimeSpan at)
    {
        double gap = _coat.True(step) + (Synthetic.Gauss(random) * HandNoise);
        if (Slip(0.03))
        {
            gap = _coat.True(plan.Steps[random.Next(plan.Steps.Count)]);   // the wrong gap
        }

        if (caliper.Kind == CaliperKind.None || random.NextDouble() < 0.05)
        {
            Type(at, gap);
            return;
        }

        if (Slip(0.02))
        {
            caliper.PressUnitKey();
        }

        if (Slip(0.02) && _atGap >= 0)
        {
            Press(at);   // forgot to move the caliper
            return;
        }

        _atGap = plan.PositionOf(step.Id);
        TimeSpan takes = Ms(300, 900);
        Do(at, (_, then) => Move(gap, then, takes));
        TimeSpan settled = at + takes + (Slip(0.1) ? Ms(-250, 150) : Ms(300, 700));
        if (Slip(0.04))
        {
            Hold(settled, moves: random.Next(3) == 0);
        }
        else if (Slip(0.05))
        {
            InARow(2, settled);
        }
        else
        {
            Press(settled);
        }
    }

    private BenchInput? Move(double gap, TimeSpan now, TimeSpan takes)
    {
        caliper.MoveJaws(gap, now, takes);
        return null;
    }

    private void Warned(BenchState state, Said.Warned warning, TimeSpan at)
    {
        switch (random.Next(5))
        {
            case 0 when state.Warning?.Typed is { Candidates: { Count: > 0 } ways }:
                Say(at, Answer.Of(ways[random.Next(ways.Count)].Text));
                break;
            case 0 or 1:
                Say(at, new Answer.Yes());
                break;
            case 2:
                InARow(3, at);
                break;
            case 3 when random.Next(2) == 0:
                Hold(at, false);   // one press answers nothing, however long
                break;
            case 3:
                Press(at);
                break;
            default:
                if (warning.Warning.Kind == WarningKind.UnitChanged || !caliper.IsInFirstUnit)
                {
                    caliper.PressUnitKey();
                }

                Read(warning.Step, at);
                break;
        }
    }

    private void Decide(BenchState state, TimeSpan at)
    {
        if (_decisions++ > Patience || (state.Advice is { Moves.Count: 0 } && random.NextDouble() < 0.7))
        {
            Say(at, new Answer.Aside("the coat is worn"));
            return;
        }

        double way = random.NextDouble();
        if (way < 0.05)
        {
            Say(at, new Answer.Retake(null));
        }
        else if (way < 0.1)
        {
            Say(at, new Answer.Aside("as ordered"));
        }
        else if (way < 0.13)
        {
            Press(at);   // perhaps too soon
        }
        else if (way < 0.5 && (state.Want.Pin is not null || state.Setup.Reasons.Count > 0))
        {
            PressOn(state, at + Ms(500, 900));
        }
        else
        {
            bool really = !Slip(0.05);
            bool named = random.Next(4) == 0;
            Do(at, (then, _) =>
            {
                IReadOnlyList<ItemMove> moves = then.Advice?.Moves ?? [];
                foreach (ItemMove move in really ? moves : [])
                {
                    _coat.Apply(move with
                    {
                        Pins = [.. move.Pins.Select(pin => pin.Right == Length.Zero && pin.Up == Length.Zero ? pin : pin with { Right = Landed(pin.Right), Up = Landed(pin.Up) })],
                    });
                }

                return new BenchInput.Says(new Answer.Moved(named ? [.. moves.Select(move => move.Item)] : []));
            });
        }
    }

    /// <summary>By the one switch: each pin is moved, and pressed as moved; or a reason is taken.</summary>
    private void PressOn(BenchState state, TimeSpan at)
    {
        if (state.Want.Pin is not { } next || state.Want.Reason is not null)
        {
            Press(at);
            return;
        }

        if (next.At == 1)
        {
            Do(at - Ms(100, 300), (then, _) =>
            {
                foreach (ItemMove move in then.Advice?.Moves ?? [])
                {
                    _coat.Apply(move with { Pins = [.. move.Pins.Select(pin => pin.Moves ? pin with { Right = Landed(pin.Right), Up = Landed(pin.Up) } : pin)] });
                }

                return null;
            });
        }

        for (int pin = next.At; pin <= next.Of; pin++, at += Ms(850, 1_400))
        {
            Press(at);
        }

        if (Slip(0.2))
        {
            Press(at - Ms(500, 800));   // taken back
        }
    }

    private Length Landed(Length wanted) => wanted + Length.FromNanometres((long)(Synthetic.Gauss(random) * MoveNoise));

    private void Shift(string item, double by)
    {
        Pose pose = _coat.Poses[item];
        _coat.Poses[item] = pose with { Right = pose.Right + (Synthetic.Gauss(random) * by), Up = pose.Up + (Synthetic.Gauss(random) * by) };
    }

    private void Type(TimeSpan at, double gap)
    {
        decimal millimetres = Math.Round((decimal)gap / 1_000_000, 2);
        decimal inches = Math.Round((decimal)gap / 25_400_000, 3);
        decimal halves = Math.Round((decimal)gap / 396_875);
        (string text, decimal number) = random.Next(6) switch
        {
            0 or 1 => (string.Create(CultureInfo.InvariantCulture, $"{millimetres} mm"), millimetres),
            2 => (string.Create(CultureInfo.InvariantCulture, $"{inches}"), inches),
            3 => (string.Create(CultureInfo.InvariantCulture, $"{halves / 2} t"), halves / 2),
            4 => (string.Create(CultureInfo.InvariantCulture, $"{halves / 2}"), halves / 2),
            _ => (string.Create(CultureInfo.InvariantCulture, $"{millimetres}"), millimetres),
        };
        if (Slip(0.1) && text.Length > 2 && char.IsAsciiDigit(text[0]) && char.IsAsciiDigit(text[1]))
        {
            number = decimal.Parse(text[1..].Split(' ')[0], CultureInfo.InvariantCulture);
            text = text[1..];   // a lost digit
        }

        Do(at, (_, _) =>
        {
            TypedLast = Ways(number);
            return new BenchInput.Says(Answer.Of(text));
        });
    }

    private static long[] Ways(decimal number) => [.. new[] { 1_000_000m, 25_400_000m, 793_750m }.Select(unit => (long)(number * unit))];

    // ---- presses ----

    private void Insist(TimeSpan at, Answer yes)
    {
        switch (random.Next(5))
        {
            case 0:
                Press(at);
                break;
            case 1:
                InARow(3, at);
                break;
            default:
                Say(at, yes);
                break;
        }
    }

    private void Press(TimeSpan at) => Enqueue(at, new PersonDeed(++_acts, PressOnce, true));

    private void InARow(int presses, TimeSpan at)
    {
        for (int press = 0; press < presses; press++, at += Ms(320, 950))
        {
            Press(at);
        }
    }

    /// <summary>Held down: again after half a second, then each 33 ms; the hand may already go on to another gap.</summary>
    private void Hold(TimeSpan at, bool moves)
    {
        PersonDeed press = new(++_acts, PressOnce, true);
        Enqueue(at, press);
        if (caliper.Kind is CaliperKind.OwnButton or CaliperKind.Keyboard)
        {
            return;   // their own buttons send once, however long they are held
        }

        TimeSpan first = at + TimeSpan.FromMilliseconds(500);
        int repeats = random.Next(4) == 0 ? 1 : random.Next(0, 40);
        for (int k = 0; k < repeats; k++)
        {
            Enqueue(first + TimeSpan.FromMilliseconds(33 * k), press);
        }

        if (moves)
        {
            double gap = _coat.True(plan.Steps[random.Next(plan.Steps.Count)]);
            TimeSpan takes = Ms(30, 300);
            Do(at + Ms(20, 200), (_, then) => Move(gap, then, takes));
        }
    }

    private BenchInput? PressOnce(BenchState state, TimeSpan now)
    {
        switch (caliper.Kind)
        {
            case CaliperKind.OwnButton when state.Want.Prompt is Prompt.Read && random.Next(4) > 0:
                caliper.PressOwnButton(now);
                return null;
            case CaliperKind.Keyboard when state.Want.Prompt is Prompt.Read:
                return new BenchInput.Instrument(caliper.Types(now), Slip(0.02));
            case CaliperKind.Streaming when random.Next(10) == 0:
                return new BenchInput.Caliper(new CaliperEvent.Press());   // a switch wired to the line
            default:
                return new BenchInput.Press(PressOrigin.Person);
        }
    }

    private void Say(TimeSpan at, Answer answer) => Do(at, (_, _) => new BenchInput.Says(answer));

    private void Do(TimeSpan at, Func<BenchState, TimeSpan, BenchInput?> does) => Enqueue(at, new PersonDeed(++_acts, does));

    private void Enqueue(TimeSpan at, PersonDeed deed) => _due.Enqueue(deed, (at, ++_order));

    private PersonDeed Dequeue() => _due.Dequeue();

    private bool Slip(double chance) => random.NextDouble() < chance * slips;

    private TimeSpan Ms(int from, int to) => TimeSpan.FromMilliseconds(random.Next(from, to));
}
