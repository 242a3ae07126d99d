using System.Globalization;
using System.Text.RegularExpressions;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Turns what a file says in the trade's words into the tables of the long form, which alone <see cref="StandardReader"/> reads.</summary>
/// <remarks>
/// <c>[asks]</c> becomes questions, <c>[garment]</c> landmarks, <c>if</c> a <c>when</c>, and each line of an item's <c>sits</c> steps and relations
/// (<see cref="ShortItem"/>). Every value that is made stands at the place of the words it was made from, so that a fault found later points there. What
/// is written in the long form already passes through untouched.
/// </remarks>
internal sealed partial class ShortForm
{
    private readonly TomlTable _root;
    private readonly FaultList _faults;
    private readonly MeasureReader _measures;   // its faults are told again, at the same place, by the reader of the long form
    private readonly List<Thing> _things = [];
    private readonly List<ShortItem> _items = [];

    private ShortForm(TomlTable root, FaultList faults)
    {
        _root = root;
        _faults = faults;
        _measures = new MeasureReader(MeasureReader.Units.FirstOrDefault(unit => unit.Word == TextOf(root, "unit"), MeasureReader.Units[0]).Unit, false, new FaultList());
    }

    /// <summary>The same file in the long form.</summary>
    /// <param name="root">The tree as written.</param>
    /// <param name="faults">Where faults go.</param>
    /// <param name="given">Answers that count rows, for the places that hang on them; a question that is not among them takes its first.</param>
    internal static TomlTable Expand(TomlTable root, FaultList faults, IReadOnlyDictionary<string, string> given) => new ShortForm(root, faults) { Given = given }.Expanded();

    private IReadOnlyDictionary<string, string> Given { get; init; } = new Dictionary<string, string>();

    /// <summary>The number that a question stands for, or null; with <paramref name="most"/> the greatest that it may.</summary>
    internal int? CountOf(TomlText question, bool most)
    {
        IEnumerable<string> answers = most ? Answers.GetValueOrDefault(question.Value, []) : [Given.GetValueOrDefault(question.Value) ?? Answers.GetValueOrDefault(question.Value, []).FirstOrDefault(string.Empty)];
        List<int> counts = [.. answers.Select(answer => int.TryParse(answer, NumberStyles.None, CultureInfo.InvariantCulture, out int count) ? count : 0).Where(count => count is > 0 and <= 200)];
        return counts.Count == 0 ? null : counts.Max();
    }

    /// <summary>Where rules that are made here go, and the ids that are taken already.</summary>
    internal List<TomlTable> Steps { get; } = [];

    internal List<TomlTable> Relations { get; } = [];

    private readonly HashSet<string> _stepIds = [], _ruleIds = [];

    internal FaultList Faults => _faults;

    internal MeasureReader Measures => _measures;

    private TomlTable Expanded()
    {
        List<TomlTable> questions = [.. Asks(), .. Written(StandardFormat.Question)];
        Dictionary<string, IReadOnlyList<string>> answers = [];
        foreach (TomlTable question in questions)
        {
            answers.TryAdd(TextOf(question, "id") ?? string.Empty, question.Find("answers")?.Node is TomlList list ? [.. list.Items.OfType<TomlText>().Select(text => text.Value)] : []);
        }

        Answers = answers;
        List<TomlTable> landmarks = [.. Garment(), .. Written(StandardFormat.Landmark)];
        foreach (TomlTable landmark in landmarks.Where(landmark => TextOf(landmark, "name") is not null))
        {
            _things.Add(Thing.OfLandmark(landmark, this));
        }

        IEnumerable<TomlTable> written = Written(StandardFormat.Item);
        List<(TomlTable Long, ShortItem? Short)> items = [.. written.SelectMany(ReadItem)];
        List<TomlTable> expanded = Emit(items);
        TomlTable top = new(_root.Place);
        foreach (TomlEntry entry in _root.Entries.Where(entry => !Rewritten.Contains(entry.Name)))
        {
            top.Add(entry.Node is TomlList list && (list.ByHeaders || entry.Name == StandardFormat.Look.Name) ? entry with { Node = Conditioned(list, getsId: entry.Name == StandardFormat.Ready.Name || entry.Name == StandardFormat.Look.Name) } : entry);
        }

        PutJudging(top);
        Put(top, StandardFormat.Question, questions);
        Put(top, StandardFormat.Landmark, landmarks);
        Put(top, StandardFormat.Item, expanded);
        Put(top, StandardFormat.Step, [.. Steps, .. Written(StandardFormat.Step).Select(Conditioned)]);
        Put(top, StandardFormat.Relation, [.. Relations, .. Written(StandardFormat.Relation).Select(Conditioned)]);
        return top;
    }

