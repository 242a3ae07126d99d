using Tomlyn;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace CaliperStation.Core.Toml;

/// <summary>Reads TOML text to a tree with places, the only reader of TOML here.</summary>
/// <remarks>
/// The library's syntax tree is used, not its mapper: it knows every place and needs no reflection. But it is the tree of what is written; headers,
/// dotted keys and inline tables say the same thing in three ways, and here they become one. Keys said twice are found on the way, all in one go.
/// </remarks>
public sealed class TomlReader
{
    private const string Instead = "key = value on one line, texts in \"quotes\", lists in [brackets] with commas";
    private const int DeepestPath = 8;   // the format needs four; each name is a table in a table

    private readonly FaultList _faults;
    private readonly TomlTable _root = new(new TextPlace(1, 1));

    private TomlReader(FaultList faults) => _faults = faults;

    /// <summary>The tree, or null when the text is not TOML: then the parser's first fault is told, for one missing quote turns every later text inside out and makes each line a fault.</summary>
    public static TomlTable? Read(string toml, FaultList faults)
    {
        DocumentSyntax document;
        try
        {
            document = SyntaxParser.Parse(toml, string.Empty, validate: false);   // the validator knows no places of keys said twice; the tree does
        }
        catch (TomlException exception)   // nested too deep
        {
            TellSyntax(exception.Diagnostics, faults);
            return null;
        }
        catch (ArgumentException)   // an escape beyond Unicode in a text that never ends makes the parser throw instead of saying so
        {
            faults.Add(new TextPlace(1, 1), "this is not TOML: a text has no end", Instead);
            return null;
        }

        if (document.Diagnostics.Count > 0)
        {
            TellSyntax(document.Diagnostics, faults);
            return null;
        }

        TomlReader reader = new(faults);
        reader.AddAll(reader._root, document.KeyValues);
        foreach (TableSyntaxBase table in document.Tables)
        {
            reader.AddTable(table);
        }

        return reader._root;
    }

    private static void TellSyntax(DiagnosticsBag diagnostics, FaultList faults)
    {
        DiagnosticMessage? first = diagnostics.OrderBy(message => message.Span.Start.Offset).FirstOrDefault();
        string message = first?.Message ?? "it cannot be read";
        bool isKeyOfWords = message.StartsWith("Expecting `=` after a key", StringComparison.Ordinal);
        faults.Add(first is null ? new TextPlace(1, 1) : PlaceOf(first.Span), $"this is not TOML: {FaultList.Shown(message, 200)}", isKeyOfWords ? "a key of one word, as in both-sides = true, or in quotes; then = and its value" : Instead);
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
        list.Growing.Add(table);
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
                list.Growing.AddRange(array.Items.Select(item => Node(item.Value)).OfType<TomlNode>());
                return list;
            case InlineTableSyntax inline:
                TomlTable table = new(place);
                AddAll(table, inline.Items.Select(item => item.KeyValue).OfType<KeyValueSyntax>());
                table.IsInline = true;
                return table;
            default:
                return new TomlDate(place);
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
