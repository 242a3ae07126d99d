using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Turns the tree of one file into a standard, section by section, and gathers every fault on the way.</summary>
/// <remarks>
/// Ids come first, so that a name may be used before the line that makes it. Parts that cannot be read are null and no
/// later check speaks of them, so that one slip is one fault. The record is built only when there is none.
/// </remarks>
internal sealed class StandardReader
{
    /// <summary>Answers to one question; a number of ribbons is one of them.</summary>
    internal const int MostAnswers = 50;

    private const int MaxAskLength = 300;

    // The width of the list of steps beside the caliper's value at 80 columns, less its mark and a value.
    private const int MaxShortLength = 20;

    // Two screens of a terminal at arm's length; longer belongs into the company's own instructions.
    private const int MaxHintLength = 600;

    private readonly TomlTable _root;
    private readonly FaultList _faults;
    private readonly StandardNames _names;
    private readonly MeasureReader _measures;
    private readonly ConditionReader _conditions;
    private readonly TableReader _top;
    private readonly IReadOnlyDictionary<string, string> _answers;

    /// <summary>Begins to read a file's tree, in the short form, the long one or both.</summary>
    /// <param name="written">The tree as written.</param>
    /// <param name="faults">Where faults go.</param>
    /// <param name="answers">Answers that count rows; a question that is not among them takes its first.</param>
    internal StandardReader(TomlTable written, FaultList faults, IReadOnlyDictionary<string, string> answers)
    {
        TomlTable root = ShortForm.Expand(written, faults, answers);
        _answers = answers;
        _root = root;
        _faults = faults;
        _top = new TableReader(root, StandardFormat.Top, faults, "the file");
        _names = new StandardNames(root, faults);
        UnitMark unit = _top.Word<UnitMark>("unit", MeasureReader.Units) ?? UnitMark.Inch;
        Unit = unit == UnitMark.Millimetre ? LengthUnit.Millimetre : LengthUnit.Inch;
        Sides = _top.Word<Sides>("sides", [("viewer", Sides.Viewer), ("as-worn", Sides.AsWorn)]) ?? Sides.Viewer;
        _measures = new MeasureReader(unit, Sides == Sides.AsWorn, faults);
        _conditions = new ConditionReader(_names, _measures, faults);
    }

    /// <summary>Questions whose answer counts the parts of a row, with their answers.</summary>
    internal Dictionary<string, IReadOnlyList<string>> Counting { get; } = [];

    private LengthUnit Unit { get; }

    private Sides Sides { get; }

    /// <summary>The standard, or null when there is any fault.</summary>
    internal Standard? Read(string sha256)
    {
        string? name = _top.Text("name", StandardNames.MaxNameLength), edition = _top.Text("edition", StandardNames.MaxNameLength);
        LengthDisplay show = _top.Word<LengthDisplay>("show", Displays) ?? (Unit == LengthUnit.Inch ? LengthDisplay.Ticks : LengthDisplay.Millimetre);
        (JudgingSettings judging, Length? within) = ReadJudging();
        List<Question> questions = ReadQuestions();
        ReadLandmarks();
        List<Look> looks = [.. ReadReady(), .. ReadLooks()];
        List<ItemDraft> itemDrafts = SketchItems();
        List<Item> items = ReadItems(itemDrafts);
        List<(StepDraft Draft, Step Step)> steps = ReadSteps(itemDrafts);
        List<(RelationDraft Draft, Relation Relation)> relations = ReadRelations(itemDrafts, [.. steps.Select(pair => pair.Draft)], within);
        new StandardChecks(_root, _names, _faults).Run(itemDrafts, [.. steps.Select(pair => pair.Draft)], [.. relations.Select(pair => pair.Draft)]);
        if (!_faults.Any)
        {
            new FarNominals([.. items], _names, _faults).Check([.. steps.Select(pair => pair.Step)], relations);
        }

        return _faults.Any ? null : new Standard(
            name!, edition!, Unit, show, Sides, judging, questions, looks, [.. _names.Landmarks.Values], items,
            [.. steps.Select(pair => pair.Step)], [.. relations.Select(pair => pair.Relation)], sha256)
        { Places = Places() };
    }