    private static string[] Rewritten { get; } = ["asks", "garment", "within", "judging", "question", "landmark", "item", "step", "relation"];

    /// <summary>The answers of every question, by its id.</summary>
    internal IReadOnlyDictionary<string, IReadOnlyList<string>> Answers { get; private set; } = new Dictionary<string, IReadOnlyList<string>>();

    private IEnumerable<TomlTable> Written(TableFormat format) => _root.Find(format.Name)?.Node is TomlList list ? list.Items.OfType<TomlTable>() : [];

    // What is no list of tables, or holds something else, stays as it is for the reader to tell.
    private void Put(TomlTable top, TableFormat format, List<TomlTable> tables)
    {
        TomlEntry? entry = _root.Find(format.Name);
        if (entry is not null && entry.Node is not TomlList)
        {
            top.Add(entry);
        }
        else if (tables.Count > 0 || entry is not null || (format == StandardFormat.Relation && _items.Count > 0))
        {
            TomlList list = new(entry?.Node.Place ?? _root.Place, byHeaders: true);
            list.Growing.AddRange([.. tables, .. entry?.Node is TomlList written ? written.Items.Where(item => item is not TomlTable) : []]);
            top.Add(new TomlEntry(format.Name, entry?.Place ?? _root.Place, list));
        }
    }

    private void PutJudging(TomlTable top)
    {
        TomlEntry? judging = _root.Find("judging");
        if (_root.Find("within") is not { } within)
        {
            if (judging is not null)
            {
                top.Add(judging);
            }

            return;
        }

        TomlTable table = new(judging?.Node.Place ?? within.Place);
        foreach (TomlEntry entry in (judging?.Node as TomlTable)?.Entries ?? [])
        {
            table.Add(entry);
        }

        if (table.Find("within") is { } twice)
        {
            _faults.Add(within.Place, $"within is said here and in [judging], on line {twice.Place.Line}", "keep one of the two");
        }
        else
        {
            table.Add(within);
        }

        top.Add(judging is { Node: not TomlTable } ? judging : new TomlEntry("judging", judging?.Place ?? within.Place, table));
    }

    private List<TomlTable> Asks()
    {
        List<TomlTable> questions = [];
        foreach (TomlEntry entry in Entries("asks", "cord = [\"yes\", \"no\"]"))
        {
            TomlTable question = new(entry.Place);
            question.Add(Made(entry.Place, "id", entry.Name));
            if (entry.Node is not TomlTable said)
            {
                string words = entry.Name.Replace('-', ' '), answers = string.Join(" or ", (entry.Node as TomlList)?.Items.OfType<TomlText>().Select(text => text.Value) ?? []);
                question.Add(Made(entry.Place, "ask", $"{Capital(words)}: {answers}?"));
                question.Add(new TomlEntry("answers", entry.Place, entry.Node));
                questions.Add(question);
                continue;
            }

            TableReader ask = new(said, StandardFormat.Ask, _faults, $"the question {FaultList.Quote(entry.Name)}");
            question.Add(said.Find("ask") ?? Made(entry.Place, "ask", $"{Capital(entry.Name.Replace('-', ' '))}?"));
            if (ask.Has("number"))
            {
                question.Add(new TomlEntry("answers", entry.Place, Numbers(ask)));
            }
            else if (said.Find("answers") is { } answers)
            {
                question.Add(answers);
            }
            else
            {
                _faults.Add(entry.Place, $"{ask.Label} has no answers", "answers = [\"yes\", \"no\"], or number = [1, 18]");
                continue;
            }

            questions.Add(question);
        }

        return questions;
    }

