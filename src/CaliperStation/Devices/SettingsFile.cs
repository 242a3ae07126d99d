using CaliperStation.Core.Quantities;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>Writes single settings into the file, leaving everything else in it as the person wrote it.</summary>
internal static class SettingsFile
{
    /// <summary>Sets one key to a string. The new text is read before it is written, so that a bad file is told and never made worse.</summary>
    /// <exception cref="StationException">Exit 3: the file is bad or cannot be written.</exception>
    internal static void Set(string path, string key, string value)
    {
        string before = File.Exists(path) ? GivenFile.ReadText(path) : "";
        string after = With(before, key, value);
        _ = Settings.Parse(after, path);
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
            string beside = path + ".new";
            File.WriteAllText(beside, after);
            File.Move(beside, path, overwrite: true);   // whole or not at all
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} cannot be written: {PrintableText.Escape(fault.Message)}", fault);
        }
    }

    /// <summary>The text with the key set: on its own line where it stood, else in a new line at the end.</summary>
    internal static string With(string text, string key, string value)
    {
        string wanted = $"{key} = \"{value}\"";
        List<string> lines = [.. text.Split('\n')];
        int at = lines.FindIndex(line => line.TrimStart() is var start && start.StartsWith(key, StringComparison.Ordinal) && start[key.Length..].TrimStart().StartsWith('='));
        if (at >= 0)
        {
            lines[at] = wanted;
            return string.Join('\n', lines);
        }

        return text.Length == 0 || text.EndsWith('\n') ? $"{text}{wanted}\n" : $"{text}\n{wanted}\n";
    }
}
