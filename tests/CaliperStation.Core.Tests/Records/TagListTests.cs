using CaliperStation.Core.Records;
using CsCheck;

namespace CaliperStation.Core.Tests.Records;

public sealed class TagListTests
{
    [Theory]
    [InlineData("QG-1\nQG-2\n")]
    [InlineData("\uFEFFQG-1\r\n\r\n# the second row\r\nQG-2")]
    [InlineData("tag\nQG-1\nQG-2\nQG-1")]
    [InlineData("place,Tag,size\n1,QG-1,40\n2,QG-2,42")]
    [InlineData("place;tag\n1;QG-1\n2;\"QG-2\"")]
    [InlineData("\"size \"\"long\"\", L\"\tTAG\n40\tQG-1\n42\tQG-2")]
    [InlineData("QG-1,first\nQG-2,\"second, in reserve\"")]
    public void Tags_are_read_from_lines_and_from_tables(string text)
    {
        TagList list = TagList.Read(text);

        Assert.Empty(list.Faults);
        Assert.Equal(["QG-1", "QG-2"], list.Tags);
    }

    [Theory]
    [InlineData("QG-1\n=cmd|' /C calc'!A0", 2)]
    [InlineData("QG-1\n\u001b[31m", 2)]
    [InlineData("place,tag\n1", 2)]
    [InlineData("QG-1\n\"QG-2", 2)]
    [InlineData("\"QG-1\"x", 1)]
    [InlineData("../../etc/passwd", 1)]
    public void What_is_no_tag_is_told_with_its_line_and_nothing_is_taken(string text, int line)
    {
        TagList list = TagList.Read(text);

        Assert.Empty(list.Tags);
        Assert.Equal(line, Assert.Single(list.Faults).Line);
        Assert.DoesNotContain(list.Faults, fault => fault.Message.Any(char.IsControl));
    }

    [Fact]
    public void Every_bad_line_is_told_and_a_tag_is_the_same_in_either_case()
    {
        Assert.Equal([2, 3, 5], TagList.Read("QG-1\n=1\n\"QG-2\nQG-3\n??").Faults.Select(fault => fault.Line));
        Assert.Equal(["QG-1"], TagList.Read("QG-1\nqg-1\n").Tags);
    }

    [Fact]
    public void No_text_makes_it_throw() => Gen.String[Gen.OneOf(Gen.Char["\",;\t\r\n Qtag-1#="], Gen.Char), 0, 60].Sample(text =>
    {
        TagList list = TagList.Read(text);
        Assert.True(list.Faults.Count == 0 || list.Tags.Count == 0);
    }, iter: 2_000);

    [Fact]
    public void A_file_without_end_is_cut()
    {
        TagList list = TagList.Read(string.Concat(Enumerable.Repeat("QG-1\n", TagList.MaxLines + 5)));

        Assert.Equal(TagList.MaxLines + 1, Assert.Single(list.Faults).Line);
    }
}
