using CaliperStation.Storage;

namespace CaliperStation.Tests;

/// <summary>A folder of its own for one test, gone afterwards.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("caliper-station-test-").FullName;

    public StorePaths Paths => StorePaths.Find(Path, _ => null, Platform.Unix, "");

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
