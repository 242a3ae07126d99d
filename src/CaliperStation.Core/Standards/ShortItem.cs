using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>An item of the short form: from where it sits, its readings, its rules and its place.</summary>
/// <remarks>
/// Distances up and down are read at the outermost pins, or at both ends where <c>level</c> asks and one pin holds it; distances across at the middle, of
/// rows at the bottom row. Lines that need the same reading share it. A line's hint and caution stand at its first reading; the usual caution for pins at the
/// first pin of every item that stands on the garment itself.
/// </remarks>
internal sealed class ShortItem
{
    private const string PinCaution = "Mind the pin points behind the cloth.";
    private const string CornerHint = "Seat one jaw at the corner; the shortest gap of a small swing is the one.";

    private static readonly Way Up = new(0, 1), Down = new(0, -1), Left = new(-1, 0), Right = new(1, 0);

    private readonly ShortForm _form;
    private readonly TableReader _table;
    private readonly bool _mirrored;
    private readonly List<Line> _lines = [];
    private readonly List<(TomlNode Right, TomlNode Up, PlanePoint? At)> _pins = [];
    private readonly Dictionary<string, string> _readings = [];   // what is read → the step that reads it
    private readonly List<TomlTable> _steps = [];
    private readonly HashSet<string> _atPins = [];
    private readonly HashSet<TextPlace> _named = [];   // ids of lines that a rule has taken
    private readonly Dictionary<Line, List<string>> _madeBy = [];
    private Thing? _standsOn;
    private PlanePoint? _place;
    private bool _placing;

    internal ShortItem(ShortForm form, TableReader table, bool mirrored)
    {
        (_form, _table, _mirrored) = (form, table, mirrored);
        string name = Said(ShortForm.TextOf(table.Source, "name")!);
        string id = ShortForm.TextOf(table.Source, "id") is { } written ? Said(written) : ShortForm.IdOf(name);
        Thing = Thing.OfItem(table.Source, id, name, ShortForm.TextOf(table.Source, "called") is { } called ? Said(called) : null, form);
    }

    internal Thing Thing { get; }

    private string Id => Thing.Id;

    private sealed record Line(SitsLine Sits, TomlTable? More, List<Thing> Things)
    {
        internal Thing? On => Things.Count == 0 ? null : Things[0];

        internal required string OwnId { get; init; }

        /// <summary>Items of which none may be worn where the line holds.</summary>
        internal IReadOnlyList<string> Unless { get; init; } = [];
    }

    private string Said(string words) => _mirrored ? ShortForm.Swapped(words) : words;

    // ---- reading the lines ------------------------------------------------------------------------------------------------------------

    internal void ReadLines()
    {
        _ = _table.Word<int>("shape", [("round", 0)]);
        _ = _table.Text("called", StandardNames.MaxNameLength);
        ReadPins();
        TomlNode? node = _table.Find("sits")?.Node;
        IEnumerable<TomlNode> lines = node is TomlList list ? list.Items : node is null ? [] : [node];
        if (node is TomlList { Items.Count: 0 })
        {
            _form.Faults.Add(node.Place, $"sits of {_table.Label} is empty", SitsLine.Forms);
        }

        foreach (TomlNode line in lines)
        {
            TomlTable? more = line as TomlTable;
            if (more is not null && !_mirrored)
            {
                TableReader reader = new(more, StandardFormat.SitsLine, _form.Faults, $"a line of {_table.Label}");
                _ = reader.Has("sits") ? reader.Text("sits", 300) : null;
            }

            TomlNode words = more?.Find("sits")?.Node ?? line;
            if (words is not TomlText text)
            {
                if (words is not TomlTable)
                {
                    _form.Faults.Add(words.Place, $"a line of {_table.Label} is {words.Words}", SitsLine.Forms);
                }

                continue;
            }

            if (SitsLine.Read(text, _form.IsThing, _form.Faults) is not { } sits)
            {
                continue;
            }

            if (more?.Find("if") is { Node: TomlText condition } asked)
            {
                if (sits.If is not null)
                {
                    _form.Faults.Add(asked.Place, "a condition is said in the line's words too", "one of the two");
                }

                sits = sits with { If = condition };
            }

            if (!_mirrored || sits.Sit == Sit.Hidden || sits.Things.Concat(sits.Otherwise).All(thing => _form.IsThing(thing.Thing)))   // else it is told of the item as written
            {
                AddLine(_mirrored ? Mirrored(sits) : sits, more, []);
            }
        }
    }

    // "1/2 from the left edge of A or the right edge of B" lies the other way from B.
    private static Way TurnedTo(SitsLine sits, ThingNamed other) =>
        sits.Things[0].Side.IsTold && sits.Way == new Way(-sits.Things[0].Side.Right, -sits.Things[0].Side.Up) && other.Side.IsTold ? new Way(-other.Side.Right, -other.Side.Up) : sits.Way;

    private void AddLine(SitsLine sits, TomlTable? more, IReadOnlyList<string> unless)
    {
        IEnumerable<ThingNamed> named = sits.Sit == Sit.Hidden ? [] : sits.Things;
        if (_mirrored && named.FirstOrDefault(thing => !_form.IsThing(thing.Thing)) is { } missing)
        {
            _form.Faults.Add(missing.Text.Place, $"{_table.Label} is there on both sides, but there is no item or place {FaultList.Quote(missing.Thing)}", $"both-sides = true for {FaultList.Quote(ShortForm.Swapped(missing.Thing))} too, or a line for each side", FaultKind.NoOtherSide);
            return;
        }

        List<Thing?> things = [.. named.Select(thing => _form.Resolve(TomlTextOf(thing)))];
        if (things.Contains(null))
        {
            return;
        }

        if (things.Contains(Thing))
        {
            _form.Faults.Add(sits.Text.Place, $"{_table.Label} sits by itself", "another thing to place it from");
            return;
        }

        if (sits.Otherwise.Count == 0)
        {
            _lines.Add(new Line(sits, more, [.. things.OfType<Thing>()]) { OwnId = Id, Unless = unless });
            return;
        }

        if (things[0] is { IsItem: false } always)
        {
            _form.Faults.Add(sits.Otherwise[0].Text.Place, $"{FaultList.Quote(always.Words)} is a place of the garment and always there, so nothing after it is ever meant", "items first, the place of the garment last");
            return;
        }

        AddLine(sits with { Otherwise = [] }, more, unless);
        AddLine(sits with { Things = [sits.Otherwise[0]], Way = TurnedTo(sits, sits.Otherwise[0]), Otherwise = [.. sits.Otherwise.Skip(1)] }, more, [.. unless, things[0]!.Id]);
    }

