namespace CaliperStation.Core.Records;

/// <summary>A remeasurement began: a countersign or a recheck of some steps of a record.</summary>
/// <remarks>What happens after it are readings, retakes and the signature, the same events as in a sitting.</remarks>
/// <param name="Sitting">Its id.</param>
/// <param name="Kind">Countersign or recheck.</param>
/// <param name="OfRecord">The record it looks back at.</param>
/// <param name="Tag">The blouse.</param>
/// <param name="Hand">Initials of the hand that measures now.</param>
/// <param name="StandardSha256">The exact text of the standard.</param>
/// <param name="Answers">The answers of the first record.</param>
/// <param name="Seed">The seed of the lot, or null.</param>
/// <param name="Share">The share by lot, 0 to 1, or null.</param>
/// <param name="Steps">The steps, in the order of work; at least one.</param>
/// <param name="At">When, UTC.</param>
public sealed record RemeasurementStarted(
    string Sitting,
    RecordKind Kind,
    string OfRecord,
    string Tag,
    string Hand,
    string StandardSha256,
    IReadOnlyDictionary<string, string> Answers,
    long? Seed,
    double? Share,
    IReadOnlyList<ChosenStep> Steps,
    DateTimeOffset At);
