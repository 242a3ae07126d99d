using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Running;

/// <summary>What a caliper shows now, and whether it can be taken. One task uses it.</summary>
internal sealed class LiveCaliper(string name, ReadingSource source, TimeProvider clock)
{
    private static readonly TimeSpan TooOld = TimeSpan.FromSeconds(1);   // the display may have gone to sleep: the screen shows no value that may not be there

    /// <summary>The longest published answer: 0 to 2 s from the request to the first bit.</summary>
    internal static readonly TimeSpan Window = TimeSpan.FromSeconds(2);

    internal const string Silence =
        "The caliper did not answer within two seconds. Is it on, is its cell good, is the spindle at rest? Some answer only while their handshake lines (RTS, DTR) are on: see lines-on in the settings. Type the length meanwhile.";

    private const string OtherCaliper = "Another caliper than before is on this line: is it zeroed and checked? Press again to go on with it.";

    private readonly Steadiness _steadiness = new();
    private readonly SendingHabit _habit = new();
    private Reading? _last;
    private string? _trouble = source == ReadingSource.Typed ? "no caliper: type the lengths" : "waiting for the caliper";
    private long _refused;
    private long _gaps;
    private bool _shown;
    private bool _cellLow;
    private bool _isOther;
    private bool _late;
    private bool _toldLost;
    private string? _why;   // of the trouble, as sentences
    private (string Why, long At)? _badFrame;
    private long? _asked;
    private Func<bool>? _ask;

    /// <summary>Name and health in words.</summary>
    internal string Words => _trouble ?? $"{name}{(_refused == 0 ? "" : $", {_refused} bad")}{(_gaps == 0 ? "" : $", {_gaps} gaps")}{(_cellLow ? ", cell low" : "")}";

    /// <summary>True until the line was opened, or could not be, for the first time.</summary>
    internal bool IsOpening => _trouble is not null && _why is null && source != ReadingSource.Typed;

    internal bool IsTrouble => _trouble is not null && source != ReadingSource.Typed;

    /// <summary>One step of the display; 0.01 mm until a value came.</summary>
    internal Length Resolution => _last?.Resolution ?? TypedRule.Usual.DecimalMillimetre;

    /// <summary>True once it was seen to move since the last reading was taken.</summary>
    internal bool MovedSinceTaken => _steadiness.MovedSinceTaken;

    /// <summary>True for a caliper that answers a request.</summary>
    internal bool Asks => _ask is not null;

    /// <summary>Sets how the caliper is asked; false from it means that the line is lost.</summary>
    internal void AskBy(Func<bool>? ask) => _ask = ask;

    /// <summary>Asks the caliper for a value; gives what is to be said.</summary>
    internal (bool Sent, string Words) Ask()
    {
        _late = false;
        if (_isOther)
        {
            _isOther = false;
            return (false, OtherCaliper);
        }

        if (_trouble is not null || _ask is null || !_ask())
        {
            return (false, WhyNot);
        }

        _habit.Clear();   // a value from before the question is neither its answer nor a press
        _asked = clock.GetTimestamp();
        return (true, "The caliper is asked: hold still.");
    }

    /// <summary>The answer to a request, or null; an error line ends the waiting, too.</summary>
    internal Reading? Answer(CaliperEvent seen, DateTimeOffset at)
    {
        bool waits = _asked is { } asked && clock.GetElapsedTime(asked) <= Window;
        _asked = seen is CaliperEvent.Value or CaliperEvent.Refused or CaliperEvent.Lost or CaliperEvent.Opened && waits ? null : _asked;
        return waits && seen is CaliperEvent.Value(var value) ? ReadingOf(value, at) : null;
    }

    /// <summary>What to say, once, when a request was not answered in time; else null. What comes after that is not taken for an answer.</summary>
    internal string? Unanswered()
    {
        if (_asked is not { } asked || clock.GetElapsedTime(asked) <= Window)
        {
            return null;
        }

        (_asked, _late) = (null, true);
        return Silence;
    }

