namespace CaliperStation.Core.Tests.Shape;

/// <summary>A source file of the program.</summary>
/// <param name="Path">Relative to its project's folder, with <c>/</c>.</param>
/// <param name="Text">All of it.</param>
internal sealed record SourceFile(string Path, string Text)
{
    /// <summary>The first folder of the path, or empty for a file beside the project file.</summary>
    public string Folder => Path.Contains('/', StringComparison.Ordinal) ? Path[..Path.IndexOf('/', StringComparison.Ordinal)] : "";
}

/// <summary>The sources that the tests were built from.</summary>
internal static class SourceTree
{
    /// <summary>The nearest folder above the test's own that holds the solution.</summary>
    public static string Root { get; } = FindRoot(AppContext.BaseDirectory);

    public static string Read(string path) => File.ReadAllText(Path.Combine(Root, path));

    /// <summary>Every C# file of a project that is kept in the repository.</summary>
    public static IReadOnlyList<SourceFile> CSharp(string project)
    {
        string folder = Path.Combine(Root, project);
        return
        [
            .. Directory.EnumerateFiles(folder, "*.cs", SearchOption.AllDirectories)
                .Select(path => new SourceFile(Path.GetRelativePath(folder, path).Replace('\\', '/'), File.ReadAllText(path)))
                .Where(file => file.Folder is not "bin" and not "obj")
                .OrderBy(file => file.Path, StringComparer.Ordinal),
        ];
    }

    private static string FindRoot(string start)
    {
        for (DirectoryInfo? folder = new(start); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(Path.Combine(folder.FullName, "CaliperStation.sln")))
            {
                return folder.FullName;
            }
        }

        throw new DirectoryNotFoundException($"No folder above {start} holds CaliperStation.sln.");
    }
}
