using System.Text.Json;
using CaliperStation.Files;

namespace CaliperStation.Tests.Shape;

/// <summary>What the published folder carries is named in docs/third-party-notices.md, and nothing else is.</summary>
public sealed class NoticesTests
{
    [Fact]
    public void Every_package_in_the_program_has_its_notice_with_its_version()
    {
        string[] rows = [.. File.ReadAllLines(Path.Combine(AppContext.BaseDirectory, "Documentation", "third-party-notices.md"))
            .Where(line => line.StartsWith("| ", StringComparison.Ordinal)).Skip(1)];
        IEnumerable<string> noticed = rows.Select(row => row.Split('|', StringSplitOptions.TrimEntries)).Where(cells => char.IsAsciiDigit(cells[2].FirstOrDefault())).Select(cells => $"{cells[1]}/{cells[2]}").Where(id => !id.StartsWith(".NET", StringComparison.Ordinal));

        Assert.Equal(Packages().Order(StringComparer.OrdinalIgnoreCase), noticed.Order(StringComparer.OrdinalIgnoreCase));
        Assert.All(rows, row => Assert.Contains(row.Split('|', StringSplitOptions.TrimEntries)[3], (string[])["MIT", "BSD-2-Clause", "BSD-3-Clause", "Apache-2.0"]));
    }

    /// <summary>The font is no package: its licence (https://dejavu-fonts.github.io/License.html) wants the notice with every copy of it.</summary>
    [Fact]
    public void The_font_of_the_papers_has_its_notice()
    {
        string notices = File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Documentation", "third-party-notices.md"));

        Assert.Contains("DejaVuSans.ttf", typeof(ExitCode).Assembly.GetManifestResourceNames());
        Assert.Contains("Copyright (c) 2003 by Bitstream, Inc. All Rights Reserved.", notices, StringComparison.Ordinal);
        Assert.Contains("to reproduce and distribute the\nFont Software", notices.ReplaceLineEndings("\n"), StringComparison.Ordinal);
    }

    /// <summary>Packages with files of their own; the native parts of the ports' library have the name of each platform, and one notice.</summary>
    private static IEnumerable<string> Packages()
    {
        using JsonDocument made = JsonDocument.Parse(File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "caliper-station.deps.json")));
        JsonElement libraries = made.RootElement.GetProperty("libraries");
        foreach (JsonProperty package in made.RootElement.GetProperty("targets").EnumerateObject().First().Value.EnumerateObject())
        {
            bool hasFiles = package.Value.TryGetProperty("runtime", out _) || package.Value.TryGetProperty("runtimeTargets", out _) || package.Value.TryGetProperty("native", out _);
            if (hasFiles && libraries.GetProperty(package.Name).GetProperty("type").GetString() == "package" && !package.Name.StartsWith("runtime.", StringComparison.Ordinal))
            {
                yield return package.Name;
            }
        }
    }
}
