using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <content>The readings.</content>
internal sealed partial class StandardReader
{
    private List<(StepDraft Draft, Step Step)> ReadSteps(List<ItemDraft> items)
    {
        List<(StepDraft, Step)> steps = [];
        foreach (TableReader table in Tables(StandardFormat.Step))
        {
            string? ask = table.Text("ask", MaxAskLength), hint = table.Text("hint", MaxHintLength), caution = table.Text("caution", MaxHintLength);
            bool isSize = table.Has("reads") || (!table.Has("grows") && (!table.Has("from") || SameText(table, "from", "of")));
            string? of = ThingOf(table, "of", mayBeLandmark: isSize);
            string? from = table.Has("from") ? ThingOf(table, "from", mayBeLandmark: true) : isSize ? of : null;
            (Direction? grows, ReadingAxis axis) = isSize ? (null, ReadSizeAxis(table)) : ReadGrows(table);
            PlanePoint? at = _measures.Point(table, "at", EdgesOf(items, of)), fromAt = _measures.Point(table, "from-at", EdgesOf(items, from));
            if (!isSize)
            {
                CheckEnds(table, of, from);
            }

            StepDraft draft = new(table, StandardNames.IdOf(table.Source), of, from, grows, isSize, axis, at, _conditions.Read(table, mayAskValues: true));
            steps.Add((draft, new Step(
                draft.Id ?? string.Empty, of ?? string.Empty, from ?? string.Empty, at ?? default, fromAt, grows, ask ?? string.Empty, hint, caution, draft.When)));
        }

        return steps;
    }

    private void CheckEnds(TableReader table, string? of, string? from)
    {
        if (!table.Has("from"))
        {
            _faults.Add(table.Place, $"{table.Label} has no from", "from = the item or landmark at the other end; for a size of the item itself, reads = \"width\" or \"height\"");
        }

        if (!table.Has("at"))
        {
            _faults.Add(table.Place, $"{table.Label} has no at", "at = where on the item, from its centre: [\"-2 1/16\", \"0\"]");
        }

        if (of is not null && of == from)
        {
            _faults.Add(table.PlaceOf("grows"), $"{table.Label} reads the item itself, which no move of it changes", "no grows; or another from");
        }
    }

    private ReadingAxis ReadSizeAxis(TableReader table)
    {
        foreach (string key in GapKeys.Where(table.Has))
        {
            _faults.Add(table.PlaceOf(key), $"{table.Label} reads a size, which has no {key}", table.Has("reads") ? $"reads or {key}, not both" : $"no {key}");
        }

        if (table.Has("reads") && table.Has("from") && !SameText(table, "from", "of"))
        {
            _faults.Add(table.PlaceOf("from"), $"{table.Label} reads a size, but from is not what it reads", "no from, or no reads");
        }

        return table.Word<ReadingAxis>("reads", [("width", ReadingAxis.Across), ("height", ReadingAxis.Upright), ("other", ReadingAxis.Untold)]) ?? ReadingAxis.Untold;
    }

    private static string[] GapKeys { get; } = ["grows", "from-at"];

    private (Direction? Grows, ReadingAxis Axis) ReadGrows(TableReader table)
    {
        if (!table.Has("grows"))
        {
            _faults.Add(table.Place, $"{table.Label} has no grows", "grows = the way the item moves when the gap grows: \"right\", \"up-left\", \"30 deg\"");
            return (null, ReadingAxis.Untold);
        }

        if (table.Find("grows")!.Node is not TomlText text || DirectionText.Parse(text.Value, _measures.Mirrored) is not { } direction)
        {
            TomlNode node = table.Find("grows")!.Node;
            string? near = node is TomlText word ? NearestName.To(word.Value, DirectionText.Names) : null;
            _faults.Add(node.Place, $"grows of {table.Label} is no direction", near is null ? $"one of {string.Join(", ", DirectionText.Names)}, or an angle such as \"30 deg\"" : $"\"{near}\"");
            return (null, ReadingAxis.Untold);
        }

        return (direction, direction.Up == 0 ? ReadingAxis.Across : direction.Right == 0 ? ReadingAxis.Upright : ReadingAxis.Slanted);
    }

    /// <summary>The item's id or the landmark's name that a key says. A phrase is a landmark, unless it looks like a slip in a known name; a single word must be known.</summary>
    private string? ThingOf(TableReader table, string key, bool mayBeLandmark)
    {
        if (table.Text(key, StandardNames.MaxNameLength) is not { } name)
        {
            return null;
        }

        if (_names.Items.ContainsKey(name) || (mayBeLandmark && _names.Landmarks.ContainsKey(name)))
        {
            return name;
        }

        List<string> known = [.. _names.Items.Keys, .. mayBeLandmark ? _names.Landmarks.Keys.ToArray() : []];
        if (mayBeLandmark && name.Contains(' ') && NearestName.To(name, known) is null)
        {
            _names.Landmarks.Add(name, new Landmark(name, null, null));
            return name;
        }

        _names.Unknown(table.PlaceOf(key), mayBeLandmark ? "item or landmark" : "item", name, known);
        return null;
    }

    private EdgesOf EdgesOf(List<ItemDraft> items, string? name) => new(SizeOf(items, name), name is not null && _names.Landmarks.ContainsKey(name));

    private PlanePoint? SizeOf(List<ItemDraft> items, string? name) =>
        name is null ? null : items.Find(item => item.Id == name)?.Size ?? _names.Landmarks.GetValueOrDefault(name)?.Size;

    private static bool SameText(TableReader table, string one, string other) =>
        table.Find(one)?.Node is TomlText a && table.Find(other)?.Node is TomlText b && a.Value == b.Value;
}