    // The place of the thing's own words within the line.
    private static TomlText TomlTextOf(ThingNamed thing)
    {
        int at = thing.Text.Value.LastIndexOf(thing.Thing, StringComparison.Ordinal);
        return at < 0 ? TomlText.At(thing.Text.Place, thing.Thing) : thing.Text.Part(at, thing.Thing.Length);
    }

    private static SitsLine Mirrored(SitsLine line)
    {
        static ThingNamed Other(ThingNamed thing) => new(
            TomlText.At(thing.Text.Place, ShortForm.Swapped(thing.Text.Value)), thing.Side.Mirrored, thing.Edge is null ? null : ShortForm.Swapped(thing.Edge), ShortForm.Swapped(thing.Thing));
        List<ThingNamed> things = [.. line.Things.Select(Other)];
        if (things.Count > 1)
        {
            (things[0], things[1]) = (things[1], things[0]);
            things.Reverse(2, things.Count - 2);
        }

        return line with { Way = line.Way.Mirrored, Own = line.Own.Mirrored, Things = things, Otherwise = [.. line.Otherwise.Select(Other)] };
    }

    private void ReadPins()
    {
        TomlEntry? entry = _table.Find("pins");
        List<TomlNode> pins = entry?.Node switch
        {
            null or TomlText { Value: "middle" } => [ShortForm.ListOf(entry?.Place ?? _table.Place, TomlText.At(entry?.Place ?? _table.Place, "0"), TomlText.At(entry?.Place ?? _table.Place, "0"))],
            TomlText text when FromEachEnd(text) is { } inset => [Inset(text.Place, inset, "left"), Inset(text.Place, inset, "right")],
            TomlList list => [.. list.Items.Select(pin => pin is TomlText or TomlNumber ? ShortForm.ListOf(pin.Place, pin, TomlText.At(pin.Place, "0")) : pin)],
            _ => [],
        };
        if (entry is not null && pins.Count == 0 && !_mirrored)
        {
            _form.Faults.Add(entry.Node.Place, $"pins of {_table.Label} {(entry.Node is TomlText text ? "are " + FaultList.Quote(text.Value) : "are " + entry.Node.Words)}", "\"middle\", \"1/4 from each end\", or where each sits from the item's middle: [\"-1/2\", \"1/2\"]");
        }

        foreach (TomlNode pin in pins)
        {
            TomlNode seen = _mirrored ? ShortForm.MirroredPoint(pin) : pin;
            if (seen is TomlList { Items: [var right, var up] })
            {
                _pins.Add((right, up, _form.Measures.Point(seen, "pins", new EdgesOf(Thing.Size))));
            }
            else
            {
                _pins.Add((seen, seen, null));
            }
        }
    }

    private static string? FromEachEnd(TomlText text) =>
        text.Value.EndsWith(" from each end", StringComparison.Ordinal) ? text.Value[..^" from each end".Length].Trim() : null;

    private static TomlList Inset(TextPlace place, string inset, string end) => ShortForm.ListOf(place, TomlText.At(place, $"{inset} from {end}"), TomlText.At(place, "0"));

    // ---- the item's own table -----------------------------------------------------------------------------------------------------------

    /// <summary>The item in the long form.</summary>
    internal TomlTable Table()
    {
        TomlTable item = new(_table.Place);
        TextPlace place = _table.PlaceOf("name");
        item.Add(ShortForm.Made(_table.Has("id") ? _table.PlaceOf("id") : place, "id", Id));
        item.Add(_mirrored ? ShortForm.Made(place, "name", Said(ShortForm.TextOf(_table.Source, "name")!)) : _table.Find("name")!);
        if (_standsOn is { } on)
        {
            string[] others = [.. Otherwise()];
            item.Add(new TomlEntry("stands_on", StandsOnPlace, others.Length == 0 ? TomlText.At(StandsOnPlace, on.Id) : ShortForm.ListOf(StandsOnPlace, others.Prepend(on.Id).Select(id => TomlText.At(StandsOnPlace, id)))));
        }
        else
        {
            item.Add(ShortForm.Made(_table.Place, "stands_on", "the coat"));   // its lines are at fault
        }

        foreach (string key in (string[])["size", "rows"])
        {
            if (_table.Find(key) is { } entry)
            {
                item.Add(entry);
            }
        }

        item.Add(_table.Find("place") is { } said
            ? _mirrored ? said with { Node = ShortForm.MirroredPoint(said.Node) } : said
            : new TomlEntry("place", StandsOnPlace, PlaceNode()));
        TextPlace pins = _table.Has("pins") ? _table.PlaceOf("pins") : _table.Place;
        item.Add(new TomlEntry("pins", pins, _pins.Count == 0
            ? ShortForm.ListOf(pins, ShortForm.ListOf(pins, TomlText.At(pins, "0"), TomlText.At(pins, "0")))
            : ShortForm.ListOf(pins, _pins.Select(pin => pin.Right == pin.Up ? pin.Right : ShortForm.ListOf(pin.Right.Place, pin.Right, pin.Up)))));
        if (_form.Conditioned(_table.Source).Find("when") is { } when)
        {
            item.Add(when);
        }

        return item;
    }

    /// <summary>What it stands on where the first is not worn: the rest of the same line's things.</summary>
    private IEnumerable<string> Otherwise()
    {
        Line? first = _lines.Find(line => line.On == _standsOn && line.Unless.Count == 0);
        return first is null ? [] : _lines.Where(line => line.Unless.Count > 0 && line.Sits.Text == first.Sits.Text).Select(line => line.On!.Id);
    }

    private TextPlace StandsOnPlace => _table.Has("stands-on") ? _table.PlaceOf("stands-on") : _table.Has("stands_on") ? _table.PlaceOf("stands_on") : _lines.Count > 0 ? _lines[0].Sits.Text.Place : _table.Place;

