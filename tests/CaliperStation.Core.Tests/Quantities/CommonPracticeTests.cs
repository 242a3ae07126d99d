using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Tests.Quantities;

/// <summary>How a bench counts. All of it: common practice, no source.</summary>
public sealed class CommonPracticeTests
{
    [Theory]
    [InlineData(3, 6, "3/32 in")]
    [InlineData(11, 22, "11/32 in")]
    [InlineData(27, 54, "27/32 in")]
    public void Ticks_of_a_32nd_are_twice_as_many_marks_of_a_64th(long ticks, long marks, string fraction)
    {
        Assert.Equal(Length.FromSixtyFourths(marks), Length.FromTicks(ticks));
        Assert.Equal(fraction, LengthFormat.Show(Length.FromTicks(ticks), LengthDisplay.Fraction));
        Assert.Equal(Length.FromTicks(ticks), LengthText.Parse($"{ticks}t", LengthUnit.Inch).Value.Value);
    }

    [Theory]
    [InlineData("1 in 11 ticks", "1 11/32 in")]
    [InlineData("1 in 11 t", "1 11/32 in")]
    [InlineData("3 in 6 ticks", "3 3/16 in")]
    [InlineData("3in 6t", "3 3/16 in")]
    public void Inches_and_ticks_add_up(string text, string fraction) =>
        Assert.Equal(fraction, LengthFormat.Show(LengthText.Parse(text, LengthUnit.Inch).Value.Value, LengthDisplay.Fraction));
}
