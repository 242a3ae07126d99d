using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Devices;

namespace CaliperStation.Running;

/// <summary>What a caliper shows now, and whether it can be taken. One task uses it.</summary>
internal sealed class LiveCaliper(string name, ReadingSource source, TimeProvider clock)
{
    private static readonly TimeSpan TooOld = TimeSpan.FromSeconds(1);   // the display may have gone to sleep: the screen shows no value that may not be there

    private readonly Steadiness _steadiness = new();
    private readonly SendingHabit _habit = new();
    private CaliperEvent.Value? _last;
    private string? _trouble = source == ReadingSource.Typed ? "no caliper: type the lengths" : "waiting for the caliper";
    private long _refused;
    private long _gaps;
    private bool _shown;
    private bool _cellLow;

    /// <summary>Name and health in words.</summary>
    internal string Words => _trouble ?? $"{name}{(_refused == 0 ? "" : $", {_refused} bad")}{(_gaps == 0 ? "" : $", {_gaps} gaps")}{(_cellLow ? ", cell low" : "")}";

    internal bool IsTrouble => _trouble is not null && source != ReadingSource.Typed;

    /// <summary>One step of the display; 0.01 mm until a value came.</summary>
    internal Length Resolution => _last?.Resolution ?? Length.FromMicrometres(10);

    /// <summary>True once it was seen to move since the last reading was taken.</summary>
    internal bool MovedSinceTaken => _steadiness.MovedSinceTaken;

    /// <summary>Takes note of what the caliper did; gives what is to be said, or null.</summary>
    internal string? Saw(CaliperEvent seen)
    {
        switch (seen)
        {
            case CaliperEvent.Opened:
                bool back = _trouble is not null && _last is not null;
                (_trouble, _last, _cellLow) = (null, null, false);
                _steadiness.Clear();   // nothing from before counts
                _habit.Clear();
                return back ? "The caliper is back." : null;
            case CaliperEvent.Lost lost:
                _trouble = $"caliper lost: {lost.Why}";
                _steadiness.Clear();
                _habit.Clear();
                return $"{lost.Why} Typed lengths are taken all the while.";
            case CaliperEvent.Value value:
                (_last, _trouble, _shown) = (value, null, true);
                _steadiness.Push(SampleOf(value));
                return null;
            case CaliperEvent.Refused refused:
                _refused++;
                return $"Not a reading: {refused.Why} [{refused.Raw}]";
            case CaliperEvent.Noted noted:
                return Note(noted);
            default:
                return null;
        }
    }

    /// <summary>A value that an instrument sent on its own button, as a reading; null when there is none. Ask after each value and now and then.</summary>
    internal Reading? OwnPress(CaliperEvent? seen, DateTimeOffset at)
    {
        if (seen is CaliperEvent.Value value)
        {
            return _habit.Push(SampleOf(value)) ? ReadingOf(value, at) : null;
        }

        return _last is { } last && _habit.Poll(clock.GetElapsedTime(0)) is not null ? ReadingOf(last, at) : null;
    }

    /// <summary>The value to show, or null when there is none or it is too old.</summary>
    internal Length? Shown() => _last is { } last && _trouble is null && clock.GetElapsedTime(last.Timestamp) <= TooOld ? last.Length : null;

    /// <summary>True once when the value that was shown has become too old.</summary>
    internal bool BecameOld()
    {
        bool old = _shown && Shown() is null;
        _shown &= !old;
        return old;
    }

    internal bool IsSteady() => _steadiness.At(clock.GetElapsedTime(0)).State == SteadyState.Steady;

    /// <summary>The latest steady value as a reading, or what the hand must do first.</summary>
    internal PressResult Press(DateTimeOffset at) => _steadiness.At(clock.GetElapsedTime(0)).State switch
    {
        SteadyState.Steady => PressResult.Of(ReadingOf(_last!, at)),
        SteadyState.Moving => PressResult.Refused("Hold still: the caliper is moving."),
        SteadyState.Old => PressResult.Refused("The caliper's last value is too old: wake it, or type the length."),
        SteadyState.Nothing => PressResult.Refused(_trouble is null ? "No value has come from the caliper yet: wake it, or type the length." : $"{Words}. Type the length."),
    };

    /// <summary>The reading was taken: from now on a move is watched for.</summary>
    internal void Taken(Reading reading) => _steadiness.Taken(reading.Value);

    private string Note(CaliperEvent.Noted noted)
    {
        string words = char.ToUpperInvariant(noted.Words[0]) + noted.Words[1..].TrimEnd('.');
        switch (noted.Kind)
        {
            case NoteKind.LinesLost:
                _gaps++;
                return $"{words}: what the caliper showed meanwhile is not known.";
            case NoteKind.CellLow:
                _cellLow = true;
                return $"{words}: change it before the readings begin to wander.";
            case NoteKind.LineRepeated or NoteKind.BridgeRestarted or NoteKind.NoSwitch or NoteKind.OtherDevice or NoteKind.LineFound:
            default:
                return $"{words}.";
        }
    }

    private Reading ReadingOf(CaliperEvent.Value value, DateTimeOffset at) => new(value.Length, value.Unit, value.Resolution, source, at, value.Raw);

    private Sample SampleOf(CaliperEvent.Value value) => new(value.Length, value.Unit, value.Resolution, clock.GetElapsedTime(0, value.Timestamp));
}