    /// <summary>Finds what it stands on, then makes readings and rules, line by line.</summary>
    internal void Derive()
    {
        if ((_table.Find("stands-on") ?? _table.Find("stands_on"))?.Node is TomlText said)
        {
            _standsOn = _form.Resolve(_mirrored ? TomlText.At(said.Place, Said(said.Value)) : said);
        }
        else
        {
            _standsOn = (_lines.Find(line => line.Sits is { Sit: Sit.Gap or Sit.Centre, Way.IsUpright: true } or { Sit: Sit.Corner }) ?? _lines.Find(line => line.On is not null && line.Sits.Sit != Sit.NotWider))?.On;
            if (_standsOn is null && _lines.Count > 0 && !_form.Faults.Any)
            {
                _form.Faults.Add(_table.PlaceOf("sits"), $"no line of {_table.Label} says what it sits by", "stands-on = \"left pocket\"; or " + SitsLine.Forms, FaultKind.SitsByNothing);
            }
        }

        foreach (Line line in _lines)
        {
            Derive(line);
        }

    }

    /// <summary>Its readings, in the order of its lines.</summary>
    internal IReadOnlyList<TomlTable> Steps => _steps;

    // ---- readings and rules ---------------------------------------------------------------------------------------------------------------

    private void Derive(Line line)
    {
        SitsLine sits = line.Sits;
        switch (sits.Sit)
        {
            case Sit.Gap:
                if (sits.Things[0].IsCentre)
                {
                    _form.Faults.Add(sits.Things[0].Text.Place, "the jaws cannot touch a centre", "\"centre 2 above the centre of …\", which adds half of each size to a reading from edge to edge");
                    return;
                }

                Rule(line, "gap", sits.Way.IsUpright ? "height" : "side", Distances(line));
                return;
            case Sit.TwoEdges:
                List<string> both = [.. sits.Things.Zip(line.Things).SelectMany(pair => Distances(line, Inward(pair.First.Side), pair.First, pair.Second))];
                Rule(line with { Sits = sits with { Lengths = [] } }, "equal", "alike", both, table => table.Add(new TomlEntry("mixed", sits.Text.Place, new TomlFlag(sits.Text.Place, true))));
                Rule(line, "gap", "edges", both);
                return;
            case Sit.Angle:
                Rule(line, "angle", "angle", AngleReadings(line), table => table.Add(new TomlEntry("span", sits.Over!.Place, sits.Over)));
                return;
            case Sit.Centre:
                Rule(line, "pitch", "centre", Distances(line), table => table.Add(new TomlEntry("add", sits.Text.Place, Sizes(line))));
                return;
            case Sit.Corner:
                Rule(line, "gap", "corner", CornerReading(line));
                return;
            case Sit.Centred:
                bool upright = IsUpright(line);
                Rule(line, "equal", upright ? "midway" : "centred", sits.Things.Count == 1 ? SidesOf(line, upright) : SidesBetween(line, upright));
                return;
            case Sit.Evenly:
                Rule(line, "equal", "even", Row(line));
                return;
            case Sit.Level:
                DeriveLevel(line);
                return;
            case Sit.InLine:
                DeriveInLine(line);
                return;
            case Sit.Size:
                (string reads, string id, string ask) = sits.Way.IsAcross ? ("width", "width", Width(Thing)) : sits.Way.IsUpright ? ("height", "height", $"Bottom edge of the {Thing.Words} to its top edge") : ("other", "across", $"Across the {Thing.Words}, from edge to edge");
                Rule(line, "size", id + "-size", [SizeReading(line, this, Thing, reads, id, ask)]);
                return;
            case Sit.BetweenRows or Sit.RowsCentred:
                DeriveRows(line);
                return;
            case Sit.NotWider:
                Rule(line, "not-more-than", "fits", [SizeReading(line, this, Thing, "width", "width", Width(Thing)), SizeReading(line, _form.ItemOf(line.On!), line.On!, "width", "width", Width(line.On!))]);
                return;
            case Sit.Hidden:
                Rule(line, "share", "hidden", ShareReadings(line, sits.Things[0].Thing));
                return;
        }
    }

    private static string Width(Thing thing) => $"Left {thing.EndWord} of the {thing.Words}{(thing.HasRows ? "'s bottom row" : string.Empty)} to its right {thing.EndWord}";

    /// <summary>The readings of each row over the one beneath; rows that this coat has not are not read.</summary>
    private void DeriveRows(Line line)
    {
        if (!Thing.HasRows)
        {
            _form.Faults.Add(line.Sits.Text.Place, $"{_table.Label} is not made of rows", "rows = { count = 7, per-row = 3, part = [\"1 3/8\", \"3/8\"] }");
            return;
        }

        for (int row = 2; row <= Thing.MostRows; row++)
        {
            string of = $"of the {Thing.Words}", id = string.Create(CultureInfo.InvariantCulture, $"row-{row}"), below = (row - 1).ToString(CultureInfo.InvariantCulture), above = row.ToString(CultureInfo.InvariantCulture);
            TomlEntry has = new(Id + ".rows", line.Sits.Text.Place, TomlText.At(line.Sits.Text.Place, ">= " + above));
            if (line.Sits.Sit == Sit.BetweenRows)
            {
                Rule(line, "size", id + "-gap", [SizeReading(line, this, Thing, "other", id + "-gap", $"Top edge of row {below} to the bottom edge of row {above} {of}, rows counted from the bottom; 0 when they touch", has)], also: has);
            }
            else
            {
                Rule(line, "equal", id + "-centred", [
                    SizeReading(line, this, Thing, "other", id + "-left", $"Left end of row {below} to the left end of row {above} {of}, rows counted from the bottom", has),
                    SizeReading(line, this, Thing, "other", id + "-right", $"Right end of row {above} to the right end of row {below} {of}", has)], also: has);
            }
        }
    }

    /// <summary>Where along an edge a distance is read: part of an id, the place, words for it.</summary>
    private List<(string Id, TomlNode Along, string? Words, bool AtPin)> Spots(Way edge, bool two)
    {
        if (edge.IsAcross)
        {
            return two
                ? [("upper", Words("top"), "at its upper end", false), ("lower", Words("bottom"), "at its lower end", false)]
                : [(string.Empty, Words(Thing.HasRows ? "bottom" : "middle"), null, false)];
        }

        (TomlNode Right, TomlNode Up, PlanePoint? At)[] placed = [.. _pins.Where(pin => pin.At is not null).OrderBy(pin => pin.At!.Value.Right)];
        if (placed.Length > 1 && placed.Length == _pins.Count && placed[0].At!.Value.Right != placed[^1].At!.Value.Right)
        {
            return [("left", placed[0].Right, "at its left pin", true), ("right", placed[^1].Right, "at its right pin", true)];
        }

        return two
            ? [("left", Words("left"), $"at its left {Thing.EndWord}", false), ("right", Words("right"), $"at its right {Thing.EndWord}", false)]
            : [(string.Empty, Words("middle"), null, _pins.Count == 1)];

        TomlText Words(string word) => TomlText.At(_table.Place, word);
    }

