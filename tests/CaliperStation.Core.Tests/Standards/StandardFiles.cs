using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Standards;

/// <summary>Test data on the disk, and a short way to load a text.</summary>
internal static class StandardFiles
{
    internal static string Text(string name) => File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "TestData", name));

    /// <summary>The path of a file of the documentation, copied beside the tests.</summary>
    internal static string DocsPath(string name) => Path.Combine(AppContext.BaseDirectory, "Documentation", name);

    internal static string Docs(string name) => File.ReadAllText(DocsPath(name));

    internal static Standard Loaded(string toml)
    {
        StandardLoad load = StandardText.Load(toml);
        Assert.True(load.IsStandard, string.Join(Environment.NewLine, load.Faults));
        return load.Standard;
    }
}
