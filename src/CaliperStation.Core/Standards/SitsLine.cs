using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>What a line of <c>sits</c> asks for.</summary>
internal enum Sit
{
    /// <summary>A distance from edge to edge: <c>3/16 above the left pocket</c>, <c>touching the top of the pocket</c>.</summary>
    Gap,

    /// <summary>A slanting distance from a corner: <c>7/8 from the left collar corner</c>.</summary>
    Corner,

    /// <summary>A distance to the item's centre: <c>centre 2 below the shoulder seam</c>.</summary>
    Centre,

    /// <summary>Its middle on the middle of a thing, or midway between two edges.</summary>
    Centred,

    /// <summary>Equal gaps along a row of items between two edges.</summary>
    Evenly,

    /// <summary>As high at one end as at the other above what it is placed from; or parallel to an edge that another line names.</summary>
    Level,

    /// <summary>One edge in line with an edge of a thing.</summary>
    InLine,

    /// <summary>A size of the item itself: <c>1 3/8 wide</c>.</summary>
    Size,

    /// <summary><c>not wider than the left pocket</c>.</summary>
    NotWider,

    /// <summary>A gap between each row of an item and the next: <c>0 or 1/8 between rows</c>.</summary>
    BetweenRows,

    /// <summary><c>each row centred on the row beneath</c>.</summary>
    RowsCentred,

    /// <summary><c>at most 1/3 hidden by the lapel</c>.</summary>
    Hidden,

    /// <summary>The same distance from two edges: <c>1/4 from the bottom edge and the left edge of the left collar</c>.</summary>
    TwoEdges,

    /// <summary>A slant: <c>at 45 deg to the top edge of the left cuff over 4</c>.</summary>
    Angle,
}

/// <summary>The way from one thing to another: 1 to the right or up, −1 to the left or down, both for a slanting one, none where it is not told.</summary>
internal readonly record struct Way(int Right, int Up)
{
    internal bool IsUpright => Up != 0 && Right == 0;

    internal bool IsAcross => Right != 0 && Up == 0;

    internal bool IsTold => Right != 0 || Up != 0;

    internal Way Mirrored => this with { Right = -Right };

    /// <summary>As <c>grows</c> writes it.</summary>
    internal string Word => (Up > 0 ? "up" : Up < 0 ? "down" : string.Empty) + (Up != 0 && Right != 0 ? "-" : string.Empty) + (Right > 0 ? "right" : Right < 0 ? "left" : string.Empty);
}

/// <summary>A thing that a line names, or an edge of it.</summary>
/// <param name="Text">The words, at their place.</param>
/// <param name="Side">Which edge: the way from its middle to it; not told for the thing as a whole.</param>
/// <param name="Edge">Words of an edge that has a name of its own (<c>front edge</c>, <c>seam</c>), <c>corner</c> or <c>centre</c>; else null.</param>
/// <param name="Thing">The thing's words, without their article.</param>
internal sealed record ThingNamed(TomlText Text, Way Side, string? Edge, string Thing)
{
    internal bool IsCorner => Edge == "corner" || (Edge is null && !Side.IsTold && Thing.EndsWith(" corner", StringComparison.Ordinal));

    internal bool IsCentre => Edge == "centre";
}

/// <summary>One line of <c>sits</c>, as its words say it.</summary>
/// <param name="Sit">What it asks for.</param>
/// <param name="Text">The whole line.</param>
/// <param name="Way">The way from the thing to the item, for a distance; of <see cref="Sit.Centred"/> across or upright where told.</param>
/// <param name="Lengths">The lengths: one nominal, or several of which any will do, or the ends of a range.</param>
/// <param name="Range"><c>min max</c>, <c>min</c>, <c>max</c> where <paramref name="Lengths"/> are the ends of a range; else null.</param>
/// <param name="Things">What it is placed from: one, or two with something between; for <see cref="Sit.Evenly"/> the two edges, then the other items.</param>
/// <param name="Own">The edge of the item itself that is meant, where the line says it.</param>
/// <param name="Within">The tolerance said in the line, or null.</param>
/// <param name="If">The condition said in the line, or null.</param>
internal sealed record SitsLine(Sit Sit, TomlText Text, Way Way, IReadOnlyList<TomlText> Lengths, string? Range, IReadOnlyList<ThingNamed> Things, Way Own, TomlText? Within, TomlText? If)
{
    /// <summary>Forms of a line, for messages.</summary>
    internal const string Forms =
        "a line such as \"3/16 above the left pocket\", \"centred on the left pocket\", \"centred between A and B\", \"level\", \"touching the top of A\", "
        + "\"in line with the left edge of A\", \"7/8 from the corner of A\", \"centre 2 below A\", \"evenly with B between C and D\", \"1 3/8 wide\", \"at 45 deg to the top edge of A over 4\"";

