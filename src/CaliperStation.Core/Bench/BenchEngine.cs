using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Bench;

/// <summary>What an input came to.</summary>
/// <param name="State">The bench after it, once every append of the effects is on the disk.</param>
/// <param name="Effects">What the shell does, in this order.</param>
public sealed record BenchStep(BenchState State, IReadOnlyList<BenchEffect> Effects);

/// <summary>The whole bench as one pure function: state + input → state + effects.</summary>
/// <remarks>
/// The screen, the lines, JSON, the remeasurements, the caliper check, the simulator and the tests all drive it, so none can take, refuse or say
/// otherwise than another. Rules that live here: what a press means, what is asked before a reading is taken, when a request is over, what is told.
/// What a command may do is the sitting's to say, what a line or display means the caliper's.
/// </remarks>
public static class BenchEngine
{
    /// <summary>What a press is refused with when a caliper that was asked stays silent.</summary>
    public const string NoAnswer = "the caliper did not answer within two seconds: is it on, is its cell good, is the spindle at rest? Some answer only while their handshake lines (RTS, DTR) are on: see lines-on in the settings. Type the length meanwhile";

    /// <summary>How long a press waits for a steady value, and a request for its answer. The longest published answer takes 2 s.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(2);

    /// <summary>An answer that takes longer is said to be waited for.</summary>
    public static readonly TimeSpan Soon = TimeSpan.FromMilliseconds(250);

    /// <summary>After a request is over: how long its answer may still come, and nothing new is asked.</summary>
    public static readonly TimeSpan Grace = TimeSpan.FromSeconds(2);

    /// <summary>What is told stays readable so long.</summary>
    public static readonly TimeSpan Readable = TimeSpan.FromSeconds(2);

    /// <summary>What is told at the beginning is longer, and is read one after the other.</summary>
    public static readonly TimeSpan Opening = TimeSpan.FromSeconds(5);

    /// <summary>The bench at its beginning, or where a sitting goes on.</summary>
    /// <param name="work">What is worked on.</param>
    /// <param name="caliper">The caliper.</param>
    /// <param name="setup">How the bench is set.</param>
    /// <param name="now">When.</param>
    public static BenchStep Begin(Work work, LiveCaliper caliper, BenchSetup setup, Moment now)
    {
        BenchTurn turn = new(new BenchState(work, caliper, setup) { At = now.At }, now);
        turn.Begin();
        return turn.Done();
    }

    /// <summary>What an input comes to. After the end nothing does.</summary>
    public static BenchStep Step(BenchState state, BenchInput input, Moment now)
    {
        if (state.End is not null)
        {
            return new BenchStep(state, []);
        }

        BenchTurn turn = new(state, now);
        turn.Receive(input);
        return turn.Done();
    }

    /// <summary>The bench when an append failed: the events before it stand, nothing after it happened, and it is told.</summary>
    /// <param name="before">The state before the input.</param>
    /// <param name="after">The state that the step would have come to.</param>
    /// <param name="written">The events of the step that are on the disk.</param>
    /// <param name="why">Why the next one is not.</param>
    /// <param name="now">When.</param>
    public static BenchStep NotWritten(BenchState before, BenchState after, IReadOnlyList<SittingEvent> written, string why, Moment now)
    {
        BenchState held = before with
        {
            Work = written.Aggregate(before.Work, (work, happened) => work.After(happened)),
            Gate = after.Gate,
            HeardPress = after.HeardPress,   // it was pressed, asked and answered all the same: a held press does not confirm once there is room
            InARow = after.InARow,
            NotSoGate = after.NotSoGate,
            LastDone = null,
            TakingBack = null,
            AllMoved = false,
            Insisted = after.Insisted,
            Waiting = null,
            Request = after.Request,
            OwesAnswer = after.OwesAnswer,
            Warning = after.Warning,
            Caliper = after.Caliper with { Steadiness = before.Caliper.Steadiness, IsOther = before.Caliper.IsOther },
        };
        BenchTurn turn = new(held, now);
        turn.NotWritten(why);
        return turn.Done();
    }

    /// <summary>How long nothing changes by mere time: the next <see cref="BenchInput.Tick"/> is due then.</summary>
    public static TimeSpan Rest(BenchState state) =>
        state.IsBusy || state.Insisted is not null || state.TakingBack is not null || state.AllMoved || state.Request is not null ? TimeSpan.FromMilliseconds(20) : TimeSpan.FromMilliseconds(100);
}

/// <summary>One input being worked through.</summary>
internal sealed class BenchTurn(BenchState state, Moment now)
{
    private const string TooSoon = "that press came too soon after the one before: let go, wait a second, and press again";

    private readonly List<BenchEffect> _effects = [];
    private BenchState _state = state;
    private bool _answers;   // a person waits for an answer: what is wanted is told at the end

    private SittingView View => _state.Work.View;

    private Plan Plan => View.State.Plan;

    private LiveCaliper Caliper => _state.Caliper;

    internal BenchStep Done()
    {
        Want want = _state.Want;
        if (want.Prompt is Prompt.Read { Step: var step } && step.Id != _state.Guided)
        {
            _state = _state with { Guided = step.Id };
            _effects.Add(new BenchEffect.Guide(step));
        }
        else if (want.Prompt is not Prompt.Read)
        {
            _state = _state with { Guided = null };
        }

        if (_answers && !_state.IsBusy && _state.End is null && want.Prompt is not Prompt.Closed)
        {
            Summarize(want);
            _effects.Add(new BenchEffect.Say(new Said.Asked(want)));
        }

        return new BenchStep(_state, _effects);
    }