    /// <summary>Takes note of what the caliper did; gives what is to be said, or null.</summary>
    internal string? Saw(CaliperEvent seen)
    {
        switch (seen)
        {
            case CaliperEvent.Opened:
                string? open = !_toldLost ? null : _last is null ? "The caliper's line is open." : "The caliper is back.";
                (_trouble, _why, _last, _cellLow, _toldLost, _badFrame) = (null, null, null, false, false, null);
                _steadiness.Clear();   // nothing from before counts
                _habit.Clear();
                _late = false;
                return open;
            case CaliperEvent.Lost lost:
                (_why, _toldLost) = (lost.Words, true);
                _trouble = $"caliper lost: {lost.Words.Replace($"{name} is lost: ", "", StringComparison.Ordinal).TrimEnd('.')}";
                _steadiness.Clear();
                _habit.Clear();
                return $"{lost.Words} Typed lengths are taken all the while.";
            case CaliperEvent.Value(var value):
                (_last, _trouble, _shown) = (value, null, true);
                _steadiness.Push(SampleOf(value));
                return null;
            case CaliperEvent.Refused refused:
                _refused++;
                _badFrame = (refused.Words, clock.GetTimestamp());
                return $"Not a reading: {refused.Words} [{refused.Raw}]";
            case CaliperEvent.Noted noted:
                return Note(noted);
            default:
                return null;
        }
    }

    /// <summary>A value that an instrument sent on its own button, as a reading; null when there is none. Ask after each value and now and then.</summary>
    internal Reading? OwnPress(CaliperEvent? seen, DateTimeOffset at)
    {
        if (seen is CaliperEvent.Value(var value))
        {
            if (_late || _isOther)
            {
                (_late, _isOther) = (false, false);   // an answer that came too late, or the first of another caliper, is shown and no press
                return null;
            }

            return _habit.Push(SampleOf(value)) ? ReadingOf(value, at) : null;
        }

        bool pressed = _habit.Poll(clock.GetElapsedTime(0)) is not null;
        return pressed && _last is { } last && clock.GetElapsedTime(0) - last.Arrived <= Window ? ReadingOf(last, at) : null;   // nobody may have asked for long
    }

    /// <summary>The value to show, or null when there is none or it is too old.</summary>
    internal Length? Shown() => _last is { } last && _trouble is null && clock.GetElapsedTime(0) - last.Arrived <= TooOld ? last.Value : null;

    /// <summary>True once when the value that was shown has become too old.</summary>
    internal bool BecameOld()
    {
        bool old = _shown && Shown() is null;
        _shown &= !old;
        return old;
    }

    internal bool IsSteady() => _steadiness.At(clock.GetElapsedTime(0)).State == SteadyState.Steady;

    /// <summary>The latest steady value as a reading, or what the hand must do first.</summary>
    internal PressResult Press(DateTimeOffset at)
    {
        if (_isOther)
        {
            _isOther = false;
            return PressResult.Refused(OtherCaliper);
        }

        return AtPress(at);
    }

    private PressResult AtPress(DateTimeOffset at) => _steadiness.At(clock.GetElapsedTime(0)).State switch
    {
        SteadyState.Steady => PressResult.Of(ReadingOf(_last!, at)),
        SteadyState.Moving => PressResult.Refused("Hold still: the caliper is moving."),
        SteadyState.Old => PressResult.Refused(BadFrames ?? "The caliper's last value is too old: wake it, or type the length."),
        SteadyState.Nothing => PressResult.Refused(_trouble is not null ? WhyNot : BadFrames ?? "No value has come from the caliper yet: wake it, or type the length."),
    };

    /// <summary>Why no value can be had from a caliper in trouble.</summary>
    private string WhyNot => $"{_why ?? $"{Capital(Words.TrimEnd('.'))}."} Type the length.";

    /// <summary>What is wrong when frames come and none of the last second is a reading; else null.</summary>
    private string? BadFrames => _badFrame is { } bad && clock.GetElapsedTime(bad.At) <= TooOld
        ? $"What comes is no reading: {bad.Why.TrimEnd('.')}. \"caliper listen\" tells more; type the length meanwhile."
        : null;

    /// <summary>The reading was taken: from now on a move is watched for.</summary>
    internal void Taken(Reading reading) => _steadiness.Taken(reading.Value);

    private string Note(CaliperEvent.Noted noted)
    {
        string words = Capital(noted.Words.TrimEnd('.'));
        switch (noted.Kind)
        {
            case NoteKind.LinesLost:
                _gaps++;
                return $"{words}: what the caliper showed meanwhile is not known.";
            case NoteKind.CellLow:
                _cellLow = true;
                return $"{words}: change it before the readings begin to wander.";
            case NoteKind.OtherDevice:
                _isOther = true;
                return $"{words}.";
            case NoteKind.LineRepeated or NoteKind.BridgeRestarted or NoteKind.NoSwitch or NoteKind.LineFound:
            default:
                return $"{words}.";
        }
    }

    private static string Capital(string words) => char.ToUpperInvariant(words[0]) + words[1..];

    private static Reading ReadingOf(Reading value, DateTimeOffset at) => value with { At = at, Arrived = TimeSpan.Zero };

    private static Sample SampleOf(Reading value) => new(value.Value, value.Unit, value.Resolution, value.Arrived);
}
