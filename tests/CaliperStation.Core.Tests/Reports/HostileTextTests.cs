using System.Xml.Linq;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Records;
using CaliperStation.Core.Tests.Standards;
using CaliperStation.Core.Tests.Studies;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Tests.Reports;

/// <summary>A name, a tag, a reason that would steer a terminal or forge a line is seen as what it is, whatever carries it.</summary>
/// <remarks>The reports put texts into their carriers as they came: a table, lines, a drawing, a page. Each carrier makes them safe by itself, and measures what will be seen.</remarks>
public sealed class HostileTextTests
{
    // An escape sequence, a carriage return, a line end with a forged line, a bidirectional override and an isolate, a control of the second set.
    private const string Hostile = "A\u001b[2J\rB\nclosed\u202eC\u2066\u009b";
    private const string Shown = "A\\x1B[2J\\x0DB\\x0Aclosed\\u202EC\\u2066\\x9B";

    private static readonly DateTimeOffset At = new(2026, 12, 1, 9, 0, 0, TimeSpan.Zero);
    private static readonly PaperSettings Paper = new(PaperSize.Find("a4")!, (text, size, _) => PrintableText.Escape(text).Length * size * 0.6, TimeZoneInfo.Utc);
    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";

    [Fact]
    public void A_cell_of_a_table_shows_it_and_its_column_is_as_wide_as_what_is_seen() =>
        Assert.Equal($"{Shown}  x\n{new string('b', 3).PadRight(Shown.Length)}  {Shown}\n", TableText.Of([[Hostile, "x"], ["bbb", Hostile]], TableText.Unbounded));

    [Fact]
    public void A_line_shows_it()
    {
        Assert.Equal(Shown + "\n", TableText.Line(Hostile));
        Assert.Equal($"of  {Shown}\n", TableText.Lines(Hostile, TableText.Unbounded, "of  ", "    "));
        Assert.Equal($"  {Shown}\n", TableText.Fitted(["  " + Hostile], TableText.Unbounded));
    }

    /// <summary>Each word is three characters and seen as eight.</summary>
    [Fact]
    public void What_is_wrapped_is_wrapped_by_what_is_seen()
    {
        string words = string.Join(' ', Enumerable.Repeat("\u202eab", 12)), seen = string.Join(' ', Enumerable.Repeat("\\u202Eab", 12));
        foreach (string text in (string[])[TableText.Lines(words, 30, "of  ", "    "), TableText.Of([["of", words], ["and", words]], 30), TableText.Fitted(["  " + words], 30)])
        {
            string[] lines = text.Split('\n');
            Assert.All(lines, line => Assert.InRange(line.Length, 0, 30));
            Assert.StartsWith(seen, string.Join(' ', lines.Select(line => line.Replace("of", "", StringComparison.Ordinal).Replace("and", "", StringComparison.Ordinal).Trim())).Trim(), StringComparison.Ordinal);
        }
    }

    public static TheoryData<string> Reports => [.. Texts.Keys];

    [Theory]
    [MemberData(nameof(Reports))]
    public void No_report_in_lines_lets_it_break_or_steer_a_line(string report)
    {
        foreach (int width in (int[])[TableText.Unbounded, 60, 24])
        {
            string text = Texts[report](width);

            string[] lines = text.Split('\n');
            Assert.All(lines, line => Assert.Equal(PrintableText.Escape(line), line));
            Assert.DoesNotContain(lines, line => line.StartsWith("closed", StringComparison.Ordinal));
            if (width == TableText.Unbounded)
            {
                Assert.Contains(Shown, text, StringComparison.Ordinal);
            }
        }
    }

    [Fact]
    public void A_drawing_shows_it()
    {
        Drawing drawing = new(10, 10, [new Mark.Words(new(1, 2), 2, Hostile, "#000000", TextAnchor.Start), new Mark.Circle(new(1, 2), 1, null, null) { Tip = Hostile }], Hostile);

        XElement svg = XElement.Parse(DrawingSvg.Of(drawing));

        Assert.Equal([Shown, Shown, Shown], svg.DescendantsAndSelf().Where(element => element.Name == Svg + "title" || element.Name == Svg + "text").Select(element => element.Value));
    }