    internal void Begin()
    {
        _answers = true;
        if (_state.Setup.Resume is { } resume)
        {
            Say(new Said.Resumed(resume));
            _state = _state with { SameCoat = resume.IsEarlierDay && View.Prompt is not Prompt.Closed ? resume : null };
        }

        if (_state.Work is Work.Measuring)
        {
            foreach (UnverifiableTolerance narrow in UnverifiableTolerance.In(Plan, TypedRule.Default.DecimalMillimetre, _state.Setup.Hand is { Length: > 0 } given ? given : View.State.Hand))
            {
                Say(new Said.Narrow(narrow));
            }
        }

        foreach (string remark in _state.Setup.Remarks)
        {
            Say(new Said.Remarked(remark));
        }

        bool mayTakeOver = _state.Work is Work.Studying || (_state.Work is Work.Measuring && View.Prompt is not Prompt.Closed);   // in a study the hand before may have read all
        if (mayTakeOver && _state.Setup.Hand is { Length: > 0 } hand && hand != View.State.Hand)
        {
            Do(new SittingCommand.TakeOver(hand));
        }

        if (_state.Work is Work.Remeasuring && View.Prompt is not Prompt.Closed)
        {
            foreach (Look line in Plan.Ready)
            {
                Say(new Said.SeeTo(line));
            }
        }

        if (View.State.IsPractice || Caliper.Source is ReadingSource.Emulated or ReadingSource.Replay)
        {
            Say(new Said.Practice());
        }

        _state = _state with { Advice = AdviceNow() };
        if (View.Prompt is Prompt.Decide)
        {
            SayAdvice();   // it was told before the bench was left
        }

        Finish();   // it may have been given up or signed just before the power failed
    }

    internal void NotWritten(string why)
    {
        _answers = true;
        _state = _state with { Advice = AdviceNow() };
        Refuse($"not written, so it does not count: {why}");
    }

    internal void Receive(BenchInput input)
    {
        _state = _state with { At = now.At, IsOpening = _state.IsOpening && input is BenchInput.Tick or BenchInput.Caliper };
        switch (input)
        {
            case BenchInput.Press press:
                _answers = press.Origin == PressOrigin.Script || _state.Gate.IsNew(now.Since);
                Press(press.Origin, byKeyboard: true);
                break;
            case BenchInput.NotSo:
                _answers = _state.NotSoGate.IsNew(now.Since);
                NotSo();
                break;
            case BenchInput.Says says:
                _answers = true;
                _state = _state with { Waiting = null, Insisted = null, InARow = 0, TakingBack = null, AllMoved = false, SaidAt = now.Since };
                Heard(says.Answer);
                _state = _state with { LastDone = null };   // only what a press did is taken back by one
                break;
            case BenchInput.Instrument typed:
                _answers = true;
                Instrument(typed);
                break;
            case BenchInput.UnlockedPad:
                Refuse("a number pad typed with its lock off: nothing was taken; switch Num Lock on and press the caliper's button again");
                break;
            case BenchInput.Caliper { Event: var seen }:
                Saw(seen);
                break;
            case BenchInput.NotAsked:
                _state = _state with { Request = null };
                GiveUp();
                break;
            case BenchInput.Remark remark:
                Say(new Said.Remarked(remark.Words));
                break;
            case BenchInput.Tick:
                Tick();
                break;
            case BenchInput.Filed filed:
                Filed(filed);
                break;
            case BenchInput.NotFiled notFiled:
                _state = _state with { IsFiling = false };
                Refuse($"signed, but not filed: {notFiled.Why}; it is filed when this sitting is opened again");
                break;
        }

        if (EndsWithItsLastReading && (_state.LastDone is null || _state.Gate.IsCalm(now.Since)))
        {
            Finish();   // a second press within a second may take the last reading back
        }
    }

    // ---- presses ----

    private void Press(PressOrigin origin, bool byKeyboard = false)
    {
        PressGate gate = origin == PressOrigin.Script ? default
            : byKeyboard && _state.SaidAt is { } said && !(_state.Gate.Heard > said) ? PressGate.Hear(said)
            : _state.Gate;
        bool wasPress = _state.HeardPress;
        if (origin == PressOrigin.Person)
        {
            bool isWritten = AllMoved();   // its time was over, and no tick came yet
            _state = _state with { Gate = PressGate.Hear(now.Since), HeardPress = true, Insisted = null, TakingBack = null };
            if (isWritten)
            {
                return;
            }

            if (!gate.IsNew(now.Since))
            {
                _state = _state with { InARow = 0 };
                return;   // the same press: it bounces, or is held down
            }

            if (_state.LastDone is not null && !gate.IsCalm(now.Since))
            {
                _state = _state with { TakingBack = now.Since };   // unless more follow at once: then a key is held down
                _answers = false;
                return;
            }

            _state = _state with { LastDone = null };
        }

        if (_state.SameCoat is not null || _state.Warning is not null)
        {
            Insist(gate, wasPress);
            return;
        }

        _state = _state with { InARow = 0 };
        if (origin == PressOrigin.Person && _state.Want.Reason is { } reason)
        {
            if (gate.IsCalm(now.Since))
            {
                Do(new SittingCommand.Aside(reason));
            }
            else
            {
                Refuse(TooSoon);
            }

            return;
        }

        switch (_state.Want.Prompt)
        {
            case Prompt.Read:
                PressToRead(gate);
                break;
            case Prompt.See or Prompt.Decide or Prompt.Sign when origin == PressOrigin.Script:
                Refuse(Sitting.Wanted(View.Prompt));
                break;
            case Prompt.See or Prompt.Decide or Prompt.Sign or Prompt.Closed when !gate.IsCalm(now.Since):
                Refuse(TooSoon);
                break;
            case Prompt.Closed when _state.Closed is not null:
                End(BenchEnd.Stopped);
                break;
            case Prompt.See look:
                if (Do(new SittingCommand.Confirm()))
                {
                    _state = _state with { LastDone = new Undo.Confirmation(look.Look.Id) };
                }

                break;
            case Prompt.Decide when _state.Advice is { Outliers: [var odd, ..] } && View.State.Counts(odd):
                Heard(new Answer.Retake(odd));
                break;
            case Prompt.Decide when _state.AllMoved:
                break;   // it is written in a moment
            case Prompt.Decide when _state.Want.Pin is { } pin:
                _state = _state with { PinsMoved = pin.At, LastDone = new Undo.Pin(), AllMoved = pin.At == pin.Of };
                _answers = pin.At < pin.Of;
                Say(new Said.PinMoved(Plan, pin, false));
                Ring(Sound.Taken);
                break;
            case Prompt.Decide when _state.Setup.Reasons.Count > 0:
                Offer();
                _state = _state with { LastDone = new Undo.Offer() };
                break;
            case Prompt.Sign when View.State.Hand is { Length: > 0 } hand:
                Do(new SittingCommand.Sign(hand));
                break;
            case Prompt.Sign:
                Refuse("type the initials of the hand to sign");
                break;
            case Prompt.Closed:
                Finish();
                break;
            default:
                Refuse(Sitting.Wanted(View.Prompt));
                break;
        }
    }

