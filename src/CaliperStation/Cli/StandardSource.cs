using System.Text;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Files;

namespace CaliperStation.Cli;

/// <summary>A standard and the exact bytes it was read from.</summary>
internal sealed record LoadedStandard(Standard Standard, byte[] Bytes);

/// <summary>Reads standards from files and from the program itself.</summary>
internal static class StandardSource
{
    /// <summary>What the demonstration is called where a file's name is asked for.</summary>
    internal const string DemonstrationName = "harbour-lantern.toml";

    /// <summary>The demonstration standard, of an invented company.</summary>
    internal static LoadedStandard Demonstration()
    {
        using Stream stream = typeof(StandardSource).Assembly.GetManifestResourceStream(DemonstrationName)
            ?? throw new InvalidOperationException($"The program was built without {DemonstrationName}.");
        byte[] bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return FromBytes(bytes, DemonstrationName);
    }

    /// <summary>A standard from a file.</summary>
    /// <exception cref="StationException">Exit 3: it cannot be read, or every fault of it.</exception>
    internal static LoadedStandard FromFile(string path) => FromBytes(GivenFile.ReadBytes(path), path);

    /// <summary>A standard from bytes; <paramref name="name"/> is what its faults are told under.</summary>
    /// <exception cref="StationException">Exit 3: every fault of it.</exception>
    internal static LoadedStandard FromBytes(byte[] bytes, string name)
    {
        StandardLoad load = StandardText.Load(bytes);
        return load.IsStandard
            ? new LoadedStandard(load.Standard, bytes)
            : throw new StationException(ExitCode.BadFile, FaultText.All(name, Encoding.UTF8.GetString(bytes), load.Faults));
    }
}
