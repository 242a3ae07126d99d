using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <content>The rules over readings.</content>
internal sealed partial class StandardReader
{
    private const double FinestNumber = 1e-9;   // of a milliradian or of a ratio: only 0 and below are refused

    private List<(RelationDraft Draft, Relation Relation)> ReadRelations(List<ItemDraft> items, List<StepDraft> steps, Length? within)
    {
        List<(RelationDraft, Relation)> relations = [];
        HashSet<string> askedFor = [.. AskedFor()];
        foreach (TableReader table in Tables(StandardFormat.Relation))
        {
            RelationKind? kind = table.Word<int>("kind", [.. RelationKind.All.Select((each, index) => (each.Word, index))]) is { } at ? RelationKind.All[at] : null;
            IReadOnlyList<TomlText> of = ReadOf(table);
            (Length? span, string? spanStep) = kind?.TakesSpan == true ? ReadSpan(table, kind) : (null, null);
            (List<Length> add, List<string> addSteps) = kind?.Keys.Contains("add") == true ? ReadAdd(table, items) : ([], []);
            string? id = StandardNames.IdOf(table.Source);
            List<Limits> limits = [];
            bool mixed = table.Flag("mixed") ?? false;
            if (kind is { } known)
            {
                CheckKeys(table, known);
                CheckReadings(table, known, of, steps, mixed);
                limits = ReadLimits(table, known, within, id is not null && askedFor.Contains(id)) ?? [];
            }

            RelationDraft draft = new(table, id, kind, of, spanStep is null ? addSteps : [.. addSteps, spanStep], _conditions.Read(table, mayAskValues: true));
            relations.Add((draft, new Relation(
                draft.Id ?? string.Empty, kind ?? RelationKind.Gap, [.. of.Select(text => text.Value)], limits, span, spanStep, add, addSteps, draft.When, ReadSource(table))));
        }

        return relations;
    }

    // A relation that a condition asks about may be a bare value, without limits of its own.
    private IEnumerable<string> AskedFor() => StandardNames.Tables(_root, StandardFormat.Step).Concat(StandardNames.Tables(_root, StandardFormat.Relation))
        .Select(table => table.Find("when")?.Node).OfType<TomlTable>().SelectMany(when => when.Entries).Select(entry => entry.Name);

    private IReadOnlyList<TomlText> ReadOf(TableReader table)
    {
        IReadOnlyList<TomlText> of = table.Texts("of", 50, StandardNames.MaxIdLength) ?? [];
        foreach (TomlText unknown in of.Where(text => !_names.Steps.ContainsKey(text.Value)))
        {
            _names.Unknown(unknown.Place, "step", unknown.Value, _names.Steps.Keys);
        }

        foreach (TomlText twice in of.Where((text, index) => of.Take(index).Any(earlier => earlier.Value == text.Value)))
        {
            _faults.Add(twice.Place, $"{table.Label} reads {FaultList.Quote(twice.Value)} twice", "each step once");
        }

        return of;
    }

    private (Length? Span, string? Step) ReadSpan(TableReader table, RelationKind kind)
    {
        if (table.Find("span")?.Node is not { } node)
        {
            if (kind.NeedsSpan)
            {
                _faults.Add(table.Place, $"{table.Label} has no span", "span = the distance between the two readings, or the step that reads it");
            }

            return (null, null);   // of a level, judging takes the distance of its two points
        }

        if (node is TomlText text && _names.Steps.ContainsKey(text.Value))
        {
            return (null, text.Value);
        }

        if (node is TomlText { Value: [var first, ..] } name && char.IsAsciiLetter(first))
        {
            _names.Unknown(name.Place, "step", name.Value, _names.Steps.Keys);
            return (null, null);
        }

        return (_measures.Positive(node, "span"), null);
    }

