
namespace CaliperStation.Storage;

/// <summary>What was found when the journal was opened.</summary>
/// <param name="Torn">A last line that was never written whole, or null.</param>
/// <param name="Damage">Every damaged place, in order; empty when the journal is sound.</param>
/// <param name="Lines">How many lines hold.</param>
internal sealed record OpenReport(TornTail? Torn, IReadOnlyList<JournalDamage> Damage, long Lines)
{
    /// <summary>True when the journal may be written.</summary>
    public bool IsSound => Damage.Count == 0;
}

/// <summary>A last line that was cut short by a crash or a power cut; it was never acknowledged.</summary>
/// <param name="File">The segment.</param>
/// <param name="Line">Its line in that file, from 1.</param>
/// <param name="Bytes">How many bytes were left of it; 0 when the line is whole and proven and only its line feed was missing: then it counts.</param>
/// <param name="KeptAs">The file beside the journal that keeps them; null when nothing was cut, because another bench may be writing.</param>
internal sealed record TornTail(string File, int Line, long Bytes, string? KeptAs)
{
    /// <summary>The same in words.</summary>
    public string Words => Bytes == 0 ? $"{File}, line {Line}: the line feed at its end was missing; the event is whole and counts" : KeptAs is null
        ? $"{File}, line {Line}: the last line is not whole ({Bytes} bytes); it is left as it is"
        : $"{File}, line {Line}: the last line was not whole ({Bytes} bytes, never acknowledged); it was cut off and is kept in {KeptAs}";
}

/// <summary>What is wrong at one place of the journal.</summary>
internal enum DamageKind
{
    /// <summary>The line is not of the journal's shape.</summary>
    Unreadable,

    /// <summary>The line's bytes do not give its hash.</summary>
    Changed,

    /// <summary>The line gives its hash, but the station did not sign it.</summary>
    NotSigned,

    /// <summary>Lines before this one are gone.</summary>
    Missing,

    /// <summary>The line stands where another belongs.</summary>
    OutOfOrder,
}

/// <summary>A damaged place of the journal.</summary>
/// <param name="File">The segment.</param>
/// <param name="Line">The line in that file, from 1.</param>
/// <param name="Kind">What is wrong.</param>
/// <param name="Words">What is wrong, in words.</param>
internal sealed record JournalDamage(string File, int Line, DamageKind Kind, string Words)
{
    /// <inheritdoc />
    public override string ToString() => $"{File}, line {Line}: {Words}";
}
