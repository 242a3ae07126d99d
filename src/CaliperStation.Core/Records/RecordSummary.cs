using CaliperStation.Core.Judging;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Core.Records;

/// <summary>A record in one line.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Kind">What it is of.</param>
/// <param name="OfRecord">The record it looks back at, or null.</param>
/// <param name="Tag">The blouse.</param>
/// <param name="Hand">Who measured first.</param>
/// <param name="SignedBy">Who signed.</param>
/// <param name="Started">When it began.</param>
/// <param name="Closed">When it was signed.</param>
/// <param name="Standard">Name of the standard.</param>
/// <param name="Edition">Its edition.</param>
/// <param name="Items">The items that were read.</param>
/// <param name="Within">How many verdicts were within.</param>
/// <param name="Borderline">How many were borderline.</param>
/// <param name="Outside">How many were outside.</param>
/// <param name="Asides">How many judgements were set aside.</param>
/// <param name="Verified">True when all was within and nothing set aside, and it is not for practice.</param>
public sealed record RecordSummary(
    string Id,
    RecordKind Kind,
    string? OfRecord,
    string Tag,
    string Hand,
    string SignedBy,
    DateTimeOffset Started,
    DateTimeOffset Closed,
    string Standard,
    string Edition,
    IReadOnlyList<string> Items,
    int Within,
    int Borderline,
    int Outside,
    int Asides,
    bool Verified)
{
    /// <summary>Every hand that measured.</summary>
    public IReadOnlyList<string> Hands { get; init; } = [];

    /// <summary>True for a practice record.</summary>
    public bool Practice { get; init; }

    /// <summary>The line of a sealed record; verified only when its signature by one of these keys holds.</summary>
    /// <exception cref="ArgumentException">Its bytes are no record.</exception>
    public static RecordSummary Of(SealedRecord seal, IReadOnlySet<string> knownKeys)
    {
        RecordSummary said = Of(seal.Record ?? throw new ArgumentException("The bytes are no record.", nameof(seal)));
        return said.Verified && !seal.Counts(knownKeys) ? said with { Verified = false } : said;
    }

    /// <summary>The line of a record, as it says of itself.</summary>
    public static RecordSummary Of(Record record) => new(
        record.Id,
        record.Kind,
        record.OfRecord,
        record.Tag,
        record.Hand,
        record.SignedBy,
        record.Started,
        record.Closed,
        record.Standard.Name,
        record.Standard.Edition,
        [.. record.Readings.Select(reading => reading.Of).Distinct()],
        Count(record, Verdict.Within),
        Count(record, Verdict.Borderline),
        Count(record, Verdict.Outside),
        record.Asides.Count,
        record.IsVerified)
    {
        Hands = record.Hands,
        Practice = record.IsPractice,
    };

    private static int Count(Record record, Verdict verdict) => record.Verdicts.Count(given => given.Verdict == verdict);
}

/// <summary>Which records are wanted; null or empty members let everything through.</summary>
/// <param name="Tag">The blouse's tag, in upper or lower case.</param>
/// <param name="From">Closed at this instant or later.</param>
/// <param name="Until">Closed before this instant.</param>
/// <param name="Hand">Some of it measured, or signed, by these initials, in upper or lower case.</param>
/// <param name="Item">An item of that id was read.</param>
/// <param name="Verdict">At least one verdict is this.</param>
public sealed record RecordFilter(
    string? Tag = null, DateTimeOffset? From = null, DateTimeOffset? Until = null, string? Hand = null, string? Item = null, Verdict? Verdict = null)
{
    /// <summary>True when a record is wanted.</summary>
    public bool Wants(RecordSummary record) =>
        (Tag is null || BlouseTag.Comparer.Equals(record.Tag, Tag))
        && (From is not { } from || record.Closed >= from)
        && (Until is not { } until || record.Closed < until)
        && (Hand is null || record.Hands.Append(record.Hand).Append(record.SignedBy).Contains(Hand, StringComparer.OrdinalIgnoreCase))
        && (Item is null || record.Items.Contains(Item))
        && (Verdict is not { } verdict || Count(record, verdict) > 0);

    private static int Count(RecordSummary record, Verdict verdict) => verdict switch
    {
        Judging.Verdict.Within => record.Within,
        Judging.Verdict.Borderline => record.Borderline,
        Judging.Verdict.Outside => record.Outside,
    };
}

/// <summary>A sitting that was given up: it is no longer open and made no record.</summary>
/// <param name="Sitting">Its id.</param>
/// <param name="Tag">The blouse, as last corrected.</param>
/// <param name="At">When it was given up, UTC.</param>
/// <param name="Reason">Why; a person's words, not yet made safe to print.</param>
public sealed record AbandonedSitting(string Sitting, string Tag, DateTimeOffset At, string Reason);
