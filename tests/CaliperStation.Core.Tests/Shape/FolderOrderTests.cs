namespace CaliperStation.Core.Tests.Shape;

public sealed class FolderOrderTests
{
    [Fact]
    public void No_folder_of_Core_uses_one_to_its_right()
    {
        IReadOnlyList<SourceFile> files = SourceTree.CSharp("src/CaliperStation.Core");

        Assert.NotEmpty(files);
        Assert.Empty(FolderOrder.FaultsOf(files));
    }

    [Theory]
    [InlineData("using CaliperStation.Core.Records;")]
    [InlineData("using static CaliperStation.Core.Records.Seal;")]
    [InlineData("using Kept = CaliperStation.Core.Records.Seal;")]
    [InlineData("global using CaliperStation.Core.Records;")]
    [InlineData("using CaliperStation . Core . Records ;")]
    [InlineData("using Records;")]
    [InlineData("class A { CaliperStation.Core.Records.Seal? seal; }")]
    [InlineData("class A { global::CaliperStation.Core.Records.Seal? seal; }")]
    [InlineData("class A { Core.Records.Seal? seal; }")]
    [InlineData("class A { Records.Seal? seal; }")]
    [InlineData("class A { string s = \"http://x\"; } /* c */ class B : CaliperStation.Core.Records.Seal { }")]
    [InlineData("class A { string s = @\"\\\"; } // \"\nclass B : CaliperStation.Core.Records.Seal { }")]
    [InlineData("class A { string s = \"\"\"a \" // b\"\"\"; Core.Records.Seal? t; }")]
    [InlineData("class A { char c = '\"'; Core.Records.Seal? t; /* \" */ }")]
    public void An_arrow_against_the_order_is_found(string code)
    {
        string fault = Assert.Single(Check("Judging/A.cs", "namespace CaliperStation.Core.Judging;\n" + code));

        Assert.Equal("Judging/A.cs uses Records, which stands to the right of Judging.", fault);
    }

    [Fact]
    public void An_arrow_to_every_folder_to_the_right_is_found()
    {
        foreach (string folder in FolderOrder.LeftToRight.Skip(1))
        {
            Assert.Equal(
                $"Quantities/A.cs uses {folder}, which stands to the right of Quantities.",
                Assert.Single(Check("Quantities/A.cs", $"using CaliperStation.Core.{folder};\nnamespace CaliperStation.Core.Quantities;")));
        }
    }

    [Theory]
    [InlineData("using CaliperStation.Core.Quantities;\nusing CaliperStation.Core.Standards;")]
    [InlineData("using CaliperStation.Core.Judging;")]
    [InlineData("// using CaliperStation.Core.Records;")]
    [InlineData("/* CaliperStation.Core.Records.Seal */ class A { }")]
    [InlineData("class A { int n = plan.Records.Seal; }")]
    [InlineData("class A { int n = Records.Count; }")]
    public void An_arrow_along_the_order_and_a_comment_are_not(string code) =>
        Assert.Empty(Check("Judging/A.cs", "namespace CaliperStation.Core.Judging;\n" + code));

    [Fact]
    public void A_file_outside_the_folders_or_in_another_namespace_is_found()
    {
        Assert.Contains("none of the folders", Assert.Single(Check("A.cs", "namespace CaliperStation.Core;")), StringComparison.Ordinal);
        Assert.Contains("none of the folders", Assert.Single(Check("Helpers/A.cs", "namespace CaliperStation.Core.Helpers;")), StringComparison.Ordinal);
        Assert.Contains("namespace of its folder", Assert.Single(Check("Judging/A.cs", "namespace CaliperStation.Core.Frames;")), StringComparison.Ordinal);
    }

    private static IReadOnlyList<string> Check(string path, string text) => FolderOrder.FaultsOf(
        [new(path, text), new("Records/Seal.cs", "namespace CaliperStation.Core.Records;\npublic sealed class Seal;")]);
}