    /// <summary>The second switch: no to what is asked, or take the last reading again.</summary>
    private void NotSo()
    {
        bool isNew = _state.NotSoGate.IsNew(now.Since);
        _state = _state with { NotSoGate = PressGate.Hear(now.Since), Insisted = null, InARow = 0, LastDone = null, TakingBack = null, AllMoved = false, Waiting = null };
        if (!isNew)
        {
            return;
        }

        if (_state.SameCoat is not null)
        {
            Heard(new Answer.Stop());
        }
        else if (_state is { Warning: null, Offered: null, PinsMoved: > 0 })
        {
            PinBack();
        }
        else if (!No())
        {
            Heard(new Answer.Retake(null));
        }
    }

    /// <summary>No to what is asked: an odd reading, an offered reason, a look; false when nothing is.</summary>
    private bool No()
    {
        if (_state.Warning is not null)
        {
            _state = _state with { Warning = null };
            Refuse("not taken; measure again");
        }
        else if (_state.Offered is not null)
        {
            Offer();
        }
        else if (_state.Want.Prompt is Prompt.See)
        {
            Do(new SittingCommand.NotSo());
        }
        else
        {
            return false;
        }

        return true;
    }

    /// <summary>Offers the first reason for setting aside, or the next one; after the last none.</summary>
    private void Offer()
    {
        int next = _state.Offered is { } offered ? offered + 1 : 0;
        _state = _state with { Offered = next < _state.Setup.Reasons.Count ? next : null };
    }

    /// <summary>What a press did is taken back by a second one, once it is clear that nothing is held down.</summary>
    private void TakeBack()
    {
        Undo? done = _state.LastDone;
        _state = _state with { LastDone = null, TakingBack = null };
        if (done is not Undo.Reading { Step: var step } || View.State.Counts(step))
        {
            TakeBack(done);
        }
    }

    private void TakeBack(Undo? done)
    {
        switch (done)
        {
            case Undo.Reading reading:
                Heard(new Answer.Retake(reading.Step));
                break;
            case Undo.Confirmation confirmation:
                Do(new SittingCommand.Unconfirm(confirmation.Line));
                break;
            case Undo.Pin when _state.PinsMoved > 0:
                PinBack();
                break;
            case Undo.Offer:
                _state = _state with { Offered = null };
                break;
            default:
                return;
        }

        Ring(Sound.TakenBack);
    }

    /// <summary>Takes back what was done last, whoever did it and however long ago.</summary>
    private void Undone()
    {
        if (Offers.LastDone(_state) is { } done)
        {
            TakeBack(done);
        }
        else
        {
            Refuse($"there is nothing to take back: {Sitting.Wanted(View.Prompt)}");
        }
    }

    private void PinBack()
    {
        IReadOnlyList<AdvisedPin> pins = _state.Pins;
        int at = Math.Min(_state.PinsMoved, pins.Count) - 1;
        _state = _state with { PinsMoved = Math.Max(0, at), AllMoved = false };
        if (at >= 0)
        {
            Say(new Said.PinMoved(Plan, pins[at], true));
        }
    }

    /// <summary>Writes that all pins were moved, once that can no longer be taken back.</summary>
    private bool AllMoved()
    {
        if (_state is not { AllMoved: true, TakingBack: null } || !_state.Gate.IsCalm(now.Since))
        {
            return false;
        }

        _answers = true;
        _state = _state with { AllMoved = false, LastDone = null, TakingBack = null };
        Heard(new Answer.Moved([]));
        return true;
    }

    /// <summary>A press while something is asked: the third in a row answers it, once it is clear that nothing is held down.</summary>
    private void Insist(PressGate gate, bool wasPress)
    {
        _state = _state with { InARow = wasPress && gate.Follows(now.Since) ? _state.InARow + 1 : 1 };
        if (_state.InARow >= PressGate.ToAnswer)
        {
            _state = _state with { Insisted = now.Since, InARow = 0 };
            _answers = false;
        }
        else if (_state.Warning is { IsFromCaliper: true } && Caliper.Steady(now.Since) is { } steady && Moved(steady))
        {
            _state = _state with { Warning = null };
            PressToRead(gate);
        }
        else if (_state.Warning is { } warning)
        {
            Question(warning);   // once more
        }
        else
        {
            Refuse("say first whether this is the same coat: yes, or stop");
        }
    }

    private bool Moved(Reading value) => _state.Warning is { } warning && (value.Value - warning.Said.Reading.Value).Abs() > SteadinessOptions.Default.Band;

    private void PressToRead(PressGate gate)
    {
        if (_state.IsBusy)
        {
            return;   // a press waits already
        }

        if (Caliper.IsThere && !gate.IsCalm(now.Since))
        {
            Refuse(TooSoon);   // the first repeat of a held key, while the hand goes on to the next gap
        }
        else if (Caliper.IsAsked && Caliper.IsThere)
        {
            Ask();
        }
        else if (Caliper.Steady(now.Since) is { } steady)
        {
            Attempt(steady, Caliper.Steadiness.IsWhereTaken);
        }
        else if (Caliper.MayCome(now.Since))
        {
            _state = _state with { Waiting = now.Since };
            if (Caliper.IsMoving(now.Since))
            {
                Say(new Said.HoldStill());
                Ring(Sound.HoldStill);
            }
            else
            {
                Say(new Said.Waits());
            }
        }
        else
        {
            Refuse(Caliper.WhyNot(now.Since));
        }
    }