    /// <summary>Things that it is placed from instead, the first that is worn, where the one before is not: <c>above the second badge or the first badge</c>.</summary>
    internal IReadOnlyList<ThingNamed> Otherwise { get; init; } = [];

    /// <summary>Of a slant, how far apart along the edge it is read; else null.</summary>
    internal TomlText? Over { get; init; }

    private static readonly string[] DegreeWords = [" deg to ", " degrees to ", "° to ", " degree angle to ", "° angle to "];

    // What people say, and what a line says for it.
    private static readonly (string Said, string Word)[] Other =
    [
        (" over ", " above "), (" under ", " below "), (" underneath ", " below "), (" beneath ", " below "), (" down from ", " below "), (" up from ", " above "), (" in from ", " from "),
        ("same centre as ", "centred on "), ("same center as ", "centred on "), ("middle of ", "centred on "), (" within ", ", within "), (" if ", ", if "), (" when ", ", if "),
    ];

    private static readonly string[] Seen = ["upright", "straight", "flat", "clean", "tight", "smooth"];

    /// <summary>What to write instead of a line that is not understood: its own words where they are near to a line's.</summary>
    private static string InsteadOf(string line)
    {
        (string said, string word) = Other.FirstOrDefault(other => line.Contains(other.Said, StringComparison.Ordinal));
        return Seen.Contains(line) ? "\"level\", which is measured; or a [[look]] with after = this item, for what is seen and not measured"
            : said is null ? Forms
            : $"\"{FaultList.Shown(line.Replace(said, word, StringComparison.Ordinal), 80)}\"; or {Forms}";
    }


    private static readonly (string Words, Way Way)[] Places =
    [
        (" to the left of ", new(-1, 0)), (" to the right of ", new(1, 0)), (" left of ", new(-1, 0)), (" right of ", new(1, 0)),
        (" up and right of ", new(1, 1)), (" up and left of ", new(-1, 1)), (" down and right of ", new(1, -1)), (" down and left of ", new(-1, -1)),
        (" above ", new(0, 1)), (" below ", new(0, -1)), (" from ", default), (" beside ", default),
    ];

    private static readonly (string Words, Way Side)[] Sides =
        [("top", new(0, 1)), ("bottom", new(0, -1)), ("left", new(-1, 0)), ("right", new(1, 0)), ("upper", new(0, 1)), ("lower", new(0, -1))];

    private static readonly (string Words, string Range)[] Bounds = [("at least ", "min"), ("at most ", "max")];

    /// <summary>Reads a line; a line that says nothing known is a fault, and null comes back.</summary>
    /// <param name="text">The line.</param>
    /// <param name="isThing">True for the words of an item or of a place of the garment.</param>
    /// <param name="faults">Where faults go.</param>
    internal static SitsLine? Read(TomlText text, Func<string, bool> isThing, FaultList faults)
    {
        List<TomlText> clauses = Split(text, ", ");
        TomlText? within = null, when = null;
        foreach (TomlText clause in clauses.Skip(1))
        {
            if (After(clause, "within ") is { } tolerance && within is null)
            {
                within = tolerance;
            }
            else if (After(clause, "if ") is { } condition && when is null)
            {
                when = condition;
            }
            else
            {
                faults.Add(clause.Place, $"{FaultList.Quote(clause.Value)} is not understood after a comma", "\", within 1/64\" or \", if cord = yes\", each once");
                return null;
            }
        }

        SitsLine? line = new Reader(isThing, faults).Read(clauses[0]);
        return line is null ? null : line with { Text = text, Within = within, If = when };
    }

