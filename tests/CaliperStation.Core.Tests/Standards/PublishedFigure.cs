using System.Globalization;
using System.Text;

namespace CaliperStation.Core.Tests.Standards;

/// <summary>
/// A figure of a published placement rule: a row of TestData/placement-figures.csv, which names document, clause and address of each, and a small standard that says it.
/// </summary>
internal sealed record PublishedFigure(string Id, string Document, string Clause, string Item, string Reference, string Direction, string Nominal, string NominalMm, string Relation, string Note, string Address)
{
    /// <summary>The tolerance of the generated standards; the documents name none.</summary>
    internal const string Within = "0.5 mm";

    internal static IReadOnlyList<PublishedFigure> All { get; } =
        [.. StandardFiles.Text("placement-figures.csv").Split('\n').Skip(1).Where(line => line.Length > 0).Select(line => Of(Fields(line.TrimEnd('\r'))))];

    private bool Says(params string[] words) => words.Contains(Nominal) || words.Contains(Relation);

    private bool IsCentre => $"{Item} {Reference}".Contains("centre", StringComparison.Ordinal) && Relation == "exact";

    /// <summary>The way the item moves when the gap grows.</summary>
    private string Grows => Direction switch
    {
        "above" or "up" or "vertical" or "vertical gap" or "gap" or "contact" => "up",
        "below" => "down",
        "horizontal" or "across collar" or "inward" or "back" or "on line" => "right",
        "outward" => "left",
        "along arm" or "along loop" or "along seam" => "30 deg",
        "angle" => "up",
        _ => throw new NotSupportedException($"{Id}: no direction for {Direction}"),
    };

    private string Back => Grows switch { "up" => "down", "down" => "up", "right" => "left", "left" => "right", _ => "210 deg" };

    /// <summary>The row as a file of the format; throws when it cannot be said.</summary>
    internal string ToToml()
    {
        StringBuilder toml = new();
        toml.Append(CultureInfo.InvariantCulture, $"name = \"{Id}\"\nedition = \"transcribed\"\nunit = \"{(Nominal.Contains('m', StringComparison.Ordinal) ? "mm" : "in")}\"\n[judging]\nrule = \"plain\"\nwithin = \"{Within}\"\n");
        if (Note.Contains("when the wreath is worn", StringComparison.Ordinal))
        {
            toml.Append("[[question]]\nid = \"wreath\"\nask = \"Is the wreath worn?\"\nanswers = [\"no\", \"yes\"]\n");
        }

        toml.Append("[[item]]\nid = \"thing\"\nname = \"thing\"\nstands_on = \"the garment\"\nsize = [\"2 in\", \"1 in\"]\nplace = [\"0\", \"0\"]\npins = [[\"0\", \"0\"]]\n");
        AppendRule(toml);
        if (Note.Contains("centred", StringComparison.Ordinal) || Note.Contains("midway between", StringComparison.Ordinal))
        {
            AppendRelation(toml, "centred", "equal", "", Step(toml, "left-side", "right"), Step(toml, "right-side", "left"));
        }

        if (Note.Contains("parallel", StringComparison.Ordinal))
        {
            AppendRelation(toml, "parallel", "level", "", Step(toml, "one-end", "up"), Step(toml, "other-end", "up"));
        }

        return toml.ToString();
    }