    private Dictionary<(string Kind, string Name), TextPlace> Places()
    {
        Dictionary<(string, string), TextPlace> places = _names.Items.ToDictionary(pair => ("item", pair.Key), pair => pair.Value.Find("id")!.Node.Place);
        foreach ((string id, TomlTable table) in _names.Relations)
        {
            places[("relation", id)] = table.Find("id")!.Node.Place;
        }

        foreach (TomlEntry named in StandardNames.Tables(_root, StandardFormat.Landmark).Select(table => table.Find("name"))
            .Concat(StandardNames.Tables(_root, StandardFormat.Item).Select(table => table.Find("stands_on"))).Concat(StandardNames.Tables(_root, StandardFormat.Step).Select(table => table.Find("from"))).OfType<TomlEntry>())
        {
            foreach (TomlText name in named.Node is TomlList list ? list.Items.OfType<TomlText>() : [.. new[] { named.Node }.OfType<TomlText>()])
            {
                places.TryAdd(("landmark", name.Value), name.Place);
            }
        }

        return places;
    }

    internal static (string Word, LengthDisplay Display)[] Displays { get; } =
        [("ticks", LengthDisplay.Ticks), ("fraction", LengthDisplay.Fraction), ("inch", LengthDisplay.Inch), ("mm", LengthDisplay.Millimetre)];

    /// <summary>The tables of one kind, each with its reader; too many, or something else of that name, is a fault.</summary>
    private IEnumerable<TableReader> Tables(TableFormat format)
    {
        TomlNode? node = _root.Find(format.Name)?.Node;
        if (node is null)
        {
            return [];
        }

        if (node is not TomlList list)
        {
            _faults.Add(node.Place, $"{format.Name} is {node.Words}", format.Header);
            return [];
        }

        foreach (TomlNode other in list.Items.Where(item => item is not TomlTable))
        {
            _faults.Add(other.Place, $"{format.Name} holds {other.Words} where a table belongs", format.Header);
        }

        if (list.Items.Count > format.Most)
        {
            _faults.Add(list.Items[format.Most].Place, $"there are {list.Items.Count} {format.Header} tables", $"at most {format.Most}");
        }

        return [.. StandardNames.Tables(_root, format).Select(table => new TableReader(table, format, _faults, StandardNames.LabelOf(table, format)))];
    }

    // DIN 862 as quoted by published copies: 20 µm at digital step 0.01 mm for short lengths (https://www.scribd.com/document/564783692/DIN862863);
    // JIS B 7507, 0-150 mm, the same by sellers' data sheets.
    private static readonly Length DefaultCaliper = Length.FromMicrometres(20);

    // A hand on cloth: common practice, no source; a study on the bench replaces it.
    private static readonly Length DefaultHand = Length.FromMicrometres(100);

    private const double DefaultConfidence = 0.95;

    // The digital step of common calipers.
    private static readonly Length Finest = Length.FromMicrometres(10);

    private (JudgingSettings Settings, Length? Within) ReadJudging()
    {
        TomlTable table = _top.Table("judging", "[judging]") ?? TomlTable.Empty;
        TableReader judging = new(table, StandardFormat.Judging, _faults, "[judging]");
        DecisionRule rule = judging.Word<DecisionRule>("rule", [("plain", DecisionRule.Plain), ("guarded", DecisionRule.Guarded)]) ?? DecisionRule.Guarded;
        Length? within = LengthLimits(null).Tolerance(judging, "within");
        Length hand = judging.Find("hand") is { } cloth ? _measures.Positive(cloth.Node, "hand") ?? DefaultHand : DefaultHand;
        Length caliper = judging.Find("caliper") is { } tool ? _measures.Positive(tool.Node, "caliper") ?? DefaultCaliper : DefaultCaliper;
        double confidence = DefaultConfidence;
        if (judging.Find("confidence")?.Node is { } node)
        {
            if (node is TomlNumber { Value: >= 0.5 and <= 0.9999 } number)
            {
                confidence = number.Value;
            }
            else
            {
                _faults.Add(node.Place, $"confidence is {(node is TomlNumber bad ? FaultList.Shown(bad.Raw, 30) : node.Words)}", "a number from 0.5 to 0.9999, such as 0.95");
            }
        }

        return (new JudgingSettings(rule, confidence, within ?? Length.Zero, hand, caliper), within);
    }

