using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Judging;
using CsCheck;

namespace CaliperStation.Core.Tests.Studies;

public sealed class StudyPlanTests
{
    internal static StudyPlan Plan(int points = 4, int repeats = 3, long seed = 5, params string[] hands) => new(
        "20261201T080000000Z-STUDY", "free points", "", LengthUnit.Millimetre, LengthDisplay.Millimetre, hands.Length > 0 ? hands : ["AB", "CD", "EF"], StudyPlan.FreePoints(points), repeats, seed,
        Length.Millimetre, new DateTimeOffset(2026, 12, 1, 8, 0, 0, TimeSpan.Zero));

    [Fact]
    public void Every_hand_reads_every_point_once_a_round_and_never_one_twice_in_a_row() => Gen.Select(Gen.Int[2, 12], Gen.Int[1, 5], Gen.Long).Sample((points, repeats, seed) =>
    {
        StudyPlan plan = Plan(points, repeats, seed);
        Assert.All(plan.Hands, hand =>
        {
            IReadOnlyList<StudySlot> order = plan.OrderOf(hand);
            Assert.Equal(points * repeats, order.Select(slot => slot.Step).Distinct().Count());
            Assert.All(order.Chunk(points).Index(), round =>
            {
                Assert.All(round.Item, slot => Assert.Equal(round.Index + 1, slot.Repeat));
                Assert.Equal(plan.Points.Select(point => point.Id).Order(), round.Item.Select(slot => slot.Point).Order());
            });
            Assert.DoesNotContain(order.Zip(order.Skip(1)), pair => pair.First.Point == pair.Second.Point);
        });
    }, iter: 200);

    [Fact]
    public void The_order_follows_from_the_seed_and_is_another_for_every_hand()
    {
        Assert.Equal(Plan().OrderOf("CD"), Plan().OrderOf("cd"));
        Assert.NotEqual(Plan(8).OrderOf("AB"), Plan(8).OrderOf("CD"));
        Assert.NotEqual(Plan(8).OrderOf("AB"), Plan(8, seed: 6).OrderOf("AB"));
        Assert.Throws<ArgumentException>(() => Plan().OrderOf("XY"));
    }

    /// <summary>Each of the six orders of three points comes about as often: 600 seeds, 100 each, with a standard deviation of 9.1.</summary>
    [Fact]
    public void Each_order_is_as_likely_as_any_other()
    {
        IEnumerable<IGrouping<string, long>> orders = Enumerable.Range(0, 600).GroupBy(seed => string.Join(' ', Plan(3, 1, seed).OrderOf("EF").Select(slot => slot.Point)), seed => (long)seed);

        Assert.Equal(6, orders.Count());
        Assert.All(orders, order => Assert.InRange(order.Count(), 60, 140));
    }

    [Fact]
    public void A_plan_comes_back_from_the_journal_as_it_was()
    {
        StudyPlan plan = Plan() with
        {
            Points = [new("rack-left", "Left \"edge\"\u202e", "touch", null), new("rack-right", "…", null, "Mind the pins.")],
            StandardSha256 = new string('a', 64),
            Show = LengthDisplay.Ticks,
        };

        StudyPlan read = StudyPlanJson.Read(StudyPlanJson.Body(plan), plan.At)!;

        Assert.Equal(plan.Points, read.Points);
        Assert.Equal(plan.Hands, read.Hands);
        Assert.Equal(plan with { Points = read.Points, Hands = read.Hands }, read);
        Assert.Null((StudyPlanJson.Read(StudyPlanJson.Body(plan with { Tolerance = null }), plan.At)!).Tolerance);
    }

    [Theory]
    [InlineData("\"repeats\":3", "\"repeats\":0")]
    [InlineData("\"repeats\":3", "\"repeats\":3000000")]
    [InlineData("\"repeats\":3", "\"repeats\":\"3\"")]
    [InlineData("\"show\":\"mm\"", "\"show\":\"ells\"")]
    [InlineData("\"unit\":\"mm\"", "\"unit\":null")]
    [InlineData("\"AB\",", "\"cd\",")]
    [InlineData("\"point-2\"", "\"point-1\"")]
    [InlineData("\"point-2\"", "\"../x\"")]
    [InlineData("\"seed\":5", "\"sed\":5")]
    [InlineData("{", "[")]
    public void A_body_that_is_no_study_is_none(string part, string instead)
    {
        StudyPlan plan = Plan();
        string body = StudyPlanJson.Body(plan);
        Assert.Contains(part, body, StringComparison.Ordinal);

        Assert.NotNull(StudyPlanJson.Read(body, plan.At));
        Assert.Null(StudyPlanJson.Read(body.Replace(part, instead, StringComparison.Ordinal), plan.At));
    }

    [Fact]
    public void Points_of_a_standard_are_its_steps_with_the_narrowest_of_their_tolerances()
    {
        Plan coat = new Sheet().Item("rack", "pocket").Step("a", "rack", "pocket").Step("b", "rack", "pocket").Step("c", "rack", "pocket")
            .Rule("ab", RelationKind.Gap, Sheet.Around(3_000, 500), "a", "b").Rule("c", RelationKind.Gap, Sheet.Around(5_000, 200), "c").Plan();

        Assert.Equal(["a", "b", "c"], StudyPlan.PointsOf(coat, [], out string? none).Select(point => point.Id));
        Assert.Null(none);
        Assert.Equal(Length.FromMicrometres(400), StudyPlan.ToleranceOf(coat, StudyPlan.PointsOf(coat, [], out _)));
        Assert.Equal(Length.FromMicrometres(1_000), StudyPlan.ToleranceOf(coat, StudyPlan.PointsOf(coat, ["a"], out _)));
        Assert.Null(StudyPlan.ToleranceOf(coat, StudyPlan.FreePoints(3)));
        _ = StudyPlan.PointsOf(coat, ["a", "x"], out string? unknown);
        Assert.Equal("x", unknown);
    }
}
