using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Tests.Quantities;

/// <summary>How a bench counts. All of it: common practice, no source.</summary>
public sealed class CommonPracticeTests
{
    [Theory]
    [InlineData(16, 32, "1/2 in")]
    [InlineData(20, 40, "5/8 in")]
    [InlineData(8, 16, "1/4 in")]
    public void Ticks_of_a_32nd_are_twice_as_many_marks_of_a_64th(long ticks, long marks, string fraction)
    {
        Assert.Equal(Length.FromSixtyFourths(marks), Length.FromTicks(ticks));
        Assert.Equal(fraction, LengthFormat.Show(Length.FromTicks(ticks), LengthDisplay.Fraction));
        Assert.Equal(Length.FromTicks(ticks), LengthText.Parse($"{ticks}t", LengthUnit.Inch).Value.Value);
    }

    [Theory]
    [InlineData("1 in 20 ticks", "1 5/8 in")]
    [InlineData("1 in 20 t", "1 5/8 in")]
    [InlineData("2 in 12 ticks", "2 3/8 in")]
    [InlineData("2in 12t", "2 3/8 in")]
    public void Inches_and_ticks_add_up(string text, string fraction) =>
        Assert.Equal(fraction, LengthFormat.Show(LengthText.Parse(text, LengthUnit.Inch).Value.Value, LengthDisplay.Fraction));
}
