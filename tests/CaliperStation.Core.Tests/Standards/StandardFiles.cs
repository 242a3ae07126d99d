using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Standards;

/// <summary>Test data on the disk, and a short way to load a text.</summary>
internal static class StandardFiles
{
    internal static string Text(string name) => File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "TestData", name));

    internal static Standard Loaded(string toml)
    {
        StandardLoad load = StandardText.Load(toml);
        Assert.True(load.IsStandard, string.Join(Environment.NewLine, load.Faults));
        return load.Standard;
    }
}
