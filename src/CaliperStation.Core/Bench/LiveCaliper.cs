using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Core.Bench;

/// <summary>What a caliper shows now, and whether it can be taken. A value.</summary>
public sealed record LiveCaliper
{
    /// <summary>The display may have gone to sleep: the screen shows no value that may not be there.</summary>
    private static readonly TimeSpan TooOld = TimeSpan.FromSeconds(1);

    private const string Silence = "The caliper's last value is too old: wake it, or type the length.";
    private const string Nothing = "No value has come from the caliper yet: wake it, or type the length.";
    private const string None = "There is no caliper: type the length.";

    /// <summary>What to call it; empty for none.</summary>
    public string Name { get; init; } = "";

    /// <summary>Where its readings come from; <see cref="ReadingSource.Typed"/> when there is none.</summary>
    public ReadingSource Source { get; init; } = ReadingSource.Typed;

    /// <summary>True for one that sends when it is asked.</summary>
    public bool IsAsked { get; init; }

    /// <summary>Held still or not, and the latest value.</summary>
    public Steadiness Steadiness { get; init; } = new();

    /// <summary>Whether another caliper than before is on the line, and nobody said yet that it may be used.</summary>
    public bool IsOther { get; init; }

    private SendingHabit Habit { get; init; } = new();

    private bool IsOpen { get; init; }

    private string? LostWhy { get; init; }   // whole sentences; null until it was lost, or could not be opened

    private bool WasSeen { get; init; }

    private long BadFrames { get; init; }

    private long Gaps { get; init; }

    private bool IsCellLow { get; init; }

    private (string Words, TimeSpan At)? BadFrame { get; init; }

    private string? Diagnosis { get; init; }

    /// <summary>True when there is one.</summary>
    public bool IsThere => Source != ReadingSource.Typed;

    /// <summary>True for one that is there and cannot be read.</summary>
    public bool IsTrouble => IsThere && !IsOpen;

    /// <summary>True until its line was opened, or could not be, for the first time.</summary>
    public bool IsOpening => IsTrouble && LostWhy is null;

    /// <summary>Name and health in words, for a heading.</summary>
    public string Words => !IsThere ? "no caliper: type the lengths"
        : IsOpening ? "waiting for the caliper"
        : !IsOpen ? $"caliper lost: {LostWhy!.TrimEnd('.')}"
        : $"{Name}{(BadFrames == 0 ? "" : FormattableString.Invariant($", {BadFrames} bad"))}{(Gaps == 0 ? "" : FormattableString.Invariant($", {Gaps} gaps"))}{(IsCellLow ? ", cell low" : "")}";

    /// <summary>One step of the display; 0.01 mm until a value came.</summary>
    public Length Resolution => Steadiness.Latest?.Resolution ?? TypedRule.Default.DecimalMillimetre;

    /// <summary>The value to show, or null when there is none or it is too old.</summary>
    public Reading? Shown(TimeSpan now) => IsOpen && Steadiness.Latest is { } latest && now - latest.Arrived <= TooOld ? latest : null;

    /// <summary>The steady value of this moment, or null.</summary>
    public Reading? Steady(TimeSpan now) => IsOpen && Steadiness.At(now) == SteadyState.Steady ? Steadiness.Latest : null;

    /// <summary>True when a steady value may come if the hand waits: it moves, or its line is just opening or silent.</summary>
    public bool MayCome(TimeSpan now) => IsThere && (IsOpening || (IsOpen && LineFault(now) is null));

    /// <summary>True when values come and differ.</summary>
    public bool IsMoving(TimeSpan now) => IsOpen && Steadiness.At(now) == SteadyState.Moving;