    private void Ask()
    {
        if (Caliper.IsTrouble && !Caliper.IsOpening)
        {
            Refuse(Caliper.WhyNot(now.Since));
        }
        else if (_state.Request is { IsLate: true } || Caliper.IsOpening)
        {
            _state = _state with { Waiting = now.Since };   // an answer to the request before may still come, and would be taken for this one's
            Say(new Said.Waits());
        }
        else
        {
            _state = _state with { Request = new PendingRequest(now.Since, false, false), LastAsked = now.Since, Waiting = null, Caliper = Caliper.Asking() };
            _effects.Add(new BenchEffect.AskCaliper());
        }
    }

    // ---- the caliper ----

    private void Saw(CaliperEvent seen)
    {
        if (seen is CaliperEvent.Press)
        {
            _answers = _state.Gate.IsNew(now.Since);
            Press(PressOrigin.Person);
            return;
        }

        if (seen is CaliperEvent.NotSo)
        {
            _answers = _state.NotSoGate.IsNew(now.Since);
            NotSo();
            return;
        }

        (LiveCaliper caliper, Said? said) = Caliper.Saw(seen, now.Since);
        _state = _state with { Caliper = caliper };
        if (said is not null)
        {
            Say(said);
            if (said is Said.Back { Again: true })
            {
                Ring(Sound.Back);
            }

            if (said is Said.Lost)
            {
                Ring(Sound.Lost);
                if (_state.Warning is { } warning && warning.Said.Reading.Source == Caliper.Source)
                {
                    _state = _state with { Warning = null, Insisted = null };   // a reading from before the loss never counts
                }
            }
        }

        switch (seen)
        {
            case CaliperEvent.Value { IsOfItself: true } when Caliper.IsAsked:
                break;   // shown, and no more
            case CaliperEvent.Value { Reading: var value }:
                Value(value);
                break;
            case CaliperEvent.Lost or CaliperEvent.Opened when _state.Request is not null || (seen is CaliperEvent.Lost && _state.Waiting is not null):
                _answers = _state.IsBusy;
                bool waited = _state.IsBusy;
                _state = _state with { Request = null, Waiting = null, OwesAnswer = false };
                if (waited)
                {
                    Refuse(Caliper.WhyNot(now.Since));
                }

                break;
            case CaliperEvent.Refused refused when _state.Request is { IsLate: false }:
                _answers = true;
                _state = _state with { Request = null };
                Refuse($"the caliper's answer is no reading: {refused.Words.TrimEnd('.')}");
                break;
            default:
                break;
        }
    }

    private void Value(Reading value)
    {
        if (_state.Request is { IsLate: true })
        {
            _state = _state with { Request = null, Caliper = _state.Caliper.Answered(value) };   // nobody's: shown, and no more
            if (_state.Waiting is not null)
            {
                Ask();
            }

            return;
        }

        if (_state.Request is { } request && value.Arrived >= request.At)
        {
            _answers = true;
            _state = _state with { Request = null, OwesAnswer = false, Caliper = _state.Caliper.Answered(value) };
            Attempt(value, false);
            return;
        }

        if (_state.OwesAnswer || (_state.LastAsked is { } asked && value.Arrived - asked <= BenchEngine.Patience + BenchEngine.Patience + BenchEngine.Grace))
        {
            _state = _state with { OwesAnswer = false, Caliper = _state.Caliper.Answered(value) };
            return;
        }

        if (_state.Warning is { IsFromCaliper: true } && Moved(value))
        {
            _state = _state with { Warning = null, Insisted = null };   // the hand measures anew
        }

        (LiveCaliper caliper, bool isPress) = Caliper.Unasked(value);
        _state = _state with { Caliper = caliper };
        if (isPress)
        {
            OwnButton(value);
        }
        else
        {
            TakeWhenSteady();
        }
    }

    /// <summary>An instrument that sends on its own button: the value is the press.</summary>
    private void OwnButton(Reading value)
    {
        PressGate gate = _state.Gate;
        bool waited = _state.Waiting is not null;
        _state = _state with { LastDone = null };   // when it was pressed is not known well enough to take anything back by it
        if (_state.Want.Prompt is not Prompt.Read || _state.SameCoat is not null || _state.Warning is not null)
        {
            _answers = gate.IsNew(now.Since);
            Press(PressOrigin.Person);
            _state = _state with { HeardPress = false };
            return;
        }

        _state = _state with { Gate = PressGate.Hear(gate.Heard > value.Arrived ? gate.Heard.Value : value.Arrived), HeardPress = false, Waiting = null };   // pressed then, known now
        if (gate.IsNew(now.Since) || waited)
        {
            _answers = true;
            Attempt(value, false);
            _state = _state with { LastDone = null };
        }
    }

    private void TakeWhenSteady()
    {
        if (_state.Waiting is not { } since || Caliper.IsAsked)
        {
            return;
        }

        if (Caliper.Steady(now.Since) is { } steady)
        {
            _answers = true;
            _state = _state with { Waiting = null };
            Attempt(steady, Caliper.Steadiness.IsWhereTaken);
        }
        else if (now.Since - since > BenchEngine.Patience || !Caliper.MayCome(now.Since))
        {
            GiveUp();
        }
    }

    /// <summary>The press that waits is answered by why no value comes.</summary>
    private void GiveUp()
    {
        _answers = true;
        _state = _state with { Waiting = null };
        Refuse(Caliper.WhyNot(now.Since));
    }

