using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CsCheck;

namespace CaliperStation.Core.Tests.Readings;

public sealed class TypedLengthTests
{
    private static readonly CoatSpan Pocket = new(Length.Zero, Length.Inch.Times(5));

    [Theory]
    [InlineData("14", LengthUnit.Inch, LengthDisplay.Ticks, 14 * 793_750, "14 t")]
    [InlineData("14½", LengthUnit.Inch, LengthDisplay.Ticks, 29 * 396_875, "14½ t")]
    [InlineData("14 1/2", LengthUnit.Inch, LengthDisplay.Ticks, 29 * 396_875, "14 1/2 t")]
    [InlineData("14.5", LengthUnit.Inch, LengthDisplay.Ticks, 29 * 396_875, "14.5 t")]
    [InlineData("7/16", LengthUnit.Inch, LengthDisplay.Ticks, 28 * 396_875, "7/16 in")]
    [InlineData("1 3/8", LengthUnit.Inch, LengthDisplay.Ticks, 88 * 396_875, "1 3/8 in")]
    [InlineData("1.34", LengthUnit.Inch, LengthDisplay.Ticks, 34_036_000, "1.34 in")]
    [InlineData("12.3", LengthUnit.Millimetre, LengthDisplay.Ticks, 12_300_000, "12.3 mm")]
    [InlineData("2", LengthUnit.Inch, LengthDisplay.Fraction, 50_800_000, "2 in")]
    [InlineData("12", LengthUnit.Inch, LengthDisplay.Millimetre, 12_000_000, "12 mm")]
    [InlineData("14.5", LengthUnit.Millimetre, LengthDisplay.Millimetre, 14_500_000, "14.5 mm")]
    public void A_bare_number_is_read_by_the_screen_or_the_standard_and_said(string text, LengthUnit unit, LengthDisplay show, long nanometres, string said)
    {
        TypedLength.Taken taken = Assert.IsType<TypedLength.Taken>(TypedLength.Read(text, unit, show, Pocket));
        Assert.Equal((nanometres, said, false), (taken.Length.Value.Nanometres, taken.Length.Text, taken.UnitWritten));
    }

    [Theory]
    [InlineData("2", LengthDisplay.Ticks, TypedQuestion.WhichUnit, "2 t|2 in")]
    [InlineData("1.5", LengthDisplay.Ticks, TypedQuestion.WhichUnit, "1.5 t|1.5 in")]
    [InlineData("1/2", LengthDisplay.Ticks, TypedQuestion.WhichUnit, "1/2 in|1/2 t")]
    [InlineData("170", LengthDisplay.Ticks, TypedQuestion.OtherUnit, "170 mm")]
    [InlineData("14", LengthDisplay.Fraction, TypedQuestion.OtherUnit, "14 t|14 mm")]
    [InlineData("9999", LengthDisplay.Ticks, TypedQuestion.BeyondCoat, "9999 t")]
    [InlineData("14 in", LengthDisplay.Ticks, TypedQuestion.BeyondCoat, "14 in")]
    public void What_could_be_either_or_is_beyond_the_coat_is_asked(string text, LengthDisplay show, TypedQuestion why, string candidates)
    {
        CoatSpan coat = text == "170" ? new(Length.FromMicrometres(160_000), Length.FromMicrometres(180_000)) : Pocket;
        TypedLength.Asked asked = Assert.IsType<TypedLength.Asked>(TypedLength.Read(text, LengthUnit.Inch, show, coat));
        Assert.Equal((why, candidates), (asked.Why, string.Join('|', asked.Candidates.Select(candidate => candidate.Text))));
    }

    /// <summary>120 mm, of which the first digit was dropped.</summary>
    [Fact]
    public void A_dropped_first_digit_is_asked_about()
    {
        CoatSpan coat = new(Length.FromMicrometres(100_000), Length.FromMicrometres(140_000));
        Assert.Equal(TypedQuestion.BeyondCoat, Assert.IsType<TypedLength.Asked>(TypedLength.Read("20", LengthUnit.Millimetre, LengthDisplay.Millimetre, coat)).Why);
    }

    [Fact]
    public void A_question_is_answered_by_one_of_its_candidates_and_by_a_yes_where_there_is_one()
    {
        TypedLength.Asked two = Assert.IsType<TypedLength.Asked>(TypedLength.Read("2", LengthUnit.Inch, LengthDisplay.Ticks, Pocket));
        Assert.IsType<TypedLength.Unreadable>(TypedLength.Read("yes", LengthUnit.Inch, LengthDisplay.Ticks, Pocket, two));
        Assert.All(two.Candidates, candidate => Assert.Equal(
            candidate, Assert.IsType<TypedLength.Taken>(TypedLength.Read(candidate.Text, LengthUnit.Inch, LengthDisplay.Ticks, Pocket, two)).Length));
        TypedLength.Asked one = Assert.IsType<TypedLength.Asked>(TypedLength.Read("14 in", LengthUnit.Inch, LengthDisplay.Ticks, Pocket));
        Assert.Equal(Length.Inch.Times(14), Assert.IsType<TypedLength.Taken>(TypedLength.Read("14 in", LengthUnit.Inch, LengthDisplay.Ticks, Pocket, one)).Length.Value);
        Assert.Equal(Length.Inch.Times(14), Assert.IsType<TypedLength.Taken>(TypedLength.Read(" YES", LengthUnit.Inch, LengthDisplay.Ticks, Pocket, one)).Length.Value);
    }

    [Fact]
    public void No_text_throws_and_each_candidate_is_read_as_it_says() => Gen.String[Gen.Char["0123456789./½ t-in,mm\u001b"], 0, 12].Sample(
        text =>
        {
            foreach (LengthDisplay show in Enum.GetValues<LengthDisplay>())
            {
                if (TypedLength.Read(text, LengthUnit.Inch, show, Pocket) is TypedLength.Asked asked)
                {
                    Assert.All(asked.Candidates, candidate => Assert.Equal(candidate.Value, LengthText.Parse(candidate.Text, LengthUnit.Millimetre).Value.Value));
                }
            }
        },
        iter: 3000, threads: 1);
}
