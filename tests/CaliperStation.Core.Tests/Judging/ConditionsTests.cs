using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Judging;

public sealed class ConditionsTests
{
    [Theory]
    [InlineData(Comparison.Less, false, true, false)]
    [InlineData(Comparison.AtMost, false, true, true)]
    [InlineData(Comparison.Equal, false, false, true)]
    [InlineData(Comparison.AtLeast, true, false, true)]
    [InlineData(Comparison.More, true, false, false)]
    public void A_length_is_compared_exactly(Comparison comparison, bool above, bool below, bool on)
    {
        Condition condition = WhenLength("r", comparison, 3000);
        Assert.Equal(above, Conditions.Holds(condition, _ => Gap(ExactLength.Ratio(Nm(9_000_001), 3))));
        Assert.Equal(below, Conditions.Holds(condition, _ => Gap(ExactLength.Ratio(Nm(8_999_999), 3))));
        Assert.Equal(on, Conditions.Holds(condition, _ => Gap(ExactLength.From(Um(3000)))));
    }

    [Theory]
    [InlineData(10_000, true)]
    [InlineData(9_999, false)]
    public void A_share_of_one_third_is_reached_by_a_third(long part, bool expected) =>
        Assert.Equal(expected, Conditions.Holds(WhenNumber("s", Comparison.AtLeast, 1.0 / 3), _ => Share(part, 30_000)));

    [Fact]
    public void A_value_that_is_not_there_yet_leaves_it_open_unless_another_part_already_fails()
    {
        RelationValue? Known(string id) => id == "known" ? Gap(ExactLength.From(Um(3000))) : null;
        ConditionPart holds = WhenLength("known", Comparison.Equal, 3000).Parts[0];
        ConditionPart fails = WhenLength("known", Comparison.More, 3000).Parts[0];
        ConditionPart open = WhenLength("unknown", Comparison.More, 3000).Parts[0];
        Assert.Null(Conditions.Holds(new Condition([open]), Known));
        Assert.Null(Conditions.Holds(new Condition([holds, open]), Known));
        Assert.False(Conditions.Holds(new Condition([open, fails]), Known));
        Assert.False(Conditions.Holds(new Condition([fails, open]), Known));
        Assert.True(Conditions.Holds(new Condition([holds]), Known));
    }

    [Fact]
    public void Answers_and_rows_were_settled_by_the_plan()
    {
        Condition settled = new([new ConditionPart.AnswerIs("q", ["no"]), new ConditionPart.RowsAre("rack", Comparison.More, 9)]);
        Assert.True(Conditions.Holds(settled, _ => null));
        Assert.True(Conditions.Holds(null, _ => null));
    }

    private static RelationValue Gap(ExactLength value) =>
        Propagation.Value(Sheet.Relation("r", RelationKind.Gap, [Between(null, null)], "a"), "a", null, _ => new Measured(value, 1));

    private static RelationValue Share(long part, long whole) => Propagation.Value(
        Sheet.Relation("s", RelationKind.Share, [Numbers(null, null)], "a", "b"), "a", null, step => Read(1, ("a", part), ("b", whole))(step)!.Value);
}
