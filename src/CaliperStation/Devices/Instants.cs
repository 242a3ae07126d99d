
namespace CaliperStation.Devices;

/// <summary>Instants as events and readings keep them.</summary>
internal static class Instants
{
    /// <summary>The present one: whole milliseconds, UTC.</summary>
    internal static DateTimeOffset Now(TimeProvider clock) => DateTimeOffset.FromUnixTimeMilliseconds(clock.GetUtcNow().ToUnixTimeMilliseconds());
}