    /// <summary>True when a line asks for this one's distance to be the same at both ends.</summary>
    private bool IsLevelled(Line line) => _lines.Exists(other => other.Sits.Sit == Sit.Level && IsOver(other, line));

    private static bool IsOver(Line level, Line line) => line.Sits.Sit is Sit.Gap or Sit.Centre or Sit.InLine
        && (level.On is null ? Across(line).IsUpright : level.On == line.On && level.Sits.Things[0].Edge == line.Sits.Things[0].Edge && level.Sits.Things[0].Side == line.Sits.Things[0].Side);

    /// <summary>The way a line's readings lie.</summary>
    private static Way Across(Line line) => line.Sits.Sit == Sit.InLine ? line.Sits.Own : line.Sits.Way;

    private List<string> Distances(Line line) => Distances(line, line.Sits.Way, line.Sits.Things[0], line.On!);

    private List<string> Distances(Line line, Way way, ThingNamed named, Thing thing)
    {
        Way own = new(-way.Right, -way.Up);
        List<string> readings = [];
        List<(string Id, TomlNode Along, string? Words, bool AtPin)> spots = Spots(own, IsLevelled(line));
        bool across = way.IsAcross && thing.IsItem && IsOverOrUnder(thing);
        foreach ((string id, TomlNode along, string? words, bool atPin) in spots)
        {
            string there = EdgeOf(thing, named, named.Side.IsTold ? named.Side : way, across);
            string here = spots.Count == 1 && own.IsUpright ? $"{(own.Up > 0 ? "top" : "bottom")} of the {Thing.Words}" : EdgeOf(Thing, null, own, false);
            string ask = Prompt(way == Left ? here : there, way == Left ? there : here, across, words);
            readings.Add(Reading(line, thing, $"{EdgeId(own)}{Dashed(id)}", own, along, way, ask, atPin, across ? StraightEdge(thing) : null, named));
        }

        return readings;
    }

    /// <summary>True when this item lies over or under the thing, so that their side edges do not face each other.</summary>
    private bool IsOverOrUnder(Thing thing) => _lines.Exists(line => line.On == thing && line.Sits is { Sit: Sit.Gap or Sit.Centre, Way.IsUpright: true }) || _standsOn == thing;

    private static string StraightEdge(Thing thing) => thing.HasRows
        ? "Lay a straight edge upright at the end of the bottom row."
        : $"Lay a straight edge upright at the {thing.EndWord} of the {thing.Words}.";

    private static string Prompt(string first, string second, bool across, string? words) =>
        $"{ShortForm.Capital(first)}{(across ? "," : string.Empty)} {(across ? "across to" : "to")} the {second}{(words is null ? string.Empty : ", " + words)}";

    private static string EdgeId(Way own) => own switch { { Up: < 0 } => "low", { Up: > 0 } => "high", { Right: < 0 } => "left", _ => "right" };

    private static string Dashed(string id) => id.Length == 0 ? string.Empty : "-" + id;

    /// <summary>The words of a thing's edge, without article.</summary>
    private static string EdgeOf(Thing thing, ThingNamed? named, Way side, bool acrossRows)
    {
        string words = thing.HasRows && acrossRows ? $"{thing.Words}'s bottom row" : thing.Words;
        if (named is { Edge: { } edge, IsCentre: false })
        {
            return $"{edge} of the {words}";
        }

        return thing.IsLine && named is not { Side.IsTold: true } ? words : $"{SideWords(side)} {(side.IsUpright ? "edge" : thing.EndWord)} of the {words}";
    }

    private static string SideWords(Way side) => side switch { { Up: > 0 } => "top", { Up: < 0 } => "bottom", { Right: < 0 } => "left", _ => "right" };

    private List<string> CornerReading(Line line)
    {
        Way way = line.Sits.Way;
        ThingNamed named = line.Sits.Things[0];
        if (!way.IsTold && Outward(line.On!) is { } outward)
        {
            way = outward;
        }

        if (!way.IsTold)
        {
            _form.Faults.Add(named.Text.Place, $"which way {_table.Label} lies from {FaultList.Quote(named.Text.Value)} is not told", "\"7/8 up and right of …\", or up and left, down and right, down and left; or its place in [garment]");
            return [];
        }

        TextPlace place = line.Sits.Text.Place;
        (TomlNode right, TomlNode up) = Thing is { IsRound: true, Size: { } size }
            ? (Slanted(place, size.Right, -way.Right), Slanted(place, size.Up, -way.Up))
            : (TomlText.At(place, way.Right > 0 ? "left" : "right"), (TomlNode)TomlText.At(place, way.Up > 0 ? "bottom" : "top"));
        string there = named.IsCorner && named.Edge is null ? line.On!.Words : $"{named.Edge ?? "corner"} of the {line.On!.Words}";
        string ask = Prompt(there, Thing.IsRound ? $"rim of the {Thing.Words}" : $"nearest corner of the {Thing.Words}", false, null);
        return [Made(line, Id, line.On!, "corner", ShortForm.ListOf(place, right, up), way, ask, false, CornerHint, $"corner {way.Word} {named.Text.Value}")];
    }

    // Up, and away from the middle of the chest: how a collar opens.
    private static Way? Outward(Thing thing) => thing.At is { Right: var right } && right != Length.Zero ? new Way(right > Length.Zero ? 1 : -1, 1) : null;

    // The rim of a round thing at 45 degrees.
    private static TomlText Slanted(TextPlace place, Length across, int sign) =>
        TomlText.At(place, LengthFormat.ShowExact(Length.FromNanometres(across.Nanometres * sign * Math.Sqrt(0.125), Rounding.HalfEven)));

    private static TomlList Sizes(Line line)
    {
        (SitsLine sits, TextPlace place) = (line.Sits, line.Sits.Text.Place);
        string side = sits.Way.IsUpright ? "height" : "width";
        List<TomlNode> sizes = [TomlText.At(place, $"{line.OwnId}.{side}")];
        if (sits.Things[0].IsCentre)
        {
            sizes.Add(TomlText.At(sits.Things[0].Text.Place, $"{line.On!.Id}.{side}"));
        }

        return ShortForm.ListOf(place, sizes);
    }

