using CaliperStation.Core.Readings;

namespace CaliperStation.Core.Sittings;

/// <summary>Something a person asks of a sitting.</summary>
public abstract record SittingCommand
{
    private SittingCommand()
    {
    }

    /// <summary>Yes to the present readiness line or look; of one with a time that did not begin yet: it begins.</summary>
    public sealed record Confirm : SittingCommand;

    /// <summary>No to the present look.</summary>
    public sealed record NotSo : SittingCommand;

    /// <summary>A readiness line or a look was answered too early: ask it again.</summary>
    public sealed record Unconfirm(string Line) : SittingCommand;

    /// <summary>Take this reading for the present step; or, while something is outside, for the step named, which its move still needs.</summary>
    public sealed record Take(Reading Reading, string? Step = null) : SittingCommand;

    /// <summary>Take the last reading again, or that of a step named.</summary>
    public sealed record Retake(string? Step = null) : SittingCommand;

    /// <summary>These items were moved.</summary>
    public sealed record Move(IReadOnlyList<string> Items) : SittingCommand;

    /// <summary>Go on though something is not within.</summary>
    public sealed record Aside(string Reason) : SittingCommand;

    /// <summary>Another hand takes over.</summary>
    public sealed record TakeOver(string Hand) : SittingCommand;

    /// <summary>The tag is wrong: it is this one.</summary>
    public sealed record CorrectTag(string Tag, string Reason) : SittingCommand;

    /// <summary>Give the sitting up.</summary>
    public sealed record Abandon(string Reason) : SittingCommand;

    /// <summary>Sign and close.</summary>
    public sealed record Sign(string Initials) : SittingCommand;
}

/// <summary>What a command came to: events, or a refusal that changes nothing.</summary>
/// <param name="Events">At least one, unless refused.</param>
/// <param name="Refusal">Why not and what to do instead, one sentence; null when there are events.</param>
public sealed record Decision(IReadOnlyList<SittingEvent> Events, string? Refusal)
{
    /// <summary>Accepted.</summary>
    public static Decision Of(params IReadOnlyList<SittingEvent> events) => new(events, null);

    /// <summary>Refused.</summary>
    public static Decision Refused(string why) => new([], why);
}