    /// <summary>The parts of a text between separators, each without blanks around it, at its place.</summary>
    internal static List<TomlText> Split(TomlText text, string separator)
    {
        List<TomlText> parts = [];
        int from = 0;
        while (true)
        {
            int at = text.Value.IndexOf(separator, from, StringComparison.Ordinal);
            parts.Add(Trimmed(text.Part(from, (at < 0 ? text.Value.Length : at) - from)));
            if (at < 0)
            {
                return parts;
            }

            from = at + separator.Length;
        }
    }

    /// <summary>What follows a beginning; null when the text begins otherwise.</summary>
    internal static TomlText? After(TomlText text, string beginning) =>
        text.Value.StartsWith(beginning, StringComparison.Ordinal) ? Trimmed(text.After(beginning.Length)) : null;

    /// <summary>The text without its article.</summary>
    internal static TomlText Bare(TomlText text) => After(text, "the ") ?? text;

    private static TomlText Trimmed(TomlText text)
    {
        int from = text.Value.Length - text.Value.TrimStart().Length;
        return text.Part(from, text.Value.Trim().Length);
    }

    private sealed class Reader(Func<string, bool> isThing, FaultList faults)
    {
        internal SitsLine? Read(TomlText main)
        {
            if (main.Value == "level")
            {
                return Line(Sit.Level, main, [], [], null, default, default);
            }

            if (After(main, "parallel to ") is { } edge)
            {
                return Line(Sit.Level, main, [], [Named(edge)], null, default, default);
            }

            if (main.Value is "each row centred on the row beneath" or "each row centred on the one beneath")
            {
                return Line(Sit.RowsCentred, main, [], [], null, default, default);
            }

            if (After(main, "not wider than ") is { } wider)
            {
                return Line(Sit.NotWider, main, [], [Named(wider)], null, default, default);
            }

            if ((After(main, "centred ") ?? After(main, "centered ") ?? (main.Value.StartsWith("midway ", StringComparison.Ordinal) ? After(main, "midway ") : null)) is { } centred)
            {
                return Centred(main, centred);
            }

            if (After(main, "evenly ") is { } evenly)
            {
                return Evenly(main, evenly);
            }

            if (Array.Find(DegreeWords, words => main.Value.IndexOf(words, StringComparison.Ordinal) > 0) is { } degrees)
            {
                return Slant(main, degrees);
            }

            if (InLine(main) is { } inLine)
            {
                return inLine;
            }

            if ((After(main, "touching ") ?? After(main, "resting on ")) is { } touched)
            {
                return Touching(main, touched);
            }

            return After(main, "centre ") is { } centre ? Distance(Sit.Centre, main, centre) : Measure(main) ?? Distance(Sit.Gap, main, main);
        }

        private static SitsLine Line(Sit sit, TomlText text, IReadOnlyList<TomlText> lengths, IReadOnlyList<ThingNamed> things, string? range, Way way, Way own) =>
            new(sit, text, way, lengths, range, things, own, null, null);

        private SitsLine? NotUnderstood(TomlText text)
        {
            faults.Add(text.Place, $"{FaultList.Quote(text.Value)} does not say where an item sits", InsteadOf(text.Value));
            return null;
        }

        private SitsLine? Centred(TomlText main, TomlText rest)
        {
            Way way = default;
            if (After(rest, "up and down ") is { } upright)
            {
                (rest, way) = (upright, new Way(0, 1));
            }
            else if (After(rest, "across ") is { } across)
            {
                (rest, way) = (across, new Way(1, 0));
            }

            return After(rest, "on ") is { } on ? Line(Sit.Centred, main, [], [Alternatives(on)[0]], null, way, default) with { Otherwise = Alternatives(on)[1..] }
                : After(rest, "between ") is { } between && Two(between) is { } two ? Line(Sit.Centred, main, [], two, null, way, default)
                : NotUnderstood(main);
        }

