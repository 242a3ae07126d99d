using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Bench;

/// <summary>A sound; each outcome has its own.</summary>
public enum Sound
{
    /// <summary>A reading was taken, a line confirmed, a pin moved; nothing was judged by it.</summary>
    Taken,

    /// <summary>A verdict within.</summary>
    Within,

    /// <summary>A verdict borderline.</summary>
    Borderline,

    /// <summary>A verdict outside.</summary>
    Outside,

    /// <summary>A question about an odd reading.</summary>
    Warning,

    /// <summary>Not taken.</summary>
    Refused,

    /// <summary>The caliper moves.</summary>
    HoldStill,

    /// <summary>What was done last is taken back.</summary>
    TakenBack,

    /// <summary>The line is lost.</summary>
    Lost,

    /// <summary>The line is back.</summary>
    Back,

    /// <summary>The work is filed.</summary>
    Done,
}

/// <summary>Something the shell does for the bench, in the order given. When an append fails, the rest is not done and the state is that of <see cref="BenchEngine.NotWritten"/>.</summary>
public abstract record BenchEffect
{
    private BenchEffect()
    {
    }

    /// <summary>Write this event to the disk.</summary>
    public sealed record Append(string Sitting, SittingEvent Event) : BenchEffect;

    /// <summary>Tell this.</summary>
    public sealed record Say(Said Said) : BenchEffect;

    /// <summary>Make this sound.</summary>
    public sealed record Ring(Sound Sound) : BenchEffect;

    /// <summary>Ask the caliper for a value.</summary>
    public sealed record AskCaliper : BenchEffect;

    /// <summary>This step is to be read: a pretended caliper goes to its gap.</summary>
    public sealed record Guide(Step Step) : BenchEffect;

    /// <summary>File the record of the work, and tell by <see cref="BenchInput.Filed"/>.</summary>
    public sealed record File : BenchEffect;

    /// <summary>Leave the bench.</summary>
    public sealed record End(BenchEnd How) : BenchEffect;
}

/// <summary>How the bench was left.</summary>
public enum BenchEnd
{
    /// <summary>To be resumed later.</summary>
    Stopped,

    /// <summary>Filed; all is within, or agrees.</summary>
    Good,

    /// <summary>Filed; something is not within, or does not agree.</summary>
    NotGood,

    /// <summary>Given up for good.</summary>
    Abandoned,
}
