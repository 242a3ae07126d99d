using System.Globalization;
using System.Text.RegularExpressions;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Standards;

/// <summary>Every published placement figure can be said in the format and is judged right. Document, clause and address of each stand in its row of the data.</summary>
public class PublishedFigureTests
{
    public static TheoryData<string> Ids() => [.. PublishedFigure.All.Select(figure => figure.Id)];

    public static TheoryData<string> Files() => [.. Directory.GetFiles(Path.Combine(AppContext.BaseDirectory, "TestData", "published"), "*.toml").Select(path => Path.GetFileName(path)).Order()];

    [Fact]
    public void All_rows_of_the_data_are_here() => Assert.Equal(87, PublishedFigure.All.Count);

    [Theory]
    [MemberData(nameof(Ids))]
    public void Every_published_figure_is_said_in_the_format_and_judged_at_and_about_its_limits(string id)
    {
        PublishedFigure figure = PublishedFigure.All.First(row => row.Id == id);
        Standard standard = StandardFiles.Loaded(figure.ToToml());

        AssertJudged(standard);
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_published_figure_is_as_many_millimetres_as_the_data_say(string id)
    {
        PublishedFigure figure = PublishedFigure.All.First(row => row.Id == id);
        Relation rule = StandardFiles.Loaded(figure.ToToml()).FindRelation("rule")!;
        string[] ends = figure.NominalMm.Split("..");

        // Rules that only compare (centred, equal, in line) and the one angle have no length of their own.
        Assert.Equal(figure.NominalMm.Length == 0 || rule.Kind == RelationKind.Equal, rule.Kind.Word is "equal" or "angle" or "flush");
        if (rule.Kind.Word is "gap" or "size" or "pitch")
        {
            Limits limits = rule.Limits[0];
            Assert.Equal(Nanometres(ends[0]), ends.Length == 1 ? limits.Nominal : limits.Lower);
            Assert.Equal(Nanometres(ends[^1]), ends.Length == 1 ? limits.Nominal : limits.Upper);
        }
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_published_figure_is_said_in_the_trades_words_and_judged_at_and_about_its_limits(string id)
    {
        PublishedFigure figure = PublishedFigure.All.First(row => row.Id == id);
        Standard inWords = StandardFiles.Loaded(figure.ToWords()), inSteps = StandardFiles.Loaded(figure.ToToml());
        Relation rule = inWords.Relations.First(relation => relation.Source is not null), before = inSteps.FindRelation("rule")!;

        AssertJudged(inWords);
        Assert.All(inWords.Relations.Where(relation => relation.Source is not null), relation => Assert.Equal(before.Source, relation.Source));
        Assert.Equal((before.Kind, before.Kind == RelationKind.Equal ? before.Of.Count : 0), (rule.Kind, rule.Kind == RelationKind.Equal ? rule.Of.Count : 0));
        Assert.Equal(before.Limits, rule.Limits);
        Assert.Equal(before.Add, rule.Add);
        Assert.Equal(inSteps.Relations.Select(relation => relation.Kind.Word).Order(), inWords.Relations.Where(relation => relation.Source is not null).Select(relation => relation.Kind.Word).Order());
    }

    [Theory]
    [MemberData(nameof(Files))]
    public void A_transcribed_standard_loads_and_is_judged_at_and_about_its_limits(string file)
    {
        Standard standard = StandardFiles.Loaded(StandardFiles.Text(Path.Combine("published", file)));

        Assert.True(standard.Relations.Count(relation => relation.Source is not null) >= 4);
        Assert.Single(standard.Relations.Where(relation => relation.Source is not null).Select(relation => SourceOf(relation).Document).Distinct());
        AssertJudged(standard);
    }

    [Theory]
    [MemberData(nameof(Files))]
    public void A_transcribed_standard_says_the_figures_of_its_rows(string file)
    {
        Standard standard = StandardFiles.Loaded(StandardFiles.Text(Path.Combine("published", file)));

        foreach (Relation relation in standard.Relations.Where(relation => relation.Source is not null))
        {
            PublishedFigure figure = SourceOf(relation);
            Assert.Equal($"{figure.Document}, {figure.Id}: {figure.Clause}, {figure.Address}", relation.Source);
            if (relation.Kind.Word is "gap" or "size" or "pitch" && relation.When is null && figure.Relation == "exact" && !figure.Note.Contains("rests on", StringComparison.Ordinal))
            {
                Assert.Equal(Nanometres(figure.NominalMm), relation.Limits[0].Nominal);
            }
        }
    }

    // Bare numbers take the file's unit; with every length's unit written out, the other unit may stand at the top.
    [Theory]
    [MemberData(nameof(Files))]
    public void A_transcribed_standard_is_the_same_in_inch_and_in_millimetre(string file)
    {
        string text = StandardFiles.Text(Path.Combine("published", file));
        string unit = text.Contains("unit    = \"in\"", StringComparison.Ordinal) ? "in" : "mm", other = unit == "in" ? "mm" : "in";
        string written = Regex.Replace(text, "\"((?:above |below )?-?[0-9][0-9 /.]*)\"", $"\"$1 {unit}\"").Replace("edition = \"transcribed\"", "edition = \"other unit\"", StringComparison.Ordinal);
        Standard one = StandardFiles.Loaded(text), two = StandardFiles.Loaded(written.Replace($"unit    = \"{unit}\"", $"unit    = \"{other}\"", StringComparison.Ordinal));

        Assert.Equal(one.Relations.SelectMany(relation => relation.Limits), two.Relations.SelectMany(relation => relation.Limits));
        Assert.Equal(one.Items.Select(item => (item.Size, item.Place)), two.Items.Select(item => (item.Size, item.Place)));
        AssertJudged(two);
    }

    private static void AssertJudged(Standard standard)
    {
        foreach (Relation relation in standard.Relations)
        {
            Assert.All(RuleProbe.Around(standard, relation), point => Assert.Equal((point.Where, point.Should), (point.Where, point.Is)));
        }
    }

    private static PublishedFigure SourceOf(Relation relation) => PublishedFigure.All.First(figure => relation.Source!.Contains($", {figure.Id}: ", StringComparison.Ordinal));

    private static Length Nanometres(string millimetres) => Length.FromNanometres(checked((long)(decimal.Parse(millimetres, CultureInfo.InvariantCulture) * 1_000_000m)));
}
