using System.Globalization;

namespace CaliperStation.Core.Quantities;

/// <summary>Instants as people read them; files and JSON keep UTC.</summary>
public static class LocalTime
{
    /// <summary>The instant in the zone, to the second, with the offset that held then: <c>2026-11-25 09:30:05 +01:00</c>.</summary>
    public static string Show(DateTimeOffset at, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(at, zone).ToString("yyyy-MM-dd HH:mm:ss zzz", CultureInfo.InvariantCulture);
}
