using CaliperStation.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Running;

/// <summary>What the person does, turned into commands of the sitting.</summary>
internal sealed partial class BenchLoop
{
    private void Do(BenchIntent intent)
    {
        switch (intent)
        {
            case BenchIntent.Press:
                Press();
                break;
            case BenchIntent.Typed typed:
                Typed(typed.Text);
                break;
            case BenchIntent.Instrument instrument:
                Instrument(instrument);
                break;
            case BenchIntent.UnlockedPad:
                _message = "A number pad typed with its lock off: nothing was taken. Switch Num Lock on and press the caliper's button again.";
                break;
            case BenchIntent.Retake:
                Do(new SittingCommand.Retake());
                break;
            case BenchIntent.Moved:
                Do(new SittingCommand.Move(Moved([])));
                break;
            case BenchIntent.Aside aside:
                Do(new SittingCommand.Aside(aside.Reason));
                break;
        }
    }

    private void Press()
    {
        if (!_gate.Accept(_clock.GetElapsedTime(0)))
        {
            return;   // the same press, heard twice
        }

        switch (_session.View.Prompt)
        {
            case Prompt.Ready:
                Do(new SittingCommand.Confirm());
                break;
            case Prompt.Read when _caliper.Asks:
                _message = _caliper.Ask().Words;
                break;
            case Prompt.Read:
                PressResult press = _caliper.Press(SittingSession.Now(_clock));
                Take(press.Reading, press.Refusal);
                break;
            case Prompt.Sign when _session.State.Started.Hand is { Length: > 0 } hand:
                Do(new SittingCommand.Sign(hand));
                break;
            case Prompt.Sign:
                _message = "Type the initials of the hand and press Enter to sign.";
                break;
            default:
                _message = Capital(Sitting.Wanted(_session.View.Prompt));
                break;
        }
    }

    /// <summary>An instrument that sends on its own button: the value is the press.</summary>
    private void OwnPress(Reading pressed)
    {
        if (_session.View.Prompt is Prompt.Read)
        {
            if (_gate.Accept(_clock.GetElapsedTime(0)))
            {
                Take(pressed, null);
            }
        }
        else
        {
            Press();
        }
    }

    private void Typed(string text)
    {
        if (_session.View.Prompt is Prompt.Sign && Initials.Complaint(text.Trim()) is null)
        {
            Do(new SittingCommand.Sign(text.Trim()));
            return;
        }

        switch (Answer.Of(text, _session.State.Plan.Standard.Unit))
        {
            case Answer.Unreadable unreadable:
                _message = Capital(unreadable.Why);
                break;
            case Answer.Press:
                Press();
                break;
            case var answered when answered.Command(Moved) is { } command:
                Do(command);
                break;
            case Answer.Stop:
                _happenings.Writer.TryWrite(new BenchIntent.Stop());
                break;
            case Answer.Typed typed:
                Take(typed.Reading(SittingSession.Now(_clock)), null);
                break;
        }
    }

    /// <summary>A caliper that types: its value is a press.</summary>
    private void Instrument(BenchIntent.Instrument typed)
    {
        if (_session.View.Prompt is not Prompt.Read)
        {
            _message = $"The caliper typed a value, but none is wanted now. {Capital(Sitting.Wanted(_session.View.Prompt))}";
        }
        else if (typed.Mixed)
        {
            _message = "Other keys came among those of the caliper: nothing was taken. Press the caliper's button again.";
        }
        else if (KeyboardText.Read(typed.Text, _keyboardUnit ?? _session.State.Plan.Standard.Unit) is var value && value.Refusal is { } refusal)
        {
            _message = $"Not a reading: {refusal}. [{PrintableText.Escape(typed.Text)}]";
        }
        else if (_gate.Accept(_clock.GetElapsedTime(0)))
        {
            Take(new Reading(value.Value, value.Unit, value.Resolution, ReadingSource.Keyboard, SittingSession.Now(_clock), PrintableText.Escape(typed.Text)), null);
        }
    }

    /// <summary>A move without a name is the advised one.</summary>
    private IReadOnlyList<string> Moved(IReadOnlyList<string> named) => named.Count > 0 ? named : [.. (_advice?.Moves ?? []).Select(move => move.Item)];
}