    private void Tick()
    {
        if (_state.TakingBack is { } press && now.Since - press >= PressGate.LockOut)
        {
            _answers = true;
            TakeBack();
        }

        _ = AllMoved();
        if (_state.Insisted is { } insisted && now.Since - insisted >= PressGate.LockOut)
        {
            _answers = true;
            _state = _state with { Insisted = null };
            Heard(new Answer.Yes());
            _state = _state with { LastDone = null };   // one press too many takes nothing back
        }

        if (_state.Request is { IsLate: false, IsTold: false } soon && now.Since - soon.At > BenchEngine.Soon)
        {
            _state = _state with { Request = soon with { IsTold = true } };
            Say(new Said.Waits());
        }

        if (_state.Request is { IsLate: false } asked && now.Since - asked.At > BenchEngine.Patience)
        {
            _answers = true;
            _state = _state with { Request = asked with { IsLate = true } };
            Refuse(BenchEngine.NoAnswer);
        }
        else if (_state.Request is { IsLate: true } late && now.Since - late.At > BenchEngine.Patience + BenchEngine.Grace)
        {
            _state = _state with { Request = null, OwesAnswer = true };
        }

        if (Caliper.IsAsked && _state.Waiting is { } since && _state.Request is null)
        {
            if (!Caliper.IsTrouble)
            {
                Ask();
            }
            else if (now.Since - since > BenchEngine.Patience)
            {
                GiveUp();
            }
        }

        TellTimesOver();
        (LiveCaliper caliper, Reading? pressed) = Caliper.Tick(now.Since);
        _state = _state with { Caliper = caliper };
        if (pressed is not null && now.Since - pressed.Arrived <= BenchEngine.Patience)
        {
            OwnButton(pressed);
        }

        TakeWhenSteady();
        if (_state.Notice is { } notice && !_state.NextNotices.IsEmpty && now.Since - notice.Since >= (_state.IsOpening ? BenchEngine.Opening : BenchEngine.Readable))
        {
            _state = _state with { NextNotices = _state.NextNotices.Dequeue(out Said next), Notice = (next, now.Since) };
        }
    }

    /// <summary>What took its time is ready, whether it is asked about now or not: told once.</summary>
    private void TellTimesOver()
    {
        foreach (LookNote begun in View.State.Begun.Where(begun => !View.State.IsSettled(begun.Line) && !_state.TimesOver.Contains(begun.Line)))
        {
            if (Plan.Standard.FindLook(begun.Line) is { Wait: { } wait } look && now.At >= begun.At + wait)
            {
                _answers |= View.Prompt is Prompt.See { Look.Id: var asked } && asked == look.Id;
                _state = _state with { TimesOver = _state.TimesOver.Add(look.Id) };
                Say(new Said.TimeIsOver(look));
                Ring(Sound.Warning);
            }
        }
    }

    // ---- what a person says ----

    private void Heard(Answer answer)
    {
        if (_state.SameCoat is not null)
        {
            switch (answer)
            {
                case Answer.Yes:
                    _state = _state with { SameCoat = null };
                    return;
                case Answer.No:
                    End(BenchEnd.Stopped);   // this coat's sitting stays open
                    return;
                case Answer.Stop or Answer.Abandon or Answer.Tag:
                    break;
                default:
                    Refuse("say first whether this is the same coat: yes, or stop");
                    return;
            }
        }

        switch (answer)
        {
            case Answer.Yes when _state.Warning is { Typed.Candidates: { Count: > 1 } ways }:
                Refuse($"say which: {string.Join(" or ", ways.Select(way => way.Text))}");
                break;
            case Answer.Yes when _state.Warning is { } warning:
                _state = _state with { Warning = null, Caliper = Caliper with { IsOther = Caliper.IsOther && warning.Said.Warning.Kind != WarningKind.OtherCaliper } };
                TakeIt(warning.Said.Reading);
                break;
            case Answer.Yes when _state.Want.Prompt is Prompt.See:
                Do(new SittingCommand.Confirm());
                break;
            case Answer.No when !No():
                Do(new SittingCommand.NotSo());   // says why not
                break;
            case Answer.No:
                break;
            case Answer.Yes:
                Refuse($"there is nothing to say yes to: {Sitting.Wanted(_state.Want.Prompt)}");
                break;
            case Answer.Ok:
                Do(new SittingCommand.Confirm());
                break;
            case Answer.Undo when _state.Warning is not null:
                No();
                break;
            case Answer.Undo:
                Undone();
                break;
            case Answer.Retake retake:
                if (Do(new SittingCommand.Retake(retake.Step is { } named ? StepOf(named) : null)))
                {
                    _state = _state with { Caliper = Caliper with { Steadiness = Caliper.Steadiness.Forget() } };   // it was said that it is to be read anew
                }

                break;
            case Answer.Moved moved:
                Do(new SittingCommand.Move(moved.Items.Count > 0 ? ItemsOf(moved.Items) : Offers.Advised(_state, _state.Want)));
                break;
            case Answer.Aside { Reason: "" } when _state.Setup.Reasons.Count > 0 && View.Prompt is Prompt.Decide or Prompt.Read { Again: not null } or Prompt.See { IsNot: true }:
                Offer();
                break;
            case Answer.Aside aside:
                Do(new SittingCommand.Aside(aside.Reason));
                break;
            case Answer.Sign sign:
                Do(new SittingCommand.Sign(sign.Initials));
                break;
            case Answer.Hand hand:
                Do(new SittingCommand.TakeOver(hand.Initials));
                break;
            case Answer.Tag tag:
                Do(new SittingCommand.CorrectTag(tag.Corrected, tag.Reason));
                break;
            case Answer.Abandon abandon:
                Do(new SittingCommand.Abandon(abandon.Reason));
                break;
            case Answer.Stop:
                End(BenchEnd.Stopped);
                break;
            case Answer.Number number:
                Typed(number.Text);
                break;
            case Answer.Word word when View.Prompt is Prompt.Sign && Initials.Validate(word.Text) is null:
                Do(new SittingCommand.Sign(word.Text));
                break;
            case Answer.Word { Text: var text }:
                Unknown(text);
                break;
            case Answer.Unknown { Text: var text }:
                Unknown(text);
                break;
            case Answer.TooLong:
                Refuse($"the line is longer than {Answer.MaxLineLength} characters");
                break;
        }
    }

    private void Unknown(string text) => Refuse($"\"{PrintableText.Escape(text)}\" is no answer; say {string.Join(", ", Offers.Of(_state).Select(offer => offer.Said).Distinct())}");

    /// <summary>The step that was named, by its short name or its id.</summary>
    private string StepOf(string named) =>
        Plan.Steps.FirstOrDefault(step => IsName(named, step.Id, step.Name))?.Id ?? named.Replace(' ', '-');

