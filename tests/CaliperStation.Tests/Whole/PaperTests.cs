using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using CaliperStation.Core.Standards;
using CaliperStation.Tests.Printing;

namespace CaliperStation.Tests.Whole;

/// <summary>The paper commands as a person calls them; the test coat is a bar on a pocket and a star over the bar.</summary>
public sealed class PaperTests : IDisposable
{
    private readonly Station _station;
    private readonly string _standard;
    private readonly string _record;

    public PaperTests()
    {
        _station = Station.Measured(out _record, "ok", "1/8", "3/8", "moved bar", "1/8", "1/8", "1/4", "sign AB");
        _standard = Path.Combine(_station.Folder, "coat.toml");
    }

    public void Dispose() => _station.Dispose();

    [ToolFact("mutool", "zbarimg")]
    public void The_code_of_a_card_is_read_from_paper_and_the_store_says_the_same()
    {
        string card = Path.Combine(_station.Folder, "card.pdf"), picture = Path.Combine(_station.Folder, "card.png");
        JsonElement made = Assert.Single(_station.Run("", "card", "QG-1", "--paper", "a5", "--to", card, "--json").Lines);

        Tool.Run("mutool", "draw", "-q", "-r", "300", "-o", picture, card, "1");
        string read = Tool.Run("zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", picture).TrimEnd('\n');

        Assert.Equal(made.GetProperty("code").GetString(), read);
        Ran check = _station.Run(read + "\r\n", "records", "verify", "--card", "-", "--json");
        Assert.Equal((0, "same", _record), (check.ExitCode, check.Lines[0].GetProperty("card").GetString(), check.Lines[0].GetProperty("record").GetString()));
    }

