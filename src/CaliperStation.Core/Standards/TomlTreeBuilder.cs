using Tomlyn.Syntax;

namespace CaliperStation.Core.Standards;

/// <summary>Reads TOML text to a tree with places; what is not TOML becomes faults, and what can still be read is kept.</summary>
/// <remarks>
/// The syntax tree is used, not the mapper: it knows every place and needs no reflection. Keys said twice are found here,
/// so that all of them are found in one go.
/// </remarks>
internal sealed class TomlTreeBuilder
{
    private const int DeepestPath = 8;   // the format needs four; each name is a table in a table

    private readonly FaultList _faults;
    private readonly TomlTable _root = new(new TextPlace(1, 1));

    private TomlTreeBuilder(FaultList faults) => _faults = faults;

    internal static TomlTable Read(string toml, FaultList faults)
    {
        TomlTreeBuilder builder = new(faults);
        if (TomlRecovery.Parse(toml, faults) is { } document)
        {
            builder.AddAll(builder._root, document.KeyValues);
            foreach (TableSyntaxBase table in document.Tables)
            {
                builder.AddTable(table);
            }
        }

        return builder._root;
    }

    private void AddTable(TableSyntaxBase syntax)
    {
        List<(string Name, TextPlace Place)> path = PathOf(syntax.Name);
        if (path.Count == 0)
        {
            return;
        }

        TomlTable? parent = _root;
        foreach ((string name, TextPlace at) in path.SkipLast(1))
        {
            parent = Descend(parent, name, at);
            if (parent is null)
            {
                return;
            }
        }

        (string last, TextPlace place) = path[^1];
        TextPlace header = PlaceOf(syntax.Span);
        TomlTable? table = syntax is TableArraySyntax ? AddToList(parent, last, place, header) : OpenTable(parent, last, place, header);
        if (table is not null)
        {
            AddAll(table, syntax.Items);
        }
    }

    private TomlTable? AddToList(TomlTable parent, string name, TextPlace place, TextPlace header)
    {
        TomlEntry? entry = parent.Find(name);
        if (entry is null)
        {
            entry = new TomlEntry(name, place, new TomlList(header, byHeaders: true));
            parent.Add(entry);
        }

        if (entry.Node is not TomlList { ByHeaders: true } list)
        {
            Twice(name, place, entry);
            return null;
        }

        TomlTable table = new(header) { HasHeader = true };
        list.Items.Add(table);
        return table;
    }

    private TomlTable? OpenTable(TomlTable parent, string name, TextPlace place, TextPlace header)
    {
        TomlEntry? entry = parent.Find(name);
        if (entry is null)
        {
            TomlTable made = new(header) { HasHeader = true };
            parent.Add(new TomlEntry(name, place, made));
            return made;
        }

        if (entry.Node is TomlTable { HasHeader: false, IsInline: false } table)
        {
            table.HasHeader = true;
            return table;
        }

        Twice(name, place, entry);
        return null;
    }

    private TomlTable? Descend(TomlTable parent, string name, TextPlace place)
    {
        TomlEntry? entry = parent.Find(name);
        if (entry is null)
        {
            TomlTable made = new(place);
            parent.Add(new TomlEntry(name, place, made));
            return made;
        }

        switch (entry.Node)
        {
            case TomlTable { IsInline: false } table:
                return table;
            case TomlList { ByHeaders: true, Items: [.., TomlTable last] }:
                return last;
            default:
                Twice(name, place, entry);
                return null;
        }
    }

    private void AddAll(TomlTable table, IEnumerable<KeyValueSyntax> entries)
    {
        foreach (KeyValueSyntax entry in entries)
        {
            List<(string Name, TextPlace Place)> path = PathOf(entry.Key);
            TomlNode? node = Node(entry.Value);
            TomlTable? into = table;
            foreach ((string name, TextPlace at) in path.SkipLast(1))
            {
                into = into is null ? null : Descend(into, name, at);
            }

            if (path.Count == 0 || node is null || into is null)
            {
                continue;   // the parser has said what is missing
            }

            (string last, TextPlace place) = path[^1];
            if (into.Find(last) is { } earlier)
            {
                Twice(last, place, earlier);
            }
            else
            {
                into.Add(new TomlEntry(last, place, node));
            }
        }
    }

    private TomlNode? Node(ValueSyntax? value)
    {
        if (value is null)
        {
            return null;
        }

        TextPlace place = PlaceOf(value.Span);
        switch (value)
        {
            case StringValueSyntax text:
                return text.Value is null ? null : new TomlText(place, text.Value, text.Token?.Text ?? string.Empty);
            case IntegerValueSyntax whole:
                return new TomlNumber(place, whole.Token?.Text ?? string.Empty, whole.Value, whole.Value);
            case FloatValueSyntax real:
                return new TomlNumber(place, real.Token?.Text ?? string.Empty, real.Value, null);
            case BooleanValueSyntax flag:
                return new TomlFlag(place, flag.Value);
            case ArraySyntax array:
                TomlList list = new(place, byHeaders: false);
                list.Items.AddRange(array.Items.Select(item => Node(item.Value)).OfType<TomlNode>());
                return list;
            case InlineTableSyntax inline:
                TomlTable open = new(place);
                AddAll(open, inline.Items.Select(item => item.KeyValue).OfType<KeyValueSyntax>());
                TomlTable closed = new(place) { IsInline = true };
                open.Entries.ForEach(closed.Add);
                return closed;
            default:
                return new TomlOther(place, "a date or time");
        }
    }

    private void Twice(string name, TextPlace place, TomlEntry earlier) =>
        _faults.Add(place, $"{FaultList.Quote(name)} is already said on line {earlier.Place.Line}", "keep one of the two");

    private List<(string Name, TextPlace Place)> PathOf(KeySyntax? key)
    {
        List<(string, TextPlace)> path = [];
        if (key?.Key is null)
        {
            return path;
        }

        IEnumerable<BareKeyOrStringValueSyntax?> parts = key.DotKeys.Select(dotted => dotted.Key).Prepend(key.Key);
        foreach (BareKeyOrStringValueSyntax? part in parts)
        {
            string? name = part switch
            {
                BareKeySyntax bare => bare.Key?.Text,
                StringValueSyntax text => text.Value,
                _ => null,
            };
            if (part is null || name is null)
            {
                return [];
            }

            path.Add((name, PlaceOf(part.Span)));
            if (path.Count > DeepestPath)
            {
                _faults.Add(PlaceOf(part.Span), "the key has too many dots", $"at most {DeepestPath} names");
                return [];
            }
        }

        return path;
    }

    internal static TextPlace PlaceOf(SourceSpan span) => new(Math.Max(span.Start.Line, 0) + 1, Math.Max(span.Start.Column, 0) + 1);
}