    private LimitsReader<Length> LengthLimits(Length? defaultWithin) =>
        new((node, key) => _measures.Length(node, key), _faults, defaultWithin, Finest, "0.01 mm");

    private List<Question> ReadQuestions()
    {
        List<Question> questions = [];
        foreach (TableReader table in Tables(StandardFormat.Question))
        {
            string? ask = table.Text("ask", MaxAskLength);
            IReadOnlyList<TomlText>? answers = table.Texts("answers", MostAnswers, StandardNames.MaxNameLength);
            if (answers is { Count: 1 })
            {
                _faults.Add(table.PlaceOf("answers"), $"{table.Label} has one answer only", "two answers or more, the usual one first");
            }

            foreach (TomlText twice in (answers ?? []).Where((answer, index) => answers!.Take(index).Any(earlier => earlier.Value == answer.Value)))
            {
                _faults.Add(twice.Place, $"the answer {FaultList.Quote(twice.Value)} is there twice", "each answer once");
            }

            questions.Add(new Question(IdOf(table), ask ?? string.Empty, [.. (answers ?? []).Select(answer => answer.Value)]));
        }

        return questions;
    }

    private IEnumerable<Look> ReadReady() => Tables(StandardFormat.Ready).Select(table => ReadLook(table, LookPlace.BeforeAll, null));

    private IEnumerable<Look> ReadLooks() => Tables(StandardFormat.Look).Select(table => ReadLook(table, ReadPlaceOf(table), ReadWait(table)));

    private Look ReadLook(TableReader table, LookPlace place, TimeSpan? wait) => new(
        IdOf(table), table.Text("ask", MaxAskLength) ?? string.Empty, place, table.Text("hint", MaxHintLength), table.Text("caution", MaxHintLength), _conditions.Read(table, mayAskValues: false), wait)
    {
        Short = table.Text("short", MaxShortLength),
    };

    private LookPlace ReadPlaceOf(TableReader look)
    {
        if (look.Has("before") == look.Has("after"))
        {
            _faults.Add(look.Has("after") ? look.PlaceOf("after") : look.Place, $"{look.Label} {(look.Has("after") ? "comes both before and after" : "has no place")}", "before or after, with the id of an item or a step, or \"all\"");
            return LookPlace.AfterAll;
        }

        string key = look.Has("before") ? "before" : "after";
        LookWhen when = key == "before" ? LookWhen.Before : LookWhen.After;
        string? of = look.Text(key, StandardNames.MaxNameLength);
        if (of is null or "all")
        {
            return new LookPlace(when, null);
        }

        if (when == LookWhen.After && of == "touch-up")
        {
            return LookPlace.TouchUp;
        }

        if (!_names.Items.ContainsKey(of) && !_names.Steps.ContainsKey(of))
        {
            _names.Unknown(look.PlaceOf(key), "item or step", of, [.. _names.Items.Keys, .. _names.Steps.Keys, "all", .. when == LookWhen.After ? ["touch-up"] : Array.Empty<string>()]);
        }

        return new LookPlace(when, of);
    }

    private static readonly TimeSpan LongestWait = TimeSpan.FromDays(1);

    private TimeSpan? ReadWait(TableReader look)
    {
        if (look.Text("wait", StandardNames.MaxNameLength) is not { } text)
        {
            return null;
        }

        string[] parts = text.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        TimeSpan? wait = parts.Length == 2 && int.TryParse(parts[0], System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out int count) && count is > 0 and <= 86_400
            ? parts[1] switch { "s" => TimeSpan.FromSeconds(count), "min" => TimeSpan.FromMinutes(count), "h" => TimeSpan.FromHours(count), _ => null }
            : null;
        if (wait is null || wait > LongestWait)
        {
            _faults.Add(look.PlaceOf("wait"), $"wait is {FaultList.Quote(text)}", "a whole number and s, min or h, up to a day: \"10 min\"");
        }

        return wait;
    }

