using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>A thing that is commonly worn, with a common size and place: a starting point, common practice, no source.</summary>
/// <param name="Name">Its name in the standard.</param>
/// <param name="Sized">Its common size in words.</param>
/// <param name="Keys">Lines of its table beside name and <c>sits</c>.</param>
/// <param name="BothSides">True where there is a left one and a right one.</param>
/// <param name="On">What it commonly sits by.</param>
/// <param name="HowFar">The question for its distance, with <c>{0}</c> for what it sits by.</param>
/// <param name="Distance">A common distance.</param>
/// <param name="Sits">Its lines, with <c>{0}</c> for the distance and <c>{1}</c> for what it sits by.</param>
public sealed record CommonThing(string Name, string Sized, IReadOnlyList<string> Keys, bool BothSides, string On, string HowFar, string Distance, IReadOnlyList<string> Sits)
{
    /// <summary>What is offered, in the order a coat is worked.</summary>
    public static IReadOnlyList<CommonThing> All { get; } =
    [
        new("ribbon rack", "1 3/8 × 3/8 in each", ["called = \"rack\"", "rows   = { count = \"ribbons\", per-row = 3, part = [\"1 3/8 in\", \"3/8 in\"] }", "pins   = \"1/4 in from each end\""],
            false, "left pocket", "How far above the {0}?", "1/8 in", ["{0} above the {1}", "level", "centred on the {1}"]),
        new("badge", "1 1/2 × 1/2 in", ["size = [\"1 1/2 in\", \"1/2 in\"]", "pins = \"1/4 in from each end\""],
            false, "ribbon rack", "How far above the {0}?", "1/4 in", ["{0} above the {1}", "level", "centred on the {1}"]),
        new("nameplate", "3 × 5/8 in", ["size = [\"3 in\", \"5/8 in\"]", "pins = \"1/4 in from each end\""],
            false, "right pocket", "How far above the {0}?", "1/4 in", ["{0} above the {1}", "level", "centred on the {1}"]),
        new("left collar device", "1 in", ["size  = [\"1 in\", \"1 in\"]", "shape = \"round\"", "pins  = \"middle\""],
            true, "left collar corner", "How far from the {0} to its rim?", "7/8 in", ["{0} from the {1}", "centred between the seam and the front edge of the left collar"]),
        new("left shoulder mark", "3/4 × 1 1/4 in", ["size = [\"3/4 in\", \"1 1/4 in\"]", "pins = [[\"0\", \"-3/8 in\"], [\"0\", \"3/8 in\"]]"],
            true, "left shoulder seam", "How far inward from the {0}?", "5/8 in", ["{0} right of the {1}", "parallel to the {1}", "centred up and down on the left shoulder loop"]),
        new("cap device", "1 1/2 × 1 3/4 in", ["size = [\"1 1/2 in\", \"1 3/4 in\"]", "pins = [[\"0\", \"-1/2 in\"], [\"0\", \"1/2 in\"]]"],
            false, "cap band", "How far above the {0}?", "1/4 in", ["{0} above the {1}", "level", "centred on the {1}"]),
        new("left sleeve stripe", "5 × 1/2 in", ["size = [\"5 in\", \"1/2 in\"]"],
            true, "left cuff", "How far above the {0}?", "1 in", ["{0} above the {1}", "level", "centred on the {1}"]),
    ];
}

/// <summary>What a company says of a thing it wears.</summary>
/// <param name="Thing">The thing.</param>
/// <param name="On">What it sits by: an item named before, or a place of the garment.</param>
/// <param name="Distance">How far, as a standard writes it.</param>
public sealed record WornThing(CommonThing Thing, string On, string Distance);

/// <summary>The text of a company's first standard, in the trade's words, with what to set right by one's own rules in comments.</summary>
public static class FirstStandard
{
    // Top middles of common places, from the middle of the chest, as worn: for the picture. Common practice, no source.
    private static readonly (string Name, string Table, bool BothSides)[] Places =
    [
        ("left pocket", "at = [\"-4 in\", \"1 in\"], size = [\"5 in\", \"5 1/2 in\"]", false),
        ("right pocket", "at = [\"4 in\", \"1 in\"], size = [\"5 in\", \"5 1/2 in\"]", false),
        ("left collar corner", "at = [\"-1 1/2 in\", \"8 in\"]", true),
        ("left collar", "at = [\"-2 1/2 in\", \"10 in\"]", true),
        ("left shoulder seam", "at = [\"-8 in\", \"9 in\"]", true),
        ("left shoulder loop", "at = [\"-6 1/2 in\", \"10 in\"], size = [\"4 in\", \"2 in\"]", true),
        ("cap band", "at = [\"0\", \"18 in\"], size = [\"7 in\", \"1 1/2 in\"]", false),
        ("left cuff", "at = [\"-11 in\", \"-10 in\"], size = [\"5 in\", \"4 in\"]", true),
    ];