    /// <summary>The items that were named, by their ids; one may be named by its name of several words.</summary>
    private IReadOnlyList<string> ItemsOf(IReadOnlyList<string> named) =>
        Plan.Items.FirstOrDefault(item => IsName(string.Join(' ', named), item.Id, item.Name)) is { } one ? [one.Id]
        : [.. named.Select(word => Plan.Items.FirstOrDefault(item => IsName(word, item.Id, item.Name))?.Id ?? word)];

    private static bool IsName(string said, string id, string name) =>
        said.Equals(id, StringComparison.OrdinalIgnoreCase) || said.Equals(name, StringComparison.OrdinalIgnoreCase);

    private void Typed(string text)
    {
        Step? step = (_state.Want.Prompt as Prompt.Read)?.Step;
        CoatSpan? coat = step is null || _state.Work is Work.Checking ? null : Expectations.Of(View.State, step, _state.ExpectedAfterMove).Coat;
        TypedLength.Asked? question = _state.Warning?.Typed;
        switch (TypedLength.Read(text, Plan.Standard.Unit, Plan.Standard.Show, coat, question))
        {
            case TypedLength.Taken { Length: var length } when question?.Candidates.Any(candidate => candidate.Value == length.Value) == true:
                TakeIt(ReadingOf(length, text));
                break;
            case TypedLength.Taken { Length: var length }:
                Attempt(ReadingOf(length, text), false);
                break;
            case TypedLength.Asked asked when step is not null:
                Question(new PendingWarning(new Said.Warned(step, ReadingOf(asked.Candidates[0], text), WarningOf(asked, text)) { Ways = asked.Candidates.Count > 1 ? [.. asked.Candidates.Select(candidate => candidate.Text)] : [] }, false, asked));
                break;
            case TypedLength.Unreadable { Fault: var fault }:
                Refuse($"\"{PrintableText.Escape(text)}\" at character {fault.Position + 1}: {fault.Message}");
                break;
            default:
                Refuse($"no reading is taken now: {Sitting.Wanted(View.Prompt)}");
                break;
        }
    }

    private Reading ReadingOf(TypedCandidate typed, string text) =>
        new(typed.Value, typed.Unit, typed.Resolution, ReadingSource.Typed, now.At, PrintableText.Escape(text));

    private static PlausibilityWarning WarningOf(TypedLength.Asked asked, string text)
    {
        string typed = $"\"{PrintableText.Escape(text)}\"";
        string ways = string.Join(" or ", asked.Candidates.Select(candidate => candidate.Text));
        return asked.Why switch
        {
            TypedQuestion.BeyondCoat => new PlausibilityWarning(WarningKind.BeyondCoat, $"{typed} is beyond anything that this coat allows: was a digit lost, or is it another unit?"),
            _ when asked.Candidates.Count > 1 => new PlausibilityWarning(WarningKind.Unit, $"{typed} could be {ways}: type it with its unit."),
            _ => new PlausibilityWarning(WarningKind.Unit, $"{typed} has no unit and is not possible here unless it is {ways}."),
        };
    }

    /// <summary>A caliper that types: its value is a press.</summary>
    private void Instrument(BenchInput.Instrument typed)
    {
        PressGate gate = _state.Gate;
        if (_state.Want.Prompt is not Prompt.Read)
        {
            Refuse($"the caliper typed a value, but none is wanted now: {Sitting.Wanted(View.Prompt)}");
        }
        else if (typed.IsMixed)
        {
            Refuse("other keys came among those of the caliper: nothing was taken; press the caliper's button again");
        }
        else if (KeyboardText.Read(typed.Text, _state.Setup.KeyboardUnit ?? Plan.Standard.Unit) is var value && value.Refusal is { } refusal)
        {
            Refuse($"not a reading: {refusal} [{PrintableText.Escape(typed.Text)}]");
        }
        else
        {
            _state = _state with { Gate = PressGate.Hear(now.Since) };
            if (gate.IsNew(now.Since))
            {
                Attempt(
                    new Reading(value.Value, value.Unit, value.Resolution, ReadingSource.Keyboard, now.At, PrintableText.Escape(typed.Text)) { Arrived = now.Since },
                    false);
            }
        }
    }

    // ---- readings ----

    /// <summary>A reading that a person means for what is wanted; what is odd about it is asked first.</summary>
    private void Attempt(Reading reading, bool isWhereTaken)
    {
        if (_state.Want.Prompt is not Prompt.Read { Step: var step })
        {
            Refuse($"no reading is taken now: {Sitting.Wanted(View.Prompt)}");
            return;
        }

        bool fromCaliper = reading.Source is not ReadingSource.Typed;
        PlausibilityWarning? warning = fromCaliper && Caliper.IsOther
            ? new PlausibilityWarning(WarningKind.OtherCaliper, "Another caliper than before is on this line: is it zeroed and checked?")
            : isWhereTaken
            ? new PlausibilityWarning(WarningKind.SameAsBefore, "The caliper was not seen to move since the last reading. Measure again, or say that this gap is the same.")
            : _state.Work.Odd(step, reading) ?? PlausibilityCheck.Of(reading, Expected(step, reading));
        bool typedAgain = !fromCaliper && _state.Warning is { Said: var asked } && asked.Step.Id == step.Id && asked.Warning.Kind == warning?.Kind && asked.Reading.Value == reading.Value && asked.Reading.Source == reading.Source;
        if (warning is null || typedAgain)
        {
            _state = _state with { Warning = null };
            TakeIt(reading);
            return;
        }

        Question(new PendingWarning(new Said.Warned(step, reading, warning), fromCaliper && Caliper.IsThere && !Caliper.IsAsked && reading.Source != ReadingSource.Keyboard));
    }

    private void Question(PendingWarning warning)
    {
        _state = _state with { Warning = warning };
        Say(warning.Said);
        Ring(Sound.Warning);
    }

    /// <summary>What blocks and closed jaws should show is no secret: a check asks by their lengths alone.</summary>
    private Expectation Expected(Step step, Reading reading) => _state.Work is Work.Checking ? new Expectation()
        : Expectations.Of(View.State, step, _state.ExpectedAfterMove, reading.Source, Caliper.Steadiness.MovedSinceTaken || Caliper.IsAsked);

