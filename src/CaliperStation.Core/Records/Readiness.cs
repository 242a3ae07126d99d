namespace CaliperStation.Core.Records;

/// <summary>Whether a remeasurement of the last sitting exists, and what it says.</summary>
public enum RemeasurementResult
{
    /// <summary>There is none.</summary>
    None,

    /// <summary>It agrees: all of a countersign agrees, or nothing moved by a recheck.</summary>
    Agrees,

    /// <summary>It does not.</summary>
    Differs,
}

/// <summary>What stands against a blouse being ready.</summary>
public enum NotReady
{
    /// <summary>It has no record.</summary>
    NoRecord,

    /// <summary>Its only record is for practice.</summary>
    OnlyPractised,

    /// <summary>Its record is not verified.</summary>
    NotVerified,

    /// <summary>A second person found other values.</summary>
    CountersignDiffers,

    /// <summary>It must be countersigned and is not.</summary>
    NotCountersigned,

    /// <summary>A recheck found that something moved.</summary>
    Moved,

    /// <summary>Its record is older than is allowed.</summary>
    TooOld,

    /// <summary>A record of it was signed in the future.</summary>
    InFuture,

    /// <summary>A sitting of it is open.</summary>
    Open,
}

/// <summary>What is asked before a blouse counts as ready.</summary>
/// <param name="Now">The present instant.</param>
/// <param name="MaxDays">The oldest its record may be, in days; null for any age.</param>
/// <param name="Countersigned">It must be countersigned.</param>
public sealed record ReadinessRule(DateTimeOffset Now, int? MaxDays, bool Countersigned);

/// <summary>How ready one blouse is, by its last sitting.</summary>
/// <param name="Tag">The blouse.</param>
/// <param name="Last">Its closed sitting filed last, whatever its clock said; one for practice only where there is no other; or null.</param>
/// <param name="Countersigned">What the last countersign of that sitting says.</param>
/// <param name="Rechecked">What the last recheck of that sitting says.</param>
/// <param name="AgeDays">Whole days since it was signed; null without one, or when it was signed in the future.</param>
/// <param name="OpenSince">When a sitting began that is not closed, or null.</param>
/// <param name="Asides">What was set aside in it, and why.</param>
/// <param name="Against">Why it is not ready; empty when it is.</param>
/// <param name="Why">The same in words.</param>
public sealed record Readiness(
    string Tag,
    RecordSummary? Last,
    RemeasurementResult Countersigned,
    RemeasurementResult Rechecked,
    int? AgeDays,
    DateTimeOffset? OpenSince,
    IReadOnlyList<RecordAside> Asides,
    IReadOnlyList<NotReady> Against,
    IReadOnlyList<string> Why)
{
    /// <summary>How far ahead of the clock an instant may be before it is of the future: clocks are set by seconds, not by minutes.</summary>
    public static readonly TimeSpan ClockTolerance = TimeSpan.FromMinutes(5);

    /// <summary>True when nothing stands against it.</summary>
    public bool IsReady => Against.Count == 0;

    /// <summary>The readiness of a blouse.</summary>
    /// <param name="tag">Its tag.</param>
    /// <param name="records">Its records of every kind, in the order they were filed.</param>
    /// <param name="asides">What was set aside in a record that says it has such.</param>
    /// <param name="openSince">When a sitting of it began that is not closed, or null.</param>
    /// <param name="rule">What is asked.</param>
    public static Readiness Of(
        string tag, IReadOnlyList<RecordSummary> records, Func<RecordSummary, IReadOnlyList<RecordAside>> asides, DateTimeOffset? openSince, ReadinessRule rule)
    {
        IEnumerable<RecordSummary> sittings = records.Where(record => record.Kind == RecordKind.Sitting);
        RecordSummary? last = sittings.LastOrDefault(record => !record.Practice) ?? sittings.LastOrDefault();   // practice says nothing of the coat
        RecordSummary? countersign = LookAt(last, records, RecordKind.Countersign);
        RecordSummary? recheck = LookAt(last, records, RecordKind.Recheck);
        RemeasurementResult countersigned = ResultOf(countersign);
        RemeasurementResult rechecked = ResultOf(recheck);
        bool IsFuture(RecordSummary? record) => record is not null && record.Closed - rule.Now > ClockTolerance;
        int? age = last is null || IsFuture(last) ? null : Math.Max(0, (int)Math.Floor((rule.Now - last.Closed).TotalDays));
        List<NotReady> against = [];
        void Not(bool fault, NotReady kind)
        {
            if (fault)
            {
                against.Add(kind);
            }
        }

        Not(last is null, NotReady.NoRecord);
        Not(last is { Practice: true }, NotReady.OnlyPractised);
        Not(last is { Practice: false, Verified: false }, NotReady.NotVerified);
        Not(countersigned == RemeasurementResult.Differs, NotReady.CountersignDiffers);
        Not(countersigned == RemeasurementResult.None && last is not null && rule.Countersigned, NotReady.NotCountersigned);
        Not(rechecked == RemeasurementResult.Differs, NotReady.Moved);
        Not(last is not null && rule.MaxDays is { } most && (rule.Now - last.Closed).TotalDays > most, NotReady.TooOld);
        Not(IsFuture(last) || IsFuture(countersign) || IsFuture(recheck), NotReady.InFuture);
        Not(openSince is not null, NotReady.Open);
        return new Readiness(tag, last, countersigned, rechecked, age, openSince, last is { Asides: > 0 } ? asides(last) : [], against, [.. against.Select(kind => Words(kind, rule))]);
    }

    private static string Words(NotReady kind, ReadinessRule rule) => kind switch
    {
        NotReady.NoRecord => "no record",
        NotReady.OnlyPractised => "only practised: readings of a pretend caliper or of a replay",
        NotReady.NotVerified => "not verified",
        NotReady.CountersignDiffers => "the countersign does not agree",
        NotReady.NotCountersigned => "not countersigned",
        NotReady.Moved => "something moved since",
        NotReady.TooOld => $"older than {rule.MaxDays} days",
        NotReady.InFuture => "signed in the future: check the clock",
        NotReady.Open => "a sitting is open",
    };

    private static RecordSummary? LookAt(RecordSummary? last, IReadOnlyList<RecordSummary> records, RecordKind kind) =>
        last is null ? null : records.LastOrDefault(record => record.Kind == kind && record.OfRecord == last.Id && !record.Practice);

    private static RemeasurementResult ResultOf(RecordSummary? remeasurement) => remeasurement switch
    {
        null => RemeasurementResult.None,
        { Verified: true } => RemeasurementResult.Agrees,
        _ => RemeasurementResult.Differs,
    };
}