    /// <summary>The row in the trade's words; every line carries the row's source.</summary>
    internal string ToWords()
    {
        string others = Row > 2 ? string.Concat(Enumerable.Range(1, Row - 2).Select(other => $"[[item]]\nname = \"other {other.ToString(CultureInfo.InvariantCulture)}\"\nsize = [\"1 in\", \"1 in\"]\nsits = \"1 in above the garment\"\n")) : "";
        return $"name = \"{Id}\"\nedition = \"in words\"\nunit = \"{(Nominal.Contains('m', StringComparison.Ordinal) ? "mm" : "in")}\"\n[judging]\nrule = \"plain\"\nwithin = \"{Within}\"\n"
            + (IsWreathed ? "[asks]\nwreath = [\"no\", \"yes\"]\n" : "")
            + others + "[[item]]\nname = \"thing\"\nsize = [\"2 in\", \"1 in\"]\n" + (Direction == "size" ? "stands-on = \"the garment\"\n" : "") + "sits = ["
            + string.Join(", ", Lines().Select(line => $"{{ sits = {Quote(line)}, source = {{ document = {Quote(Document)}, clause = {Quote($"{Id}: {Clause}")}, address = {Quote(Address)} }} }}")) + "]\n";
    }

    private bool IsWreathed => Note.Contains("when the wreath is worn", StringComparison.Ordinal);

    private bool IsUpright => Direction is not ("horizontal" or "across collar" or "inward" or "outward" or "back" or "on line");

    // How many gaps are to be equal: A = B, A = B = C = D; several badges that part a pocket's width are two here, with three gaps.
    private int Row => Nominal.StartsWith("A = B", StringComparison.Ordinal) ? Nominal.Count(char.IsAsciiLetterUpper) : Nominal == "equal gaps" ? 3 : 2;

    private IEnumerable<string> Lines()
    {
        string way = Direction switch { "below" => "below", "outward" => "left of", "inward" or "back" or "horizontal" or "on line" => "right of", _ => "above" };
        string nominal = Nominal.StartsWith("0 (", StringComparison.Ordinal) ? "0" : Nominal;
        bool isParallel = Note.Contains("parallel", StringComparison.Ordinal);
        if (Direction == "size")
        {
            yield return $"{nominal} across";
        }
        else if (Direction == "angle")
        {
            yield return $"at {Nominal} to the front edge of the garment over 4 in, within 1 deg";
        }
        else if (Note.StartsWith("two edges", StringComparison.Ordinal))
        {
            yield return $"{nominal} from the bottom edge and the left edge of the garment";
        }
        else if (Says("equal", "centred", "midway", "bisected"))
        {
            yield return Row > 2
                ? $"evenly with {string.Join(" and ", Enumerable.Range(1, Row - 2).Select(other => $"the other {other.ToString(CultureInfo.InvariantCulture)}"))} between the left and the right edge of the garment"
                : $"midway {(IsUpright ? "up and down " : "")}between the near edge and the far edge of the garment";
        }
        else if (Nominal == "in line")
        {
            yield return "in line with the top edge of the garment";
        }
        else if (IsWreathed)
        {
            yield return $"{nominal} {way} the garment, if wreath = no";
            yield return $"1/8 in {way} the garment, if wreath = yes";
        }
        else
        {
            yield return $"{(IsCentre ? "centre " : "")}{nominal} {way} the front edge of the garment";
        }

        if (Note.Contains("centred", StringComparison.Ordinal) || Note.Contains("midway between", StringComparison.Ordinal))
        {
            yield return "centred on the garment";
        }

        if (isParallel)
        {
            yield return "parallel to the front edge of the garment";
        }
    }

