namespace CaliperStation.Core.Records;

/// <summary>What a blouse of the day still wants; those that come first are at the top of the queue.</summary>
public enum BlouseWants
{
    /// <summary>A sitting was left open: it goes on.</summary>
    GoOn,

    /// <summary>Something is not within, or moved since: it is set right and read again.</summary>
    SetRight,

    /// <summary>It was never measured, only for practice, or too long ago.</summary>
    Measure,

    /// <summary>Another hand is to countersign it.</summary>
    Countersign,

    /// <summary>It is ready; after a touch-up it may be re-checked.</summary>
    Nothing,
}

/// <summary>A blouse in the queue.</summary>
/// <param name="Tag">The blouse.</param>
/// <param name="Wants">What it wants.</param>
/// <param name="Record">Its last sitting's record, or null.</param>
/// <param name="Why">What it wants in words, such as <c>not verified</c>; empty when it is ready.</param>
public sealed record QueuedBlouse(string Tag, BlouseWants Wants, string? Record, string Why)
{
    /// <summary>What takes its time before the sitting left open can go on, and until when, in words; empty when nothing does.</summary>
    public string Waits { get; init; } = "";
}

/// <summary>The blouses of a day with what each still wants.</summary>
public static class DayQueue
{
    /// <summary>The queue; what is most urgent first, and of that as the list has it.</summary>
    /// <param name="blouses">Each blouse as it stands; those of a list of the day, or of the store.</param>
    /// <param name="rule">What is asked before one is ready.</param>
    public static IReadOnlyList<QueuedBlouse> Of(IEnumerable<Readiness> blouses, ReadinessRule rule) =>
        [.. blouses.Select(blouse => Of(blouse, rule)).OrderBy(blouse => blouse.Wants)];

    /// <summary>What one blouse wants.</summary>
    public static QueuedBlouse Of(Readiness blouse, ReadinessRule rule) => new(
        blouse.Tag,
        blouse switch
        {
            { OpenSince: not null } => BlouseWants.GoOn,
            { Last: null or { Practice: true } } => BlouseWants.Measure,
            { Last.Verified: false } or { Countersigned: RemeasurementResult.Differs } or { Rechecked: RemeasurementResult.Differs } => BlouseWants.SetRight,
            { IsReady: true } => BlouseWants.Nothing,
            { Countersigned: RemeasurementResult.None, Why.Count: 1 } when rule.Countersigned => BlouseWants.Countersign,   // and nothing else
            _ => BlouseWants.Measure,   // too old, or signed in the future
        },
        blouse.Last?.Id,
        string.Join(", ", blouse.Why));
}
