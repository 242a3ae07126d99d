using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using CaliperStation.Files;

namespace CaliperStation.Tests.Whole;

/// <summary>The pages json.md and command-line.md say what the program does.</summary>
public sealed partial class JsonDocumentationTests : IDisposable
{
    private static readonly string[] OpenObjects = ["answers", "should", "settings", "record", "used", "lower", "nominal", "upper"];   // their names depend on the standard, or another page lists them

    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [Fact]
    public void What_each_command_prints_as_JSON_is_what_the_page_lists()
    {
        string standard = _station.File("coat.toml", TestStandard.Text);
        string bad = _station.File("bad.toml", "name = 1\n");
        string readings = _station.File("readings.csv", "bar-low-left,1/4\nbar-low-right,1/8\nstar-gap,1/4\n");
        Assert.Equal(0, _station.Measure(["ok", "1/8", "1/8", "1/4", "sign AB"], standard, "--tag", "QG-1", "--hand", "AB", "--port", "none").ExitCode);
        _station.Measure(["ok", "1/2", "1/2", "aside thread is short", "1/4", "sign AB"], standard, "--tag", "QG-2", "--hand", "AB", "--port", "none");
        _station.Measure(["abandon wrong coat"], standard, "--tag", "QG-3", "--hand", "AB", "--port", "none");
        string export = Path.Combine(_station.Folder, "out.jsonl");
        Assert.Equal(0, _station.Run("", "records", "export", "--to", export).ExitCode);

        Matches("standard check", Run(1 + 2, "standard", "check", standard, bad, "--json"));
        Matches("standard show", Run(0, "standard", "show", "--json"), Run(0, "standard", "show", standard, "--json"));
        Matches("advise", Run(1, "advise", standard, "--readings", readings, "--json"));
        Matches("records list", Run(0, "records", "list", "--json"), Run(0, "records", "list", "--abandoned", "--json"));
        Matches("records show", Run(0, "records", "show", "QG-1", "--json"));
        Matches("records history", Run(0, "records", "history", "QG-1", "--json"));
        Matches("records verify", Run(0, "records", "verify", "--json"), Run(0, "records", "backup", Path.Combine(_station.Folder, "backup"), "--json"));
        Matches("records import", Run(0, "records", "import", export, "--json"));
        Ran card = Run(0, "card", "QG-1", "--json");
        Matches("card", card);
        Matches("records verify --card", Run(0, "records", "verify", "--card", card.Lines[0].GetProperty("code").GetString()!, "--json"));
        Matches("template", Run(0, "template", standard, "--json"));
        Matches("readiness", Run(1, "readiness", "--json"));
        Matches("trend", Run(0, "trend", "--json"));
        Matches("records head", Run(0, "records", "head", "--json"));
        Matches("records new-key", Run(0, "records", "new-key", "--reason", "a drill", "--json"));
        Matches("caliper ports", Run(0, "caliper", "ports", "--all", "--json"));
        _station.Run("3 mm\n3.1 mm\nstop\n", "study", "begin", "--points", "2", "--repeats", "2", "--hands", "AB,CD", "--hand", "AB", "--port", "none", "--plain");
        Matches("study list", Run(0, "study", "list", "--json"));
        Ran open = Run(1, "study", "show", "--json");
        _station.Run("3.2 mm\n3.1 mm\n", "study", "go-on", "--hand", "AB", "--port", "none", "--plain");
        _station.Run("3 mm\n3.2 mm\n3.4 mm\n3.3 mm\n", "study", "go-on", "--hand", "CD", "--port", "none", "--plain");
        Matches("study show", open, Run(0, "study", "show", "--json"));
        Matches("study use", Run(0, "study", "use", "--json"));
        string capture = _station.File("kept.cap", "# caliper-station capture 1\n0.0 \"+3.18 mm\\r\\n\"\n200.0 \"what is this\\r\\n\"\n");
        Matches("caliper listen", Run(0, "caliper", "listen", $"replay:{capture}", "--json"));
        Matches("caliper switch", _station.Run("b", "caliper", "switch", "--json"));
        Matches("caliper decode", _station.Run("111011000000000000000000\n111\n", "caliper", "decode", "24-bit", "--json"));
    }

