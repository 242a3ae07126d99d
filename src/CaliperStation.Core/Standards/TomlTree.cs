namespace CaliperStation.Core.Standards;

/// <summary>A place in the text, from 1; a column is a Unicode code point, as editors count them.</summary>
internal readonly record struct TextPlace(int Line, int Column) : IComparable<TextPlace>
{
    public int CompareTo(TextPlace other) => Line == other.Line ? Column.CompareTo(other.Column) : Line.CompareTo(other.Line);
}

/// <summary>A value of the text with its place. All spellings TOML has for the same thing (headers, dotted keys, inline tables) give the same tree.</summary>
internal abstract class TomlNode(TextPlace place)
{
    internal TextPlace Place => place;

    /// <summary>What it is, for a message: <c>a text</c>, <c>a list</c>.</summary>
    internal abstract string Words { get; }
}

/// <summary>A text; <paramref name="raw"/> is the token as written, with its quotes.</summary>
internal sealed class TomlText(TextPlace place, string value, string raw) : TomlNode(place)
{
    private TomlText? _whole;
    private int _from;

    internal string Value => value;

    /// <summary>The rest of the text from an index on, which keeps its places.</summary>
    internal TomlText After(int index) => new(PlaceOf(index), value[index..], raw) { _whole = _whole ?? this, _from = _from + index };

    internal override string Words => "a text";

    /// <summary>The place of a character of the value, by its index.</summary>
    internal TextPlace PlaceOf(int index)
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

/// <summary>A number as written.</summary>
internal sealed class TomlNumber(TextPlace place, string raw, double value, long? whole) : TomlNode(place)
{
    internal string Raw => raw;

    internal double Value => value;

    internal long? Whole => whole;

    internal override string Words => "a number";
}

/// <summary>A date, a time, true or false: nothing in the format is one.</summary>
internal sealed class TomlOther(TextPlace place, string words) : TomlNode(place)
{
    internal override string Words => words;
}

/// <summary>True or false.</summary>
internal sealed class TomlFlag(TextPlace place, bool value) : TomlNode(place)
{
    internal bool Value => value;

    internal override string Words => "true or false";
}

/// <summary>A list; one made by <c>[[name]]</c> headers can grow.</summary>
internal sealed class TomlList(TextPlace place, bool byHeaders) : TomlNode(place)
{
    internal bool ByHeaders => byHeaders;

    internal List<TomlNode> Items { get; } = [];

    internal override string Words => "a list";
}

/// <summary>A table.</summary>
internal sealed class TomlTable(TextPlace place) : TomlNode(place)
{
    private readonly Dictionary<string, TomlEntry> _byName = [];

    internal List<TomlEntry> Entries { get; } = [];

    /// <summary>True when a header named it, so that a second header is a fault.</summary>
    internal bool HasHeader { get; set; }

    /// <summary>True for <c>{ … }</c>, which nothing can add to.</summary>
    internal bool IsInline { get; init; }

    internal override string Words => "a table";

    internal TomlEntry? Find(string name) => _byName.GetValueOrDefault(name);

    internal void Add(TomlEntry entry)
    {
        Entries.Add(entry);
        _byName.Add(entry.Name, entry);
    }
}

/// <summary>A key and its value.</summary>
internal sealed record TomlEntry(string Name, TextPlace Place, TomlNode Node);
