namespace CaliperStation.Core.Records;

/// <summary>A sitting that was given up: it is no longer open and made no record.</summary>
/// <param name="Sitting">Its id.</param>
/// <param name="Tag">The blouse, as last corrected.</param>
/// <param name="At">When it was given up, UTC.</param>
/// <param name="Reason">Why; a person's words, not yet made safe to print.</param>
public sealed record AbandonedSitting(string Sitting, string Tag, DateTimeOffset At, string Reason);
