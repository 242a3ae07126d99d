using System.Text.RegularExpressions;
using CaliperStation.Core.Tests.Shape;

namespace CaliperStation.Tests.Shape;

public sealed partial class TerminalKitTests
{
    [Fact]
    public void Only_the_bench_knows_the_terminal_kit()
    {
        IReadOnlyList<SourceFile> files = SourceTree.CSharp("src/CaliperStation");

        Assert.NotEmpty(files);
        Assert.Empty(FaultsOf(files));
        Assert.DoesNotContain("<Using", SourceTree.Read("src/CaliperStation/CaliperStation.csproj"), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("Program.cs", "using Terminal.Gui;")]
    [InlineData("Cli/Measure.cs", "using Terminal.Gui.App;")]
    [InlineData("Running/Loop.cs", "class A { global::Terminal.Gui.Views.Label? label; }")]
    [InlineData("Devices/Bench/A.cs", "using K = Terminal . Gui . Views.Label;")]
    public void Use_of_the_kit_elsewhere_is_found(string path, string text) =>
        Assert.Equal([path + " uses the terminal kit."], FaultsOf([new(path, text)]));

    [Theory]
    [InlineData("Screen/Kit.cs", "using Terminal.Gui.App;")]
    [InlineData("Screen/Views/Strip.cs", "using Terminal.Gui.App;")]
    [InlineData("Program.cs", "// Terminal.Gui is used in Bench only")]
    [InlineData("Program.cs", "using NotTerminal.Gui;")]
    public void Use_in_the_bench_and_a_word_in_a_comment_are_not(string path, string text) => Assert.Empty(FaultsOf([new(path, text)]));

    private static List<string> FaultsOf(IReadOnlyList<SourceFile> files) =>
    [
        .. files
            .Where(file => file.Folder != "Screen" && Kit().IsMatch(CodeText.WithoutComments(file.Text)))
            .Select(file => file.Path + " uses the terminal kit."),
    ];

    [GeneratedRegex(@"(?<![\w.])Terminal\s*\.\s*Gui\b")]
    private static partial Regex Kit();
}
