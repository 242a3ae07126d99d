using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Simulation;

/// <summary>
/// What must hold at the bench, kept apart from it: plain lists of what was sent, typed, pressed and acknowledged, and verdicts by plain arithmetic.
/// </summary>
internal sealed class BenchModel(Plan plan, SittingState begun)
{
    private static readonly TimeSpan OldAfter = TimeSpan.FromMilliseconds(500);
    private static readonly TimeSpan AnsweredIn = TimeSpan.FromMilliseconds(2_000 + 20);   // and the tick that ends it
    private static readonly TimeSpan OwnButtonIn = TimeSpan.FromMilliseconds(2_000);   // a lone value is known to be one so late
    private static readonly TimeSpan Calm = TimeSpan.FromMilliseconds(800);
    private static readonly TimeSpan Lockout = TimeSpan.FromMilliseconds(300);

    private readonly Dictionary<string, List<Reading>> _takes = [];   // those that count
    private readonly Dictionary<(long, DateTimeOffset), TimeSpan> _sent = [];
    private readonly HashSet<(string Relation, string? Step)> _asides = [];
    private readonly Dictionary<int, int> _ofAct = [];   // what each act took, confirmed or signed
    private IReadOnlyList<long> _typed = [];
    private SittingState _acknowledged = begun;
    private SittingEvent? _unacknowledged;
    private TimeSpan? _press;
    private TimeSpan? _pressBefore;
    private TimeSpan? _saidAt;
    private readonly List<TimeSpan> _presses = [];
    private TimeSpan _asked;
    private TimeSpan _opened;
    private int _act;
    private readonly HashSet<int> _insisted = [];   // acts that pressed since something is asked
    private bool _isPretended;
    private bool _isNewPress;
    private bool _refusedNow;
    private bool _saidNow;
    private bool _wroteNow;
    private bool _failedNow;
    private bool _askedNow;
    private bool _filedNow;

    /// <summary>The sitting as the acknowledged events, read from the disk's text, make it.</summary>
    internal SittingState OnDisk => _acknowledged;

    internal int Taken { get; private set; }

    internal bool IsVerified { get; private set; }

    // ---- what happens ----

    internal void Begin(TimeSpan now)
    {
        (_press, _pressBefore, _saidAt, _opened) = (null, null, null, now);
        NewStep();
    }

    /// <summary>A person does something.</summary>
    internal void Acts(PersonDeed deed, BenchInput? input, TimeSpan now)
    {
        if (deed.IsPress || input is not null)
        {
            _act = deed.Act;
        }

        if (deed.IsPress)
        {
            _insisted.Add(deed.Act);
        }

        if (deed.IsPress && input is null)
        {
            (_pressBefore, _press) = (_press, now);   // the caliper's own button
            _presses.Add(now);
        }
    }

    /// <summary>The bench is about to be told.</summary>
    internal void Hears(BenchInput input, TimeSpan now, IReadOnlyList<long> typed)
    {
        NewStep();
        _typed = typed;
        switch (input)
        {
            case BenchInput.Says:
                _saidAt = now;   // the key that ended the line may be held down
                _presses.Clear();
                break;
            case BenchInput.Press { Origin: PressOrigin.Person } or BenchInput.Caliper { Event: CaliperEvent.Press } or BenchInput.Instrument:
                _presses.Add(now);
                (_pressBefore, _press) = (input is BenchInput.Press && _saidAt is { } said && !(_press > said) ? said : _press, now);
                _isNewPress = _pressBefore is not { } before || now - before >= Lockout;
                break;
            case BenchInput.Caliper { Event: CaliperEvent.Value { Reading: var sent } }:
                _sent[(sent.Value.Nanometres, sent.At)] = now;
                break;
            case BenchInput.Caliper { Event: CaliperEvent.Opened or CaliperEvent.Lost }:
                _opened = now;
                break;
            default:
                break;
        }
    }

    internal void Asked(TimeSpan now) => (_asked, _askedNow) = (now, true);

    internal void Lost(SittingEvent happened) => _unacknowledged = happened;

    internal void NotWritten(BenchState state)
    {
        _failedNow = true;
        Must(Equals(state.Work.View.State, _acknowledged), "after a refused write the bench is not as the disk has it");
    }

