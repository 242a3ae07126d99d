using System.Text.Json;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Storage;

/// <summary>One acknowledged line of the journal.</summary>
/// <param name="Number">From 1, without holes, across segments.</param>
/// <param name="At">When, UTC, to the millisecond.</param>
/// <param name="Sitting">The sitting it belongs to, or the empty string.</param>
/// <param name="Kind">The kind of event.</param>
/// <param name="Body">The event as one JSON object, exactly as appended.</param>
/// <param name="Hash">SHA-256 over the line before's hash and this line's bytes, lower-case hexadecimal.</param>
internal sealed record JournalLine(long Number, DateTimeOffset At, string Sitting, string Kind, string Body, string Hash)
{
    /// <summary>A member of the event that is a text; empty where there is none.</summary>
    public string TextOf(string member) => JsonText.Read(Body, root => root.TryGetProperty(member, out JsonElement text) && text.ValueKind == JsonValueKind.String ? text.GetString() : null) ?? "";
}

/// <summary>The seam between the bench and the disk: the tests put a faulty disk behind it.</summary>
internal interface IJournal
{
    /// <summary>Writes one event and flushes it to the disk; only then it counts.</summary>
    /// <exception cref="StoreException">It could not be written or flushed; nothing was acknowledged.</exception>
    JournalLine Append(DateTimeOffset at, string sitting, string kind, string body);

    /// <summary>All acknowledged lines in order.</summary>
    IEnumerable<JournalLine> Read();
}