    /// <summary>The answers of a question for a number: the usual one first, then the rest in their order; of a range at fault some, so that the fault stays one.</summary>
    private TomlList Numbers(TableReader ask)
    {
        (int least, int most) = (0, StandardReader.MostAnswers - 1);
        if (ask.Find("number")!.Node is TomlList { Items: [TomlNumber { Whole: >= 0 and <= 1000 } low, TomlNumber { Whole: <= 1000 } high] } && high.Whole > low.Whole && high.Whole - low.Whole < StandardReader.MostAnswers)
        {
            (least, most) = ((int)low.Whole.Value, (int)high.Whole.Value);
        }
        else
        {
            _faults.Add(ask.PlaceOf("number"), $"number of {ask.Label} is no range", $"the least and the greatest, such as [1, 18]; at most {StandardReader.MostAnswers} numbers");
        }

        if (ask.Has("answers"))
        {
            _faults.Add(ask.PlaceOf("answers"), $"{ask.Label} has both answers and number", "one of the two");
        }

        int usual = (ask.Has("usual") ? ask.Count("usual", least, most) : null) ?? least;
        return ListOf(ask.PlaceOf("number"), Enumerable.Range(least, most - least + 1).OrderBy(number => number != usual)
            .Select(number => TomlText.At(ask.PlaceOf("number"), number.ToString(CultureInfo.InvariantCulture))));
    }

    private List<TomlTable> Garment()
    {
        List<TomlTable> landmarks = [];
        foreach (TomlEntry entry in Entries("garment", "\"left pocket\" = { at = [\"4\", \"2\"], size = [\"5\", \"5 1/2\"] }"))
        {
            if (entry.Node is not TomlTable said)
            {
                _faults.Add(entry.Node.Place, $"{FaultList.Quote(entry.Name)} is {entry.Node.Words}", "{ at = [\"4\", \"2\"], size = [\"5\", \"5 1/2\"] }, or {}");
                continue;
            }

            TableReader place = new(said, StandardFormat.GarmentPlace, _faults, $"the place {FaultList.Quote(entry.Name)}");
            landmarks.Add(LandmarkOf(entry, said, entry.Name, mirrored: false));
            if (place.Flag("both-sides") == true && OtherSide(entry.Place, place.Label, entry.Name) is { } other)
            {
                landmarks.Add(LandmarkOf(entry, said, other, mirrored: true));
            }
        }

        return landmarks;
    }

    private static TomlTable LandmarkOf(TomlEntry entry, TomlTable said, string name, bool mirrored)
    {
        TomlTable landmark = new(entry.Place);
        landmark.Add(Made(entry.Place, "name", name));
        foreach (TomlEntry part in said.Entries.Where(part => part.Name is "at" or "size"))
        {
            landmark.Add(mirrored && part.Name == "at" ? part with { Node = MirroredPoint(part.Node) } : part);
        }

        return landmark;
    }

    private IReadOnlyList<TomlEntry> Entries(string name, string example)
    {
        TomlNode? node = _root.Find(name)?.Node;
        if (node is null or TomlTable)
        {
            return ((TomlTable?)node)?.Entries ?? [];
        }

        _faults.Add(node.Place, $"{name} is {node.Words}", $"[{name}], and in it {example}");
        return [];
    }

    // ---- left and right -------------------------------------------------------------------------------------------------------------

    [GeneratedRegex(@"\b(left|right|Left|Right)\b", RegexOptions.CultureInvariant)]
    private static partial Regex SideWord();

    /// <summary>The same words of the other side.</summary>
    internal static string Swapped(string words) => SideWord().Replace(words, side => side.Value switch { "left" => "right", "right" => "left", "Left" => "Right", _ => "Left" });

    /// <summary>The name of the other side's; a name without a side is a fault.</summary>
    private string? OtherSide(TextPlace place, string label, string name)
    {
        string other = Swapped(name);
        if (other != name)
        {
            return other;
        }

        _faults.Add(place, $"{label} is there on both sides, but its name says neither left nor right", "a name such as \"left collar device\", for the one on the left", FaultKind.NoOtherSide);
        return null;
    }