    [ToolFact("mutool")]
    public void A_card_says_what_was_set_right_and_each_gap_against_its_nominal()
    {
        Assert.Equal(0, _station.Run("", "card", _record, "--to", Path.Combine(_station.Folder, "card.pdf")).ExitCode);

        string text = PdfTests.Written(File.ReadAllBytes(Path.Combine(_station.Folder, "card.pdf")));

        foreach (string part in (string[])["QG-1", "VERIFIED", "Lock Keepers, test coat, edition 1", "4 (4)", "8 (8)", "12 t", "moved: bar", "measured by AB, signed by AB", "own setting", "Mind the pins."])
        {
            Assert.Contains(part, text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_file_that_is_there_is_written_over_only_when_that_is_said()
    {
        Assert.Equal(0, _station.Run("", "card", "QG-1").ExitCode);
        string file = Path.Combine(_station.Folder, $"card-{_record}.pdf");
        byte[] first = File.ReadAllBytes(file);
        File.WriteAllText(file, "mine");

        Ran refused = _station.Run("", "card", "QG-1");
        Assert.Equal((3, "mine"), (refused.ExitCode, File.ReadAllText(file)));
        Assert.Contains("--overwrite", refused.Error, StringComparison.Ordinal);
        Assert.Equal(0, _station.Run("", "card", "QG-1", "--overwrite").ExitCode);
        Assert.Equal(first, File.ReadAllBytes(file));   // made by another process, the same bytes
    }

    [Fact]
    public void A_countersigns_card_has_both_hands_and_a_re_checks_card_both_values()
    {
        string countersign = Closed(_station.Run("1/8\n1/8\n1/4\nsign CD\n", "countersign", _record, "--hand", "CD", "--port", "none", "--plain", "--json", "--seed", "7"));
        string html = Html(countersign);
        Assert.Contains($"Countersign of</th><td>{_record}", html, StringComparison.Ordinal);
        Assert.Contains("measured by AB, signed by AB", html, StringComparison.Ordinal);
        Assert.Contains("measured by CD, signed by CD", html, StringComparison.Ordinal);
        Assert.Contains("4 (4)", html, StringComparison.Ordinal);

        string recheck = Closed(_station.Run("1/8\n1/4\n1/4\nsign AB\n", "recheck", "QG-1", "--hand", "AB", "--port", "none", "--plain", "--json"));
        Assert.Contains("8 (4) ×", Html(recheck), StringComparison.Ordinal);
        Assert.Contains("NOT VERIFIED", Html(recheck), StringComparison.Ordinal);
    }

    [Fact]
    public void A_practice_record_is_marked_on_its_card()
    {
        Ran ran = _station.Run("ok\n\n\n\nsign AB\n", "measure", _standard, "--tag", "QG-9", "--hand", "AB", "--port", "emulated", "--plain", "--json");
        string? record = ran.Events("closed").Select(line => line.GetProperty("record").GetString()).FirstOrDefault();

        Assert.NotNull(record);
        Assert.Contains("<span class=\"standing\">PRACTICE</span>", Html(record), StringComparison.Ordinal);
    }

    [Fact]
    public void A_store_put_back_an_altered_one_and_a_stranger_are_told_by_the_card()
    {
        string early = Path.Combine(_station.Folder, "early");
        _station.CopyTo("store", early);
        _station.Measure(["ok", "1/8", "1/8", "1/4", "sign AB"], _standard, "--tag", "QG-2", "--hand", "AB", "--port", "none");
        string code = Code("QG-2"), first = Code("QG-1");
        using Station stranger = new();
        stranger.Measure(["ok", "1/8", "1/8", "1/4", "sign AB"], stranger.File("coat.toml", TestStandard.Text), "--tag", "QG-2", "--hand", "AB", "--port", "none");

        Assert.Equal((0, "same"), Verify(code));
        Assert.Equal((5, "older"), Verify(code, "--store", early));
        Assert.Equal((0, "same"), Verify(first, "--store", early));
        Ran unknown = stranger.Run("", "records", "verify", "--card", code, "--json");
        Assert.Equal((1, "unknown"), (unknown.ExitCode, unknown.Lines[0].GetProperty("card").GetString()));
        Assert.Equal(2, _station.Run("", "records", "verify", "--card", code[..40]).ExitCode);
        Assert.Equal(3, _station.Run("no card\n", "records", "verify", "--card", "-").ExitCode);
        Assert.Equal(2, _station.Run("", "records", "verify", "QG-1", "--card", code).ExitCode);
    }

    [Fact]
    public void The_list_says_what_is_to_be_set_right_on_which_blouse()
    {
        _station.Measure(["ok", "1/8", "3/8", "aside thread is short", "1/4", "sign AB"], _standard, "--tag", "QG-2", "--hand", "AB", "--port", "none");
        string file = Path.Combine(_station.Folder, "list.html");

        Ran ran = _station.Run("", "readiness", "--format", "html", "--to", file, "--json");

        Assert.Equal((1, 1), (ran.ExitCode, ran.Lines[0].GetProperty("ready").GetInt32()));
        string html = File.ReadAllText(file);
        Assert.Contains("1 of 2 ready", html, StringComparison.Ordinal);
        Assert.Single(Headings(html), heading => heading.EndsWith("QG-2", StringComparison.Ordinal));
        Assert.DoesNotContain(Headings(html), heading => heading.EndsWith("QG-1", StringComparison.Ordinal));
        Assert.Contains("× outside", html, StringComparison.Ordinal);
        Assert.Contains("right pin: down 8 t", html, StringComparison.Ordinal);
        Assert.Contains("thread is short", html, StringComparison.Ordinal);
    }

    [Fact]
    public void A_template_takes_measured_places_and_refuses_what_it_cannot_be()
    {
        string file = Path.Combine(_station.Folder, "t.pdf");

        Ran made = _station.Run("", "template", _standard, "--measured", "QG-1", "--scale-bar", "99.6 mm", "--to", file, "--json");

        Assert.Equal(0, made.ExitCode);
        Assert.Equal(100 / 99.6, made.Lines[0].GetProperty("acrossTimes").GetDouble(), 1e-9);
        Assert.Equal("left pocket", Assert.Single(made.Lines[0].GetProperty("backings").EnumerateArray()).GetProperty("on").GetString());
        Assert.Contains(made.Lines[0].GetProperty("notes").EnumerateArray(), note => note.GetString()!.Contains("no reading sees its right", StringComparison.Ordinal));
        Assert.StartsWith("%PDF-1.", Encoding.Latin1.GetString(File.ReadAllBytes(file)), StringComparison.Ordinal);
        Assert.Equal(2, _station.Run("", "template", _standard, "--scale-bar", "90 mm").ExitCode);
        Assert.Equal(2, _station.Run("", "template", _standard, "--scale-bar", "long").ExitCode);
        Assert.Equal(2, _station.Run("", "template", _standard, "--on", "sleeve").ExitCode);
        Assert.Equal(2, _station.Run("", "template", "--measured", "QG-1").ExitCode);   // the demonstration, not the record's standard
        Assert.Equal(3, _station.Run("", "template", Path.Combine(_station.Folder, "none.toml")).ExitCode);
    }

    [Fact]
    public void A_company_page_is_text_or_a_file()
    {
        Ran text = _station.Run("", "standard", "show", _standard, "--page");
        Assert.Equal(0, text.ExitCode);
        Assert.All(text.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 110));
        Assert.Contains(StandardText.Load(TestStandard.Text).Standard!.FindStep("star-gap")!.Ask, text.Output, StringComparison.Ordinal);   // short enough for one line

        Assert.Equal(0, _station.Run("", "standard", "show", _standard, "--page", "--format", "html").ExitCode);
        Assert.Contains("<svg", File.ReadAllText(Path.Combine(_station.Folder, "standard-Lock-Keepers--test-coat.html")), StringComparison.Ordinal);
    }

    private static IEnumerable<string> Headings(string html) => Regex.Matches(html, "<h[1-6]>([^<]*)</h").Select(match => match.Groups[1].Value);

    private string Html(string record)
    {
        string file = Path.Combine(_station.Folder, $"{record}.html");
        Assert.Equal(0, _station.Run("", "card", record, "--format", "html", "--to", file, "--overwrite").ExitCode);
        return File.ReadAllText(file);
    }

    private string Code(string record) => _station.Run("", "card", record, "--to", Path.Combine(_station.Folder, "code.pdf"), "--overwrite", "--json").Lines[0].GetProperty("code").GetString()!;

    private (int Exit, string Word) Verify(string code, params string[] more)
    {
        Ran ran = _station.Run("", ["records", "verify", "--card", code, "--json", .. more]);
        return (ran.ExitCode, ran.Lines[0].GetProperty("card").GetString()!);
    }

    private static string Closed(Ran ran) => Assert.Single(ran.Events("closed")).GetProperty("record").GetString()!;
}
