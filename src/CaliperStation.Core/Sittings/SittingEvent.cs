using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Sittings;

/// <summary>Something that happened in a sitting. A sitting is the list of its events; each is on the disk before the screen moves on.</summary>
public abstract record SittingEvent
{
    private SittingEvent()
    {
    }

    /// <summary>When, UTC.</summary>
    public required DateTimeOffset At { get; init; }

    /// <summary>The sitting began.</summary>
    /// <param name="Sitting">Its id.</param>
    /// <param name="Tag">The blouse.</param>
    /// <param name="Hand">Initials of the hand, or empty until the signature.</param>
    /// <param name="StandardSha256">The exact text of the standard.</param>
    /// <param name="Answers">An answer to every question, by its id.</param>
    public sealed record Started(string Sitting, string Tag, string Hand, string StandardSha256, IReadOnlyDictionary<string, string> Answers) : SittingEvent
    {
        /// <summary>What studies had found of hands when it began: it is judged by these to its end, whatever the settings say later.</summary>
        public IReadOnlyList<HandFigure> Figures { get; init; } = [];
    }

    /// <summary>A readiness line or a look was answered yes.</summary>
    public sealed record Confirmed(string Line) : SittingEvent;

    /// <summary>A look was answered no.</summary>
    public sealed record NotSo(string Line) : SittingEvent;

    /// <summary>What takes its time began.</summary>
    public sealed record Begun(string Line) : SittingEvent;

    /// <summary>A readiness line or a look was answered, or begun, too early; it is asked again.</summary>
    public sealed record Unconfirmed(string Line) : SittingEvent;

    /// <summary>A reading was taken for a step; on top of readings that still count it is a further take.</summary>
    public sealed record Took(string Step, Reading Reading) : SittingEvent;

    /// <summary>The readings of a step were withdrawn, to be taken again.</summary>
    public sealed record Withdrew(string Step) : SittingEvent;

    /// <summary>Items were moved; readings that depend on them are stale.</summary>
    public sealed record Moved(IReadOnlyList<string> Items) : SittingEvent;

    /// <summary>A judgement that is not within was set aside; the record will not be verified.</summary>
    /// <param name="Relation">The relation; or the look.</param>
    /// <param name="Step">The one step, for a relation that holds for each of its readings; else null.</param>
    /// <param name="Reason">The reason, as given.</param>
    public sealed record SetAside(string Relation, string? Step, string Reason) : SittingEvent;

    /// <summary>Another hand took over; it takes the readings from here on.</summary>
    public sealed record HandChanged(string Hand) : SittingEvent;

    /// <summary>The tag was wrong; it is this blouse.</summary>
    public sealed record TagCorrected(string Tag, string Reason) : SittingEvent;

    /// <summary>The sitting was given up and is closed without a record.</summary>
    public sealed record Abandoned(string Reason) : SittingEvent;

    /// <summary>The sitting was signed and is closed.</summary>
    public sealed record Signed(string Initials) : SittingEvent;
}
