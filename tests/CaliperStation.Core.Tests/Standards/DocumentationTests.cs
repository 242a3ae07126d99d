using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Tests.Standards;

public class DocumentationTests
{
    private static readonly JsonElement Schema = JsonDocument.Parse(StandardFiles.Docs("standard.schema.json")).RootElement;

    public static TheoryData<string> Examples() => [.. Directory.GetFiles(StandardFiles.DocsPath("examples"), "*.toml").Select(path => Path.GetFileName(path)).Order()];

    [Theory]
    [MemberData(nameof(Examples))]
    public void Every_shipped_example_loads_and_fits_the_schema(string file)
    {
        string text = StandardFiles.Docs(Path.Combine("examples", file));

        StandardFiles.Loaded(text);
        Assert.Empty(new StructuralSchema(Schema).Misfits(TomlReader.Read(text, new FaultList())!));
    }

    [Fact]
    public void The_demonstration_and_its_copy_among_the_examples_are_the_same()
    {
        Assert.Equal(StandardFiles.Text("harbour-lantern.toml"), StandardFiles.Docs(Path.Combine("examples", "harbour-lantern.toml")));
    }

    [Fact]
    public void The_demonstration_in_the_trades_words_is_what_it_was_in_steps_and_relations()
    {
        Standard inWords = StandardFiles.Loaded(StandardFiles.Text("harbour-lantern.toml")), inSteps = StandardFiles.Loaded(StandardFiles.Text("harbour-lantern-long.toml"));

        Assert.Equal(StandardDump.Of(inSteps), StandardDump.Of(inWords));
    }

    [Fact]
    public void The_format_page_counts_the_lines_of_the_examples()
    {
        string page = StandardFiles.Docs("standard-format.md");
        foreach (string file in Examples().Cast<object[]>().Select(row => (string)row[0]))
        {
            string text = StandardFiles.Docs(Path.Combine("examples", file));
            Standard standard = StandardFiles.Loaded(text);
            Match row = Regex.Match(page, $@"examples/{Regex.Escape(file)}\)[^|]*\| ([0-9]+) \| ([0-9]+) \| ([0-9]+)[^|]*\| ([0-9]+) \|");

            int before = int.Parse(row.Groups[3].Value, CultureInfo.InvariantCulture), after = text.Count(c => c == '\n');
            Assert.Equal([standard.Items.Count, standard.Steps.Count, after], new[] { 1, 2, 4 }.Select(group => int.Parse(row.Groups[group].Value, CultureInfo.InvariantCulture)));
            Assert.True(3 * after <= before, $"{file}: {after} lines are not a third of {before}");
        }

        Assert.Contains($"| {StandardFiles.Text("harbour-lantern-long.toml").Count(c => c == '\n')} | 85 |", page, StringComparison.Ordinal);
        Assert.Contains($"| {ExpandedText.Of(StandardFiles.Docs(Path.Combine("examples", "tide-mill-guard.toml"))).Text!.Count(c => c == '\n')}, as", page, StringComparison.Ordinal);
    }

    [Fact]
    public void A_loaded_coat_fits_in_two_hundred_lines()
    {
        string text = StandardFiles.Docs(Path.Combine("examples", "tide-mill-guard.toml"));
        Plan plan = Plan.For(StandardFiles.Loaded(text), new Dictionary<string, string>());

        Assert.True(text.Count(c => c == '\n') <= 200);
        Assert.True(plan.Steps.Count >= 50, $"{plan.Steps.Count} readings");
        Assert.Equal(3, plan.Items[0].Rows!.RowCount);
        Assert.Subset(plan.Items.Select(item => item.Name).ToHashSet(), new HashSet<string>
        {
            "ribbon rack", "first badge", "second badge", "nameplate", "left collar device", "right collar device", "left shoulder mark", "right shoulder mark", "shoulder cord", "cap device", "left lower stripe", "right upper stripe",
        });
    }

    [Fact]
    public void The_demonstration_takes_about_a_minute()
    {
        Plan plan = Plan.For(StandardFiles.Loaded(StandardFiles.Text("harbour-lantern.toml")), new Dictionary<string, string>());

        Assert.InRange(plan.Steps.Count, 10, 14);
    }

