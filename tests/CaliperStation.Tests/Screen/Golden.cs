using System.Runtime.CompilerServices;

namespace CaliperStation.Tests.Screen;

/// <summary>Compares a text with the file that is kept of it. A missing file fails; <c>UPDATE_GOLDENS=1</c> writes it.</summary>
internal static class Golden
{
    public static void Matches(string name, string text)
    {
        string path = Path.Combine(Folder(), name + ".txt");
        if (Environment.GetEnvironmentVariable("UPDATE_GOLDENS") == "1")
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            File.WriteAllText(path, text);
        }

        Assert.True(File.Exists(path), $"{path} is missing; look at the text and keep it with UPDATE_GOLDENS=1:\n{text}");
        Assert.Equal(File.ReadAllText(path), text);
    }

    private static string Folder([CallerFilePath] string here = "") =>
        Path.Combine(Path.GetDirectoryName(here)!, "..", "Goldens", "Bench");
}