    private static bool IsUpright(Line line)
    {
        SitsLine sits = line.Sits;
        if (sits.Way.IsTold)
        {
            return sits.Way.IsUpright;
        }

        if (sits.Things.Count == 1)
        {
            return false;
        }

        return sits.Things.Take(2).Any(thing => thing.Side.IsUpright)
            || (!sits.Things.Take(2).Any(thing => thing.Side.IsAcross) && line.Things is [{ At: { } a }, { At: { } b }, ..] && (a.Up - b.Up).Abs() > (a.Right - b.Right).Abs());
    }

    private List<string> SidesOf(Line line, bool upright)
    {
        Thing thing = line.On!;
        ThingNamed named = line.Sits.Things[0];
        List<string> readings = [];
        bool across = thing.IsItem && !upright && IsOverOrUnder(thing);
        foreach (Way own in upright ? [Up, Down] : (Way[])[Left, Right])
        {
            (string id, TomlNode along, string? words, bool atPin) = upright ? (string.Empty, TomlText.At(_table.Place, "middle"), null, false) : Spots(own, false)[0];
            string here = EdgeOf(Thing, null, own, false), there = thing.IsLine ? thing.Words : named.Edge is null or "centre" ? EdgeOf(thing, null, own, across) : $"{SideWords(own)} edge of the {named.Edge} of the {thing.Words}";
            bool hereFirst = own == Right || own == Down ? !thing.IsLine : thing.IsLine;   // left to right, top to bottom
            Way grows = thing.IsLine ? own : new Way(-own.Right, -own.Up);   // the middle line lies inside: the gap grows outward
            string ask = Prompt(hereFirst ? here : there, hereFirst ? there : here, across, words);
            readings.Add(Reading(line, thing, EdgeId(own) + Dashed(id), own, along, grows, ask, atPin, across ? StraightEdge(thing) : null, named));
        }

        return readings;
    }

    private List<string> SidesBetween(Line line, bool upright)
    {
        (int first, int second) = InOrder(line, upright);
        List<string> readings = [];
        foreach ((int at, Way own) in upright ? [(first, Up), (second, Down)] : ((int, Way)[])[(first, Left), (second, Right)])
        {
            (Thing thing, ThingNamed named) = (line.Things[at], line.Sits.Things[at]);
            TomlNode along = upright ? TomlText.At(_table.Place, "middle") : Spots(own, false)[0].Along;
            string there = EdgeOf(thing, named, named.Side.IsTold ? named.Side : new Way(-own.Right, -own.Up), false), here = EdgeOf(Thing, null, own, false);
            bool hereFirst = own == Right || own == Down;
            readings.Add(Reading(line, thing, EdgeId(own), own, along, new Way(-own.Right, -own.Up), Prompt(hereFirst ? here : there, hereFirst ? there : here, false, null), false, null, named));
        }

        return readings;
    }

    /// <summary>Which of the two things lies to the left, or on top: by the names of their edges, by their places, else the one named first.</summary>
    private static (int First, int Second) InOrder(Line line, bool upright)
    {
        Way a = line.Sits.Things[0].Side, b = line.Sits.Things[1].Side;
        bool turned = line.Things[0] == line.Things[1]
            ? upright ? a.Up < b.Up : a.Right > b.Right
            : line.Things is [{ At: { } one }, { At: { } other }, ..] && one != other && (upright ? one.Up < other.Up : one.Right > other.Right);
        return turned ? (1, 0) : (0, 1);
    }

    /// <summary>The gaps along a row of items: from the first edge, between each two, to the last edge; this item is the last in the row.</summary>
    private List<string> Row(Line line)
    {
        bool upright = IsUpright(line);
        (int first, int second) = InOrder(line, upright);
        (Way back, Way on) = upright ? (Up, Down) : (Left, Right);
        List<Thing> row = [.. line.Things.Skip(2), Thing];
        List<string> readings = [];
        for (int at = 0; at <= row.Count; at++)
        {
            bool isEnd = at == row.Count;
            Thing of = row[isEnd ? at - 1 : at], from = at == 0 ? line.Things[first] : isEnd ? line.Things[second] : row[at - 1];
            ThingNamed? named = at == 0 ? line.Sits.Things[first] : isEnd ? line.Sits.Things[second] : null;
            Way own = isEnd ? on : back, facing = new(-own.Right, -own.Up);
            if (!of.IsItem)
            {
                _form.Faults.Add(line.Sits.Text.Place, $"{FaultList.Quote(of.Words)} is a place of the garment, not an item of the row", "\"evenly with\" items that are worn");
                return [];
            }

            string here = EdgeOf(of, null, own, false), there = EdgeOf(from, named, named is { Side.IsTold: true } ? named.Side : facing, false);
            TextPlace place = line.Sits.Text.Place;
            TomlList spot = upright ? ShortForm.ListOf(place, TomlText.At(place, "middle"), TomlText.At(place, own.Up > 0 ? "top" : "bottom")) : ShortForm.ListOf(place, TomlText.At(place, own.Right > 0 ? "right" : "left"), TomlText.At(place, "middle"));
            readings.Add(Made(line, of.Id, from, EdgeId(own), spot, facing, Prompt(isEnd ? here : there, isEnd ? there : here, false, null), false, null, $"row {of.Id} {from.Id} {EdgeId(own)}"));
        }

        return readings;
    }

    private void DeriveLevel(Line line)
    {
        List<Line> over = _lines.FindAll(other => IsOver(line, other));
        List<(List<string> Readings, TomlText? If, IReadOnlyList<string> Unless)> pairs = [];
        foreach (Line other in over)
        {
            List<string> pair = other.Sits.Sit == Sit.InLine ? InLineReadings(other) : Distances(other);
            int known = pairs.FindIndex(earlier => earlier.Readings.SequenceEqual(pair));
            if (known >= 0)
            {
                pairs[known] = (pair, null, pairs[known].Unless);   // two rules over one pair: level whichever of them holds
            }
            else if (pair.Count == 2)
            {
                pairs.Add((pair, other.Sits.If, other.Unless));
            }
        }

        foreach ((List<string> pair, TomlText? condition, IReadOnlyList<string> unless) in pairs)
        {
            Rule(line, "level", "level", pair, null, line.Sits.If ?? (pairs.Count > 1 ? condition : null), unless: unless);
        }

        if (pairs.Count == 0 && !_form.Faults.Any)
        {
            _form.Faults.Add(line.Sits.Text.Place, line.On is null ? "level to what? No line here says how far above or below something the item sits" : "no line here says how far from that edge the item sits", "\"3/16 above the left pocket\" beside it");
        }
    }

