using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;
using CsCheck;

namespace CaliperStation.Core.Tests.Correcting;

public sealed class ReadingsFileTests
{
    private static readonly Plan Plan = Blouse.RackAndBadges().Plan();

    [Fact]
    public void Lines_of_step_and_length_are_read_with_comments_and_blank_lines_between()
    {
        ReadingsFile file = ReadingsFile.Read(Plan, "\uFEFF# measured on Friday\r\n\r\n rack-left , 15/16\nrack-right,23,8125 mm\nbadge-gap-left,8 t");

        Assert.Empty(file.Faults);
        Assert.Equal(["rack-left", "rack-right", "badge-gap-left"], file.Readings.Keys);
        Assert.Equal(ExactLength.From(Blouse.L(60)), file.Readings["rack-left"].Value);
        Assert.Equal(ExactLength.From(Blouse.L(60)), file.Readings["rack-right"].Value);
        Assert.Equal(ExactLength.From(Blouse.L(16)), file.Readings["badge-gap-left"].Value);
    }

    [Fact]
    public void A_heading_is_passed_over_before_the_first_reading_only()
    {
        Assert.Equal(["rack-left"], ReadingsFile.Read(Plan, "# a table\nStep,Length\nrack-left,1").Readings.Keys);
        Assert.Equal(2, Assert.Single(ReadingsFile.Read(Plan, "rack-left,1\nstep,length").Faults).Line);
    }

    [Fact]
    public void A_length_off_a_rule_is_less_certain_than_one_off_a_display()
    {
        ReadingsFile file = ReadingsFile.Read(Plan, "rack-left,15/16 in\nrack-right,0.9375 in");

        Assert.True(file.Readings["rack-left"].Uncertainty > file.Readings["rack-right"].Uncertainty);
    }

    [Theory]
    [InlineData("rack-left 1 in", 1, 1, "the step's id, a comma, the length: rack-left,1 11/32 in")]
    [InlineData("rack-left,1\n  rack-lef,1", 2, 3, "rack-left")]
    [InlineData("zz\u001b[2J,1", 1, 1, "one of the steps that standard show lists")]
    [InlineData("rack-left,1\nrack-left,1", 2, 1, "each step once")]
    public void A_bad_line_is_named_with_its_place_and_what_to_write(string text, int line, int column, string instead)
    {
        TextFault fault = Assert.Single(ReadingsFile.Read(Plan, text).Faults);

        Assert.Equal((line, column, instead), (fault.Line, fault.Column, fault.Instead));
    }

    [Fact]
    public void A_hostile_step_is_shown_escaped() =>
        Assert.Contains("\"zz\\x1B[2J\"", Assert.Single(ReadingsFile.Read(Plan, "zz\u001b[2J,1").Faults).Message, StringComparison.Ordinal);

    [Fact]
    public void A_bad_length_is_named_at_its_own_place()
    {
        TextFault fault = Assert.Single(ReadingsFile.Read(Plan, "# one\nrack-left,  1x").Faults);

        Assert.Equal((2, 14), (fault.Line, fault.Column));
    }

    [Fact]
    public void A_file_with_any_fault_gives_no_readings() => Assert.Empty(ReadingsFile.Read(Plan, "rack-left,1\nnobody,1").Readings);

    [Fact]
    public void No_text_makes_it_throw() => Gen.OneOf(Gen.String, Gen.String["rack-left,1/2 in\n#\r\0\u202E½٣-.e"]).Sample(text => _ = ReadingsFile.Read(Plan, text), iter: 2000);
}
