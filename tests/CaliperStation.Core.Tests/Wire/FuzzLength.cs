using System.Globalization;

namespace CaliperStation.Core.Tests.Wire;

/// <summary>How long the random tests of the decoders run: <c>CALIPER_STATION_FUZZ=200</c> makes them two hundred times as long, each run from other seeds.</summary>
internal static class FuzzLength
{
    private static readonly int _times = int.Parse(Environment.GetEnvironmentVariable("CALIPER_STATION_FUZZ") ?? "1", CultureInfo.InvariantCulture);

    /// <summary>As often as an ordinary test run does it, or more.</summary>
    internal static long Of(int ordinary) => (long)ordinary * _times;
}
