using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Every id of the file, gathered before anything refers to one.</summary>
internal sealed class StandardNames
{
    internal const int MaxIdLength = 64;
    internal const int MaxNameLength = 80;

    private readonly FaultList _faults;
    private readonly HashSet<string> _asked = [];

    internal StandardNames(TomlTable root, FaultList faults)
    {
        _faults = faults;
        Questions = Ids(root, StandardFormat.Question);
        Dictionary<string, TomlTable> ready = Ids(root, StandardFormat.Ready);
        Items = Ids(root, StandardFormat.Item);
        Steps = Ids(root, StandardFormat.Step);
        Relations = Ids(root, StandardFormat.Relation);
        foreach ((string id, TomlTable table) in Ids(root, StandardFormat.Look))
        {
            if (ready.ContainsKey(id) || Relations.ContainsKey(id))
            {
                faults.Add(table.Find("id")!.Node.Place, $"{FaultList.Quote(id)} is the id of a {(ready.ContainsKey(id) ? "[[ready]] line" : "[[relation]]")} too, and a record could mean either", "another id");
            }
        }

        foreach ((string id, TomlTable table) in Relations)
        {
            if (Questions.ContainsKey(id))
            {
                faults.Add(table.Find("id")!.Node.Place, $"{FaultList.Quote(id)} is a question's id too, and a condition could mean either", "another id");
            }
        }
    }

    internal Dictionary<string, TomlTable> Questions { get; }

    internal Dictionary<string, TomlTable> Items { get; }

    internal Dictionary<string, TomlTable> Steps { get; }

    internal Dictionary<string, TomlTable> Relations { get; }

    /// <summary>Landmarks with their size for the picture, in the order of the file; those of <c>[[landmark]]</c> first.</summary>
    internal Dictionary<string, Landmark> Landmarks { get; } = [];

    /// <summary>The tables of one kind.</summary>
    internal static IEnumerable<TomlTable> Tables(TomlTable root, TableFormat format) =>
        root.Find(format.Name)?.Node is TomlList list ? list.Items.OfType<TomlTable>().Take(format.Most) : [];

    /// <summary>The id of a table when it is a good one.</summary>
    internal static string? IdOf(TomlTable table) => table.Find("id")?.Node is TomlText { Value: var id } && IsId(id) ? id : null;

    /// <summary>What to call a table in a message.</summary>
    internal static string LabelOf(TomlTable table, TableFormat format) =>
        (table.Find("id") ?? table.Find("name"))?.Node is TomlText text ? $"{format.Name} {FaultList.Quote(text.Value)}" : $"this {format.Header}";

    /// <summary>Remembers that a condition asks about a question.</summary>
    internal void Ask(string question) => _asked.Add(question);

    internal bool IsAsked(string question) => _asked.Contains(question);

    /// <summary>A fault about a name that nobody has.</summary>
    internal void Unknown(TextPlace place, string what, string name, IReadOnlyCollection<string> known)
    {
        string? near = NearestName.To(name, known);
        string listed = known.Count == 0 ? "there is none yet" : $"one of {FaultList.Shown(string.Join(", ", known), 200)}";
        _faults.Add(place, $"there is no {what} {FaultList.Quote(name)}", near is null ? listed : $"\"{FaultList.Shown(near, MaxNameLength)}\"");
    }

    private Dictionary<string, TomlTable> Ids(TomlTable root, TableFormat format)
    {
        Dictionary<string, TomlTable> ids = [];
        foreach (TomlTable table in Tables(root, format))
        {
            if (table.Find("id")?.Node is not TomlText text)
            {
                continue;
            }

            if (!IsId(text.Value))
            {
                _faults.Add(text.Place, $"{FaultList.Quote(text.Value)} is no id", $"up to {MaxIdLength} of a-z A-Z 0-9 - _, a letter first");
            }
            else if (!ids.TryAdd(text.Value, table))
            {
                _faults.Add(text.Place, $"another {format.Name} has the id {FaultList.Quote(text.Value)}, on line {ids[text.Value].Find("id")!.Place.Line}", "an id of its own");
            }
        }

        return ids;
    }

    // A letter first, so that no id reads as a length; no dot, which parts an item from its rows or width.
    private static bool IsId(string text) =>
        text.Length is > 0 and <= MaxIdLength && char.IsAsciiLetter(text[0]) && text.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_');
}
