using System.Text.RegularExpressions;
using CaliperStation.Core.Tests.Shape;

namespace CaliperStation.Core.Tests.Reports;

public sealed partial class BenchJsonDocumentTests
{
    [Fact]
    public void Every_event_and_kind_of_prompt_is_in_the_document()
    {
        string source = SourceTree.Read("src/CaliperStation.Core/Reports/BenchJson.cs");
        string document = SourceTree.Read("docs/bench-lines.md");
        string[] names = [.. Events().Matches(source).Select(match => match.Groups[1].Value).Concat(["ready", "reading", "decide", "sign", "same-coat", "question", "check", "closed"]).Distinct()];

        Assert.True(names.Length > 25);
        Assert.All(names, name => Assert.Contains($"`{name}`", document, StringComparison.Ordinal));
    }

    [GeneratedRegex("Event\\(json, \"([a-z]+)\"\\)")]
    private static partial Regex Events();
}
