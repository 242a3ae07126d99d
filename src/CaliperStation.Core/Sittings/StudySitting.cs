using System.Collections.Immutable;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Sittings;

/// <summary>
/// A study of hands as its events have made it, over as many days as it takes. Immutable. The hand that measures sees what it is to read and nothing that was
/// read before: no value, no verdict.
/// </summary>
public sealed class StudySitting
{
    private const string Points = "points";
    private const string Edge = "edge";

    /// <summary>What everybody minds before the first reading, where the point itself says nothing.</summary>
    public const string Caution = "Mind the pin points behind the cloth and the knife edges of the jaws; your local rules come first.";

    private const string Tag = "study";

    private readonly ImmutableDictionary<string, SittingState> _hands;

    private StudySitting(StudyPlan plan, string hand, ImmutableDictionary<string, SittingState> hands)
    {
        (Plan, Hand, _hands) = (plan, hand, hands);
        IReadOnlyList<Step> missing = [.. State.Plan.Steps.Where(step => !State.Counts(step.Id))];
        View = SittingView.Unjudged(State, missing, missing.Count > 0 && !IsAbandoned ? new Prompt.Read(missing[0], null) : new Prompt.Closed());
    }

    /// <summary>What is to be read.</summary>
    public StudyPlan Plan { get; }

    /// <summary>The hand that measures now.</summary>
    public string Hand { get; }

    /// <summary>What that hand is to read next; closed when it has read all.</summary>
    public SittingView View { get; }

    /// <summary>True when it was given up.</summary>
    public bool IsAbandoned => _hands.Values.Any(state => state.Abandoned is not null);

    /// <summary>True once a pretended reading was taken, and for good.</summary>
    public bool IsPractice => _hands.Values.Any(state => state.IsPractice);

    /// <summary>How many readings a hand has still to take.</summary>
    public int MissingOf(string hand) => (Plan.Points.Count * Plan.Repeats) - _hands[hand].Readings.Count;

    /// <summary>How many readings are still to be taken by all hands.</summary>
    public int Missing => Plan.Hands.Sum(MissingOf);

    /// <summary>How many readings were taken again.</summary>
    public int Withdrawn => _hands.Values.Sum(state => state.Withdrawn.Sum(note => note.Takes.Length));

    /// <summary>The readings that count, hand by hand in the order of the study.</summary>
    public IEnumerable<StudyTake> Takes => Plan.Hands.SelectMany(hand => Plan.OrderOf(hand)
        .Where(slot => _hands[hand].Counts(slot.Step))
        .Select(slot => new StudyTake(hand, slot, _hands[hand].Readings[slot.Step].Takes[^1])));

    private SittingState State => _hands[Hand];

    /// <summary>A study that begins; its first hand is the one that measures until another takes over.</summary>
    /// <exception cref="ArgumentException">The plan has a fault.</exception>
    public static StudySitting Begin(StudyPlan plan) => plan.Fault is { } fault
        ? throw new ArgumentException(fault, nameof(plan))
        : new StudySitting(plan, plan.Hands[0], plan.Hands.ToImmutableDictionary(hand => hand, hand => Begin(plan, hand), StringComparer.Ordinal));

    /// <summary>What a command comes to. A refused command changes nothing.</summary>
    public Decision Decide(SittingCommand command, DateTimeOffset at) => command switch
    {
        SittingCommand.Take or SittingCommand.Retake => Sitting.Decide(View, command, at),
        SittingCommand.Abandon => Sitting.Decide(View, command, at),
        SittingCommand.TakeOver over => Plan.HandOf(over.Hand) is not { } hand
            ? Decision.Refused(RefusalKind.TakesNoPart, $"this study is of {string.Join(", ", Plan.Hands)}; \"{PrintableText.Escape(over.Hand)}\" takes no part")
            : hand == Hand ? Decision.Refused(RefusalKind.MeasuresAlready, $"{hand} measures already")
            : Decision.Of(new SittingEvent.HandChanged(hand) { At = at }),
        _ => Decision.Refused(RefusalKind.NotInThisWork, "say a length, an empty line to press, retake for the reading before, hand XY when another hand goes on, abandon with a reason, or stop"),
    };

    /// <summary>What an event makes of it; null for an event that has no place in it.</summary>
    public StudySitting? Apply(SittingEvent happened) => happened switch
    {
        SittingEvent.HandChanged changed => Plan.HandOf(changed.Hand) is { } hand ? new StudySitting(Plan, hand, _hands) : null,
        SittingEvent.Took took when State.Plan.FindStep(took.Step) is null || State.Counts(took.Step) || Plan.HandOf(took.Reading.Hand) != Hand => null,
        SittingEvent.Withdrew withdrew when !State.Counts(withdrew.Step) => null,
        SittingEvent.Took or SittingEvent.Withdrew or SittingEvent.Abandoned => new StudySitting(Plan, Hand, _hands.SetItem(Hand, Sitting.Apply(State, happened))),
        _ => null,
    };

    private static SittingState Begin(StudyPlan plan, string hand)
    {
        Dictionary<string, StudyPoint> points = plan.Points.ToDictionary(point => point.Id);
        Standard standard = new(
            plan.Title, "", plan.Unit, plan.Show, Sides.Viewer, new JudgingSettings(DecisionRule.Plain, 0.95, Length.Tick, Length.Zero, Length.Zero), [], [], [new Landmark(Points, null, null)], [],
            [.. plan.OrderOf(hand).Select((slot, at) => new Step(slot.Step, Points, Edge, default, null, null, points[slot.Point].Ask, points[slot.Point].Hint, points[slot.Point].Caution ?? (at == 0 ? Caution : null), null))], [], plan.StandardSha256);
        return Sitting.Begin(
            Standards.Plan.For(standard, new Dictionary<string, string>()),
            new SittingEvent.Started(plan.Id, Tag, hand, plan.StandardSha256, new Dictionary<string, string>()) { At = plan.At });
    }
}