    private void TakeIt(Reading reading)
    {
        if (_state.Want.Prompt is not Prompt.Read { Step: var step } || !Do(new SittingCommand.Take(reading, step.Id)))
        {
            return;
        }

        _state = _state with { LastDone = new Undo.Reading(step.Id) };
        if (reading.Source == Caliper.Source)
        {
            _state = _state with { Caliper = Caliper with { Steadiness = Caliper.Steadiness.Taken(reading.Value) } };
        }
    }

    // ---- commands ----

    /// <summary>False when it was refused, and that was told.</summary>
    private bool Do(SittingCommand command)
    {
        Decision decision = _state.Work.Decide(command, now.At);
        if (decision.Refusal is { } refusal)
        {
            Refuse(refusal.Words);
            return false;
        }

        SittingView before = View;
        foreach (SittingEvent happened in decision.Events)
        {
            if (_state.Work is not Work.Checking)
            {
                _effects.Add(new BenchEffect.Append(_state.Work.Id, happened));
            }

            _state = _state with { Work = _state.Work.After(happened) };
        }

        _state = _state with
        {
            Warning = null,
            Waiting = null,
            SummaryTold = false,
            PinsMoved = 0,
            AllMoved = false,
            Offered = null,
            Caliper = Caliper.Done(),
            Request = _state.Request is { } pending ? pending with { IsLate = true } : null,   // its answer would be for what was wanted before
        };
        foreach (SittingEvent happened in decision.Events)
        {
            Tell(happened, before.State);
        }

        List<Judgement> changed = Changed(before, View);
        foreach (Judgement judgement in changed)
        {
            Say(new Said.Judged(Plan.Standard, judgement));
        }

        List<string> stale = NewlyStale(before.State, View.State);
        if (stale.Count > 0)
        {
            Say(new Said.Stale(Plan.Standard, stale));
        }

        Foretell(decision.Events[^1]);
        bool wasHeldUp = before.Prompt is Prompt.Decide;
        _state = _state with
        {
            Advice = AdviceNow(),
            LastVerdict = changed.MaxBy(judgement => (judgement.Verdict, -judgement.Conformance))
                ?? (decision.Events[^1] is SittingEvent.Moved or SittingEvent.Withdrew ? null : _state.LastVerdict),
        };
        if (decision.Events[^1] is SittingEvent.NotSo)
        {
            Ring(Sound.Outside);
        }
        else if (changed.Count == 0 && decision.Events[^1] is SittingEvent.Took or SittingEvent.Confirmed or SittingEvent.Begun or SittingEvent.Moved)
        {
            Ring(Sound.Taken);
        }
        else if (changed.Count > 0)
        {
            Ring(changed.Max(judgement => judgement.Verdict) switch { Verdict.Outside => Sound.Outside, Verdict.Borderline => Sound.Borderline, _ => Sound.Within });
        }

        if (View.Prompt is Prompt.Decide && (!wasHeldUp || changed.Count > 0))
        {
            SayAdvice();
        }

        if (!EndsWithItsLastReading)
        {
            Finish();
        }

        return true;
    }

    private void Tell(SittingEvent happened, SittingState before)
    {
        switch (happened)
        {
            case SittingEvent.Took took when _state.Work is Work.Checking check:
                Say(new Said.Checked(Plan.FindStep(took.Step)!, took.Reading, check.PointOf(took.Step), check.Check.IsPointWithin(check.PointOf(took.Step))));
                break;
            case SittingEvent.Took took when _state.Work is Work.Studying:
                Say(new Said.Kept(Plan.FindStep(took.Step)!, took.Reading));
                break;
            case SittingEvent.Took took:
                Said.Took said = new(Plan.FindStep(took.Step)!, took.Reading, View.State.Readings[took.Step].Takes.Length, _state.ExpectedAfterMove.TryGetValue(took.Step, out Length should) ? should : null);
                Say(said);
                break;
            case SittingEvent.Confirmed confirmed:
                Say(new Said.Confirmed(confirmed.Line));
                break;
            case SittingEvent.NotSo not:
                Say(new Said.NotSo(Plan.Standard.FindLook(not.Line)!));
                break;
            case SittingEvent.Begun begun when Plan.Standard.FindLook(begun.Line) is { Wait: { } wait } look:
                Say(new Said.Begun(look, begun.At + wait));
                break;
            case SittingEvent.Unconfirmed unconfirmed:
                Say(new Said.Unconfirmed(unconfirmed.Line));
                break;
            case SittingEvent.Withdrew withdrew:
                Say(new Said.Withdrawn(Plan.FindStep(withdrew.Step)!));
                break;
            case SittingEvent.Moved moved:
                Say(new Said.Moved(Plan, moved.Items, StaleReadings.After(Plan, moved.Items).Any(before.Counts)));
                break;
            case SittingEvent.SetAside aside:
                Say(new Said.SetAside([aside.Relation]));
                break;
            case SittingEvent.HandChanged changed:
                Say(new Said.HandIs(changed.Hand));
                break;
            case SittingEvent.TagCorrected corrected:
                Say(new Said.TagIs(corrected.Tag));
                break;
            default:
                break;
        }
    }

    private void Foretell(SittingEvent happened)
    {
        Dictionary<string, Length>? after = happened is SittingEvent.Moved moved && _state.Advice is { Moves: var moves } && moves.Select(move => move.Item).ToHashSet().SetEquals(moved.Items)
            ? moves.SelectMany(move => move.Should).GroupBy(pair => pair.Step).ToDictionary(steps => steps.Key, steps => steps.Last().Should)
            : null;
        _state = happened switch
        {
            SittingEvent.Moved => _state with { ExpectedAfterMove = after is null ? _state.ExpectedAfterMove.Clear() : _state.ExpectedAfterMove.Clear().AddRange(after) },   // only moves taken from the advice have a predicted reading
            SittingEvent.Took took => _state with { ExpectedAfterMove = _state.ExpectedAfterMove.Remove(took.Step) },
            _ => _state,
        };
    }

