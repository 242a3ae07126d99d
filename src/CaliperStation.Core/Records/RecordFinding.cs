namespace CaliperStation.Core.Records;

/// <summary>What is wrong with a record or with the chain.</summary>
public enum FindingKind
{
    /// <summary>Its bytes are not those that were sealed.</summary>
    Changed,

    /// <summary>Records of the chain are gone.</summary>
    Missing,

    /// <summary>It stands at another place than it was filed.</summary>
    OutOfOrder,

    /// <summary>It does not belong into the chain at its place, or stands there twice.</summary>
    Inserted,

    /// <summary>It is signed with a key that is not this station's.</summary>
    UnknownKey,

    /// <summary>It says two things that cannot both be true, though it is signed.</summary>
    Contradiction,

    /// <summary>Its signature is not over its bytes, or not that key's.</summary>
    BadSignature,
}

/// <summary>Something wrong.</summary>
/// <param name="Kind">What.</param>
/// <param name="Where">Where it was read: file and line.</param>
/// <param name="Record">The record's id, escaped; empty when it cannot be read.</param>
/// <param name="Words">What is wrong, in words safe to print.</param>
public sealed record RecordFinding(FindingKind Kind, string Where, string Record, string Words)
{
    /// <summary>The numbers of the records that are missing, the first and the last; else null.</summary>
    public (long First, long Last)? Gone { get; init; }
}

/// <summary>A sealed record and where it was read.</summary>
/// <param name="Where">File and line, safe to print.</param>
/// <param name="Sealed">The record; null when the text there is no sealed record at all.</param>
public sealed record FiledRecord(string Where, SealedRecord? Sealed);
