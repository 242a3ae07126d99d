using CaliperStation.Core.Standards;

namespace CaliperStation.Demonstration;

/// <summary>The standard that the program carries with it, of an invented company.</summary>
internal static class DemonstrationStandard
{
    /// <summary>What to call it where a file's name is asked for.</summary>
    internal const string Name = "harbour-lantern.toml";

    /// <summary>Its bytes, as they stand in the documentation's examples too.</summary>
    internal static byte[] Bytes()
    {
        using Stream stream = typeof(DemonstrationStandard).Assembly.GetManifestResourceStream(Name)
            ?? throw new InvalidOperationException($"The program was built without {Name}.");
        byte[] bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return bytes;
    }

    /// <summary>The standard; a test loads it, so it has no faults.</summary>
    internal static Standard Load()
    {
        StandardLoad load = StandardText.Load(Bytes());
        return load.Standard ?? throw new InvalidOperationException($"{Name} has {load.Faults.Count} faults.");
    }
}