    [Fact]
    public void The_page_lists_every_exit_code()
    {
        IEnumerable<int> listed = CodeRow().Matches(Page("command-line.md")).Select(row => int.Parse(row.Groups[1].Value, CultureInfo.InvariantCulture));

        Assert.Equal(
            [ExitCode.Good, ExitCode.NotWithin, ExitCode.Usage, ExitCode.BadFile, ExitCode.Device, ExitCode.Store, ExitCode.Fault, ExitCode.Interrupted],
            listed);
    }

    [Theory]
    [InlineData("caliper-station measure --port ", "auto", "emulated", "none")]
    [InlineData("caliper-station countersign ", "QG-1")]
    [InlineData("caliper-station recheck --hand AB ", "QG-1")]
    [InlineData("caliper-station caliper ", "check", "ports")]
    public void A_shell_is_told_what_may_follow(string line, params string[] among)
    {
        using Station station = Station.Measured(out _, "stop");

        string[] told = station.Run("", $"[suggest:{line.Length}]", line).Output.Split('\n');

        Assert.Subset(told.ToHashSet(), among.ToHashSet());
        Assert.DoesNotContain(told, word => word.StartsWith("/?", StringComparison.Ordinal) || word == "/h");
    }

    [Fact]
    public void The_version_tells_the_commit() => Assert.Matches(@"^\d+\.\d+\.\d+(\+[0-9a-f]{40})?\n$", _station.Run("", "--version").Output);

    private static void Matches(string command, params Ran[] runs)
    {
        string section = Page("json.md").Split($"\n## `{command}`\n")[1].Split("\n## ")[0];
        Dictionary<string, bool> listed = [];   // true where it is always there
        foreach (Match member in Member().Matches(section))
        {
            listed.TryAdd(member.Groups[2].Value, member.Groups[1].Value.Length == 0);
        }

        SortedSet<string> printed = [];
        foreach (JsonElement line in runs.SelectMany(run => run.Lines))
        {
            Gather(line, "", printed);
        }

        Assert.NotEmpty(printed);
        Assert.Empty(printed.Where(path => !listed.ContainsKey(path)).Select(path => $"{command} prints {path}, which the page does not list"));
        Assert.Empty(listed.Where(member => member.Value && !printed.Contains(member.Key)).Select(member => $"{command} prints no {member.Key}"));
    }

    private static void Gather(JsonElement value, string path, SortedSet<string> paths)
    {
        switch (value.ValueKind)
        {
            case JsonValueKind.Object when OpenObjects.Contains(path.Split('.')[^1]):
                paths.Add(path + "{}");
                break;
            case JsonValueKind.Object:
                foreach (JsonProperty member in value.EnumerateObject())
                {
                    Gather(member.Value, path.Length == 0 ? member.Name : $"{path}.{member.Name}", paths);
                }

                break;
            case JsonValueKind.Array:
                paths.Add(path + "[]");
                foreach (JsonElement item in value.EnumerateArray().Where(item => item.ValueKind is JsonValueKind.Object or JsonValueKind.Array))
                {
                    Gather(item, path + "[]", paths);
                }

                break;
            default:
                paths.Add(path);
                break;
        }
    }

    private Ran Run(int exit, params string[] arguments)
    {
        Ran ran = _station.Run("", arguments);
        Assert.Equal(exit, ran.ExitCode);
        return ran;
    }

    private static string Page(string name) => File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Documentation", name)).Replace("\r\n", "\n", StringComparison.Ordinal);

    [GeneratedRegex(@"(\(?)`([A-Za-z][A-Za-z0-9.\[\]{}]*)`")]
    private static partial Regex Member();

    [GeneratedRegex(@"(?m)^\| (\d+) \|")]
    private static partial Regex CodeRow();
}
