using System.Text;
using System.Text.Json;
using CaliperStation.Cli;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Files;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Tests.Storage;

public sealed class RecordsCommandsTests : IDisposable
{
    private readonly TemporaryFolder _place = new();
    private readonly StringWriter _out = new();
    private readonly StringWriter _error = new();

    public RecordsCommandsTests() => StoreFixture.Fill(_place.Paths, 4);

    [Fact]
    public void List_shows_one_line_a_record_and_filters()
    {
        Assert.Equal(0, RecordsList.Run(new(_place.Path, new(), false), StoreFixture.Clock, _out, _error));
        string[] lines = _out.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(5, lines.Length);
        Assert.Equal("sitting-3  QG-000  2026-11-23 08:00:02 +00:00  EF     CD      1 within, 1 outside  not verified  Quayside parade, 3", lines[3]);
        Assert.Equal(["sitting-1", "sitting-4"], Listed(new(Tag: "QG-001")));
        Assert.Equal(["sitting-2", "sitting-3"], Listed(new(From: "2026-11-22", Until: "2026-11-23")));
        Assert.Equal(["sitting-3"], Listed(new(Verdict: "outside")));
        Assert.Empty(Listed(new(Tag: "QG-999")));
        Assert.Equal("", _error.ToString());
    }

    [Fact]
    public void A_second_look_is_listed_as_one_and_not_as_nothing_within()
    {
        RecordSummary sitting = RecordSummary.Of(StoreFixture.Make(1, new("k", 1, Record.NoPrevious)));
        string[] lines = RecordTable.Text([sitting, sitting with { Kind = RecordKind.Countersign, Within = 0 }], TimeZoneInfo.Utc).Split('\n');
        Assert.Contains("  2 within     verified", lines[1], StringComparison.Ordinal);
        Assert.Contains("  countersign  verified", lines[2], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("yesterday", null)]
    [InlineData("9999-12-31", null)]
    [InlineData(null, "maybe")]
    public void A_filter_that_means_nothing_is_wrong_usage(string? from, string? verdict)
    {
        StationException told = Assert.Throws<StationException>(() => RecordsList.Run(new(_place.Path, new(From: from, Verdict: verdict), false), StoreFixture.Clock, _out, _error));
        Assert.Equal(ExitCode.Usage, told.ExitCode);
    }

    [Fact]
    public void Show_says_all_of_a_record_by_its_id_or_the_blouses_tag()
    {
        Assert.Equal(ExitCode.NotWithin, RecordsShow.Run(new(_place.Path, "sitting-3", false), StoreFixture.Clock, _out, _error));
        string text = _out.ToString();
        foreach (string part in (string[])["sitting-3, sitting, not verified", "QG-000", "measured by EF, signed by CD", "0.1251 in (3.18 mm)", "outside", "=cmd: thread broke", "number 3 of chain"])
        {
            Assert.Contains(part, text, StringComparison.Ordinal);
        }

        StringWriter json = new();
        Assert.Equal(0, RecordsShow.Run(new(_place.Path, "QG-001", true), StoreFixture.Clock, json, _error));
        using JsonDocument document = JsonDocument.Parse(json.ToString());
        Assert.Equal("sitting-4", document.RootElement.GetProperty("record").GetProperty("id").GetString());
        Assert.Equal(ExitCode.Usage, Assert.Throws<StationException>(() => RecordsShow.Run(new(_place.Path, "no\u001bne", false), StoreFixture.Clock, _out, _error)).ExitCode);
    }

    [Fact]
    public void History_shows_a_blouse_in_either_case_and_knows_no_other()
    {
        Assert.Equal(0, RecordsHistory.Run(new(_place.Path, "qg-001", true), StoreFixture.Clock, _out, _error));
        List<JsonElement> lines = [.. _out.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonDocument.Parse(line).RootElement)];
        Assert.Equal(["sitting-1", "sitting-4"], lines.Select(line => line.GetProperty("record").GetString()));
        Assert.All(lines, line => Assert.True(line.GetProperty("verified").GetBoolean()));
        JsonElement change = lines[1].GetProperty("changes")[0];
        Assert.Equal(("rack-left", "sitting-1", 3000.0), (change.GetProperty("step").GetString(), change.GetProperty("since").GetString(), change.GetProperty("differenceNm").GetDouble()));
        Assert.Equal(ExitCode.Usage, Assert.Throws<StationException>(() => RecordsHistory.Run(new(_place.Path, "QG-9\u001b", false), StoreFixture.Clock, _out, _error)).ExitCode);
    }