    /// <summary>An event is on the disk.</summary>
    internal void Acknowledged(BenchInput? input, BenchState before, SittingEvent happened, SittingEvent asRead, TimeSpan now)
    {
        _wroteNow = true;
        if (happened is SittingEvent.Took took)
        {
            TookRightly(input, before, took, now);
        }

        if (happened is SittingEvent.Took { Reading: var meant } && before.Warning?.Said.Reading == meant && input is not BenchInput.Says)
        {
            Must(_insisted.Count >= 2, $"a warning was answered by {_insisted.Count} presses");
        }

        if (happened is SittingEvent.Took or SittingEvent.Confirmed or SittingEvent.Signed && input is not null)
        {
            int times = _ofAct[_act] = _ofAct.GetValueOrDefault(_act) + 1;
            Must(times == 1, $"act {_act} took, confirmed or signed {times} times; now {happened.GetType().Name}");
        }

        if (happened is SittingEvent.Confirmed or SittingEvent.Signed)
        {
            Must(input is not BenchInput.Press { Origin: PressOrigin.Script }, "a script's empty line confirmed or signed");
            Must(
                input is BenchInput.Says || (IsPressed(input) && (_pressBefore is not { } pressed || now - pressed >= Calm)),
                $"{happened.GetType().Name} by a held or hasty press");
        }

        if (happened is SittingEvent.Withdrew or SittingEvent.Unconfirmed && input is BenchInput.Tick)
        {
            Must(_presses is [.., var first, var second] && second - first >= Lockout && second - first < Calm && now - second >= Lockout, "taken back by other than a second press of its own");
        }

        if (happened is SittingEvent.Moved or SittingEvent.SetAside && input is not BenchInput.Says)
        {
            Must(input is BenchInput.Tick ? _press is { } last && now - last >= Calm : _pressBefore is not { } pressed || now - pressed >= Calm, $"{happened.GetType().Name} by a held or hasty press");
            Must(happened is not SittingEvent.Moved || before.Advice!.Moves.Sum(move => move.Pins.Count(pin => pin.Moves)) == before.PinsMoved, "moved by a press, and not every pin was");
        }

        if (happened is SittingEvent.Signed)
        {
            Must(plan.Steps.All(step => _takes.ContainsKey(step.Id)), "signed with a step that has no reading");
            Must(Open(_ => true).Count == 0, $"signed though not within and not set aside: {string.Join(", ", Open(_ => true))}");
        }

        Apply(asRead);
        _acknowledged = Sitting.Apply(_acknowledged, asRead);
    }

    /// <summary>The bench told something.</summary>
    internal void Said(Said said, BenchState before, TimeSpan now)
    {
        _saidNow |= said is not Core.Bench.Said.Asked;
        _refusedNow |= said is Core.Bench.Said.Refused or Core.Bench.Said.Warned or Core.Bench.Said.HoldStill or Core.Bench.Said.Waits;
        switch (said)
        {
            case Core.Bench.Said.Warned { Reading: { Source: not (ReadingSource.Typed or ReadingSource.Keyboard) } reading } when before.Warning?.Said.Reading != reading:
                IsFresh(reading, now);
                break;
            case Core.Bench.Said.Judged { Judgement: { Verdict: Core.Judging.Verdict.Within } judgement }:
                Must(IsWithin(judgement.Relation, judgement.Steps[0]) != false, $"{judgement.Relation.Id} is said to be within and is not");
                break;
            case Core.Bench.Said.Advised advised:
                AdvisedRightly(advised);
                break;
            default:
                break;
        }
    }

    /// <summary>The bench wants the record filed.</summary>
    internal void Files() => _filedNow = true;

    internal void Filed(Core.Records.Record record)
    {
        Must(_acknowledged.Signed is not null, "filed before the signature was on the disk");
        bool all = _asides.Count == 0 && plan.Relations.All(relation => Judged(relation).All(step => IsWithin(relation, step) != false));
        Must(!record.Verified || all, "verified though not all is within");
        Must(!record.Verified || !_isPretended, "verified with a pretended reading");
        Must(record.Verified == (all && !_isPretended), "all is within and measured, and it is not verified");
        IsVerified = record.Verified;
    }

    /// <summary>The bench is started again on what is on the disk: all that was acknowledged, and at most the one line more that was being written.</summary>
    internal SittingState Restarted(IReadOnlyList<SittingEvent> journal, SittingState begun)
    {
        SittingState replayed = journal.Aggregate(begun, Sitting.Apply);
        if (!replayed.Equals(_acknowledged))
        {
            Must(_unacknowledged is not null && replayed.Equals(Sitting.Apply(_acknowledged, _unacknowledged)), "what is on the disk is not what was acknowledged, and not one line more");
            Apply(journal[^1]);
            _acknowledged = replayed;
        }

        _unacknowledged = null;
        return replayed;
    }