    /// <summary>A point of the other side: its offset to the right turned round.</summary>
    internal static TomlNode MirroredPoint(TomlNode node)
    {
        if (node is not TomlList { Items: [var right, var up] } point)
        {
            return node;
        }

        TomlList mirrored = new(point.Place, byHeaders: false);
        mirrored.Growing.AddRange([Negated(right), up]);
        return mirrored;
    }

    internal static TomlNode Negated(TomlNode node)
    {
        string? written = node is TomlText text ? text.Value.Trim() : (node as TomlNumber)?.Raw;
        if (written is null)
        {
            return node;
        }

        string turned = SideWord().IsMatch(written) ? Swapped(written)
            : written is "0" or "middle" ? written
            : written.StartsWith('-') ? written[1..].TrimStart() : "-" + written.TrimStart('+');
        return TomlText.At(node.Place, turned);
    }

    // ---- conditions -----------------------------------------------------------------------------------------------------------------

    private TomlList Conditioned(TomlList list, bool getsId)
    {
        TomlList conditioned = new(list.Place, byHeaders: true);
        HashSet<string> ids = [.. list.Items.OfType<TomlTable>().Select(table => TextOf(table, "id")).OfType<string>()];
        foreach (TomlNode item in list.Items)
        {
            TomlTable? same = item is TomlTable table ? Conditioned(table) : null;
            if (getsId && same?.Find("id") is null && same?.Find("ask") is { Node: TomlText ask })
            {
                string id = FirstWords(ask.Value);
                for (int number = 2; !ids.Add(id); number++)
                {
                    id = string.Create(CultureInfo.InvariantCulture, $"{FirstWords(ask.Value)}-{number}");
                }

                same.Add(Made(ask.Place, "id", id));
            }

            same = same is null ? null : Placed(same);

            conditioned.Growing.Add(same ?? item);
        }

        return conditioned;
    }

    /// <summary>A look may call its item by its words: <c>after = "ribbon rack"</c>.</summary>
    private TomlTable Placed(TomlTable look)
    {
        TomlTable placed = new(look.Place);
        foreach (TomlEntry entry in look.Entries)
        {
            placed.Add(entry is { Name: "before" or "after", Node: TomlText words } && _things.Find(thing => thing.IsItem && thing.IsCalled(words.Value)) is { } item
                ? entry with { Node = TomlText.At(words.Place, item.Id) }
                : entry);
        }

        return placed;
    }

    // A word that only leads to the next one is no end of a name.
    private static readonly string[] Leading = ["of", "the", "a", "an", "and", "or", "to", "with", "your", "for", "from", "its", "by", "so", "that", "is", "are", "in", "at", "as"];

    private static string FirstWords(string ask)
    {
        List<string> words = [.. ask.Split(' ', StringSplitOptions.RemoveEmptyEntries).Take(4)];
        while (words.Count > 1 && Leading.Contains(words[^1].ToLowerInvariant()))
        {
            words.RemoveAt(words.Count - 1);
        }

        return IdOf(string.Join(' ', words));
    }

    /// <summary>The table with <c>if</c> written as <c>when</c>, and <c>stands-on</c> as <c>stands_on</c>.</summary>
    internal TomlTable Conditioned(TomlTable table)
    {
        TomlTable same = new(table.Place);
        foreach (TomlEntry entry in table.Entries)
        {
            if (entry.Name == "if" && table.Find("when") is { } twice)
            {
                _faults.Add(entry.Place, $"a condition is said here and on line {twice.Place.Line}", "if or when, not both");
            }
            else if (entry.Name == "stands-on" && table.Find("stands_on") is { } also)
            {
                _faults.Add(entry.Place, $"stands-on is said here and on line {also.Place.Line}", "keep one of the two");
            }
            else if (entry.Name == "if")
            {
                if (entry.Node is not TomlText text)
                {
                    _faults.Add(entry.Node.Place, $"if is {entry.Node.Words}", "\"cord = yes\"");
                }
                else if (When(text, null) is { } when)
                {
                    same.Add(new TomlEntry("when", entry.Place, when));
                }
            }
            else
            {
                same.Add(entry.Name == "stands-on" ? entry with { Name = "stands_on" } : entry);
            }
        }

        return same;
    }