    private void AppendRule(StringBuilder toml)
    {
        if (Direction == "size")
        {
            toml.Append("[[step]]\nid = \"size\"\nof = \"thing\"\nreads = \"other\"\nask = \"One edge to the other\"\n");
            AppendRelation(toml, "rule", "size", Relation == "range" ? Range() : $"nominal = \"{Nominal}\"", "size");
        }
        else if (Direction == "angle")
        {
            AppendRelation(toml, "rule", "angle", $"nominal = \"{Nominal}\"\nwithin = \"1 deg\"\nspan = \"4 in\"", Step(toml, "far", "up"), Step(toml, "near", "up"));
        }
        else if (Relation == "range")
        {
            AppendRelation(toml, "rule", "gap", Range(), Step(toml, "gap", Grows));
        }
        else if (Says("equal", "centred", "midway", "bisected"))
        {
            AppendEqual(toml);
        }
        else if (Nominal == "in line")
        {
            AppendRelation(toml, "rule", "flush", "", Step(toml, "gap", Grows));
        }
        else if (Note.Contains("1/8 in when the wreath is worn", StringComparison.Ordinal))
        {
            string gap = Step(toml, "gap", Grows);
            AppendRelation(toml, "rule", "gap", $"nominal = \"{Nominal}\"\nwhen = {{ wreath = \"no\" }}", gap);
            AppendRelation(toml, "rule-wreath", "gap", "nominal = \"1/8 in\"\nwhen = { wreath = \"yes\" }", gap);
        }
        else
        {
            string nominal = Nominal.StartsWith("0 (", StringComparison.Ordinal) ? "0" : Nominal;
            AppendRelation(toml, "rule", IsCentre ? "pitch" : "gap", $"nominal = \"{nominal}\"{(IsCentre ? $"\nadd = \"thing.{(IsUpright ? "height" : "width")}\"" : "")}", Step(toml, "gap", Grows));
        }
    }

    private void AppendEqual(StringBuilder toml)
    {
        int count = Nominal.StartsWith("A = B", StringComparison.Ordinal) ? Nominal.Count(char.IsAsciiLetterUpper) : Nominal == "equal gaps" ? 3 : 2;
        bool twoEdges = Note.StartsWith("two edges", StringComparison.Ordinal);
        string[] steps = [.. Enumerable.Range(0, count).Select(i => Step(toml, $"side-{i}", i == 0 ? Grows : twoEdges ? "up" : i == count - 1 ? Back : Grows))];
        AppendRelation(toml, "rule", "equal", twoEdges ? "mixed = true" : "", steps);
        if (twoEdges)
        {
            AppendRelation(toml, "distance", "gap", $"nominal = \"{Nominal}\"", steps);
        }
    }

    private string Range()
    {
        string[] ends = NominalMm.Split("..");
        return $"min = \"{ends[0]} mm\"\nmax = \"{ends[1]} mm\"";
    }

    private static string Step(StringBuilder toml, string id, string grows)
    {
        toml.Append(CultureInfo.InvariantCulture, $"[[step]]\nid = \"{id}\"\nof = \"thing\"\nfrom = \"the garment\"\nat = [\"{(id == "other-end" ? "right" : "left")}\", \"middle\"]\ngrows = \"{grows}\"\nask = \"Edge to edge\"\n");
        return id;
    }

    private void AppendRelation(StringBuilder toml, string id, string kind, string limits, params string[] of) => toml.Append(
        CultureInfo.InvariantCulture,
        $"[[relation]]\nid = \"{id}\"\nkind = \"{kind}\"\nof = [{string.Join(", ", of.Select(Quote))}]\n{limits}\nsource = {{ document = {Quote(Document)}, clause = {Quote($"{Id}: {Clause}")}, address = {Quote(Address)} }}\n");

    private static string Quote(string text) => $"\"{text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal)}\"";

    private static PublishedFigure Of(List<string> f) => new(f[0], f[1], f[2], f[4], f[5], f[6], f[7], f[8], f[9], f[10], f[11]);

    // RFC 4180: a field in quotes may hold commas, and doubled quotes.
    private static List<string> Fields(string line)
    {
        List<string> fields = [];
        StringBuilder field = new();
        bool quoted = false;
        for (int i = 0; i < line.Length; i++)
        {
            if (line[i] == '"')
            {
                bool doubled = quoted && i + 1 < line.Length && line[i + 1] == '"';
                field.Append(doubled ? "\"" : string.Empty);
                i += doubled ? 1 : 0;
                quoted = doubled ? quoted : !quoted;
            }
            else if (line[i] == ',' && !quoted)
            {
                fields.Add(field.ToString());
                field.Clear();
            }
            else
            {
                field.Append(line[i]);
            }
        }

        fields.Add(field.ToString());
        return fields;
    }
}
