using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Files;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace CaliperStation.Devices;

/// <summary>Writes single settings into the file, leaving everything else in it as the person wrote it.</summary>
internal static class SettingsFile
{
    /// <summary>Sets one key to a string. The new text is read before it is written, so that a bad file is refused and never made worse.</summary>
    /// <exception cref="StationException">Exit 3: the file is bad or cannot be written.</exception>
    internal static void Set(string path, string key, string value) => Set(path, text => With(text, key, value));

    /// <summary>Sets what studies found of hands, read and written alike.</summary>
    /// <exception cref="StationException">Exit 3: the file is bad or cannot be written.</exception>
    internal static void SetHands(string path, IReadOnlyList<HandFigure> hands) => Set(path, text => With(text, HandFigureSettings.Key, hands));

    private static void Set(string path, Func<string, string> change)
    {
        string before = File.Exists(path) ? GivenFile.ReadText(path) : "";
        string after = change(before);
        _ = Settings.Parse(after, path);
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
            OwnFile.Replace(path, Encoding.UTF8.GetBytes(after));
        }
        catch (Exception fault) when (FileFault.Is(fault))
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} cannot be written: {PrintableText.Escape(fault.Message)}", fault);
        }
    }

    /// <summary>The text with the key set where it stood, else at the end; comments and all else stay.</summary>
    internal static string With(string text, string key, string value)
    {
        DocumentSyntax document = SyntaxParser.Parse(text, string.Empty, validate: false);
        StringValueSyntax wanted = new(value);
        KeyValueSyntax? there = Find(document, key);
        if (there?.Value is StringValueSyntax { Token: { } token })
        {
            token.Text = wanted.Token!.Text;   // what stands behind it, such as a comment, hangs on the token
            return document.ToString();
        }

        if (there is not null)
        {
            there.Value = wanted;
            return document.ToString();
        }

        return Appended(text, new KeyValueSyntax(key, wanted).ToString());
    }

    /// <summary>The text with the figures of hands in place of those it had: one line, where the old one stood, else at the end.</summary>
    internal static string With(string text, string key, IReadOnlyList<HandFigure> hands)
    {
        DocumentSyntax document = SyntaxParser.Parse(text, string.Empty, validate: false);
        string line = $"{key} = {HandFigureSettings.Write(hands)}\n";
        if (Find(document, key) is not { } there)
        {
            return Appended(text, line);
        }

        there.Value = Detached(line);
        return document.ToString();
    }

    private static ValueSyntax Detached(string line)
    {
        KeyValueSyntax pair = SyntaxParser.Parse(line, string.Empty, validate: false).KeyValues.First();
        ValueSyntax value = pair.Value!;
        pair.Value = null;
        return value;
    }

    private static KeyValueSyntax? Find(DocumentSyntax document, string key) =>
        document.KeyValues.FirstOrDefault(pair => (pair.Key?.Key is StringValueSyntax quoted ? quoted.Value : pair.Key?.ToString().Trim()) == key);

    private static string Appended(string text, string line) => text.Length == 0 || text.EndsWith('\n') ? text + line : $"{text}\n{line}";
}