    /// <summary>A condition in words as <c>when</c> has it: <c>cord = yes</c>, <c>ribbons &gt;= 7</c>, parts joined by <c>and</c>; null after a fault.</summary>
    /// <param name="text">The words.</param>
    /// <param name="item">The item it is about, for what the lapel hides of it; or null.</param>
    internal TomlTable? When(TomlText text, ShortItem? item)
    {
        TomlTable when = new(text.Place);
        foreach (TomlText part in SitsLine.Split(text, " and "))
        {
            TomlEntry? entry = Hidden(part, item) ?? Compared(part);
            if (entry is null)
            {
                _faults.Add(part.Place, $"{FaultList.Quote(part.Value)} is no condition", "a question and its answer, \"cord = yes\"; a number, \"ribbons >= 7\"; several with \"and\" between them");
                return null;
            }

            if (when.Find(entry.Name) is not null)
            {
                _faults.Add(part.Place, $"{FaultList.Quote(entry.Name)} is asked about twice", "each question once; several answers with \"or\" between them");
                return null;
            }

            when.Add(entry);
        }

        return when;
    }

    [GeneratedRegex(@"^(at least|less than) ([0-9./]+) (?:of it )?(?:is )?hidden by (?:the )?(.+)$", RegexOptions.CultureInvariant)]
    private static partial Regex HiddenPart();

    private static TomlEntry? Hidden(TomlText part, ShortItem? item)
    {
        Match match = HiddenPart().Match(part.Value);
        return match.Success && item is not null
            ? new TomlEntry(item.ShareOf(part, match.Groups[3].Value), part.Place, TomlText.At(part.Place, (match.Groups[1].Value == "at least" ? ">= " : "< ") + match.Groups[2].Value))
            : null;
    }

    private TomlEntry? Compared(TomlText part)
    {
        foreach (string sign in (string[])[">=", "<=", "=", ">", "<", " is "])
        {
            int at = part.Value.IndexOf(sign, StringComparison.Ordinal);
            if (at <= 0)
            {
                continue;
            }

            TomlText asked = SitsLine.Split(part.Part(0, at), "\n")[0], value = SitsLine.Split(part.After(at + sign.Length), "\n")[0];
            if (SitsLine.After(asked, "rows of ") is { } rows)
            {
                Thing? of = Resolve(SitsLine.Bare(rows));
                return of is null ? null : new TomlEntry(of.Id + ".rows", asked.Place, TomlText.At(value.Place, $"{(sign == " is " ? "=" : sign)} {value.Value}"));
            }

            TomlList list = new(value.Place, byHeaders: false);
            list.Growing.AddRange(sign is "=" or " is " ? SitsLine.Split(value, " or ") : Satisfying(asked.Value, sign, value));
            return list.Items.Count == 0 ? null : new TomlEntry(asked.Value, asked.Place, list);
        }

        return null;
    }

    // A question for a number compares by listing the numbers that will do.
    private IEnumerable<TomlText> Satisfying(string question, string sign, TomlText value)
    {
        if (!int.TryParse(value.Value, NumberStyles.None, CultureInfo.InvariantCulture, out int limit))
        {
            return [];
        }

        Comparison comparison = sign switch { ">=" => Comparison.AtLeast, "<=" => Comparison.AtMost, ">" => Comparison.More, _ => Comparison.Less };
        return Answers.GetValueOrDefault(question, [])
            .Where(answer => int.TryParse(answer, NumberStyles.None, CultureInfo.InvariantCulture, out int number) && Plan.Compare(number, comparison, limit))
            .Select(answer => TomlText.At(value.Place, answer));
    }

    // ---- items ----------------------------------------------------------------------------------------------------------------------