    /// <summary>What must hold after an input.</summary>
    internal void Check(BenchInput input, BenchState before, BenchState after, TimeSpan now)
    {
        if (_wroteNow || _failedNow)
        {
            Must(after.Work.View.State.Equals(_acknowledged), "the bench is not as the disk has it");
        }
        else
        {
            Must(ReferenceEquals(before.Work, after.Work), "the sitting changed without an event");
        }

        Must(before.SameCoat is null || after.SameCoat is not null || input is BenchInput.Says || _insisted.Count >= 2, $"the coat was agreed to by {_insisted.Count} presses");
        if (after.SameCoat is null && (after.Warning is null || after.Warning.Said.Reading != before.Warning?.Said.Reading))
        {
            _insisted.Clear();   // of what is asked now nothing was pressed yet
        }

        Must(!_refusedNow || !_wroteNow || _failedNow, "refused, and yet something was written");
        bool isDone = _wroteNow || _saidNow || _askedNow || _filedNow || after.End is not null || after.SameCoat != before.SameCoat || after.PinsMoved != before.PinsMoved || after.Offered != before.Offered;
        switch (input)
        {
            case BenchInput.Says or BenchInput.UnlockedPad:
                Must(isDone, $"nothing came of {input}, and nothing was said");
                break;
            case BenchInput.Instrument or BenchInput.Press or BenchInput.Caliper { Event: CaliperEvent.Press }:
                bool isRepeat = !_isNewPress && input is not BenchInput.Press { Origin: PressOrigin.Script };
                bool isSecond = _pressBefore is { } one && now - one < Calm;   // taken back when nothing follows it
                bool isInARow = (before.Warning is not null || before.SameCoat is not null) && _pressBefore is { } first && now - first <= TimeSpan.FromSeconds(1.4);
                Must(isDone || isRepeat || isSecond || isInARow || before.IsBusy, $"nothing came of {input}, and nothing was said");
                break;
            default:
                break;
        }

        if (before.Notice is { Said: Core.Bench.Said.Refused } notice && now - notice.Since < BenchEngine.Readable && after.Notice?.Said is { } next && !ReferenceEquals(next, notice.Said))
        {
            Must(next is not (Core.Bench.Said.Lost or Core.Bench.Said.Back or Core.Bench.Said.Noted or Core.Bench.Said.BadFrame or Core.Bench.Said.Diagnosed), $"{next.GetType().Name} took the place of a refusal before it could be read");
        }
    }

    // ---- readings ----

    private void TookRightly(BenchInput? input, BenchState before, SittingEvent.Took took, TimeSpan now)
    {
        Reading reading = took.Reading;
        Taken++;
        _isPretended |= reading.Source is ReadingSource.Emulated or ReadingSource.Replay;
        switch (reading.Source)
        {
            case ReadingSource.Typed:
                Must(_typed.Contains(reading.Value.Nanometres), $"{reading.Value} was not typed last");
                break;
            case ReadingSource.Keyboard:
                Must(
                    decimal.TryParse(reading.Raw, System.Globalization.CultureInfo.InvariantCulture, out decimal number) && (long)(number * 1_000_000) == reading.Value.Nanometres,
                    "another value than the caliper typed");
                break;
            default:
                Must(_sent.TryGetValue((reading.Value.Nanometres, reading.At), out TimeSpan sent), $"{reading.Value} of {reading.At:O} was never sent");
                Must(sent >= _opened, "a reading from before the line was lost was taken");
                if (before.Warning?.Said.Reading is not { } asked || asked.Value != reading.Value || asked.At != reading.At)
                {
                    IsFresh(reading, now);
                }

                break;
        }

        Step step = plan.FindStep(took.Step)!;
        HashSet<string> below = [.. Below(step.Of).Skip(1), .. Below(step.From)];
        below.Remove(step.Of);
        List<string> open = Open(relation => relation.Of.All(of => below.Contains(plan.FindStep(of)!.Of)));
        Must(open.Count == 0, $"{took.Step} was read though below it these are not within: {string.Join(", ", open)}");
        Must(
            plan.Steps.Where(lower => below.Contains(lower.Of)).All(lower => _takes.ContainsKey(lower.Id)),
            $"{took.Step} was read before all that it stands on was");
    }

    /// <summary>Not older than half a second when it is used, or the answer within two seconds to a request.</summary>
    private void IsFresh(Reading reading, TimeSpan now)
    {
        TimeSpan sent = _sent[(reading.Value.Nanometres, reading.At)];
        Must(now - sent <= OldAfter || (now - sent <= OwnButtonIn && _sent.Values.Max() == sent) || (sent >= _asked && now - _asked <= AnsweredIn), $"a reading that is {now - sent} old");
    }

    private IEnumerable<string> Below(string name)
    {
        for (Item? item = plan.Items.FirstOrDefault(each => each.Id == name); item is not null; item = plan.Items.FirstOrDefault(each => each.Id == item.StandsOn))
        {
            yield return item.Id;
        }
    }