    [Fact]
    public void Verify_says_that_a_sound_store_is_sound()
    {
        Assert.Equal(0, RecordsVerify.Run(new(_place.Path, null, [], false, true), _out, _error));
        JsonElement told = JsonDocument.Parse(_out.ToString()).RootElement;
        Assert.Equal((true, 4, 0), (told.GetProperty("sound").GetBoolean(), told.GetProperty("records").GetInt32(), told.GetProperty("findings").GetArrayLength()));
        StringWriter words = new();
        Assert.Equal(0, RecordsVerify.Run(new(_place.Path, null, [], false, false), words, _error));
        Assert.EndsWith(CheckText.Text("", 4, []), words.ToString(), StringComparison.Ordinal);
        Assert.Equal(0, RecordsVerify.Run(new(_place.Path, "sitting-2", [], false, true), new StringWriter(), _error));
    }

    [Fact]
    public void Verify_names_file_and_line_of_what_was_changed_and_ends_with_5()
    {
        string segment = Directory.GetFiles(_place.Paths.Journal).Single();
        string[] lines = File.ReadAllLines(segment);
        lines[7] = lines[7].Replace("QG-002", "QG-022", StringComparison.Ordinal);   // the second record
        File.WriteAllText(segment, string.Join('\n', lines) + "\n");
        Assert.Equal(5, RecordsVerify.Run(new(_place.Path, null, [], false, true), _out, _error));
        using JsonDocument document = JsonDocument.Parse(_out.ToString());
        Assert.False(document.RootElement.GetProperty("sound").GetBoolean());
        Assert.All(document.RootElement.GetProperty("findings").EnumerateArray(), finding => Assert.Equal("2026-11.jsonl, line 8", finding.GetProperty("where").GetString()));
        Assert.Contains(document.RootElement.GetProperty("findings").EnumerateArray(), finding => finding.GetProperty("record").GetString() == "sitting-2");
        Assert.Equal(["sitting-1", "sitting-3", "sitting-4"], Listed(new(), ExitCode.Store));
    }