    /// <summary>A length as a person answers it, with its unit, for a standard; null when it is no length above 0. Where ticks are counted a fraction is of an inch.</summary>
    /// <param name="text">The answer.</param>
    /// <param name="unit"><c>in</c>, <c>mm</c> or <c>t</c>: of a bare number.</param>
    public static string? LengthOf(string text, string unit)
    {
        string bare = text.Trim();
        bool hasUnit = bare.Any(char.IsLetter) || bare.Contains('"', StringComparison.Ordinal);
        string written = hasUnit ? bare.Replace("\"", " in", StringComparison.Ordinal) : bare + (unit == "t" && bare.Contains('/', StringComparison.Ordinal) ? " in" : " " + unit);
        LengthParse parse = LengthText.Parse(written, LengthUnit.Inch);
        return parse.IsLength && parse.Value.Value > Length.Zero && parse.Value.Value <= Length.Inch.Times(24) ? written : null;
    }

    /// <summary>Why a name cannot stand for a place of the garment, or null: the lines of <c>sits</c> are read word by word.</summary>
    public static string? NameFault(string name) =>
        name.Length is 0 or > 60 || !name.All(c => char.IsLetterOrDigit(c) || c is ' ' or '-') || !char.IsLetter(name[0]) ? "Up to 60 letters, digits and blanks, a letter first."
        : name.Split(' ').FirstOrDefault(word => word is "of" or "or" or "and" or "the" or "from" or "above" or "below") is { } word ? $"A name without \"{word}\", please: the lines of a standard are read by such words."
        : null;

    /// <summary>The file's text; it loads, and a review finds nothing.</summary>
    /// <param name="name">What it is called.</param>
    /// <param name="unit"><c>in</c>, <c>mm</c> or <c>t</c>.</param>
    /// <param name="within">The company's tolerance, as a standard writes it.</param>
    /// <param name="worn">What is worn, each after what it sits by; at least one.</param>
    public static string Text(string name, string unit, string within, IReadOnlyList<WornThing> worn)
    {
        StringBuilder text = new();
        text.Append(CultureInfo.InvariantCulture, $$"""
            # A first standard, to be set right by your company's own rules: sizes and places are starting points, so measure your own.
            # docs/standard-format.md tells what else a line may say. After a change: caliper-station standard check FILE
            #
            # Pins, blades, irons, steam, hot glue and solvents hurt: local rules and your own company's safety briefing come first.

            name    = {{ExpandedText.Quoted(name)}}
            edition = "1"
            unit    = "{{unit}}"
            sides   = "as-worn"          # left and right are the wearer's
            within  = "{{within}}"       # the company's tolerance; a line may say another: "…, within 1/64 in"

            """);
        HashSet<string> counted = [.. worn.Where(one => one.Thing.Keys.Any(key => key.Contains("\"ribbons\"", StringComparison.Ordinal))).Select(_ => "ribbons")];
        if (counted.Count > 0)
        {
            text.Append("\n[asks]                           # what differs from coat to coat; the usual answer first\nribbons = { ask = \"How many ribbons?\", number = [1, 18], usual = 6 }\n");
        }

        text.Append("\n[garment]                        # places of the coat: top middle, from the middle of the chest, for the picture\n");
        foreach (string place in PlacesOf(worn).Distinct())
        {
            (string Name, string Table, bool BothSides) known = Places.FirstOrDefault(each => each.Name == place);
            bool both = known.BothSides || worn.Any(one => one.Thing.BothSides && one.On == place && place.Contains("left", StringComparison.Ordinal));
            string[] keys = [.. new[] { known.Table, both ? "both-sides = true" : null }.OfType<string>()];
            text.Append(CultureInfo.InvariantCulture, $"{ExpandedText.Quoted(place)} = {(keys.Length == 0 ? "{}" : $"{{ {string.Join(", ", keys)} }}")}\n");
        }

        text.Append("""

            [[ready]]                        # confirmed before any reading
            ask     = "Safety briefing of your company heard; local rules come first"
            caution = "Pins, blades, iron, steam, glue: stop when in doubt, and ask."

            [[ready]]
            ask = "Hands washed and dry, or clean gloves on"

            [[ready]]
            ask     = "Cloth pressed flat and cool"
            caution = "Iron and steam burn: let the cloth cool before you handle it."

            """);
        foreach (WornThing one in worn)
        {
            IEnumerable<string> lines = one.Thing.Sits.Select(line => ExpandedText.Quoted(string.Format(CultureInfo.InvariantCulture, line, one.Distance, one.On)));
            text.Append(CultureInfo.InvariantCulture, $"\n[[item]]\nname = {ExpandedText.Quoted(one.Thing.Name)}\n{(one.Thing.BothSides ? "both-sides = true                # and the right one, mirrored\n" : "")}# Size and pins are common ones, a starting point: measure your own.\n");
            text.AppendJoin('\n', one.Thing.Keys);
            text.Append(CultureInfo.InvariantCulture, $"\nsits = [{string.Join(", ", lines)}]\n");
        }

        return text.ToString();
    }

    // What things sit by and are centred between, but for other items.
    private static IEnumerable<string> PlacesOf(IReadOnlyList<WornThing> worn) => worn
        .SelectMany(one => one.Thing.Sits.Select(line => string.Format(CultureInfo.InvariantCulture, line, one.Distance, one.On)).SelectMany(line => Places.Select(place => place.Name).Where(place => line.EndsWith("the " + place, StringComparison.Ordinal))).Prepend(one.On))
        .Where(place => !worn.Any(other => other.Thing.Name == place));
}