    private void Apply(SittingEvent happened)
    {
        switch (happened)
        {
            case SittingEvent.Took took:
                if (!_takes.TryGetValue(took.Step, out List<Reading>? takes))
                {
                    _takes[took.Step] = takes = [];
                }

                takes.Add(took.Reading);
                Forget([took.Step]);
                break;
            case SittingEvent.Withdrew withdrew:
                _takes.Remove(withdrew.Step);
                Forget([withdrew.Step]);
                break;
            case SittingEvent.Moved moved:
                string[] stale = [.. plan.Steps.Where(step => moved.Items.Contains(step.Of) || moved.Items.Contains(step.From)).Select(step => step.Id)];
                foreach (string step in stale)
                {
                    _takes.Remove(step);
                }

                Forget(stale);
                break;
            case SittingEvent.SetAside aside:
                _asides.Add((aside.Relation, aside.Step));
                break;
            default:
                break;
        }
    }

    private void Forget(string[] steps) =>
        _asides.RemoveWhere(aside => aside.Step is { } one ? steps.Contains(one) : plan.Relations.First(relation => relation.Id == aside.Relation).Of.Any(steps.Contains));

    // ---- verdicts ----

    /// <summary>Relations that can be judged, are not within and are not set aside.</summary>
    private List<string> Open(Func<Relation, bool> which) =>
    [
        .. plan.Relations.Where(which).SelectMany(relation => Judged(relation)
            .Where(step => IsWithin(relation, step) == false && !_asides.Contains((relation.Id, relation.Kind == RelationKind.Gap ? step : null)))
            .Select(step => $"{relation.Id} at {step}")),
    ];

    private IEnumerable<string> Judged(Relation relation) => relation.Kind == RelationKind.Gap
        ? relation.Of.Where(_takes.ContainsKey)
        : relation.Of.All(_takes.ContainsKey) ? [relation.Of[0]] : [];

    /// <summary>Within by the mean of the takes and a guard band, all in doubles; null on the edge, where doubles cannot tell.</summary>
    private bool? IsWithin(Relation relation, string step)
    {
        string[] of = relation.Kind == RelationKind.Gap ? [step] : [.. relation.Of];
        double[] means = [.. of.Select(each => _takes[each].Average(take => (double)take.Value.Nanometres))];
        double guard = 1.6448536 * Math.Sqrt(of.Sum(each => Square(Uncertainty(_takes[each]))));
        double room = relation.Kind.Word switch
        {
            "gap" => Math.Min(means[0] - relation.Limits[0].Lower!.Value.Nanometres, relation.Limits[0].Upper!.Value.Nanometres - means[0]),
            "equal" or "level" => relation.Limits[0].Upper!.Value.Nanometres - (means.Max() - means.Min()),
            _ => throw new SimulationFault($"no arithmetic for {relation.Kind}"),
        };
        return Math.Abs(room - guard) < 5 ? null : room > guard;
    }

    /// <summary>Caliper ±0.02 mm rectangular, one step of the display, the hand's 0.08 mm over the takes: the figures of the demonstration standard.</summary>
    private static double Uncertainty(List<Reading> takes) =>
        Math.Sqrt((Square(20_000) / 3) + (Square(takes.Max(take => take.Resolution.Nanometres)) / 12) + (Square(80_000) / takes.Count));

    private static double Square(double number) => number * number;

    private void AdvisedRightly(Said.Advised advised)
    {
        Step[] seen = [.. plan.Steps.Where(step => _takes.ContainsKey(step.Id) && (step.Of == advised.Move.Item || step.From == advised.Move.Item))];
        bool right = advised.Move.Pins.Any(pin => pin.Right != Length.Zero);
        bool up = advised.Move.Pins.Any(pin => pin.Up != Length.Zero);
        bool turns = advised.Move.Pins.Select(pin => (pin.Right, pin.Up)).Distinct().Count() > 1;
        Must(!right || seen.Any(step => step.Grows is { Right: not 0 }), $"{advised.Move.Item} is to move sideways, and no reading sees that: {string.Join("; ", advised.Move.Pins.Select(pin => pin.Words))}");
        Must(!up || seen.Any(step => step.Grows is { Up: not 0 }), $"{advised.Move.Item} is to move up or down, and no reading sees that");
        Must(!turns || seen.Length > 1, $"{advised.Move.Item} is to turn, and no reading sees that");
    }

    private void NewStep() => (_isNewPress, _refusedNow, _saidNow, _wroteNow, _failedNow, _askedNow, _filedNow) = (false, false, false, false, false, false, false);

    private static bool IsPressed(BenchInput? input) => input is BenchInput.Press or BenchInput.Instrument or BenchInput.Caliper or BenchInput.Tick;

    private static void Must(bool holds, string what)
    {
        if (!holds)
        {
            throw new SimulationFault(what);
        }
    }
}