    [Fact]
    public void An_exported_file_verifies_elsewhere_with_only_the_public_key()
    {
        string file = Export(new(), csv: false, "all.jsonl");
        string key = Directory.GetFiles(_place.Paths.Keys, "*.pub.pem").Single();
        using TemporaryFolder elsewhere = new();
        StoreFixture.Fill(elsewhere.Paths, 0);
        Assert.Equal(0, RecordsVerify.Run(new(elsewhere.Path, file, [key], false, false), _out, _error));
        Assert.Equal(5, RecordsVerify.Run(new(elsewhere.Path, file, [], false, false), _out, _error));   // nobody's key is known there
        Assert.Contains("unknown-key", _out.ToString(), StringComparison.Ordinal);

        string[] lines = File.ReadAllLines(file);
        (string Name, string[] Lines, string Kind)[] cases =
        [
            ("changed", [lines[0], lines[1].Replace("QG-002", "QG-022", StringComparison.Ordinal), lines[2], lines[3]], "changed"),
            ("missing", [lines[0], lines[2], lines[3]], "missing"),
            ("swapped", [lines[0], lines[2], lines[1], lines[3]], "out-of-order"),
            ("twice", [lines[0], lines[1], lines[1], lines[2], lines[3]], "inserted"),
            ("noise", [lines[0], "\u001b[2J not a record", lines[1], lines[2], lines[3]], "changed"),
        ];
        foreach ((string name, string[] altered, string kind) in cases)
        {
            string path = Path.Combine(_place.Path, name);
            File.WriteAllLines(path, altered);
            StringWriter said = new();
            Assert.Equal(5, RecordsVerify.Run(new(elsewhere.Path, path, [key], false, false), said, _error));
            Assert.StartsWith(kind, said.ToString(), StringComparison.Ordinal);
            Assert.DoesNotContain("\u001b", said.ToString(), StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_part_of_a_chain_verifies_as_a_part()
    {
        string file = Export(new(Tag: "QG-001"), csv: false, "part.jsonl");
        Assert.Equal(5, RecordsVerify.Run(new(_place.Path, file, [], false, false), _out, _error));
        Assert.Equal(0, RecordsVerify.Run(new(_place.Path, file, [], true, false), _out, _error));
    }

    [Fact]
    public void A_key_file_that_holds_none_is_a_bad_file()
    {
        string file = Export(new(), csv: false, "all.jsonl");
        Assert.Equal(ExitCode.BadFile, Assert.Throws<StationException>(() => RecordsVerify.Run(new(_place.Path, file, [file], false, false), _out, _error)).ExitCode);
        Assert.Equal(ExitCode.BadFile, Assert.Throws<StationException>(() => RecordsVerify.Run(new(_place.Path, file, [file + ".gone"], false, false), _out, _error)).ExitCode);
    }

    /// <summary>RFC 4180, section 2: lines end in CRLF (1), every line has the same number of fields (4), fields with commas, quotes or line ends are quoted and quotes doubled (6, 7).</summary>
    [Fact]
    public void Csv_is_rfc_4180_and_no_field_is_a_formula()
    {
        string text = File.ReadAllText(Export(new(), csv: true, "all.csv"));
        List<List<string>> rows = ReadCsv(text);
        Assert.Equal(9, rows.Count);   // a heading, and two takes of each of four records
        Assert.All(rows, row => Assert.Equal(rows[0].Count, row.Count));
        int raw = rows[0].IndexOf("raw");
        Assert.Equal("'=1+1", rows[1][raw]);
        Assert.Equal("1/8, \"as read\"", rows[2][raw]);
        Assert.Equal(("3176000", "3.176000"), (rows[1][rows[0].IndexOf("value_nm")], rows[1][rows[0].IndexOf("value_mm")]));
        int[] numbers = [rows[0].IndexOf("value_nm"), rows[0].IndexOf("value_mm"), rows[0].IndexOf("resolution_nm"), rows[0].IndexOf("conformance")];
        Assert.All(rows.SelectMany(row => row.Where((_, column) => !numbers.Contains(column))), field => Assert.DoesNotMatch("^[=+@\\t\\r-]", field));
    }

    [Fact]
    public void Csv_lines_follow_item_and_verdict()
    {
        Assert.Single(ReadCsv(File.ReadAllText(Export(new(Item: "badge"), csv: true, "badge.csv"))).Skip(1));
        Assert.All(ReadCsv(File.ReadAllText(Export(new(Verdict: "outside"), csv: true, "outside.csv"))).Skip(1), row => Assert.Equal("sitting-3", row[0]));
    }

    [Fact]
    public void Initials_can_be_left_out_and_then_nothing_is_signed()
    {
        string json = File.ReadAllText(Export(new(), csv: false, "bare.jsonl", withoutInitials: true));
        string csv = File.ReadAllText(Export(new(), csv: true, "bare.csv", withoutInitials: true));
        foreach (string text in (string[])[json, csv])
        {
            Assert.DoesNotContain("AB", text, StringComparison.Ordinal);
            Assert.DoesNotContain("CD", text, StringComparison.Ordinal);
            Assert.DoesNotContain("EF", text, StringComparison.Ordinal);
        }

        Assert.DoesNotContain("signature", json, StringComparison.Ordinal);
    }

    [Fact]
    public void An_export_that_cannot_be_written_is_told()
    {
        StationException told = Assert.Throws<StationException>(() => RecordsExport.Run(new(_place.Path, new(), true, false, Path.Combine(_place.Path, "no", "such", "folder.csv")), StoreFixture.Clock, _out, _error));
        Assert.Equal(ExitCode.BadFile, told.ExitCode);
    }

    [Fact]
    public void A_named_folder_that_is_no_store_is_wrong_usage_for_all_that_only_look_and_nothing_is_made_there()
    {
        string nowhere = Path.Combine(_place.Path, "nowhere");
        string empty = Directory.CreateDirectory(Path.Combine(_place.Path, "empty")).FullName;
        string file = Export(new(), csv: false, "all.jsonl");
        foreach (string store in (string[])[nowhere, empty])
        {
            Func<int>[] looks =
            [
                () => RecordsList.Run(new(store, new(), false), StoreFixture.Clock, _out, _error),
                () => RecordsShow.Run(new(store, "sitting-1", false), StoreFixture.Clock, _out, _error),
                () => RecordsVerify.Run(new(store, null, [], false, false), _out, _error),
                () => RecordsVerify.Run(new(store, "sitting-1", [], false, false), _out, _error),
                () => RecordsVerify.Run(new(store, file, [], false, false), _out, _error),
                () => RecordsExport.Run(new(store, new(), true, false, null), StoreFixture.Clock, _out, _error),
                () => ReadinessCommand.Run(new(store, null, null, false, false, false), StoreFixture.Clock, _out, _error),
                () => RecordsBackup.Make(new(store, Path.Combine(_place.Path, "backup"), false), _out, _error),
            ];
            Assert.All(looks, look => Assert.Equal(ExitCode.Usage, Assert.Throws<StationException>(() => { look(); }).ExitCode));
        }

        Assert.Equal("", _out.ToString());
        Assert.False(Directory.Exists(nowhere));
        Assert.Empty(Directory.EnumerateFileSystemEntries(empty));
    }

    public void Dispose() => _place.Dispose();

    private string[] Listed(FilterWords filter, int result = ExitCode.Good)
    {
        StringWriter json = new();
        Assert.Equal(result, RecordsList.Run(new(_place.Path, filter, true), StoreFixture.Clock, json, _error));
        return [.. json.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonDocument.Parse(line).RootElement.GetProperty("record").GetString()!)];
    }

    private string Export(FilterWords filter, bool csv, string name, bool withoutInitials = false)
    {
        string path = Path.Combine(_place.Path, name);
        Assert.Equal(0, RecordsExport.Run(new(_place.Path, filter, csv, withoutInitials, path), StoreFixture.Clock, _out, _error));
        return path;
    }

    /// <summary>A reader by the letter of RFC 4180, so that nothing of our writer is taken on trust.</summary>
    private static List<List<string>> ReadCsv(string text)
    {
        List<List<string>> rows = [];
        List<string> row = [];
        StringBuilder field = new();
        bool quoted = false;
        for (int index = 0; index < text.Length; index++)
        {
            char c = text[index];
            if (quoted)
            {
                if (c == '"' && index + 1 < text.Length && text[index + 1] == '"')
                {
                    field.Append('"');
                    index++;
                }
                else if (c == '"')
                {
                    quoted = false;
                }
                else
                {
                    field.Append(c);
                }
            }
            else if (c == '"')
            {
                Assert.Equal(0, field.Length);
                quoted = true;
            }
            else if (c is ',' or '\r')
            {
                row.Add(field.ToString());
                field.Clear();
                if (c == '\r')
                {
                    Assert.Equal('\n', text[++index]);
                    rows.Add(row);
                    row = [];
                }
            }
            else
            {
                Assert.NotEqual('\n', c);
                field.Append(c);
            }
        }

        Assert.Empty(row);
        return rows;
    }
}
