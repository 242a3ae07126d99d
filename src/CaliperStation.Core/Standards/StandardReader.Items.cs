using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <content>The things that are placed.</content>
internal sealed partial class StandardReader
{
    /// <summary>Reads what other entries need to know of an item: its size and what it stands on.</summary>
    private List<ItemDraft> SketchItems()
    {
        List<ItemDraft> drafts = [];
        foreach (TableReader table in Tables(StandardFormat.Item))
        {
            RowLayout? rows = ReadRows(table);
            if (table.Has("rows") == table.Has("size"))
            {
                _faults.Add(table.Has("size") ? table.PlaceOf("size") : table.Place, $"{table.Label} has {(table.Has("size") ? "both size and rows" : "no size")}", "size = [width, height], or rows, which give the size");
            }

            PlanePoint? size = _measures.Size(table, "size") ?? rows?.Size;
            string? on = table.Text("stands_on", StandardNames.MaxNameLength);
            ItemDraft draft = new(table, StandardNames.IdOf(table.Source), on, size, rows, _conditions.Read(table, mayAskValues: false));
            drafts.Add(draft);
            ResolveSupport(draft);
        }

        return drafts;
    }

    // A name that is no item id is a landmark, unless it is a near-miss of an item id (then a fault).
    private void ResolveSupport(ItemDraft draft)
    {
        if (draft.StandsOn is not { } on || _names.Items.ContainsKey(on) || _names.Landmarks.ContainsKey(on))
        {
            return;
        }

        string? near = _names.Items.Keys.FirstOrDefault(id => NearestName.IsNear(on, id) && id != draft.Id);
        if (near is not null)
        {
            _faults.Add(draft.Table.PlaceOf("stands_on"), $"there is no item {FaultList.Quote(on)}", $"\"{near}\", or a [[landmark]] of that name");
            return;
        }

        _names.Landmarks.Add(on, new Landmark(on, null, null));
    }

    private RowLayout? ReadRows(TableReader item)
    {
        if (item.Table("rows", "{ count = 7, per-row = 3, part = [\"1 3/8\", \"3/8\"] }") is not { } table)
        {
            return null;
        }

        TableReader rows = new(table, StandardFormat.Rows, _faults, $"rows of {item.Label}");
        int? count = rows.Count("count", 1, 200), perRow = rows.Count("per-row", 1, 50);
        PlanePoint? part = _measures.Size(rows, "part");
        Length? gap = rows.Has("gap") ? _measures.Length(rows, "gap") : Length.Zero;
        if (gap is { Nanometres: < 0 })
        {
            _faults.Add(rows.PlaceOf("gap"), "the gap between rows is negative", "\"0\" or more");
        }

        LastRow last = rows.Word<LastRow>("last", [("centred", LastRow.Centred), ("flush-left", LastRow.FlushLeft), ("flush-right", LastRow.FlushRight)]) ?? LastRow.Centred;
        LastRow seen = (last, _measures.Mirrored) switch
        {
            (LastRow.FlushLeft, true) => LastRow.FlushRight,
            (LastRow.FlushRight, true) => LastRow.FlushLeft,
            _ => last,
        };
        return count is { } n && perRow is { } across && part is { } one && gap is { } between ? new RowLayout(n, across, one, between, seen) : null;
    }

    private List<Item> ReadItems(List<ItemDraft> drafts)
    {
        List<Item> items = [];
        foreach (ItemDraft draft in drafts)
        {
            TableReader table = draft.Table;
            string? name = table.Text("name", StandardNames.MaxNameLength);
            draft.Place = ReadPlace(draft, drafts.Find(other => other.Id is not null && other.Id == draft.StandsOn));
            List<PlanePoint?> pins = [.. (table.List("pins", 16, "a list of points, [[\"-1\", \"0\"], [\"1\", \"0\"]]") ?? []).Select(pin => _measures.Point(pin, "pins", new EdgesOf(draft.Size)))];
            if (draft.Id is not null && draft.StandsOn is not null && draft.Size is not null && draft.Place is not null && !pins.Contains(null))
            {
                items.Add(new Item(draft.Id, name ?? draft.Id, draft.StandsOn, draft.Size.Value, draft.Place.Value, [.. pins.OfType<PlanePoint>()], draft.Rows, draft.When));
            }
        }

        return items;
    }

    /// <summary>The place of the centre; <c>above 1/4</c> and <c>below 1/4</c> count between the edges, so that a rack that grows carries what stands on it.</summary>
    private PlanePoint? ReadPlace(ItemDraft draft, ItemDraft? lower)
    {
        if (draft.Table.Find("place")?.Node is not TomlList { Items: [var across, TomlText upright] } || Beside(upright) is not { } beside)
        {
            return _measures.Point(draft.Table, "place");
        }

        Length? right = _measures.Length(across, "place"), gap = _measures.Length(upright, upright.Value[beside.From..], beside.From, "place");
        if (right is null || gap is null || draft.Size is not { } size || (lower is not null && lower.Size is null))
        {
            return null;
        }

        Length half = size.Up.DividedBy(2, Rounding.HalfEven), below = lower?.Size?.Up.DividedBy(2, Rounding.HalfEven) ?? Length.Zero;
        Length up = gap.Value + half + below;
        return _measures.Turned(new PlanePoint(right.Value, beside.Above ? up : -up));
    }

    private static (bool Above, int From)? Beside(TomlText text) =>
        text.Value.StartsWith("above ", StringComparison.Ordinal) || text.Value.StartsWith("below ", StringComparison.Ordinal)
            ? (text.Value[0] == 'a', 6)
            : null;
}