    private void ReadLandmarks()
    {
        foreach (TableReader table in Tables(StandardFormat.Landmark))
        {
            string? name = table.Text("name", StandardNames.MaxNameLength);
            PlanePoint? at = _measures.Point(table, "at"), size = _measures.Size(table, "size");
            Backing backing = ReadBacking(table);
            if (at is { } place && !CoatBounds.Hold(place))
            {
                _faults.Add(table.PlaceOf("at"), $"{table.Label} lies outside the coat", CoatBounds.Words, FaultKind.OutsideCoat);
            }

            if (name is null)
            {
                continue;
            }

            if (_names.Items.ContainsKey(name))
            {
                _faults.Add(table.PlaceOf("name"), $"{FaultList.Quote(name)} is an item's id", "a name of its own");
            }
            else if (!_names.Landmarks.TryAdd(name, new Landmark(name, at, size) { Backing = backing }))
            {
                _faults.Add(table.PlaceOf("name"), $"another landmark is called {FaultList.Quote(name)}", "a name of its own");
            }
        }
    }

    private Backing ReadBacking(TableReader landmark)
    {
        if (landmark.Table("backing", "{ margin = \"1/8\", hidden = [\"rack.bottom\"] }") is not { } table)
        {
            return Backing.Usual;
        }

        TableReader backing = new(table, StandardFormat.Backing, _faults, $"backing of {landmark.Label}");
        Length Within(string key, Length usual, Length most, bool mayBeZero = true)
        {
            if (!backing.Has(key) || _measures.Length(backing, key) is not { } length)
            {
                return usual;
            }

            if (length < Length.Zero || length > most || (length == Length.Zero && !mayBeZero))
            {
                _faults.Add(backing.PlaceOf(key), $"{key} of {backing.Label} is {LengthFormat.ShowExact(length)}", $"{(mayBeZero ? "0" : "above 0")} to {LengthFormat.ShowExact(most)}");
            }

            return length;
        }

        Length inch = Length.Inch;
        return new Backing(
            Within("margin", Backing.Usual.Margin, inch.Times(2)),
            Within("bridge", Backing.Usual.Bridge, inch.Times(2)),
            Within("inset", Backing.Usual.Inset, inch),
            Within("hole", Backing.Usual.Hole, inch.DividedBy(4, Rounding.HalfEven), mayBeZero: false),
            backing.Has("hidden") ? [.. (backing.Texts("hidden", 100, StandardNames.MaxNameLength) ?? []).Select(EdgeOf).OfType<ItemEdge>()] : []);
    }

    /// <summary>An edge such as <c>rack.bottom</c>; left and right as the file means them.</summary>
    private ItemEdge? EdgeOf(TomlText text)
    {
        int point = text.Value.IndexOf('.', StringComparison.Ordinal);
        string item = point < 0 ? text.Value : text.Value[..point];
        if (!_names.Items.ContainsKey(item))
        {
            _names.Unknown(text.Place, "item", item, _names.Items.Keys);
            return null;
        }

        Edge? edge = (point < 0 ? "" : text.Value[(point + 1)..], _measures.Mirrored) switch
        {
            ("left", false) or ("right", true) => Edge.Left,
            ("right", false) or ("left", true) => Edge.Right,
            ("top", _) => Edge.Top,
            ("bottom", _) => Edge.Bottom,
            _ => null,
        };
        if (edge is null)
        {
            _faults.Add(text.Place, $"{FaultList.Quote(text.Value)} names no edge", $"\"{item}.top\", .bottom, .left or .right");
        }

        return edge is { } side ? new ItemEdge(item, side) : null;
    }

    private static string IdOf(TableReader table) => table.Find("id")?.Node is TomlText text ? text.Value : string.Empty;