    private IEnumerable<(TomlTable Long, ShortItem? Short)> ReadItem(TomlTable table)
    {
        string label = StandardNames.LabelOf(table, StandardFormat.Item);
        if (table.Find("sits") is null)
        {
            TomlTable written = Conditioned(table);
            _things.Add(Thing.OfItem(table, TextOf(table, "id") ?? string.Empty, TextOf(table, "name") ?? string.Empty, null, this));
            yield return (written, null);
            yield break;
        }

        TableReader reader = new(table, StandardFormat.Item, _faults, label);
        if (TextOf(table, "name") is not { } name)
        {
            _ = reader.Text("name", StandardNames.MaxNameLength);
            yield break;
        }

        bool? both = reader.Flag("both-sides");
        string? other = both == true ? OtherSide(reader.PlaceOf("name"), label, name) : null;
        foreach (bool mirrored in other is null ? (bool[])[false] : [false, true])
        {
            ShortItem item = new(this, reader, mirrored);
            _items.Add(item);
            _things.Add(item.Thing);
            yield return (table, item);
        }
    }

    private List<TomlTable> Emit(List<(TomlTable Long, ShortItem? Short)> items)
    {
        _stepIds.UnionWith(Written(StandardFormat.Step).Select(table => TextOf(table, "id") ?? string.Empty));
        _ruleIds.UnionWith(Written(StandardFormat.Relation).Select(table => TextOf(table, "id") ?? string.Empty).Concat(Answers.Keys));

        _items.ForEach(item => item.ReadLines());
        _items.ForEach(item => item.Derive());
        Steps.AddRange(_items.SelectMany(item => item.Steps));   // one item's line may read another's width
        _items.ForEach(item => item.AddHintsAndCautions());
        return [.. items.Select(pair => pair.Short?.Table() ?? pair.Long)];
    }

    /// <summary>True for the words of an item or of a known place of the garment.</summary>
    internal bool IsThing(string words) => _things.Exists(thing => thing.IsCalled(words));

    /// <summary>
    /// The thing of that name; null after a fault. A file without <c>[garment]</c> and <c>[[landmark]]</c> may name any place; one that lists its places knows no other.
    /// </summary>
    internal Thing? Resolve(TomlText words)
    {
        if (_things.Find(thing => thing.IsCalled(words.Value)) is { } known)
        {
            return known;
        }

        List<string> names = [.. _things.SelectMany(thing => thing.Names).Distinct()];
        string? near = NearestName.To(words.Value, names);
        if (near is null && !_things.Exists(thing => !thing.IsItem && thing.IsListed))
        {
            Thing made = Thing.OfPlace(words.Value);
            _things.Add(made);
            return made;
        }

        _faults.Add(
            words.Place, $"there is no item or place {FaultList.Quote(words.Value)}",
            near is null ? $"one of {FaultList.Shown(string.Join(", ", names), 200)}; or a line for it in [garment]: \"{FaultList.Shown(words.Value, 60)}\" = {{}}" : $"\"{FaultList.Shown(near, StandardNames.MaxNameLength)}\"");
        return null;
    }

    /// <summary>The item that makes its readings here, or null.</summary>
    internal ShortItem? ItemOf(Thing thing) => _items.Find(item => item.Thing == thing);

    /// <summary>An id that no other step has: the wanted one, else with more words, else with a number.</summary>
    internal string FreeStep(string wanted, string more) => _stepIds.Contains(Cut(wanted)) ? Free(_stepIds, $"{wanted}-{more}") : Free(_stepIds, wanted);

    /// <summary>An id that no other rule and no question has.</summary>
    internal string FreeRule(string wanted) => Free(_ruleIds, wanted);

    private static string Free(HashSet<string> taken, string wanted)
    {
        string id = Cut(wanted);
        for (int number = 2; !taken.Add(id); number++)
        {
            id = Cut(string.Create(CultureInfo.InvariantCulture, $"{wanted}-{number}"));
        }

        return id;
    }

