using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Studies;
using CaliperStation.Screen;

namespace CaliperStation.Tests.Screen;

public sealed class StudyScreenTests
{
    private static readonly DateTimeOffset _at = new(2026, 12, 1, 8, 0, 0, TimeSpan.Zero);

    [Fact]
    public void The_screen_of_a_study_shows_how_far_it_is_and_no_value_that_was_read()
    {
        StudyPlan plan = new("20261201T080000000Z-STUDY", "free points", "", LengthUnit.Millimetre, LengthDisplay.Millimetre, ["AB", "CD"], StudyPlan.FreePoints(3), 2, 5, null, _at);
        BenchState state = BenchEngine.Begin(new Work.Studying(StudySitting.Begin(plan)), new LiveCaliper(), new BenchSetup { Hand = "AB" }, new Moment(TimeSpan.Zero, _at)).State;
        for (int reading = 1; reading <= 2; reading++)
        {
            state = BenchEngine.Step(state, new BenchInput.Says(Answer.Of("11.17 mm")), new Moment(TimeSpan.FromSeconds(5 * reading), _at)).State;
        }

        BenchModel model = BenchPresenter.Of(state, TimeSpan.FromSeconds(10));

        Assert.Equal("AB", model.Hand);
        Assert.Equal("reading 3 of 6", model.Progress);
        Assert.Null(model.LastVerdict);
        Assert.Equal(2, model.Order.Count(line => line.State == OrderState.Done));
        Assert.All(model.Order, line => Assert.Equal("", line.Value));
        Assert.DoesNotContain("11", model.Message, StringComparison.Ordinal);
        Assert.DoesNotContain(model.Order, line => line.Text == "sign");
    }
}
