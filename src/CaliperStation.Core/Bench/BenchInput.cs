using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Bench;

/// <summary>When an input comes.</summary>
/// <param name="Since">On a clock that only goes forward, the one of <see cref="Reading.Arrived"/>.</param>
/// <param name="At">UTC, whole milliseconds.</param>
public readonly record struct Moment(TimeSpan Since, DateTimeOffset At);

/// <summary>Who presses.</summary>
public enum PressOrigin
{
    /// <summary>A person: a key, a foot switch, the caliper's own button. It may bounce, be held down, or come twice.</summary>
    Person,

    /// <summary>An empty line of a script or another program: each is meant. It confirms and signs nothing; the words do.</summary>
    Script,
}

/// <summary>Something that happens at the bench.</summary>
public abstract record BenchInput
{
    private BenchInput()
    {
    }

    /// <summary>One press.</summary>
    public sealed record Press(PressOrigin Origin) : BenchInput;

    /// <summary>One press of the second switch: not so.</summary>
    public sealed record NotSo : BenchInput;

    /// <summary>A person says something by a line or a key.</summary>
    public sealed record Says(Answer Answer) : BenchInput;

    /// <summary>A caliper that types as a keyboard typed this.</summary>
    /// <param name="Text">All of it, without the key that ended it.</param>
    /// <param name="IsMixed">True when keys of a person came among it.</param>
    public sealed record Instrument(string Text, bool IsMixed) : BenchInput;

    /// <summary>A number pad typed with its lock off: no digit came.</summary>
    public sealed record UnlockedPad : BenchInput;

    /// <summary>The caliper or its line did something.</summary>
    public sealed record Caliper(CaliperEvent Event) : BenchInput;

    /// <summary>The caliper could not be asked: its line is lost.</summary>
    public sealed record NotAsked : BenchInput;

    /// <summary>The shell has something to tell about the bench itself, such as a command of the settings that does not work.</summary>
    public sealed record Remark(string Words) : BenchInput;

    /// <summary>Time goes on.</summary>
    public sealed record Tick : BenchInput;

    /// <summary>The record is filed; for a caliper check there is none.</summary>
    /// <param name="Record">The record, or null for a check.</param>
    /// <param name="Invalidated">What a recheck that moved invalidates, or null.</param>
    public sealed record Filed(Record? Record, Invalidated? Invalidated) : BenchInput
    {
        /// <summary>The record that a remeasurement looks back at; else null.</summary>
        public Record? First { get; init; }
    }

    /// <summary>It could not be filed; it stays signed and is filed at the next try.</summary>
    public sealed record NotFiled(string Why) : BenchInput;
}