    private static Way Inward(Way side) => new(-side.Right, -side.Up);

    /// <summary>Two distances from the edge, the farther one of a rising slant first; the way they grow is that of a line that says how far it is from the same thing.</summary>
    private List<string> AngleReadings(Line line)
    {
        ThingNamed named = line.Sits.Things[0];
        Way side = named.Side, told = _lines.Find(other => other.On == line.On && other.Sits.Sit is Sit.Gap or Sit.Centre && (!side.IsTold || other.Sits.Way.IsUpright == side.IsUpright))?.Sits.Way ?? default;
        Way way = told.IsTold ? told : side.IsTold ? Inward(side) : Up, own = Inward(way);
        List<(string Id, TomlNode Along, string? Words, bool AtPin)> spots = way.IsUpright
            ? [("right", TomlText.At(_table.Place, "right"), null, false), ("left", TomlText.At(_table.Place, "left"), null, false)]
            : [("upper", TomlText.At(_table.Place, "top"), null, false), ("lower", TomlText.At(_table.Place, "bottom"), null, false)];
        if (_mirrored && way.IsUpright)
        {
            spots.Reverse();   // what rises to the right on the one side rises to the left on the other
        }

        List<string> readings = [];
        foreach ((string id, TomlNode along, _, _) in spots)
        {
            string ask = Prompt(EdgeOf(line.On!, named, side.IsTold ? side : way, false), EdgeOf(Thing, null, own, false), false, readings.Count == 0 ? $"near its {id} end" : $"near its {id} end, {line.Sits.Over!.Value} from there along the edge");
            readings.Add(Reading(line, line.On!, $"slant-{id}", own, along, way, ask, false, null, named));
        }

        return readings;
    }

    private void DeriveInLine(Line line)
    {
        if (!line.Sits.Own.IsTold)
        {
            _form.Faults.Add(line.Sits.Things[0].Text.Place, $"which edge is in line with {FaultList.Quote(line.Sits.Things[0].Text.Value)} is not told", "\"in line with the left edge of …\", \"its left edge in line with …\"");
            return;
        }

        Rule(line, "flush", "in-line", InLineReadings(line));
    }

    private List<string> InLineReadings(Line line)
    {
        Way own = line.Sits.Own;
        ThingNamed named = line.Sits.Things[0];
        return [.. Spots(own, IsLevelled(line)).Select(spot => Reading(
            line, line.On!, $"line-{EdgeId(own)}{Dashed(spot.Id)}", own, spot.Along, own.IsUpright ? Up : Right,
            $"{ShortForm.Capital(EdgeOf(line.On!, named, own, false))} to the {EdgeOf(Thing, null, own, false)}{(spot.Words is null ? string.Empty : ", " + spot.Words)}; 0 when they are in line", spot.AtPin, null, named))];
    }

    // ---- what the lapel hides -----------------------------------------------------------------------------------------------------------

    private List<string> ShareReadings(Line line, string by) =>
    [
        SizeReading(line, this, Thing, "other", "hidden", $"Width of the {Thing.Words} that the {by} hides; 0 when it hides none"),
        SizeReading(line, this, Thing, "width", "width", $"Left edge of the {Thing.Words} to its right edge, the {by} lifted"),
    ];

    /// <summary>The rule whose value is the hidden share, for a condition; made where no line asks for it.</summary>
    internal string ShareOf(TomlText condition, string by)
    {
        string key = "share " + by;
        if (!_readings.TryGetValue(key, out string? rule))
        {
            SitsLine sits = new(Sit.Hidden, condition, default, [], null, [], default, null, null);
            _readings[key] = rule = Rule(new Line(sits, null, []) { OwnId = Id }, "share", "share", ShareReadings(new Line(sits, null, []) { OwnId = Id }, by))!;
        }

        return rule;
    }

    // ---- tables of the long form ----------------------------------------------------------------------------------------------------------

    private string Reading(Line line, Thing from, string id, Way own, TomlNode along, Way grows, string ask, bool atPin, string? hint, ThingNamed named)
    {
        TextPlace place = line.Sits.Text.Place;
        TomlText edge = TomlText.At(place, own switch { { Up: < 0 } => "bottom", { Up: > 0 } => "top", { Right: < 0 } => "left", _ => "right" });
        TomlList at = own.IsUpright ? ShortForm.ListOf(place, along, edge) : ShortForm.ListOf(place, edge, along);
        return Made(line, Id, from, id, at, grows, ask, atPin, hint, ask + grows.Word);
    }

    /// <summary>The step for a reading: the one that is there already, or a new one.</summary>
    private string Made(Line line, string of, Thing from, string id, TomlList at, Way grows, string ask, bool atPin, string? hint, string key)
    {
        if (_readings.TryGetValue(key, out string? known))
        {
            return known;
        }

        TextPlace place = line.Sits.Text.Place;
        bool isFirst = !_madeBy.ContainsKey(line);
        TomlTable step = NewStep(line, key, _form.FreeStep($"{of}-{id}", ShortForm.IdOf(from.Words)), of);
        step.Add(ShortForm.Made(place, "from", from.Id));
        step.Add(new TomlEntry("at", place, at));
        step.Add(ShortForm.Made(place, "grows", grows.Word));
        step.Add(ShortForm.Made(place, "ask", ask));
        if (hint is not null && isFirst)
        {
            step.Add(ShortForm.Made(place, "hint", hint));
        }

        string made = _readings[key];
        if (atPin)
        {
            _atPins.Add(made);
        }

        return made;
    }

    private string SizeReading(Line line, ShortItem? owner, Thing of, string reads, string id, string ask, TomlEntry? has = null)
    {
        ShortItem keeper = owner ?? this;
        string key = $"size {of.Id} {id}";
        if (keeper._readings.TryGetValue(key, out string? known))
        {
            return known;
        }

        TomlTable step = keeper.NewStep(line, key, _form.FreeStep($"{ShortForm.IdOf(of.Id)}-{id}", reads), of.Id);
        step.Add(ShortForm.Made(line.Sits.Text.Place, "reads", reads));
        step.Add(ShortForm.Made(line.Sits.Text.Place, "ask", ask));
        if (has is not null)
        {
            TomlTable when = new(has.Place);
            when.Add(has);
            step.Add(new TomlEntry("when", has.Place, when));
        }

        return keeper._readings[key];
    }