    /// <summary>Wanted where something holds the work up, and for the summary before the signature.</summary>
    private Advice? AdviceNow()
    {
        if (_state.Work is not Work.Measuring || View.Prompt is not (Prompt.Decide or Prompt.Sign))
        {
            return null;
        }

        Dictionary<string, Measured> readings = [];
        foreach (Step step in Plan.Steps)
        {
            if (View.State.Measured(step.Id) is { } measured)
            {
                readings[step.Id] = measured;
            }
        }

        HashSet<string> undecided = View.Prompt is Prompt.Decide decide ? [.. decide.Outside.Select(judgement => judgement.Relation.Id)] : [];
        return Advise.For(Plan, readings, CorrectingSettings.For(Plan.Standard, _state.Setup.SmallestMove), undecided, View.State.Asides.Select(aside => aside.Relation).ToHashSet());
    }

    private void SayAdvice()
    {
        if (_state.Advice is not { } advice)
        {
            return;
        }

        foreach (string step in advice.Outliers)
        {
            Say(new Said.Remarked($"{Plan.Standard.StepName(step)} does not fit the other readings: measure it again before any pin is moved"));
        }

        foreach (string conflict in advice.Conflicts)
        {
            Say(new Said.Remarked(conflict));
        }

        foreach (ItemMove move in advice.Moves)
        {
            Say(new Said.Advised(Plan, move));
        }
    }

    /// <summary>Where everything lies, once before it is signed.</summary>
    private void Summarize(Want want)
    {
        if (want.Prompt is not Prompt.Sign || _state.SummaryTold)
        {
            return;
        }

        _state = _state with { SummaryTold = true };
        foreach (ItemPose pose in _state.Advice?.Poses ?? [])
        {
            _effects.Add(new BenchEffect.Say(new Said.Displaced(Plan, pose)));
        }
    }

    private static List<Judgement> Changed(SittingView before, SittingView after) =>
        [.. after.Judgements.Where(now => !before.Judgements.Any(then =>
            then.Relation.Id == now.Relation.Id && then.Steps[0] == now.Steps[0] && then.Exact == now.Exact
            && then.Value.Equals(now.Value) && then.Uncertainty.Equals(now.Uncertainty)))];

    private static List<string> NewlyStale(SittingState before, SittingState after) =>
        [.. after.Plan.Steps.Select(step => step.Id).Where(id =>
            after.Readings.GetValueOrDefault(id) is { IsStale: true } && before.Readings.GetValueOrDefault(id) is { IsStale: false })];

    // ---- the end ----

    /// <summary>Nothing is signed: a check of the caliper, or a study.</summary>
    private bool EndsWithItsLastReading => _state.Work is Work.Checking or Work.Studying;

    /// <summary>What was given up is left; what is signed, or a complete check, is filed.</summary>
    private void Finish()
    {
        if (View.State.Abandoned is { } abandoned)
        {
            Say(new Said.Abandoned(abandoned.Reason));
            End(BenchEnd.Abandoned);
        }

        bool isDone = EndsWithItsLastReading ? View.Prompt is Prompt.Closed : View.State.Signed is not null;
        if (isDone && _state is { Closed: null, IsFiling: false, End: null })
        {
            _state = _state with { IsFiling = true };
            _effects.Add(new BenchEffect.File());
        }
    }

    private void Filed(BenchInput.Filed filed)
    {
        _state = _state with { IsFiling = false };
        if (filed.Record is not { } record)
        {
            if (_state.Work is Work.Checking { Check: var check })
            {
                Say(new Said.CheckDone(check, _state.Setup.Port));
                Ring(Sound.Done);
                End(check.IsWithin ? BenchEnd.Good : BenchEnd.NotGood);
            }
            else if (_state.Work is Work.Studying { Study: var study })
            {
                Say(new Said.StudyDone(study));
                Ring(Sound.Done);
                End(BenchEnd.Good);
            }

            return;
        }

        foreach (RecordComparison comparison in record.Comparisons.OrderBy(comparison => !comparison.Agrees))   // what differs is to be read last
        {
            Say(new Said.Compared(Plan.Standard, record.Kind, comparison));
        }

        if (filed.Invalidated is { } invalidated)
        {
            Say(new Said.Invalidates(Plan.Standard, invalidated));
        }

        if (!InitialsComparer.Measured(record, record.SignedBy))
        {
            Say(new Said.Remarked($"signed by {record.SignedBy}, who measured none of it; measured by {string.Join(", ", record.Hands.DefaultIfEmpty(record.Hand))}"));
        }

        bool allWithin = record.Kind == RecordKind.Sitting ? View.IsAllWithin : record.Agrees;
        Said.Closed closed = new(Plan.Standard, record, record.IsPractice, allWithin) { First = filed.First };
        _state = _state with { Closed = closed };
        Say(closed);
        Ring(Sound.Done);
    }

    private void End(BenchEnd how)
    {
        how = how == BenchEnd.Stopped && _state.Closed is { } closed ? closed.End : how;
        _state = _state with { End = how };
        _effects.Add(new BenchEffect.End(how));
    }

    // ---- telling ----

    private void Refuse(string why)
    {
        Say(new Said.Refused(why));
        Ring(Sound.Refused);
    }

    private void Ring(Sound sound) => _effects.Add(new BenchEffect.Ring(sound));

    /// <summary>Tells it; on the screen what a person's act came to is shown at once, what the line does of itself waits until that was read.</summary>
    private void Say(Said said)
    {
        _effects.Add(new BenchEffect.Say(said));
        if (said is Said.Judged or Said.Displaced or Said.Confirmed or Said.SeeTo)
        {
            return;   // they have places of their own on the screen
        }

        bool ofItself = said is Said.Lost or Said.Back or Said.Noted or Said.BadFrame or Said.Diagnosed;
        bool isRead = _state.Notice is not { } notice || now.Since - notice.Since >= BenchEngine.Readable;
        _state = _state.IsOpening ? (_state.Notice is null ? _state with { Notice = (said, now.Since) } : _state with { NextNotices = _state.NextNotices.Enqueue(said) })
            : ofItself && !isRead ? _state with { NextNotices = [said] }
            : _state with { Notice = (said, now.Since), NextNotices = [] };
    }
}
