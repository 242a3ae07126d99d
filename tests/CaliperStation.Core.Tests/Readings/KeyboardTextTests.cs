using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Tests.Wire;
using CsCheck;

namespace CaliperStation.Core.Tests.Readings;

public sealed class KeyboardTextTests
{
    [Theory]
    [InlineData("12.34", LengthUnit.Millimetre, 12_340_000, 10_000)]
    [InlineData("+12.345 mm", LengthUnit.Millimetre, 12_345_000, 1_000)]
    [InlineData("-0.5000in", LengthUnit.Inch, -12_700_000, 12_700)]
    [InlineData("0.125\"", LengthUnit.Inch, 3_175_000, 25_400)]
    [InlineData(".50", LengthUnit.Millimetre, 500_000, 10_000)]
    public void What_a_caliper_types_is_a_value_with_its_displays_step(string text, LengthUnit unit, long nanometres, long step)
    {
        KeyboardValue value = KeyboardText.Read(text, LengthUnit.Millimetre);

        Assert.Null(value.Refusal);
        Assert.Equal((nanometres, unit, step), (value.Value.Nanometres, value.Unit, value.Resolution.Nanometres));
    }

    /// <summary>The apostrophe for a hyphen: www.morovia.com/kb/PRB-Scanned-Data-Incorrectly-Displayed-Computer-10604.html.</summary>
    [Trait("trouble", "T34")]
    [Theory]
    [InlineData("'12.34", -12_340_000)]
    [InlineData("12,34", 12_340_000)]
    [InlineData("-12,34", -12_340_000)]
    public void T34_an_apostrophe_for_the_minus_and_a_comma_for_the_point_are_recognised(string text, long nanometres) =>
        Assert.Equal(nanometres, KeyboardText.Read(text, LengthUnit.Millimetre).Value.Nanometres);

    [Trait("trouble", "T36")]
    [Trait("trouble", "T37")]
    [Theory]
    [InlineData("?12.34", KeyboardText.Layout)]
    [InlineData("ß12.34", KeyboardText.Layout)]
    [InlineData("12:34", KeyboardText.Layout)]
    [InlineData("12>34", KeyboardText.Layout)]
    [InlineData("1234", KeyboardText.NoPoint)]
    [InlineData("1234 mm", KeyboardText.NoPoint)]
    [InlineData("12..34", KeyboardText.TwoPoints)]
    [InlineData("12.3412.34", KeyboardText.TwoPoints)]
    [InlineData("1,212.34", KeyboardText.TwoPoints)]
    [InlineData("12.", KeyboardText.Digits)]
    [InlineData("12.3456", KeyboardText.Digits)]
    [InlineData("0.50in", KeyboardText.Digits)]
    [InlineData("111111122.34", KeyboardText.Digits)]
    [InlineData("12.34 m", KeyboardText.UnitWord)]
    [InlineData("12.34 mmm", KeyboardText.UnitWord)]
    [InlineData("HELP", KeyboardText.Digits)]
    [InlineData("", KeyboardText.Digits)]
    public void T36_T37_lost_doubled_and_damaged_keys_are_refused_with_the_reason(string text, string why) =>
        Assert.Equal(why, KeyboardText.Read(text, LengthUnit.Millimetre).Refusal);

    [Fact]
    public void Any_text_is_read_or_refused_and_nothing_is_thrown() =>
        Gen.OneOf(Gen.String, Gen.Char["0123456789.,-+'mMiInN\" "].Array[0, 14].Select(characters => new string(characters)))
            .Sample(text => KeyboardText.Read(text, LengthUnit.Inch) is var value && (value.Refusal is null) == (value.Resolution > Length.Zero), iter: FuzzLength.Of(3_000));
}