    private TomlTable NewStep(Line line, string key, string id, string of)
    {
        TomlTable step = new(line.Sits.Text.Place);
        step.Add(ShortForm.Made(line.Sits.Text.Place, "id", id));
        step.Add(ShortForm.Made(line.Sits.Text.Place, "of", of));
        _readings[key] = id;
        _steps.Add(step);
        if (!_madeBy.TryAdd(line, [id]))
        {
            _madeBy[line].Add(id);
        }

        return step;
    }

    private string? Rule(Line line, string kind, string name, List<string> of, Action<TomlTable>? add = null, TomlText? when = null, TomlEntry? also = null, IReadOnlyList<string>? unless = null)
    {
        if (of.Count == 0)
        {
            return null;
        }

        SitsLine sits = line.Sits;
        TextPlace place = sits.Text.Place;
        TomlTable rule = new(place);
        string id = line.More?.Find("id")?.Node is not TomlText said ? _form.FreeRule($"{Id}-{name}")
            : _named.Add(said.Place) ? Said(said.Value) : $"{Said(said.Value)}-{name}";   // a line of several rules
        rule.Add(ShortForm.Made(line.More?.Find("id")?.Node.Place ?? place, "id", id));
        rule.Add(ShortForm.Made(place, "kind", kind));
        rule.Add(new TomlEntry("of", place, ShortForm.ListOf(place, of.Select(step => TomlText.At(place, step)))));
        if (sits.Lengths.Count > 0)
        {
            AddLimits(rule, sits);
        }

        add?.Invoke(rule);
        if (sits.Within is { } within)
        {
            rule.Add(new TomlEntry("within", within.Place, within));
        }
        else if (line.More?.Find("within") is { } tolerance)
        {
            rule.Add(tolerance);
        }

        if (line.More?.Find("source") is { } source)
        {
            rule.Add(source);
        }

        TomlText? condition = when ?? sits.If;
        TomlTable? parts = condition is null || sits.Sit == Sit.Hidden ? null : _form.When(condition, this);
        TomlTable all = new(place);
        IEnumerable<TomlEntry> missing = (unless ?? line.Unless).Select(item => ShortForm.Made(place, item + ".worn", "no"));
        foreach (TomlEntry part in (parts?.Entries ?? []).Concat(missing).Concat(also is null ? [] : [also]))
        {
            all.Set(part);
        }

        if (all.Entries.Count > 0)
        {
            rule.Add(new TomlEntry("when", condition?.Place ?? place, all));
        }

        _form.Relations.Add(rule);
        return id;
    }

    private static void AddLimits(TomlTable rule, SitsLine sits)
    {
        if (sits.Range is { } range)
        {
            foreach ((string key, TomlText length) in range.Split(' ').Zip(sits.Lengths))
            {
                rule.Add(new TomlEntry(key, length.Place, length));
            }
        }
        else if (sits.Lengths is [var one])
        {
            rule.Add(new TomlEntry("nominal", one.Place, one));
        }
        else
        {
            rule.Add(new TomlEntry("any-of", sits.Lengths[0].Place, ShortForm.ListOf(sits.Lengths[0].Place, sits.Lengths)));
        }
    }

    /// <summary>Puts hints, cautions and words of the lines to the readings, once all items have theirs.</summary>
    internal void AddHintsAndCautions()
    {
        foreach ((Line line, List<string> made) in _madeBy.Where(pair => pair.Key.More is not null))
        {
            Ask(made, line.More!.Find("ask"));
            foreach (TomlEntry entry in line.More!.Entries.Where(entry => entry.Name is "hint" or "caution"))
            {
                StepOf(made[0]).Set(_mirrored && entry.Node is TomlText text ? ShortForm.Made(text.Place, entry.Name, Said(text.Value)) : entry);
            }
        }

        foreach (Line line in _lines.Where(line => line.More is not null && !_madeBy.ContainsKey(line)))
        {
            foreach (TomlEntry entry in line.More!.Entries.Where(entry => entry.Name is "hint" or "caution" or "ask"))
            {
                _form.Faults.Add(entry.Place, $"this line takes no reading of its own, so its {entry.Name} stands nowhere", $"the {entry.Name} at the line that takes the readings");
            }
        }

        if (_table.Has("pins") && _standsOn is { IsItem: false } && _steps.Find(step => _atPins.Contains(ShortForm.TextOf(step, "id")!)) is { } first && first.Find("caution") is null)
        {
            first.Add(ShortForm.Made(first.Place, "caution", PinCaution));
        }
    }

    private void Ask(List<string> made, TomlEntry? ask)
    {
        IReadOnlyList<TomlNode> texts = ask?.Node is TomlList list ? list.Items : ask is null ? [] : [ask.Node];
        if (ask is not null && texts.Count != made.Count)
        {
            _form.Faults.Add(ask.Node.Place, $"this line takes {made.Count} readings, and ask has {texts.Count}", "one text for each reading, in their order");
            return;
        }

        foreach ((string id, TomlNode text) in made.Zip(texts))
        {
            StepOf(id).Set(new TomlEntry("ask", text.Place, _mirrored && text is TomlText said ? TomlText.At(said.Place, Said(said.Value)) : text));
        }
    }

    private TomlTable StepOf(string id) => _form.Steps.First(step => ShortForm.TextOf(step, "id") == id);

    // ---- its place on the picture -----------------------------------------------------------------------------------------------------------

    /// <summary>The nominal place in the file's own terms; edge to edge where it stands on one thing alone, so that a rack that grows carries it.</summary>
    private TomlList PlaceNode()
    {
        TextPlace place = StandsOnPlace;
        PlanePoint at = Place() ?? default;
        Line? upright = _lines.Find(line => line.Sits is { Sit: Sit.Gap, Way.IsUpright: true, Range: null, Lengths.Count: > 0 } && line.On == _standsOn);
        bool isEdgeToEdge = upright is { Sits: var sits } && _form.Measures.Length(sits.Lengths[0], "nominal") is not null && (!sits.Things[0].Side.IsTold || sits.Things[0].Side == sits.Way)
            && (_standsOn!.IsItem || sits.Way == Up || _standsOn.Size is null);
        TomlNode up = isEdgeToEdge
            ? TomlText.At(upright!.Sits.Lengths[0].Place, $"{(upright.Sits.Way == Up ? "above" : "below")} {upright.Sits.Lengths[0].Value}")
            : TomlText.At(place, LengthFormat.ShowExact(at.Up));
        return ShortForm.ListOf(place, TomlText.At(place, at.Right == Length.Zero ? "0" : LengthFormat.ShowExact(at.Right)), up);
    }

