using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Toml;

/// <summary>Reads the keys of one table; every wrong type is a fault, and null comes back.</summary>
public sealed class TableReader
{
    private readonly TomlTable _table;
    private readonly FaultList _faults;

    /// <summary>Starts reading, and tells the keys that are missing or unknown.</summary>
    public TableReader(TomlTable table, TableFormat format, FaultList faults, string label)
    {
        _table = table;
        _faults = faults;
        Label = label;
        foreach (KeyFormat key in format.Keys.Where(key => key.Required && table.Find(key.Name) is null))
        {
            faults.Add(table.Place, $"{label} has no {key.Name}", $"{key.Name} = {key.Example}");
        }

        foreach (TomlEntry entry in table.Entries.Where(entry => format.Keys.All(key => key.Name != entry.Name)))
        {
            string? near = NearestName.To(entry.Name, format.Keys.Select(key => key.Name));
            faults.Add(entry.Place, $"{label} has no key {FaultList.Quote(entry.Name)}", near ?? $"one of {string.Join(", ", format.Keys.Select(key => key.Name))}");
        }
    }

    /// <summary>What to call the table in a message: <c>item "rack"</c>.</summary>
    public string Label { get; }

    /// <summary>The table itself.</summary>
    public TomlTable Source => _table;

    /// <summary>Where the table begins.</summary>
    public TextPlace Place => _table.Place;

    /// <summary>The entry of a key, or null.</summary>
    public TomlEntry? Find(string key) => _table.Find(key);

    /// <summary>True when the key is there.</summary>
    public bool Has(string key) => _table.Find(key) is not null;

    /// <summary>The place of a key's value, or of the table when it has no such key.</summary>
    public TextPlace PlaceOf(string key) => Find(key)?.Node.Place ?? Place;

    /// <summary>A text to be shown to people: one line, nothing unprintable, not longer than it can be read.</summary>
    public string? Text(string key, int most)
    {
        TomlText? text = Typed<TomlText>(key, "a text in \"quotes\"");
        return text is not null && IsShowable(text, key, most, _faults) ? text.Value : null;
    }

    /// <summary>A list of texts; a single text counts as a list of one.</summary>
    public IReadOnlyList<TomlText>? Texts(string key, int most, int maxLength)
    {
        TomlEntry? entry = Find(key);
        if (entry is null)
        {
            return null;
        }

        if (entry.Node is TomlText one)
        {
            return IsShowable(one, key, maxLength, _faults) ? [one] : null;
        }

        IReadOnlyList<TomlNode>? items = List(key, most, "a list of texts, [\"…\", \"…\"]");
        if (items is null)
        {
            return null;
        }

        foreach (TomlNode item in items.Where(item => item is not TomlText))
        {
            _faults.Add(item.Place, $"{key} holds {item.Words} where a text belongs", "a text in \"quotes\"");
        }

        List<TomlText> texts = [.. items.OfType<TomlText>()];
        return texts.Count == items.Count && texts.TrueForAll(text => IsShowable(text, key, maxLength, _faults)) ? texts : null;
    }

    /// <summary>A list with something in it.</summary>
    public IReadOnlyList<TomlNode>? List(string key, int most, string instead)
    {
        TomlList? list = Typed<TomlList>(key, instead);
        if (list is null)
        {
            return null;
        }

        if (list.Items.Count == 0)
        {
            _faults.Add(list.Place, $"{key} of {Label} is empty", instead);
            return null;
        }

        if (list.Items.Count > most)
        {
            _faults.Add(list.Place, $"{key} of {Label} has {list.Items.Count} entries", $"at most {most}");
            return null;
        }

        return list.Items;
    }

    /// <summary>A table.</summary>
    public TomlTable? Table(string key, string instead) => Typed<TomlTable>(key, instead);

    /// <summary>True or false; null when it is neither or not there.</summary>
    public bool? Flag(string key) => Typed<TomlFlag>(key, "true or false")?.Value;

    /// <summary>A whole number in a range.</summary>
    public int? Count(string key, int least, int most)
    {
        TomlNumber? number = Typed<TomlNumber>(key, $"a whole number from {least} to {most}");
        if (number is null)
        {
            return null;
        }

        if (number.Whole is not { } whole || whole < least || whole > most)
        {
            _faults.Add(number.Place, $"{key} of {Label} is {FaultList.Shown(number.Raw, 30)}", $"a whole number from {least} to {most}");
            return null;
        }

        return (int)whole;
    }

    /// <summary>One of a few words.</summary>
    public T? Word<T>(string key, IReadOnlyList<(string Word, T Value)> words)
        where T : struct
    {
        string list = string.Join(", ", words.Select(pair => $"\"{pair.Word}\""));
        TomlText? text = Typed<TomlText>(key, $"one of {list}");
        if (text is null)
        {
            return null;
        }

        foreach ((string word, T value) in words)
        {
            if (text.Value == word)
            {
                return value;
            }
        }

        string? near = NearestName.To(text.Value, words.Select(pair => pair.Word));
        _faults.Add(text.Place, $"{key} knows no {FaultList.Quote(text.Value)}", near is null ? $"one of {list}" : $"\"{near}\"");
        return null;
    }

    private T? Typed<T>(string key, string instead)
        where T : TomlNode
    {
        TomlNode? node = Find(key)?.Node;
        if (node is null or T)
        {
            return (T?)node;
        }

        _faults.Add(node.Place, $"{key} of {Label} is {node.Words}", instead);
        return null;
    }

    private static bool IsShowable(TomlText text, string key, int most, FaultList faults)
    {
        string value = text.Value;
        if (string.IsNullOrWhiteSpace(value))
        {
            faults.Add(text.Place, $"{key} is empty", "a text with words in it");
            return false;
        }

        if (value.Length > most)
        {
            faults.Add(text.Place, $"{key} has {value.Length} characters", $"at most {most}");
            return false;
        }

        for (int index = 0; index < value.Length; index += char.IsSurrogatePair(value, index) ? 2 : 1)
        {
            string one = value.Substring(index, char.IsSurrogatePair(value, index) ? 2 : 1);
            if (PrintableText.Escape(one) != one)
            {
                faults.Add(text.PlaceOf(index), $"{key} holds {PrintableText.Escape(one)}, which cannot be printed", "a text on one line, without control characters");
                return false;
            }
        }

        return true;
    }
}
