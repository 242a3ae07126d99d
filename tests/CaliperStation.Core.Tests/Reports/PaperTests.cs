using System.Text;
using System.Xml;
using System.Xml.Linq;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Records;
using CaliperStation.Core.Tests.Standards;
using CsCheck;

namespace CaliperStation.Core.Tests.Reports;

public sealed class PaperTests
{
    private const string Hostile = "</text></title><script>alert(1)</script><img src=x onerror=y>&amp;\"'<!--]]>";
    private static readonly PaperSettings Paper = new(PaperSize.Find("a5")!, (text, size, _) => text.Length * size * 0.6, TimeZoneInfo.Utc);
    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";

    [Fact]
    public void Hostile_text_stays_text_in_a_drawing()
    {
        Drawing drawing = new(10, 10, [new Mark.Words(new(1, 2), 2, Hostile, "#000000", TextAnchor.Start)], Hostile + "\u001b[2J");

        XElement svg = XDocument.Parse(DrawingSvg.Of(drawing)).Root!;

        Assert.Equal(Hostile, svg.Element(Svg + "text")!.Value);
        Assert.Equal(Hostile + "\\x1B[2J", svg.Element(Svg + "title")!.Value);
        Assert.Equal(["title", "text"], svg.Elements().Select(element => element.Name.LocalName));
    }

    [Fact]
    public void Hostile_text_in_every_field_of_a_card_stays_text_in_HTML()
    {
        PaperDocument document = new(Hostile, Hostile, Hostile,
            [new PaperBlock.Heading(Hostile), new PaperBlock.Facts([(Hostile, Hostile)]), new PaperBlock.Paragraph(Hostile)],
            [new PaperBlock.Table([Hostile], [[Hostile], ["b\u202Ec"]])], [new PaperBlock.Caution(Hostile), new PaperBlock.Code([[true]], Hostile)]);

        XElement page = Html(document);

        Assert.Equal(12, page.DescendantsAndSelf().Count(element => !element.HasElements && element.Value == Hostile));
        Assert.DoesNotContain(page.Descendants(), element => element.Name.LocalName is "script" or "img" or "link" or "a" or "iframe" or "object");
        Assert.Single(page.Descendants("td"), cell => cell.Value == "b\\u202Ec");
    }