    private (List<Length> Add, List<string> Steps) ReadAdd(TableReader table, List<ItemDraft> items)
    {
        List<Length> add = [];
        List<string> steps = [];
        if (!table.Has("add"))
        {
            _faults.Add(table.Place, $"{table.Label} has no add", "add = the sizes of which half is added: [\"rack.height\", \"1 1/2\", \"step-id\"]");
        }

        IReadOnlyList<TomlNode> nodes = table.Find("add")?.Node is TomlText one ? [one] : table.List("add", 4, "[\"rack.height\", \"1 1/2\", \"step-id\"]") ?? [];
        foreach (TomlNode node in nodes)
        {
            if (node is TomlText text && _names.Steps.ContainsKey(text.Value))
            {
                steps.Add(text.Value);
            }
            else if (node is TomlText { Value: [var first, ..] } name && char.IsAsciiLetter(first))
            {
                ReadStatedSize(name, items, add);
            }
            else if (_measures.Positive(node, "add") is { } length)
            {
                add.Add(length);
            }
        }

        return (add, steps);
    }

    private void ReadStatedSize(TomlText text, List<ItemDraft> items, List<Length> add)
    {
        int dot = text.Value.LastIndexOf('.');
        string thing = dot < 0 ? text.Value : text.Value[..dot], side = dot < 0 ? string.Empty : text.Value[(dot + 1)..];
        PlanePoint? size = SizeOf(items, thing);
        if (side is "width" or "height" && size is { } known)
        {
            add.Add(side == "width" ? known.Right : known.Up);
        }
        else if (side is not ("width" or "height") || !_names.Items.ContainsKey(thing))   // an item whose size is at fault has its fault already
        {
            IEnumerable<string> sizes = _names.Items.Keys.Concat(_names.Landmarks.Values.Where(landmark => landmark.Size is not null).Select(landmark => landmark.Name));
            _names.Unknown(text.Place, "size or step", text.Value, [.. _names.Steps.Keys, .. sizes.SelectMany(id => new[] { id + ".width", id + ".height" })]);
        }
    }

    private List<Limits>? ReadLimits(TableReader table, RelationKind kind, Length? within, bool mayBeOpen)
    {
        LimitsReader<Length> lengths = LengthLimits(within);
        if (kind.ImpliedUpper is { } implied)
        {
            (Length? max, bool isExcluded) = table.Has("max") ? lengths.Limit(table, "max") : (implied, false);
            return max is null ? null : [new Limits(null, max, null) { UpperExcluded = isExcluded }];
        }

        return kind.Dimension switch
        {
            Dimension.Length => OfLengths(lengths.Bands(table, kind.AimsAtZero ? Length.Zero : null, mayBeOpen)),
            Dimension.Angle => OfNumbers(new LimitsReader<double>((node, key) => _measures.Angle(node, key), _faults, null, FinestNumber, "0").Bands(table, kind.AimsAtZero ? 0.0 : null, mayBeOpen)),
            Dimension.Ratio => OfNumbers(new LimitsReader<double>((node, key) => _measures.Ratio(node, key), _faults, null, FinestNumber, "0").Bands(table, kind.AimsAtZero ? 0.0 : null, mayBeOpen)),
        };
    }

    private static List<Limits>? OfLengths(List<LimitsReader<Length>.Band>? bands) => bands?.ConvertAll(band => new Limits(band.Lower, band.Upper, band.Nominal) { LowerExcluded = band.LowerExcluded, UpperExcluded = band.UpperExcluded });

    private static List<Limits>? OfNumbers(List<LimitsReader<double>.Band>? bands) =>
        bands?.ConvertAll(band => new Limits(null, null, null, band.Lower, band.Upper, band.Nominal) { LowerExcluded = band.LowerExcluded, UpperExcluded = band.UpperExcluded });

    private string? ReadSource(TableReader table)
    {
        if (table.Find("source")?.Node is not TomlTable node)
        {
            return table.Text("source", MaxHintLength);
        }

        TableReader source = new(node, StandardFormat.Source, _faults, $"source of {table.Label}");
        string?[] parts = [source.Text("document", MaxAskLength), source.Text("clause", MaxAskLength), source.Text("address", MaxAskLength)];
        return string.Join(", ", parts.OfType<string>());
    }
}
