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
/// <param name="Refusal">Null when there are events.</param>
public sealed record Decision(IReadOnlyList<SittingEvent> Events, Refusal? Refusal)
{
    /// <summary>Accepted.</summary>
    public static Decision Of(params IReadOnlyList<SittingEvent> events) => new(events, null);

    /// <summary>Refused.</summary>
    public static Decision Refused(Refusal why) => new([], why);

    /// <summary>Refused, in words of its own.</summary>
    public static Decision Refused(RefusalKind kind, string words) => new([], new Refusal(kind, words));

    /// <summary>Refused, for the prompt wants something else.</summary>
    public static Decision Refused(RefusalKind kind, Prompt wanted) => new([], Refusal.For(kind, wanted));
}

/// <summary>Why a command was refused.</summary>
/// <param name="Kind">Which reason: nobody finds it out from the words.</param>
/// <param name="Words">Why not and what to do instead, one sentence, safe to show.</param>
public sealed record Refusal(RefusalKind Kind, string Words)
{
    /// <summary>What the prompt wanted instead; null where the command fits it and something else is wrong with it.</summary>
    public Prompt? Wanted { get; init; }

    /// <summary>The refusal of a command that the prompt does not want.</summary>
    public static Refusal For(RefusalKind kind, Prompt wanted) => new(kind, Lead(kind) + Sitting.Wanted(wanted)) { Wanted = wanted };

    private static string Lead(RefusalKind kind) => kind switch
    {
        RefusalKind.NothingToConfirm => "there is nothing to confirm: ",
        RefusalKind.NothingToDeny => "there is nothing to say no to: ",
        RefusalKind.NotToTakeBack => "that line cannot be taken back: ",
        RefusalKind.NoReadingNow => "no reading is taken now: ",
        RefusalKind.NothingToRetake => "there is nothing to take again: ",
        RefusalKind.NothingMovesNow => "nothing is moved now: ",
        RefusalKind.NothingToSetAside => "there is nothing to set aside: ",
        RefusalKind.NotToSignYet => "it cannot be signed yet: ",
        _ => "",
    };
}

/// <summary>The reasons for which a command is refused.</summary>
public enum RefusalKind
{
    /// <summary>It is closed.</summary>
    Closed,

    /// <summary>The prompt is no line and no look.</summary>
    NothingToConfirm,

    /// <summary>What takes its time is not over.</summary>
    TooSoon,

    /// <summary>The prompt is no look.</summary>
    NothingToDeny,

    /// <summary>A readiness line is seen to, not denied.</summary>
    ReadyFirst,

    /// <summary>The look was answered no already.</summary>
    DeniedAlready,

    /// <summary>The line was not confirmed, or the readings have begun.</summary>
    NotToTakeBack,

    /// <summary>Something else than this reading is wanted.</summary>
    NoReadingNow,

    /// <summary>A share or an angle would be taken over nothing.</summary>
    DivisorIsZero,

    /// <summary>Nothing was read yet, or nothing is retaken now.</summary>
    NothingToRetake,

    /// <summary>The step that was named has no reading.</summary>
    NotRead,

    /// <summary>Nothing is moved now.</summary>
    NothingMovesNow,

    /// <summary>No item was named.</summary>
    NoItem,

    /// <summary>The item that was named is not on this blouse.</summary>
    UnknownItem,

    /// <summary>Nothing is outside.</summary>
    NothingToSetAside,

    /// <summary>No reason was said.</summary>
    NoReason,

    /// <summary>The reason is too long for a record.</summary>
    LongReason,

    /// <summary>Something is still wanted before the signature.</summary>
    NotToSignYet,

    /// <summary>These are no initials.</summary>
    NoInitials,

    /// <summary>Another hand must sign.</summary>
    OtherHand,

    /// <summary>That hand measures already.</summary>
    MeasuresAlready,

    /// <summary>That hand takes no part in the study.</summary>
    TakesNoPart,

    /// <summary>This is no tag.</summary>
    NoTag,

    /// <summary>The tag is that already.</summary>
    SameTag,

    /// <summary>One step of the display is coarser than what is to be told with it.</summary>
    CoarseDisplay,

    /// <summary>This kind of work knows no such command.</summary>
    NotInThisWork,
}
