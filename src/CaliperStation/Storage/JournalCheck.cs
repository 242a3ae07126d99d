using System.Text.Json;

namespace CaliperStation.Storage;

/// <summary>A caliper check as the journal holds it.</summary>
/// <param name="At">When.</param>
/// <param name="Body">The event as one JSON object.</param>
internal sealed record JournalCheck(DateTimeOffset At, string Body)
{
    /// <summary>The kind of its event.</summary>
    internal const string Kind = "caliper-check";

    /// <summary>The port named in such an event; null when it names none.</summary>
    internal static string? PortOf(string body)
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(body);
            return document.RootElement.TryGetProperty("port", out JsonElement port) && port.ValueKind == JsonValueKind.String ? port.GetString() : null;
        }
        catch (JsonException)
        {
            return null;
        }
    }
}
