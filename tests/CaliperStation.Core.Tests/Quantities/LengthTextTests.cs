using System.Globalization;
using System.Text.Json;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Tests.Quantities;

/// <summary>Every row of <c>TestData/length-texts.tsv</c>; the file's head says what its columns are.</summary>
public sealed class LengthTextTests
{
    private static readonly string[][] Rows =
    [
        .. File.ReadLines(Path.Combine(AppContext.BaseDirectory, "TestData", "length-texts.tsv"))
            .Where(line => !line.StartsWith('#'))
            .Skip(1)
            .Select(line => line.Split('\t')),
    ];

    public static TheoryData<string, string, long, string> Good => Cases(refused: false);

    public static TheoryData<string, string, long, string> Bad => Cases(refused: true);

    [Fact]
    public void The_table_has_at_least_150_texts_good_and_bad_and_none_twice()
    {
        Assert.True(Rows.Length >= 150);
        Assert.Contains(Rows, row => row[2][0] == '@');
        Assert.Contains(Rows, row => row[2][0] != '@');
        Assert.All(Rows, row => Assert.Equal(5, row.Length));
        Assert.All(Rows.GroupBy(row => (row[0], row[1], row[3])), group => Assert.Single(group));
    }

    [Theory]
    [MemberData(nameof(Good))]
    public void A_length_as_people_write_it_is_read_exactly(string json, string bare, long nanometres, string notation)
    {
        LengthParse parse = LengthText.Parse(Text(json), Unit(bare));

        Assert.Null(parse.Fault);
        Assert.Equal(nanometres, parse.Value.Value.Nanometres);
        Assert.Equal(Enum.Parse<LengthNotation>(notation, ignoreCase: true), parse.Value.Notation);
    }

    [Theory]
    [MemberData(nameof(Bad))]
    public void A_text_that_is_no_length_is_refused_with_place_and_advice(string json, string bare, long position, string words)
    {
        string text = Text(json);
        LengthParse parse = LengthText.Parse(text, Unit(bare));

        Assert.False(parse.IsLength);
        Assert.Equal(position, parse.Fault.Position);
        Assert.Contains(words, parse.Fault.Message, StringComparison.Ordinal);
        Assert.Equal(PrintableText.Escape(parse.Fault.Message), parse.Fault.Message);
        Assert.EndsWith(".", parse.Fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("5", LengthUnit.Inch, LengthUnit.Inch, false)]
    [InlineData("5", LengthUnit.Millimetre, LengthUnit.Millimetre, false)]
    [InlineData("11/32", LengthUnit.Inch, LengthUnit.Inch, false)]
    [InlineData("5 mm", LengthUnit.Inch, LengthUnit.Millimetre, true)]
    [InlineData("5 cm", LengthUnit.Inch, LengthUnit.Millimetre, true)]
    [InlineData("5 in", LengthUnit.Millimetre, LengthUnit.Inch, true)]
    [InlineData("5 t", LengthUnit.Millimetre, LengthUnit.Inch, true)]
    [InlineData("1 in 5 t", LengthUnit.Millimetre, LengthUnit.Inch, true)]
    [InlineData("1 in 11/32", LengthUnit.Millimetre, LengthUnit.Inch, true)]
    public void The_unit_is_told_and_whether_it_was_written(string text, LengthUnit bare, LengthUnit unit, bool written)
    {
        ParsedLength length = LengthText.Parse(text, bare).Value;

        Assert.Equal((unit, written), (length.Unit, length.UnitWritten));
    }

    [Fact]
    public void No_text_at_all_is_misuse() =>
        Assert.Throws<ArgumentNullException>(() => LengthText.Parse(null!, LengthUnit.Inch));

    private static TheoryData<string, string, long, string> Cases(bool refused)
    {
        TheoryData<string, string, long, string> cases = [];
        foreach (string[] row in Rows.Where(row => (row[2][0] == '@') == refused))
        {
            cases.Add(row[0], row[1], long.Parse(row[2].TrimStart('@'), CultureInfo.InvariantCulture), row[3]);
        }

        return cases;
    }

    private static string Text(string json) => JsonSerializer.Deserialize<string>(json)!;

    private static LengthUnit Unit(string name) => Enum.Parse<LengthUnit>(name, ignoreCase: true);
}