    [Fact]
    public void The_large_example_works_both_chest_sides_collar_shoulders_and_cap()
    {
        Standard wardens = StandardFiles.Loaded(StandardFiles.Docs(Path.Combine("examples", "orrery-bridge-wardens.toml")));

        Assert.True(wardens.Steps.Count >= 25);
        Assert.Subset(wardens.Items.Select(item => item.Id).ToHashSet(), new HashSet<string> { "rack", "plate", "collar-left", "collar-right", "bar-left", "bar-right", "cap-badge" });
        Assert.True(wardens.Steps.Count(step => step.Caution is not null) + wardens.Looks.Count(line => line.Caution is not null) >= 5);
    }

    [Fact]
    public void The_schema_and_the_loader_know_the_same_keys()
    {
        foreach (TableFormat table in StandardFormat.All)
        {
            JsonElement described = table.Name.Length == 0 ? Schema : Schema.GetProperty("$defs").GetProperty(table.Name);
            Assert.Equal(table.Keys.Select(key => key.Name).Order(), described.GetProperty("properties").EnumerateObject().Select(property => property.Name).Order());
            Assert.Equal(table.Keys.Where(key => key.Required).Select(key => key.Name).Order(), described.GetProperty("required").EnumerateArray().Select(key => key.GetString()).Order());
            Assert.False(described.GetProperty("additionalProperties").GetBoolean());
        }
    }

    [Fact]
    public void The_schema_and_the_loader_know_the_same_words_and_bounds()
    {
        JsonElement Property(string table, string key) => Schema.GetProperty("$defs").GetProperty(table).GetProperty("properties").GetProperty(key);
        static IEnumerable<string?> Words(JsonElement element) => element.GetProperty("enum").EnumerateArray().Select(word => word.GetString()).Order();

        Assert.Equal(RelationKind.All.Select(kind => kind.Word).Order(), Words(Property("relation", "kind")));
        Assert.Equal(DirectionText.Names.Order(), Words(Property("step", "grows").GetProperty("anyOf")[0]));
        foreach (TableFormat table in StandardFormat.All.Where(table => table.Many))
        {
            Assert.Equal(table.Most, Schema.GetProperty("properties").GetProperty(table.Name).GetProperty("maxItems").GetInt32());
        }
    }

    [Theory]
    [InlineData("unit    = \"in\"", "unit    = \"inch\"")]
    [InlineData("show    = \"ticks\"", "shwo    = \"ticks\"")]
    [InlineData("pins      = [[\"0\", \"0\"]]", "pins      = []")]
    [InlineData("rows      = { count = 7,", "rows      = { count = 0,")]
    [InlineData("grows = \"right\"", "grows = \"sideways\"")]
    [InlineData("id   = \"level\"\n", "")]
    public void What_the_loader_refuses_by_its_shape_the_schema_refuses_too(string piece, string instead)
    {
        TomlTable good = TomlReader.Read(SmallStandard.Text, new FaultList())!, bad = TomlReader.Read(SmallStandard.With(piece, instead), new FaultList())!;

        Assert.Empty(new StructuralSchema(Schema).Misfits(good));
        Assert.NotEmpty(new StructuralSchema(Schema).Misfits(bad));
    }

    [Fact]
    public void The_pieces_of_the_format_page_together_are_a_standard()
    {
        string page = StandardFiles.Docs("standard-format.md");
        string[] pieces = [.. Regex.Matches(page, "```toml\n(.*?)```", RegexOptions.Singleline).Select(match => match.Groups[1].Value)];

        Assert.True(pieces.Length >= 4);
        StandardFiles.Loaded(pieces[0]);   // the short form, a whole file
        StandardFiles.Loaded(pieces[1]);
        StandardFiles.Loaded(string.Concat(pieces[1..]));
    }

    [Fact]
    public void The_format_page_names_every_key_and_every_kind()
    {
        string page = StandardFiles.Docs("standard-format.md");

        Assert.All(StandardFormat.All.SelectMany(table => table.Keys).Select(key => key.Name).Concat(RelationKind.All.Select(kind => kind.Word)), word =>
            Assert.Matches($@"[`\[{{ ]{Regex.Escape(word)}[`\] =]", page));
    }
}