    [Fact]
    public void A_page_stands_alone()
    {
        string html = PaperHtml.Of(StandardPaper.Of(Lantern(), Paper), Paper.Size);

        Assert.DoesNotContain("script", html.Replace("Prescription", "", StringComparison.Ordinal), StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("url(", html, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("http", html.Replace("http://www.w3.org/2000/svg", "", StringComparison.Ordinal).Replace("http-equiv", "", StringComparison.Ordinal), StringComparison.OrdinalIgnoreCase);
        Assert.Contains("default-src 'none'", html, StringComparison.Ordinal);
    }

    [Fact]
    public void A_page_has_every_step_with_its_limits_every_line_and_every_caution()
    {
        Plan plan = Lantern();

        PaperDocument page = StandardPaper.Of(plan, Paper);

        string said = PaperText.Of(page).ReplaceLineEndings(" ");
        string all = string.Join('\n', page.Body.OfType<PaperBlock.Table>().SelectMany(table => table.Rows).SelectMany(row => row));
        Assert.All(plan.Steps, step => Assert.Contains(step.Ask, all, StringComparison.Ordinal));
        Assert.All(plan.Ready, line => Assert.Contains(line.Ask, all, StringComparison.Ordinal));
        Assert.All(plan.Ready.Select(line => line.Caution).Concat(plan.Steps.Select(step => step.Caution)).OfType<string>(), caution => Assert.Contains(caution, all, StringComparison.Ordinal));
        Assert.Contains("gap: 5 t to 7 t", all, StringComparison.Ordinal);
        Assert.Contains("company's own", said, StringComparison.Ordinal);
        string[] drawn = [.. page.Head.OfType<PaperBlock.Picture>().Single().Drawing.Marks.OfType<Mark.Words>().Select(words => words.Text)];
        Assert.Equal(["10", "10", "12", "12", "6", "6"], drawn.Where(text => text.All(char.IsAsciiDigit)).Order(StringComparer.Ordinal));
        Assert.Equal(["A", "A", "B", "B", "C", "C"], drawn.Where(text => text.Length == 1 && char.IsAsciiLetterUpper(text[0])).Order());
        Assert.Contains("left", drawn);
        Assert.Contains("right", drawn);
    }

    /// <summary>Names as long as a standard takes, and thirty items: every value that is drawn stands apart from every other text and within the drawing.</summary>
    [Fact]
    public void Thirty_items_with_long_names_do_not_cover_each_other()
    {
        Plan plan = Plan.For(StandardFiles.Loaded(Crowd(30)), new Dictionary<string, string>());

        Drawing drawing = StandardPaper.Of(plan, Paper).Head.OfType<PaperBlock.Picture>().Single().Drawing;

        (double Left, double Right, double Top, double Bottom)[] boxes = [.. drawing.Marks.OfType<Mark.Words>().Select(words =>
        {
            double wide = Paper.Measure(words.Text, words.Size, words.Strong);
            double left = words.Anchor switch { TextAnchor.Start => words.At.X, TextAnchor.Middle => words.At.X - (wide / 2), _ => words.At.X - wide };
            return (left, left + wide, words.At.Y - (words.Size * 0.75), words.At.Y);
        })];
        Assert.All(boxes, box => Assert.True(box.Left >= -0.01 && box.Right <= Paper.Size.Inner + 0.01 && box.Top >= -0.01 && box.Bottom <= drawing.Height + 0.01));
        for (int one = 0; one < boxes.Length; one++)
        {
            for (int other = 0; other < one; other++)
            {
                Assert.False(
                    boxes[one].Left < boxes[other].Right && boxes[other].Left < boxes[one].Right && boxes[one].Top < boxes[other].Bottom && boxes[other].Top < boxes[one].Bottom,
                    $"{drawing.Marks.OfType<Mark.Words>().ElementAt(one)} covers {drawing.Marks.OfType<Mark.Words>().ElementAt(other)}");
            }
        }
    }

    [Fact]
    public void A_card_says_tag_standard_hands_verdicts_history_and_cautions()
    {
        using Samples.Signer signer = new();
        Core.Records.Record record = Samples.Record();
        SealedRecord seal = SealedRecord.Seal(record, signer);

        PaperDocument card = CardPaper.Of(seal, record, null, null, new PaperBlock.Code([[true]], "x"), Paper);

        string said = string.Join(' ', PaperText.Of(card).Split((char[])[' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
        Assert.Equal(("QG-017", "VERIFIED"), (card.Title, card.Standing));
        foreach (string part in (string[])["Quayside parade, edition 3", "measured by AB, EF", "signed by CD", "2026-11-25 01:19:05 +00:00", "borderline", "3.90 mm", "tag corrected: read upside down", "QG-071", "the company's own setting", Cautions.Pins[..30]])
        {
            Assert.Contains(part.Replace("3.90 mm", "0.1535 in", StringComparison.Ordinal), said, StringComparison.Ordinal);
        }

        Assert.Equal("PRACTICE", CardPaper.Of(seal, record with { Practice = true }, null, null, new PaperBlock.Code([[true]], "x"), Paper).Standing);
    }

    /// <summary>A rule with a condition may ask for another value than the first rule of the file; a pitch asks for its own less the halves of the sizes.</summary>
    [Theory]
    [InlineData("gap", 3_175_000, 3_200_000, 3_200_000, "4 (4)")]
    [InlineData("gap", 1_587_500, 1_600_000, 1_600_000, "2 (2)")]
    [InlineData("pitch", 37_306_250, 37_331_250, 3_200_000, "4 (4)")]
    public void A_gap_stands_against_the_nominal_that_applied(string kind, double nominal, double value, long reading, string label)
    {
        using Samples.Signer signer = new();
        Standard standard = StandardFiles.Loaded(SmallStandard.Text);
        Core.Records.Record sample = Samples.Record();
        Core.Records.Record record = sample with
        {
            Readings = [new("low-left", "rack", "left pocket", [sample.Readings[0].Takes[0] with { Value = Length.FromNanometres(reading) }])],
            Verdicts = [sample.Verdicts[0] with { Kind = RelationKind.Find(kind)!, Steps = ["low-left"], Nominal = nominal, Value = value, Verdict = Core.Judging.Verdict.Within }],
            Comparisons = [],
        };

        PaperDocument card = CardPaper.Of(SealedRecord.Seal(record, signer), record, null, standard, new PaperBlock.Code([[true]], "x"), Paper);

        Assert.Contains(label, card.Head.OfType<PaperBlock.Picture>().Single().Drawing.Marks.OfType<Mark.Words>().Select(words => words.Text));
    }

    [Fact]
    public void A_page_shows_every_nominal_that_may_come_to_apply()
    {
        Plan plan = Plan.For(StandardFiles.Loaded(StandardFiles.Docs(Path.Combine("examples", "orrery-bridge-wardens.toml"))), new Dictionary<string, string>());

        string[] drawn = [.. StandardPaper.Of(plan, Paper).Head.OfType<PaperBlock.Picture>().Single().Drawing.Marks.OfType<Mark.Words>().Select(words => words.Text)];

        Assert.Contains("8.00 or 4.00", drawn);   // the lapel may hide a third of the star
        Assert.Contains("25.00", drawn);          // 37 mm to the middle of a wheel of 24 mm
        Assert.Contains("13.00 to 16.00", drawn);
    }

    [Fact]
    public void Wrapping_keeps_every_word_and_no_line_is_too_wide() => Gen.Select(Gen.String[Gen.Char["ab c\u00e9\u6f22"], 0, 200], Gen.Int[1, 30]).Sample((text, width) =>
    {
        IReadOnlyList<string> lines = PaperText.Wrap(text, width, line => line.Length);
        return lines.All(line => line.Length <= width) && string.Concat(lines).Replace(" ", "", StringComparison.Ordinal) == text.Replace(" ", "", StringComparison.Ordinal);
    });

    [Fact]
    public void Wrapping_parts_no_character()
    {
        string rocket = char.ConvertFromUtf32(0x1F680);

        Assert.All(PaperText.Wrap(string.Concat(Enumerable.Repeat(rocket, 7)), 3, line => line.Length), line => Assert.Equal(0, line.Length % 2));
    }

    [Fact]
    public void Columns_never_take_more_than_there_is() => Gen.Double[0.1, 500].Array[1, 8].Sample(wanted =>
    {
        IReadOnlyList<double> given = PaperText.ColumnWidths(100, wanted);
        return given.Sum() <= 100.0001 && given.Zip(wanted).All(pair => pair.First > 0 && pair.First <= Math.Max(pair.Second, 100.0001)) && (wanted.Sum() > 100 || given.SequenceEqual(wanted));
    });

    private static Plan Lantern() => Plan.For(StandardFiles.Loaded(StandardFiles.Text("harbour-lantern.toml")), new Dictionary<string, string>());

    private static XElement Html(PaperDocument document)
    {
        using XmlReader reader = XmlReader.Create(new StringReader(PaperHtml.Of(document, Paper.Size)), new XmlReaderSettings { DtdProcessing = DtdProcessing.Ignore });
        return XDocument.Load(reader).Root!;
    }

    /// <summary>A standard with so many items in columns of five, each read at both ends.</summary>
    private static string Crowd(int items)
    {
        StringBuilder toml = new("name = \"Crowd\"\nedition = \"1\"\nunit = \"in\"\n[judging]\nwithin = \"1/32\"\n");
        for (int item = 0; item < items; item++)
        {
            string name = $"{new string((char)('a' + (item % 26)), 70)} {item}";
            toml.Append(System.Globalization.CultureInfo.InvariantCulture, $"""
                [[item]]
                id = "i{item}"
                name = "{name}"
                stands_on = "{(item % 5 == 0 ? $"pocket number {item / 5}" : $"i{item - 1}")}"
                size = ["2", "1/2"]
                place = ["0", "above 1/4"]
                pins = [["0", "0"]]
                [[step]]
                id = "s{item}"
                of = "i{item}"
                from = "{(item % 5 == 0 ? $"pocket number {item / 5}" : $"i{item - 1}")}"
                at = ["left", "bottom"]
                grows = "up"
                ask = "Gap {item}"
                [[relation]]
                id = "r{item}"
                kind = "gap"
                of = ["s{item}"]
                nominal = "1/4"

                """);
        }

        for (int pocket = 0; pocket < items / 5; pocket++)
        {
            toml.Append(System.Globalization.CultureInfo.InvariantCulture, $"[[landmark]]\nname = \"pocket number {pocket}\"\nat = [\"{(pocket % 3 * 4) - 4}\", \"{pocket / 3 * 6}\"]\nsize = [\"3\", \"2\"]\n");
        }

        return toml.ToString();
    }
}