    [Fact]
    public void A_page_shows_it_in_every_field()
    {
        PaperDocument document = new(Hostile, Hostile, Hostile,
            [new PaperBlock.Heading(Hostile), new PaperBlock.Facts([(Hostile, Hostile)]), new PaperBlock.Paragraph(Hostile)],
            [new PaperBlock.Table([Hostile], [[Hostile]])], [new PaperBlock.Caution(Hostile), new PaperBlock.Code([[true]], Hostile)]);

        string html = PaperHtml.Of(document, Paper.Size);

        Assert.Equal(12, html.Split(Shown).Length - 1);
        Assert.Equal(PrintableText.Escape(html.Replace("\n", "", StringComparison.Ordinal)), html.Replace("\n", "", StringComparison.Ordinal));
        Assert.DoesNotContain("\nclosed", html, StringComparison.Ordinal);
        Assert.DoesNotContain("class=\"n\"", PaperHtml.Of(document with { Body = [new PaperBlock.Table(["\u202e\u202e\u202e"], [])] }, Paper.Size), StringComparison.Ordinal);   // no short cell once it is seen
    }

    public static TheoryData<string> Papers => [.. Documents.Keys];

    [Theory]
    [MemberData(nameof(Papers))]
    public void No_paper_lets_it_through(string paper)
    {
        PaperDocument document = Documents[paper]();

        foreach (string text in (string[])[PaperHtml.Of(document, Paper.Size), PaperText.Of(document)])
        {
            Assert.All(text.Split('\n'), line => Assert.Equal(PrintableText.Escape(line), line));
            Assert.DoesNotContain("\nclosed", text, StringComparison.Ordinal);
            Assert.Contains(Shown, text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_field_of_CSV_and_a_cell_of_Markdown_show_it()
    {
        Assert.Equal(Shown, CsvText.Field(Hostile));
        Assert.Contains(Shown.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("[", "\\[", StringComparison.Ordinal), StandardTable.Markdown(Coat), StringComparison.Ordinal);
        Assert.All(StandardTable.Markdown(Coat).Split('\n'), line => Assert.Equal(PrintableText.Escape(line), line));
    }

    private static Core.Records.Record Filed { get; } = Hostilely(Samples.Record());

    private static Core.Records.Record Hostilely(Core.Records.Record record) => record with
    {
        Id = Hostile,
        OfRecord = Hostile,
        Tag = Hostile,
        Hand = Hostile,
        SignedBy = Hostile,
        Hands = [Hostile],
        Standard = new(Hostile, Hostile, Hostile),
        Answers = new Dictionary<string, string> { [Hostile] = Hostile },
        Readings = [.. record.Readings.Select(reading => reading with { Step = Hostile, Takes = [.. reading.Takes.Select(take => take with { Hand = Hostile, Raw = Hostile })] })],
        Verdicts = [.. record.Verdicts.Select(verdict => verdict with { Relation = Hostile, Steps = [Hostile] })],
        Asides = [new(Hostile, Hostile, Hostile, At)],
        Moves = [new([Hostile], At)],
        Comparisons = [.. record.Comparisons.Select(comparison => comparison with { Step = Hostile, Why = Hostile })],
        Confirmed = [new(Hostile, At)],
        Withdrawn = [.. record.Withdrawn.Select(withdrawn => withdrawn with { Step = Hostile })],
        TagCorrections = [new(Hostile, Hostile, At)],
    };

    private static HistoryEntry Entry { get; } = new(
        HistoryKind.Rechecked, Hostile, Hostile, Hostile, At, At, [Hostile], Hostile, Filed.Standard, Filed.Verdicts, Filed.Asides,
        [.. Filed.Comparisons.Select(comparison => comparison with { Agrees = false })], false, false, Filed.Withdrawn, Filed.Moves, Filed.TagCorrections, [], [new(Hostile, Hostile, 0, 1e6, 0.5, false)]);

    private static Readiness Blouse { get; } = new(Hostile, RecordSummary.Of(Filed), RemeasurementResult.None, RemeasurementResult.None, 1, null, Filed.Asides, [default], [Hostile]);

    private static IReadOnlyList<TrendGroup> Drift { get; } = Drifting();

    private static IReadOnlyList<TrendGroup> Drifting()
    {
        Trend trend = new(new TrendFilter());
        for (int n = 0; n < 40; n++)
        {
            trend.Add(new(Hostile, Hostile, Hostile, Hostile, "sha", At.AddHours(n), At.AddHours(n - 1), true, 0, "AB", [new(TrendOf.Step, Hostile, Hostile, n == 39 ? 9_000_000 : n % 4 * 100_000, true, true, "AB"), new(TrendOf.Item, Hostile, Hostile, 0, true, true, "AB")]));
        }

        return trend.Groups();
    }

    private static StudyReport Study { get; } = StudyReport.Of(
        StudySitting.Begin(StudyPlanTests.Plan(3, 2) with { Id = Hostile, Title = Hostile }), StudyOptions.Default, at => DateOnly.FromDateTime(at.UtcDateTime));

    private static Plan Coat { get; } = Coats();

    private static Plan Coats()
    {
        Standard standard = StandardFiles.Loaded(StandardFiles.Text("quayside-parade.toml"));
        return Plan.For(
            standard with
            {
                Name = Hostile,
                Edition = Hostile,
                Items = [.. standard.Items.Select(item => item with { Name = Hostile })],
                Steps = [.. standard.Steps.Select(step => step with { Ask = Hostile, Hint = Hostile, Caution = Hostile })],
                Looks = [.. standard.Looks.Select(look => look with { Ask = Hostile, Hint = Hostile, Caution = Hostile })],
            },
            new Dictionary<string, string>());
    }

    private static Advice Advised { get; } = new(
        [new(Hostile, 1e6, 0, 0, [], [])],
        [new(Hostile, [], [(Hostile, Length.Tick)], [Hostile], [Hostile])], false, [Hostile], [new(ConflictKind.OneRule, [Hostile], [Hostile], Hostile)])
    { Wanted = [Hostile] };

    /// <summary>The reports of the text carriers, each of a model whose every text is hostile.</summary>
    private static Dictionary<string, Func<int, string>> Texts { get; } = new()
    {
        ["record"] = width => RecordText.Text(Sealed(Filed), Filed, null, TimeZoneInfo.Utc, width),
        ["record in its standard's words"] = width => RecordText.Text(Sealed(Filed), Filed, Coat.Standard, TimeZoneInfo.Utc, width),
        ["records"] = width => RecordTable.Text([RecordSummary.Of(Filed)], TimeZoneInfo.Utc, width),
        ["given up"] = width => RecordTable.Abandoned([new(Hostile, Hostile, At, Hostile)], TimeZoneInfo.Utc, width),
        ["history"] = width => HistoryTable.Text([Entry], _ => null, TimeZoneInfo.Utc, width),
        ["readiness"] = width => ReadinessTable.Text([Blouse], TimeZoneInfo.Utc, _ => null, width),
        ["trend"] = width => TrendText.Text(Drift, _ => null, TimeZoneInfo.Utc, plotted: true, width),
        ["studies"] = width => StudyText.List([Study], TimeZoneInfo.Utc, width),
        ["study"] = width => StudyText.Of(Study, TimeZoneInfo.Utc, width),
        ["check"] = _ => CheckText.Text(Hostile, 2, [new(FindingKind.Changed, Hostile, Hostile, Hostile)]) + CheckText.Text(Hostile, 1, []),
        ["faults"] = _ => FaultText.One(Hostile, Hostile, new TextFault(1, 3, Hostile, Hostile)),
        ["checked standard"] = _ => StandardCheck.Text([new CheckedFile(Hostile, "", StandardText.Load(""))]),
        ["advice"] = width => AdviceText.All(Coat, Advised, width),
        ["standard"] = width => StandardTable.Text(Coat, width),
    };

    private static Dictionary<string, Func<PaperDocument>> Documents { get; } = new()
    {
        ["card"] = () => CardPaper.Of(Sealed(Filed), Filed, Filed, null, new([[true]], Hostile), Paper),
        ["card with its picture"] = () => CardPaper.Of(Sealed(Filed), Filed, Filed, Coat.Standard, new([[true]], Hostile), Paper),
        ["standard"] = () => StandardPaper.Of(Coat, Paper),
        ["readiness"] = () => ReadinessPaper.Of([new(Blouse, Filed, null)], new(At, null, false), TimeZoneInfo.Utc),
        ["trend"] = () => TrendPage.Of(Drift, _ => null, TimeZoneInfo.Utc),
        ["study"] = () => StudyPage.Of(Study, TimeZoneInfo.Utc),
    };

    private static SealedRecord Sealed(Core.Records.Record record)
    {
        using Samples.Signer signer = new();
        return SealedRecord.Seal(record, signer);
    }
}
