namespace CaliperStation.Core.Tests.Shape;

public sealed class CorePurityTests
{
    private static readonly string Bans = SourceTree.Read("src/CaliperStation.Core/BannedSymbols.txt");
    private static readonly string Project = SourceTree.Read("src/CaliperStation.Core/CaliperStation.Core.csproj");

    [Fact]
    public void Core_bans_clocks_files_and_consoles_and_every_ban_names_something() => Assert.Empty(CorePurity.FaultsOfBans(Bans));

    [Fact]
    public void Core_uses_only_the_packages_of_the_design() => Assert.Empty(CorePurity.FaultsOfProject(Project));

    [Fact]
    public void No_file_of_Core_switches_the_ban_off() => Assert.Empty(CorePurity.FaultsOfSources(SourceTree.CSharp("src/CaliperStation.Core")));

    [Theory]
    [InlineData("T:System.Console;")]
    [InlineData("T:System.IO.File;")]
    [InlineData("P:System.DateTime.UtcNow;")]
    [InlineData("T:System.Threading.Thread;")]
    public void A_ban_that_is_lost_or_misspelt_is_found(string ban)
    {
        string lost = ban.TrimEnd(';');

        Assert.Contains($"{lost} is not banned.", CorePurity.FaultsOfBans(Bans.Replace(ban, "", StringComparison.Ordinal)));
        Assert.Contains($"{lost}x is banned but does not exist.", CorePurity.FaultsOfBans(Bans.Replace(ban, $"{lost}x;", StringComparison.Ordinal)));
    }

    [Theory]
    [InlineData("<PackageReference Include=\"LiteDB\" />", "LiteDB is not a package of Core.")]
    [InlineData("<ProjectReference Include=\"../CaliperStation/CaliperStation.csproj\" />", "ProjectReference has no place in Core.")]
    [InlineData("<Using Include=\"System.IO\" />", "Using has no place in Core.")]
    [InlineData("<NoWarn>RS0030</NoWarn>", "NoWarn has no place in Core.")]
    public void Whatever_else_a_project_file_lets_in_is_found(string element, string fault) =>
        Assert.Equal([fault], CorePurity.FaultsOfProject(Project.Replace("</ItemGroup>", element + "</ItemGroup>", StringComparison.Ordinal)));

    [Fact]
    public void A_project_file_without_packages_or_bans_is_found() =>
        Assert.Equal(
            [
                "MathNet.Numerics is missing.", "Microsoft.CodeAnalysis.BannedApiAnalyzers is missing.", "Tomlyn is missing.",
                "BannedSymbols.txt is not in force.",
            ],
            CorePurity.FaultsOfProject("<Project />"));

    [Fact]
    public void A_file_that_switches_the_ban_off_is_found() =>
        Assert.Single(CorePurity.FaultsOfSources([new("Frames/A.cs", "#pragma warning disable RS0030"), new("Frames/B.cs", "class B;")]));
}