    /// <summary>The centre, from what it stands on as <c>place</c> counts; a direction that no line tells is 0. Null while it is being found, or where its size is not known.</summary>
    private PlanePoint? Place()
    {
        if (_place is not null || _placing || _standsOn is null || Thing.Size is not { } size)
        {
            return _place;
        }

        _placing = true;
        if (_table.Find("place")?.Node is { } said)
        {
            _place = _form.Measures.Point(_mirrored ? ShortForm.MirroredPoint(said) : said, "place") ?? default(PlanePoint);
        }
        else
        {
            Length? right = null, up = null;
            foreach (Line line in _lines)
            {
                (Length? x, Length? y) = Told(line, size);
                (right, up) = (right ?? x, up ?? y);
            }

            _place = new PlanePoint(right ?? Length.Zero, up ?? Length.Zero);
        }

        _placing = false;
        return _place;
    }

    private (Length? Right, Length? Up) Told(Line line, PlanePoint size)
    {
        SitsLine sits = line.Sits;
        if (line.On is null || line.Unless.Count > 0 || sits.Sit is Sit.Level or Sit.Size or Sit.NotWider or Sit.Hidden or Sit.Angle)
        {
            return default;
        }

        bool upright = sits.Sit switch { Sit.Centred or Sit.Evenly => IsUpright(line), Sit.InLine => sits.Own.IsUpright, _ => sits.Way.IsUpright };
        Length half = (upright ? size.Up : size.Right).DividedBy(2, Rounding.HalfEven);
        Length gap = sits.Lengths.Count > 0 && _form.Measures.Length(sits.Lengths[0], "nominal") is { } nominal ? nominal : Length.Zero;
        switch (sits.Sit)
        {
            case Sit.Gap or Sit.Centre:
                int way = upright ? sits.Way.Up : sits.Way.Right;
                Way side = sits.Things[0].IsCentre ? default : sits.Things[0].Side.IsTold ? sits.Things[0].Side : sits.Way;
                Length? coordinate = Coordinate(line.On, upright, side) is { } edge ? edge + (gap + (sits.Sit == Sit.Gap ? half : Length.Zero)).Times(way) : null;
                return upright ? (null, coordinate) : (coordinate, null);
            case Sit.TwoEdges:
                (Length? across, Length? along) = (null, null);
                foreach ((ThingNamed named, Thing thing) in sits.Things.Zip(line.Things))
                {
                    Way inward = Inward(named.Side);
                    Length? inside = Coordinate(thing, inward.IsUpright, named.Side) + (gap + (inward.IsUpright ? size.Up : size.Right).DividedBy(2, Rounding.HalfEven)).Times(inward.IsUpright ? inward.Up : inward.Right);
                    (across, along) = inward.IsUpright ? (across, along ?? inside) : (across ?? inside, along);
                }

                return (across, along);
            case Sit.InLine:
                Length? own = Coordinate(line.On, upright, sits.Things[0].Side.IsTold ? sits.Things[0].Side : sits.Own) is { } at ? at - half.Times(upright ? sits.Own.Up : sits.Own.Right) : null;
                return upright ? (null, own) : (own, null);
            case Sit.Centred:
                Length? middle = sits.Things.Count == 1
                    ? Coordinate(line.On, upright, default)
                    : Coordinate(line.Things[0], upright, Facing(line, 0, upright)) is { } a && Coordinate(line.Things[1], upright, Facing(line, 1, upright)) is { } b ? (a + b).DividedBy(2, Rounding.HalfEven) : null;
                return upright ? (null, middle) : (middle, null);
            case Sit.Corner:
                Way slant = sits.Way.IsTold ? sits.Way : Outward(line.On) ?? default;
                double slanting = Math.Sqrt(0.5);
                Length diagonal = Thing.IsRound ? Length.FromNanometres((gap + half).Nanometres * slanting, Rounding.HalfEven) : Length.FromNanometres(gap.Nanometres * slanting, Rounding.HalfEven);
                (Length x, Length y) = Thing.IsRound ? (diagonal, diagonal) : (diagonal + half, diagonal + size.Up.DividedBy(2, Rounding.HalfEven));
                return (Coordinate(line.On, false, default) + x.Times(slant.Right), Coordinate(line.On, true, line.On.IsItem ? default : Up) + y.Times(slant.Up));
            default:
                return default;
        }
    }

    // The edge of a thing that something between two things is measured from.
    private static Way Facing(Line line, int at, bool upright)
    {
        Way said = line.Sits.Things[at].Side;
        if (said.IsTold || line.Sits.Things[at].Edge is not null)
        {
            return said;
        }

        bool isFirst = InOrder(line, upright).First == at;
        return upright ? isFirst ? Down : Up : isFirst ? Right : Left;
    }

    /// <summary>Where an edge (or, where no side is told, the middle) of a thing lies, from what this item stands on as <c>place</c> counts; null where it is not known.</summary>
    private Length? Coordinate(Thing thing, bool upright, Way side)
    {
        if (Centre(thing) is not { } centre || Centre(_standsOn!) is not { } origin || centre.Ground != origin.Ground)
        {
            return null;
        }

        PlanePoint from = _standsOn!.IsItem ? origin.At : _standsOn.At is { } top ? top : default;
        Length half = (upright ? thing.Size?.Up : thing.Size?.Right)?.DividedBy(2, Rounding.HalfEven) ?? Length.Zero;
        return (upright ? centre.At.Up - from.Up : centre.At.Right - from.Right) + half.Times(upright ? side.Up : side.Right);
    }

    /// <summary>A thing's centre, and what it is counted from: the middle of the chest, or a place that nobody has told.</summary>
    private (string Ground, PlanePoint At)? Centre(Thing thing, int depth = 0)
    {
        if (!thing.IsItem)
        {
            Length half = thing.Size?.Up.DividedBy(2, Rounding.HalfEven) ?? Length.Zero;   // a place is counted from its top middle
            PlanePoint top = thing.At ?? default;
            return (thing.At is null ? thing.Id : string.Empty, top with { Up = top.Up - half });
        }

        if (depth > StandardFormat.MaxItems || _form.ItemOf(thing) is not { } item || item.Place() is not { } place || item._standsOn is not { } on || Centre(on, depth + 1) is not { } lower)
        {
            return null;   // deeper is a cycle, which is told later
        }

        PlanePoint from = on.IsItem ? lower.At : on.At ?? default;
        return (lower.Ground, new PlanePoint(from.Right + place.Right, from.Up + place.Up));
    }
}
