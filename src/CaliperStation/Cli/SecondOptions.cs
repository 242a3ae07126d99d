using CaliperStation.Core.Records;

namespace CaliperStation.Cli;

/// <summary>What was asked of a second measurement, parsed but not yet looked at.</summary>
internal sealed record SecondOptions
{
    /// <summary>Countersign or recheck.</summary>
    internal required RecordKind Kind { get; init; }

    /// <summary>A record's id, or a tag for the last sitting of that blouse.</summary>
    internal required string Target { get; init; }

    /// <summary>Initials of the hand that measures now.</summary>
    internal required string Hand { get; init; }

    /// <summary>Seed of the lot; null for one of chance, which the record keeps.</summary>
    internal long? Seed { get; init; }

    /// <summary>The share by lot as written; null for the usual one.</summary>
    internal string? Share { get; init; }

    /// <summary>As for the bench.</summary>
    internal string? Port { get; init; }

    /// <summary>As for the bench.</summary>
    internal string? Serial { get; init; }

    /// <summary>Lines were asked for; they come anyway.</summary>
    internal bool Plain { get; init; }

    /// <summary>JSON Lines instead of words.</summary>
    internal bool Json { get; init; }

    /// <summary>Where the store is; null for the usual place.</summary>
    internal string? Store { get; init; }
}