        private SitsLine? Evenly(TomlText main, TomlText rest)
        {
            List<TomlText> parts = Split(rest, "between ");
            if (parts.Count != 2 || Two(parts[1]) is not { } two || (parts[0].Value.Length > 0 && After(parts[0], "with ") is null))
            {
                return NotUnderstood(main);
            }

            IEnumerable<TomlText> others = After(parts[0], "with ") is { } with ? Split(with, " and ") : [];
            return Line(Sit.Evenly, main, [], [.. two, .. others.Select(Named)], null, default, default);
        }

        // "its left edge in line with …", "in line with …": then the edge of the same name.
        private SitsLine? InLine(TomlText main)
        {
            foreach (string words in (string[])["in line with ", "flush with "])
            {
                int at = main.Value.IndexOf(words, StringComparison.Ordinal);
                if (at == 0)
                {
                    ThingNamed thing = Named(main.After(words.Length));
                    return Line(Sit.InLine, main, [], [thing], null, default, thing.Side);
                }

                if (at > 0 && After(main.Part(0, at), "its ") is { } own && SideOf(own.Value) is { IsTold: true } side)
                {
                    return Line(Sit.InLine, main, [], [Named(Trimmed(main.After(at + words.Length)))], null, default, side);
                }
            }

            return null;
        }

        private SitsLine? Touching(TomlText main, TomlText rest)
        {
            (TomlText words, Way way) = (rest, default);
            foreach ((string end, Way from) in (ReadOnlySpan<(string, Way)>)[(" from above", new Way(0, 1)), (" from below", new(0, -1)), (" from the left", new(-1, 0)), (" from the right", new(1, 0))])
            {
                if (rest.Value.EndsWith(end, StringComparison.Ordinal))
                {
                    (words, way) = (Trimmed(rest.Part(0, rest.Value.Length - end.Length)), from);
                }
            }

            ThingNamed thing = Named(words);
            way = way.IsTold ? way : thing.Side.IsTold ? thing.Side : new Way(0, 1);
            return Line(Sit.Gap, main, [TomlText.At(main.Place, "0")], [thing], null, way, default);
        }

        private SitsLine? Slant(TomlText main, string degrees)
        {
            TomlText slant = After(main, "at a ") ?? After(main, "at an ") ?? After(main, "at ") ?? main;
            int to = slant.Value.IndexOf(degrees, StringComparison.Ordinal), over = slant.Value.LastIndexOf(" over ", StringComparison.Ordinal);
            if (over < to)
            {
                faults.Add(main.Place, $"{FaultList.Quote(main.Value)} does not say how far apart along the edge it is read", "\"at 45 deg to the top edge of A over 4\"");
                return null;
            }

            int edge = to + degrees.Length;
            return Line(Sit.Angle, main, [TomlText.At(slant.Place, Trimmed(slant.Part(0, to)).Value + " deg")], [Named(Trimmed(slant.Part(edge, over - edge)))], null, default, default)
                with
            { Over = Trimmed(slant.After(over + " over ".Length)) };
        }

        private static SitsLine? Measure(TomlText main)
        {
            int hidden = main.Value.IndexOf(" hidden by ", StringComparison.Ordinal);
            if (hidden > 0 && After(main.Part(0, hidden), "at most ") is { } share)
            {
                TomlText by = Bare(Trimmed(main.After(hidden + " hidden by ".Length)));
                return Line(Sit.Hidden, main, [share], [new ThingNamed(by, default, null, by.Value)], "max", default, default);
            }

            if (main.Value.EndsWith(" between rows", StringComparison.Ordinal))
            {
                (List<TomlText> gaps, string? bounds) = Lengths(Trimmed(main.Part(0, main.Value.Length - " between rows".Length)));
                return Line(Sit.BetweenRows, main, gaps, [], bounds, default, default);
            }

            foreach ((string end, Way way) in (ReadOnlySpan<(string, Way)>)[(" wide", new Way(1, 0)), (" long", new(1, 0)), (" high", new(0, 1)), (" across", default)])
            {
                if (main.Value.EndsWith(end, StringComparison.Ordinal))
                {
                    (List<TomlText> lengths, string? range) = Lengths(Trimmed(main.Part(0, main.Value.Length - end.Length)));
                    return Line(Sit.Size, main, lengths, [], range, way, default);
                }
            }

            return null;
        }