    /// <summary>Reads what other entries need to know of an item: its size and what it stands on.</summary>
    private List<ItemDraft> SketchItems()
    {
        List<ItemDraft> drafts = [];
        foreach (TableReader table in Tables(StandardFormat.LongItem))
        {
            RowLayout? rows = ReadRows(table);
            if (table.Has("rows") == table.Has("size"))
            {
                _faults.Add(table.Has("size") ? table.PlaceOf("size") : table.Place, $"{table.Label} has {(table.Has("size") ? "both size and rows" : "no size")}", "size = [width, height], or rows, which give the size");
            }

            PlanePoint? size = _measures.Size(table, "size") ?? rows?.Size;
            IReadOnlyList<TomlText> on = table.Texts("stands_on", 10, StandardNames.MaxNameLength) ?? [];
            ItemDraft draft = new(table, StandardNames.IdOf(table.Source), on.Count == 0 ? null : on[0].Value, size, rows, _conditions.Read(table, mayAskValues: false)) { Otherwise = [.. on.Skip(1).Select(text => text.Value)] };
            drafts.Add(draft);
            foreach (TomlText support in on)
            {
                ResolveSupport(draft, support);
            }
        }

        return drafts;
    }

    // A name that is no item id is a landmark, unless it is a near-miss of an item id (then a fault).
    private void ResolveSupport(ItemDraft draft, TomlText support)
    {
        string on = support.Value;
        if (_names.Items.ContainsKey(on) || _names.Landmarks.ContainsKey(on))
        {
            return;
        }

        string? near = _names.Items.Keys.FirstOrDefault(id => NearestName.IsNear(on, id) && id != draft.Id);
        if (near is not null)
        {
            _faults.Add(support.Place, $"there is no item {FaultList.Quote(on)}", $"\"{near}\", or a [[landmark]] of that name");
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

        return RowsOf(new TableReader(table, StandardFormat.Rows, _faults, $"rows of {item.Label}"), _measures, _faults, CountOf);
    }

    // A number, or the question whose answer it is.
    private int? CountOf(TomlText question)
    {
        if (!_names.Questions.TryGetValue(question.Value, out TomlTable? asked))
        {
            _names.Unknown(question.Place, "question", question.Value, _names.Questions.Keys);
            return null;
        }

        _names.Ask(question.Value);
        IReadOnlyList<string> answers = asked.Find("answers")?.Node is TomlList list ? [.. list.Items.OfType<TomlText>().Select(text => text.Value)] : [];
        if (answers.Count == 0)
        {
            return null;   // told already
        }

        if (answers.FirstOrDefault(answer => !IsCount(answer)) is { } word)
        {
            _faults.Add(question.Place, $"question {FaultList.Quote(question.Value)} counts the rows, but its answer {FaultList.Quote(word)} is no number", "a question with number = [1, 18]");
            return null;
        }

        Counting[question.Value] = answers;
        return int.Parse(_answers.GetValueOrDefault(question.Value) is { } given && answers.Contains(given) ? given : answers[0], CultureInfo.InvariantCulture);
    }

    private const int MostParts = 200;

    private static bool IsCount(string answer) => int.TryParse(answer, NumberStyles.None, CultureInfo.InvariantCulture, out int count) && count is > 0 and <= MostParts;

    /// <summary>The rows that a table says; null after a fault.</summary>
    /// <param name="rows">The table.</param>
    /// <param name="measures">Reads lengths.</param>
    /// <param name="faults">Where faults go.</param>
    /// <param name="countOf">The number that a question stands for, or null.</param>
    internal static RowLayout? RowsOf(TableReader rows, MeasureReader measures, FaultList faults, Func<TomlText, int?> countOf)
    {
        IReadOnlyList<int>? full = PerRow(rows, faults);
        int? count = rows.Find("count")?.Node is TomlText question ? countOf(question) : rows.Has("count") ? rows.Count("count", 1, MostParts) : full?.Sum();
        if (!rows.Has("count") && rows.Find("per-row")?.Node is TomlNumber)
        {
            faults.Add(rows.Place, $"{rows.Label} have no count", "count = 7, or the question that asks for it; or a number for each row, per-row = [3, 3, 2]");
            count = null;
        }

        PlanePoint? part = measures.Size(rows, "part");
        LastRow last = rows.Word<LastRow>("last", [("centred", LastRow.Centred), ("flush-left", LastRow.FlushLeft), ("flush-right", LastRow.FlushRight)]) ?? LastRow.Centred;
        LastRow seen = (last, measures.Mirrored) switch
        {
            (LastRow.FlushLeft, true) => LastRow.FlushRight,
            (LastRow.FlushRight, true) => LastRow.FlushLeft,
            _ => last,
        };
        List<int> lengths = count is { } n && full is not null ? Filled(n, full) : [];
        return RowGaps(rows, measures, faults, lengths.Count) is { } gaps && lengths.Count > 0 && part is { } one ? new RowLayout(lengths, one, gaps, seen) : null;
    }

    /// <summary>Parts of a full row, or of each row from the bottom up.</summary>
    private static List<int>? PerRow(TableReader rows, FaultList faults)
    {
        if (rows.Find("per-row")?.Node is not TomlList)
        {
            return rows.Count("per-row", 1, 50) is { } across ? [across] : null;
        }

        IReadOnlyList<TomlNode> nodes = rows.List("per-row", 50, "[3, 3, 2], from the bottom up") ?? [];
        foreach (TomlNode bad in nodes.Where(node => node is not TomlNumber { Whole: >= 1 and <= 50 }))
        {
            faults.Add(bad.Place, $"per-row of {rows.Label} holds {(bad is TomlNumber number ? FaultList.Shown(number.Raw, 30) : bad.Words)}", "whole numbers from 1 to 50, from the bottom up");
        }

        return nodes.Count > 0 && nodes.All(node => node is TomlNumber { Whole: >= 1 and <= 50 }) ? [.. nodes.OfType<TomlNumber>().Select(number => (int)number.Whole!.Value)] : null;
    }

    // From the bottom up; more parts than the rows hold go on with rows like the last.
    private static List<int> Filled(int count, IReadOnlyList<int> full)
    {
        List<int> rows = [];
        for (int left = count; left > 0; left -= rows[^1])
        {
            rows.Add(Math.Min(left, full[Math.Min(rows.Count, full.Count - 1)]));
        }

        return rows;
    }

    private static List<Length>? RowGaps(TableReader rows, MeasureReader measures, FaultList faults, int count)
    {
        TomlNode? node = rows.Find("gap")?.Node;
        if (node is TomlList { Items.Count: 0 })
        {
            _ = rows.List("gap", 50, "[\"0\", \"1/8\"], from the bottom up");
            return null;
        }

        List<Length?> gaps = [];
        foreach (TomlNode one in node is TomlList list ? list.Items : node is null ? [] : [node])
        {
            gaps.Add(measures.Length(one, "gap"));
            if (gaps[^1] is { Nanometres: < 0 })
            {
                faults.Add(one.Place, "the gap between rows is negative", "\"0\" or more");
            }
        }

        return gaps.Contains(null) ? null : [.. Enumerable.Range(0, Math.Max(count - 1, 0)).Select(at => gaps.Count == 0 ? Length.Zero : gaps[Math.Min(at, gaps.Count - 1)]!.Value)];
    }

    private List<Item> ReadItems(List<ItemDraft> drafts)
    {
        List<Item> items = [];
        foreach (ItemDraft draft in drafts)
        {
            TableReader table = draft.Table;
            string? name = table.Text("name", StandardNames.MaxNameLength);
            draft.Place = ReadPlace(draft, Lower(draft.StandsOn));
            List<Support?> otherwise = [.. draft.Otherwise.Select(on => ReadPlace(draft, Lower(on)) is { } place ? new Support(on, place) : null)];
            List<PlanePoint?> pins = [.. (table.List("pins", 16, "a list of points, [[\"-1\", \"0\"], [\"1\", \"0\"]]") ?? []).Select(pin => _measures.Point(pin, "pins", new EdgesOf(draft.Size)))];
            if (draft.Id is not null && draft.StandsOn is not null && draft.Size is not null && draft.Place is not null && !pins.Contains(null))
            {
                items.Add(new Item(draft.Id, name ?? draft.Id, draft.StandsOn, draft.Size.Value, draft.Place.Value, [.. pins.OfType<PlanePoint>()], draft.Rows, draft.When) { Otherwise = [.. otherwise.OfType<Support>()] });
            }
        }

        return items;

        ItemDraft? Lower(string? on) => drafts.Find(other => other.Id is not null && other.Id == on);
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
                draft.Id ?? string.Empty, of ?? string.Empty, from ?? string.Empty, at ?? default, fromAt, grows, ask ?? string.Empty, hint, caution, draft.When)
            {
                Short = draft.Table.Text("short", MaxShortLength),
                IsHeight = isSize && axis == ReadingAxis.Upright,
            }));
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
            _faults.Add(twice.Place, $"{table.Label} reads {FaultList.Quote(twice.Value)} twice", "each step once", FaultKind.ReadTwice);
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

    private void CheckKeys(TableReader table, RelationKind kind)
    {
        IReadOnlyList<string> keys = kind.Keys;
        foreach (string key in ByKind.Where(key => table.Has(key) && !keys.Contains(key)))
        {
            _faults.Add(table.Find(key)!.Place, $"a relation of kind {kind.Word} has no {key}", $"of such keys only {string.Join(", ", keys)}");
        }
    }

    private static string[] ByKind { get; } = ["nominal", "within", "above", "below", "min", "max", "any-of", "span", "add", "mixed"];

    private void CheckReadings(TableReader table, RelationKind kind, IReadOnlyList<TomlText> of, List<StepDraft> steps, bool mixed)
    {
        (int least, int most) = kind.Readings;
        if (of.Count > 0 && (of.Count < least || of.Count > most))
        {
            _faults.Add(table.PlaceOf("of"), $"{kind.Word} is over {of.Count} {(of.Count == 1 ? "reading" : "readings")}", most == int.MaxValue ? $"{least} or more" : least == most ? $"exactly {least}" : $"{least} or {most}");
        }

        List<(TomlText Text, StepDraft Step)> read = [];
        foreach (TomlText text in of)
        {
            if (steps.Find(step => step.Id == text.Value) is { } step)
            {
                read.Add((text, step));
            }
        }

        foreach ((TomlText text, StepDraft step) in read)
        {
            CheckReading(kind, text, step);
        }

        foreach ((TomlText text, StepDraft step) in read.Skip(1))
        {
            CheckAlike(kind, read[0].Step, text, step, mixed);
        }
    }

    private void CheckReading(RelationKind kind, TomlText text, StepDraft step)
    {
        if (kind.ReadingsOf == ReadingsOf.Sizes && !step.IsSize)
        {
            _faults.Add(text.Place, $"{FaultList.Quote(text.Value)} reads a gap, not a size", "kind = \"gap\", or a step with reads = \"width\" or \"height\"");
        }
        else if (kind.ReadingsOf == ReadingsOf.Gaps && step.IsSize)
        {
            _faults.Add(text.Place, $"{FaultList.Quote(text.Value)} reads a size, not a gap", kind == RelationKind.Gap ? "kind = \"size\"" : "a step between two things");
        }
    }

    // A gap holds for each of its readings by itself, so they need nothing in common; all others put readings together.
    private void CheckAlike(RelationKind kind, StepDraft first, TomlText text, StepDraft step, bool mixed)
    {
        bool sameWay = kind.TakesSpan;
        if (kind.JudgesEach || mixed)
        {
            return;
        }

        if ((first.Axis, step.Axis) is (ReadingAxis.Across, ReadingAxis.Upright) or (ReadingAxis.Upright, ReadingAxis.Across))
        {
            _faults.Add(text.Place, $"{FaultList.Quote(text.Value)} is {Words(step.Axis)}, {FaultList.Quote(first.Id ?? string.Empty)} is {Words(first.Axis)}", sameWay ? "two readings the same way" : "readings along one line; or mixed = true, where two edges at an angle are meant", FaultKind.OtherWay);
        }
        else if (sameWay && first.Grows is { } a && step.Grows is { } b && (a.Right * b.Right) + (a.Up * b.Up) < 0.999)
        {
            _faults.Add(text.Place, $"{FaultList.Quote(text.Value)} grows {b.Name}, {FaultList.Quote(first.Id ?? string.Empty)} grows {a.Name}", "two readings that grow the same way");
        }
    }

    private static string Words(ReadingAxis axis) => axis switch
    {
        ReadingAxis.Across => "read across",
        ReadingAxis.Upright => "read up and down",
        ReadingAxis.Slanted => "read at an angle",
        ReadingAxis.Untold => "read some way",
    };
}
