using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Studies;

/// <summary>Something that every hand of a study reads.</summary>
/// <param name="Id">Its id: letters, digits and hyphens.</param>
/// <param name="Ask">What is asked.</param>
/// <param name="Hint">The technique, or null.</param>
/// <param name="Caution">What to mind, or null.</param>
public sealed record StudyPoint(string Id, string Ask, string? Hint, string? Caution);

/// <summary>One reading that a hand is to take.</summary>
/// <param name="Step">Its id at the bench.</param>
/// <param name="Point">What is read.</param>
/// <param name="Repeat">The how-manieth time, from 1.</param>
public sealed record StudySlot(string Step, string Point, int Repeat);

/// <summary>A reading that was taken in a study.</summary>
/// <param name="Hand">Whose, as the study writes it.</param>
/// <param name="Slot">Which.</param>
/// <param name="Reading">The reading, with its instant.</param>
public sealed record StudyTake(string Hand, StudySlot Slot, Reading Reading);

/// <summary>What a study of hands is to read: hands × points × repeats, each hand in an order of its own by lot.</summary>
/// <param name="Id">The study's id.</param>
/// <param name="Title">What it is called: the standard's name and edition, or free points.</param>
/// <param name="StandardSha256">The exact text of the standard its points are from; empty for free points.</param>
/// <param name="Unit">The unit of a bare number.</param>
/// <param name="Show">What the bench shows.</param>
/// <param name="Hands">Initials, each once whatever the case.</param>
/// <param name="Points">What is read, each once.</param>
/// <param name="Repeats">How often each hand reads each point.</param>
/// <param name="Seed">Of the lot.</param>
/// <param name="Tolerance">The whole width between the narrowest limits of what is read, or null.</param>
/// <param name="At">When it began, UTC.</param>
public sealed record StudyPlan(
    string Id, string Title, string StandardSha256, LengthUnit Unit, LengthDisplay Show, IReadOnlyList<string> Hands, IReadOnlyList<StudyPoint> Points, int Repeats, long Seed,
    Length? Tolerance, DateTimeOffset At)
{
    /// <summary>At most so many hands. Bounds are our own choice, no source: a study file is as untrusted as any.</summary>
    public const int MostHands = 20;

    /// <summary>At most so many points.</summary>
    public const int MostPoints = 200;

    /// <summary>At most so many repeats.</summary>
    public const int MostRepeats = 50;

    /// <summary>How many readings it has, all hands together.</summary>
    public int Readings => Hands.Count * Points.Count * Repeats;

    /// <summary>Why this cannot be a study, or null.</summary>
    public string? Fault =>
        Hands.Count is 0 or > MostHands ? FormattableString.Invariant($"a study has 1 to {MostHands} hands")
        : Hands.Any(hand => hand.Length is 0 or > 4 || !hand.All(char.IsLetterOrDigit)) ? "hands are initials, one to four letters or digits"
        : Hands.Distinct(StringComparer.OrdinalIgnoreCase).Count() < Hands.Count ? "a hand is named twice"
        : Points.Count is 0 or > MostPoints ? FormattableString.Invariant($"a study has 1 to {MostPoints} points")
        : Points.Any(point => point.Id.Length is 0 or > 60 || !point.Id.All(sign => char.IsAsciiLetterOrDigit(sign) || sign is '-' or '_' or '.')) ? "a point's id is letters, digits and hyphens"
        : Points.DistinctBy(point => point.Id).Count() < Points.Count ? "a point is named twice"
        : Repeats is < 1 or > MostRepeats ? FormattableString.Invariant($"a study has 1 to {MostRepeats} repeats")
        : Tolerance is { } width && (width <= Length.Zero || width > Scatter.Widest) ? "a tolerance is above zero"
        : null;

    /// <summary>A hand as the study writes it; null when it takes no part.</summary>
    public string? HandOf(string initials) => Hands.FirstOrDefault(hand => string.Equals(hand, initials.Trim(), StringComparison.OrdinalIgnoreCase));

    /// <summary>
    /// What a hand reads, in its order: every point once before any is read again, each round by lot, and no point twice in a row where there are two.
    /// So a hand cannot repeat a value that it still has in mind, and slow changes of cloth or light fall on all points alike.
    /// </summary>
    /// <exception cref="ArgumentException">The hand takes no part.</exception>
    public IReadOnlyList<StudySlot> OrderOf(string hand)
    {
        int at = Hands.ToList().IndexOf(HandOf(hand) ?? throw new ArgumentException("That hand takes no part.", nameof(hand)));
        SplitMix64 lots = new(Seed);
        List<StudySlot> order = [];
        for (int round = 0; round < (at + 1) * Repeats; round++)
        {
            long lot = unchecked((long)lots.Next());
            if (round < at * Repeats)
            {
                continue;   // a round of a hand before
            }

            List<string> points = [.. SplitMix64.Choose(Points.Select(point => point.Id), Points.Count, lot)];
            if (order.Count > 0 && points.Count > 1 && points[0] == order[^1].Point)
            {
                (points[0], points[^1]) = (points[^1], points[0]);
            }

            int repeat = round - (at * Repeats) + 1;
            order.AddRange(points.Select(point => new StudySlot(FormattableString.Invariant($"{point}-time-{repeat}"), point, repeat)));
        }

        return order;
    }

    /// <summary>Free points, called point-1, point-2, …</summary>
    public static IReadOnlyList<StudyPoint> FreePoints(int count) =>
        [.. Enumerable.Range(1, count).Select(number => new StudyPoint(FormattableString.Invariant($"point-{number}"), FormattableString.Invariant($"Read point {number}, as you would at work"), null, null))];

    /// <summary>The points of a standard: its steps, or those that are named.</summary>
    /// <param name="plan">What the blouse of the study carries.</param>
    /// <param name="named">Ids of steps; empty for all.</param>
    /// <param name="unknown">A name that is no step, or null.</param>
    public static IReadOnlyList<StudyPoint> PointsOf(Plan plan, IReadOnlyList<string> named, out string? unknown)
    {
        unknown = named.FirstOrDefault(id => plan.FindStep(id) is null);
        return [.. plan.Steps.Where(step => named.Count == 0 || named.Contains(step.Id)).Select(step => new StudyPoint(step.Id, step.Ask, step.Hint, step.Caution))];
    }

    /// <summary>The narrowest width between two limits that single readings of these points are judged by; null where there is none.</summary>
    public static Length? ToleranceOf(Plan plan, IReadOnlyList<StudyPoint> points)
    {
        List<Length> widths = [.. plan.Relations
            .Where(relation => relation.JudgesEach && relation.Of.Any(step => points.Any(point => point.Id == step)))
            .SelectMany(relation => relation.Limits)
            .Select(limits => limits.Upper - limits.Lower)
            .OfType<Length>()
            .Where(width => width > Length.Zero)];
        return widths.Count == 0 ? null : widths.Min();
    }
}
