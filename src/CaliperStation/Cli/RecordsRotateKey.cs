using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary><c>records rotate-key</c>: retires the station's key and makes a new one; the retired public half stays, so its records still verify.</summary>
internal static class RecordsRotateKey
{
    internal static int Run(string? store, TextWriter output, TextWriter error)
    {
        StorePaths paths = StorePaths.OnThisMachine(store);
        using Store open = OpenStore.ForWork(paths, TimeProvider.System, error);   // its lock: no bench signs meanwhile
        using StationKey key = StationKey.Rotate(paths);
        output.WriteLine($"New key {key.Id}. Give its public half to whoever checks your records: {Path.Combine(paths.Keys, key.Id + ".pub.pem")}");
        return ExitCode.Good;
    }
}
