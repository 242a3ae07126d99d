using System.Globalization;
using System.Text;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Writes a tree as TOML: keys of the top first, then tables, then lists of tables; comments and blank lines of the file are not kept.</summary>
public static class ExpandedText
{
    /// <summary>A standard's text in the long form alone; loading it gives the same plan. A text with faults gives them.</summary>
    /// <param name="toml">The file's text, in the short form, the long one or both.</param>
    public static (string? Text, IReadOnlyList<TextFault> Faults) Of(string toml)
    {
        StandardLoad load = StandardText.Load(toml);
        if (!load.IsStandard)
        {
            return (null, load.Faults);
        }

        FaultList faults = new();
        return (Written(ShortForm.Expand(TomlReader.Read(toml.TrimStart('\uFEFF'), faults)!, faults, new Dictionary<string, string>())), []);
    }

    internal static string Written(TomlTable root)
    {
        StringBuilder text = new();
        foreach (TomlEntry entry in root.Entries.Where(entry => entry.Node is not (TomlTable or TomlList { ByHeaders: true })))
        {
            Append(text, entry);
        }

        foreach (TomlEntry entry in root.Entries.Where(entry => entry.Node is TomlTable))
        {
            AppendTable(text, $"[{Key(entry.Name)}]", (TomlTable)entry.Node);
        }

        foreach (TomlEntry entry in root.Entries)
        {
            foreach (TomlTable table in entry.Node is TomlList { ByHeaders: true } list ? list.Items.OfType<TomlTable>() : [])
            {
                AppendTable(text, $"[[{Key(entry.Name)}]]", table);
            }
        }

        return text.ToString();
    }

    private static void AppendTable(StringBuilder text, string header, TomlTable table)
    {
        text.Append(CultureInfo.InvariantCulture, $"\n{header}\n");
        foreach (TomlEntry entry in table.Entries)
        {
            Append(text, entry);
        }
    }

    private static void Append(StringBuilder text, TomlEntry entry) => text.Append(CultureInfo.InvariantCulture, $"{Key(entry.Name)} = {Value(entry.Node)}\n");

    private static string Value(TomlNode node) => node switch
    {
        TomlText said => Quoted(said.Value),
        TomlNumber number => number.Raw,
        TomlFlag flag => flag.Value ? "true" : "false",
        TomlList list => $"[{string.Join(", ", list.Items.Select(Value))}]",
        TomlTable table => table.Entries.Count == 0 ? "{}" : $"{{ {string.Join(", ", table.Entries.Select(entry => $"{Key(entry.Name)} = {Value(entry.Node)}"))} }}",
        _ => throw new ArgumentException("Nothing in a standard is a date.", nameof(node)),
    };

    private static string Key(string name) => name.Length > 0 && name.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_') ? name : Quoted(name);

    /// <summary>A text as TOML writes it, in quotes.</summary>
    internal static string Quoted(string value)
    {
        StringBuilder text = new("\"");
        foreach (char c in value)
        {
            text.Append(c switch
            {
                '"' => "\\\"",
                '\\' => "\\\\",
                < ' ' or '\u007F' => string.Create(CultureInfo.InvariantCulture, $"\\u{(int)c:X4}"),
                _ => c.ToString(),
            });
        }

        return text.Append('"').ToString();
    }
}
