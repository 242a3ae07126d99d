namespace CaliperStation.Core.Toml;

/// <summary>A place in the text, from 1; a column is a Unicode code point, as editors count them.</summary>
public readonly record struct TextPlace(int Line, int Column);

/// <summary>A value of the text with its place. All spellings TOML has for the same thing (headers, dotted keys, inline tables) give the same tree.</summary>
public abstract class TomlNode(TextPlace place)
{
    /// <summary>Where it begins.</summary>
    public TextPlace Place => place;

    /// <summary>What it is, for a message: <c>a text</c>, <c>a list</c>.</summary>
    public abstract string Words { get; }
}

/// <summary>A text; <paramref name="raw"/> is the token as written, with its quotes.</summary>
public sealed class TomlText(TextPlace place, string value, string raw) : TomlNode(place)
{
    private TomlText? _whole;
    private int _from;

    /// <summary>The text without its quotes and escapes.</summary>
    public string Value => value;

    /// <summary>A text that no file wrote but that stands for something at a place: every character of it lies there.</summary>
    public static TomlText At(TextPlace place, string value) => new(place, value, "\"\"\"");

    /// <summary>The rest of the text from an index on, which keeps its places.</summary>
    public TomlText After(int index) => Part(index, value.Length - index);

    /// <summary>A part of the text, which keeps its places.</summary>
    public TomlText Part(int index, int length) => new(PlaceOf(index), value.Substring(index, length), raw) { _whole = _whole ?? this, _from = _from + index };

    /// <inheritdoc/>
    public override string Words => "a text";

    /// <summary>The place of a character of the value, by its index.</summary>
    public TextPlace PlaceOf(int index)
    {
        if (_whole is not null)
        {
            return _whole.PlaceOf(_from + index);
        }

        if (raw.StartsWith("\"\"\"", StringComparison.Ordinal) || raw.StartsWith("'''", StringComparison.Ordinal))
        {
            return Place;   // over several lines; nothing the format asks for is written so
        }

        int at = 1, passed = 0, column = Place.Column + 1;
        bool escapes = raw.StartsWith('"');
        while (passed < index && at < raw.Length - 1)
        {
            int next = escapes && raw[at] == '\\' && at + 1 < raw.Length ? at + EscapeLength(raw[at + 1]) : at + 1;
            for (; at < next && at < raw.Length; at++)
            {
                column += char.IsLowSurrogate(raw[at]) ? 0 : 1;
            }

            passed++;
        }

        return Place with { Column = column };
    }

    private static int EscapeLength(char kind) => kind switch
    {
        'x' => 4,
        'u' => 6,
        'U' => 10,
        _ => 2,
    };
}

/// <summary>A number.</summary>
public sealed class TomlNumber(TextPlace place, string raw, double value, long? whole) : TomlNode(place)
{
    /// <summary>As written.</summary>
    public string Raw => raw;

    /// <summary>Its value; may be infinite or not a number, as TOML allows.</summary>
    public double Value => value;

    /// <summary>Its value when it is written as a whole number, else null.</summary>
    public long? Whole => whole;

    /// <inheritdoc/>
    public override string Words => "a number";
}

/// <summary>True or false.</summary>
public sealed class TomlFlag(TextPlace place, bool value) : TomlNode(place)
{
    /// <summary>Which.</summary>
    public bool Value => value;

    /// <inheritdoc/>
    public override string Words => "true or false";
}

/// <summary>A date or a time: nothing in our formats is one.</summary>
public sealed class TomlDate(TextPlace place) : TomlNode(place)
{
    /// <inheritdoc/>
    public override string Words => "a date or time";
}

/// <summary>A list.</summary>
public sealed class TomlList(TextPlace place, bool byHeaders) : TomlNode(place)
{
    /// <summary>True for one made by <c>[[name]]</c> headers, which can grow.</summary>
    public bool ByHeaders => byHeaders;

    /// <summary>What is in it.</summary>
    public IReadOnlyList<TomlNode> Items => Growing;

    internal List<TomlNode> Growing { get; } = [];

    /// <inheritdoc/>
    public override string Words => "a list";
}

/// <summary>A table.</summary>
public sealed class TomlTable(TextPlace place) : TomlNode(place)
{
    private readonly OrderedDictionary<string, TomlEntry> _entries = [];

    /// <summary>An empty table at the beginning of the text.</summary>
    public static TomlTable Empty { get; } = new(new TextPlace(1, 1));

    /// <summary>Its keys and values in the order of the text.</summary>
    public IReadOnlyList<TomlEntry> Entries => _entries.Values;

    /// <summary>True when a header named it, so that a second header is a fault.</summary>
    internal bool HasHeader { get; set; }

    /// <summary>True for <c>{ … }</c>, which nothing can add to.</summary>
    internal bool IsInline { get; set; }

    /// <inheritdoc/>
    public override string Words => "a table";

    /// <summary>The entry of a key, or null.</summary>
    public TomlEntry? Find(string name) => _entries.GetValueOrDefault(name);

    internal void Add(TomlEntry entry) => _entries.Add(entry.Name, entry);

    /// <summary>Puts a value in, in place of the one that is there.</summary>
    internal void Set(TomlEntry entry) => _entries[entry.Name] = entry;
}

/// <summary>A key and its value.</summary>
public sealed record TomlEntry(string Name, TextPlace Place, TomlNode Node);