    private static string Cut(string id) => id.Length <= StandardNames.MaxIdLength ? id : id[^StandardNames.MaxIdLength..].TrimStart('-', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9');

    // ---- small things -----------------------------------------------------------------------------------------------------------------

    internal static string? TextOf(TomlTable table, string key) => (table.Find(key)?.Node as TomlText)?.Value;

    internal static TomlEntry Made(TextPlace place, string key, string value) => new(key, place, TomlText.At(place, value));

    internal static TomlList ListOf(TextPlace place, params IEnumerable<TomlNode> nodes)
    {
        TomlList list = new(place, byHeaders: false);
        list.Growing.AddRange(nodes);
        return list;
    }

    internal static string Capital(string words) => words.Length == 0 ? words : char.ToUpperInvariant(words[0]) + words[1..];

    /// <summary>Words as an id: <c>ribbon rack</c> is <c>ribbon-rack</c>.</summary>
    internal static string IdOf(string words)
    {
        string id = NotOfId().Replace(words.ToLowerInvariant(), "-").Trim('-');
        return Cut(id.Length == 0 || !char.IsAsciiLetter(id[0]) ? "item-" + id : id);
    }

    [GeneratedRegex("[^a-z0-9]+", RegexOptions.CultureInvariant)]
    private static partial Regex NotOfId();
}

/// <summary>An item or a place of the garment, as the lines of <c>sits</c> name it.</summary>
internal sealed class Thing
{
    // Places that are a line or a point, with no edges of their own to name.
    private static readonly string[] Lines = ["seam", "edge", "line", "corner", "point", "fold", "crease", "notch", "button", "hem", "end", "tip"];

    private Thing(bool isItem, bool isListed, string id, string words, IReadOnlyList<string> names, TomlTable? table)
    {
        (IsItem, IsListed, Id, Words, Names, Table) = (isItem, isListed, id, words, names, table);
    }

    internal bool IsItem { get; }

    /// <summary>True for what the file has a table or a line for.</summary>
    internal bool IsListed { get; }

    /// <summary>The item's id or the place's name.</summary>
    internal string Id { get; }

    /// <summary>Its words in a prompt, without article.</summary>
    internal string Words { get; }

    internal IReadOnlyList<string> Names { get; }

    internal TomlTable? Table { get; }

    /// <summary>Width and height, where known.</summary>
    internal PlanePoint? Size { get; private init; }

    /// <summary>Of a place: its top middle, from the middle of the chest, where known.</summary>
    internal PlanePoint? At { get; private init; }

    internal bool HasRows { get; private init; }

    /// <summary>Of what is made of rows, the most there may be.</summary>
    internal int MostRows { get; private init; }

    internal bool IsRound { get; private init; }

    /// <summary>True for a seam, a corner: what has no edges of its own.</summary>
    internal bool IsLine => !IsItem && Size is null && Lines.Any(word => Words.EndsWith(" " + word, StringComparison.Ordinal) || Words == word);

    /// <summary>"end" of what is long or made of rows, "edge" of anything else.</summary>
    internal string EndWord => HasRows || (IsItem && Size is { } size && size.Right > size.Up.Times(3)) ? "end" : "edge";

    internal static Thing OfLandmark(TomlTable table, ShortForm form)
    {
        string name = ShortForm.TextOf(table, "name")!;
        return new Thing(false, true, name, name, [name], table)
        {
            At = table.Find("at")?.Node is { } at ? form.Measures.Point(at, "at") : null,
            Size = SizeOf(table, form),
        };
    }

    /// <summary>A place that nothing but its name is known of.</summary>
    internal static Thing OfPlace(string name) => new(false, false, name, name, [name], null);

    internal static Thing OfItem(TomlTable table, string id, string name, string? called, ShortForm form) =>
        new(true, true, id, called ?? name, [.. new[] { name, called ?? name, id }.Distinct()], table)
        {
            Size = SizeOf(table, form),
            HasRows = table.Find("rows") is not null,
            MostRows = RowsOf(table, form, most: true)?.RowCount ?? 0,
            IsRound = ShortForm.TextOf(table, "shape") == "round",
        };

    internal bool IsCalled(string words) => Names.Contains(words);

    // Faults are told when the reader of the long form comes by.
    private static PlanePoint? SizeOf(TomlTable table, ShortForm form) =>
        form.Measures.Size(new TableReader(table, StandardFormat.Item, new FaultList(), "size"), "size") ?? RowsOf(table, form, most: false)?.Size;

    private static RowLayout? RowsOf(TomlTable table, ShortForm form, bool most)
    {
        FaultList quiet = new();
        return table.Find("rows")?.Node is TomlTable rows ? StandardReader.RowsOf(new TableReader(rows, StandardFormat.Rows, quiet, "rows"), form.Measures, quiet, question => form.CountOf(question, most)) : null;
    }
}