    /// <summary>Why no value can be had now, and what to do.</summary>
    public string WhyNot(TimeSpan now) => !IsThere ? None
        : !IsOpen ? $"{LostWhy ?? "The caliper's line is not open yet."} Type the length."
        : LineFault(now) is { } fault ? $"{fault} Type the length meanwhile."
        : Steadiness.At(now) switch
        {
            SteadyState.Nothing => Nothing,
            SteadyState.Old => Silence,
            _ => "Hold still: the caliper is moving.",
        };

    /// <summary>A caliper takes note of what happened on its line.</summary>
    /// <returns>The caliper after it, and what is to be told, or null.</returns>
    public (LiveCaliper After, Said? Said) Saw(CaliperEvent seen, TimeSpan now)
    {
        switch (seen)
        {
            case CaliperEvent.Opened:
                Said? back = LostWhy is null ? null : new Said.Back(WasSeen);
                return (this with { IsOpen = true, LostWhy = null, Steadiness = new(), Habit = new(), IsCellLow = false, BadFrame = null, Diagnosis = null }, back);
            case CaliperEvent.Lost lost:
                return (this with { IsOpen = false, LostWhy = lost.Words, Steadiness = new(), Habit = new(), BadFrame = null, Diagnosis = null }, new Said.Lost(lost.Kind, lost.Words));
            case CaliperEvent.Value { Reading: var reading }:
                return (this with { IsOpen = true, WasSeen = true, LostWhy = null, Steadiness = Steadiness.Push(reading) }, null);
            case CaliperEvent.Refused refused:
                bool told = BadFrame is { } before && before.Words == refused.Words;
                return (
                    this with { BadFrames = BadFrames + 1, BadFrame = (refused.Words, now) },
                    told ? null : new Said.BadFrame(refused.Kind, refused.Words, refused.Raw));
            case CaliperEvent.Diagnosed diagnosed:
                return (this with { Diagnosis = diagnosed.Words }, new Said.Diagnosed(diagnosed.Words));
            case CaliperEvent.Noted noted:
                return (
                    this with
                    {
                        Gaps = Gaps + (noted.Kind == NoteKind.LinesLost ? 1 : 0),
                        IsCellLow = IsCellLow || noted.Kind == NoteKind.CellLow,
                        IsOther = IsOther || noted.Kind == NoteKind.OtherDevice,
                    },
                    new Said.Noted(noted.Kind, noted.Words));
            default:
                return (this, null);
        }
    }

    /// <summary>A value came that answers no request.</summary>
    /// <returns>The caliper after it, and true when it is a press of the caliper's own button.</returns>
    public (LiveCaliper After, bool IsPress) Unasked(Reading value)
    {
        (SendingHabit habit, bool isPress) = Habit.Push(value);
        return (this with { Habit = habit }, isPress);
    }

    /// <summary>Time goes on.</summary>
    /// <returns>The caliper now, and a value that turned out to be a press of its own button, once.</returns>
    public (LiveCaliper After, Reading? Pressed) Tick(TimeSpan now)
    {
        (SendingHabit habit, Reading? pressed) = Habit.Poll(now);
        return (ReferenceEquals(habit, Habit) ? this : this with { Habit = habit }, pressed);
    }

    /// <summary>Something was taken or done: a value from before it is no press for what is wanted now.</summary>
    public LiveCaliper Done() => this with { Habit = Habit.Forget() };

    /// <summary>The caliper is about to be asked: what it sent before is neither the answer nor a press.</summary>
    public LiveCaliper Asking() => this with { Habit = new() };

    /// <summary>A value answered a request: the same once more, soon after it, is no press of its own button.</summary>
    public LiveCaliper Answered(Reading value) => this with { Habit = Habit.Answered(value) };

    /// <summary>What is wrong with what comes, when nothing of the last second is a reading; else null.</summary>
    private string? LineFault(TimeSpan now)
    {
        if (Shown(now) is not null)
        {
            return null;
        }

        return Diagnosis ?? (BadFrame is { } bad && now - bad.At <= TooOld ? $"What comes is no reading: {bad.Words.TrimEnd('.')}." : null);
    }
}