        private SitsLine? Distance(Sit sit, TomlText main, TomlText rest)
        {
            (int At, string Words, Way Way) found = Places.Select(place => (At: rest.Value.IndexOf(place.Words, StringComparison.Ordinal), place.Words, place.Way))
                .Where(place => place.At > 0).OrderBy(place => place.At).FirstOrDefault();
            if (found.Words is null)
            {
                return NotUnderstood(main);
            }

            (List<TomlText> lengths, string? range) = Lengths(Trimmed(rest.Part(0, found.At)));
            TomlText from = Trimmed(rest.After(found.At + found.Words.Length));
            if (sit == Sit.Gap && found.Words == " from " && !isThing(Bare(from).Value) && Two(from) is [{ Side.IsTold: true }, { Side.IsTold: true }] edges)
            {
                return Line(Sit.TwoEdges, main, lengths, edges, range, default, default);
            }

            List<ThingNamed> things = Alternatives(from);
            ThingNamed thing = things[0];
            if (found.Way is { Right: not 0, Up: not 0 } || (thing.IsCorner && found.Words == " from "))
            {
                return Line(Sit.Corner, main, lengths, [thing], range, found.Way, default);
            }

            Way way = found.Way.IsTold ? found.Way : new Way(-thing.Side.Right, -thing.Side.Up);   // from an edge inward
            if (way.IsTold && found.Words != " beside ")
            {
                return Line(sit, main, lengths, [thing], range, way, default) with { Otherwise = things[1..] };
            }

            faults.Add(
                rest.PlaceOf(found.At + 1),
                $"\"{found.Words.Trim()}\" does not say which way the item lies from {FaultList.Quote(thing.Text.Value)}",
                (InsteadOf(main.Value) is var near && near != Forms ? near[..near.LastIndexOf("; or a line", StringComparison.Ordinal)] + "; or " : "") + "above, below, left of, right of; or from the top, bottom, left or right edge of it");
            return null;
        }

        private static (List<TomlText> Lengths, string? Range) Lengths(TomlText text)
        {
            foreach ((string words, string bound) in Bounds)
            {
                if (After(text, words) is { } length)
                {
                    return ([length], bound);
                }
            }

            List<TomlText> ends = Split(text, " to ");
            return ends.Count == 2 ? (ends, "min max") : (Split(text, " or "), null);
        }

        /// <summary>Two things with "and" between them; an edge alone is one of the second's thing: "the front edge and the seam of the left collar".</summary>
        private List<ThingNamed>? Two(TomlText text)
        {
            List<TomlText> parts = Split(text, " and ");
            if (parts.Count != 2)
            {
                return null;
            }

            (ThingNamed first, ThingNamed second) = (Named(parts[0]), Named(parts[1]));
            bool isEdgeAlone = !isThing(first.Thing) && first.Edge is null && !first.Side.IsTold && (second.Edge is not null || second.Side.IsTold);
            return [isEdgeAlone ? Of(parts[0], Bare(parts[0]).Value, second.Thing) : first, second];
        }

        private List<ThingNamed> Alternatives(TomlText text) => isThing(Bare(text).Value) ? [Named(text)] : [.. Split(text, " or ").Select(Named)];

        private ThingNamed Named(TomlText text)
        {
            TomlText bare = Bare(text);
            int of = bare.Value.IndexOf(" of ", StringComparison.Ordinal);
            if (isThing(bare.Value) || of < 0)
            {
                return new ThingNamed(bare, default, null, bare.Value);
            }

            return Of(text, bare.Value[..of], Bare(Trimmed(bare.After(of + 4))).Value);
        }

        private static ThingNamed Of(TomlText text, string edge, string thing)
        {
            Way side = SideOf(edge);
            string? named = side.IsTold ? null : edge is "center" or "middle" ? "centre" : edge;
            return new ThingNamed(text, side, named, thing);
        }

        private static Way SideOf(string edge)
        {
            foreach ((string words, Way side) in Sides)
            {
                if (edge == words || edge == words + " edge" || edge == words + " side" || edge == words + " end")
                {
                    return side;
                }
            }

            return default;
        }
    }
}
