using CaliperStation.Screen;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Screen;

public class HelpersOfTheScreenTests
{
    [Fact]
    public void A_bell_rings_as_often_as_asked_and_bells_do_not_run_together()
    {
        List<(TimeSpan Wait, Action Action)> later = [];
        int rung = 0;
        BellRinger bell = new(() => rung++, (wait, action) => later.Add((wait, action)));
        bell.Ring([3]);
        bell.Ring([1]);
        bell.Ring([2, 1]);   // of those that wait only the newest is rung
        Assert.Equal(1, rung);
        List<TimeSpan> waits = [];
        while (later.Count > 0)
        {
            (TimeSpan wait, Action action) = later[0];
            later.RemoveAt(0);
            waits.Add(wait);
            action();
        }

        Assert.Equal(6, rung);
        Assert.Equal([BellRinger.Stroke, BellRinger.Stroke, BellRinger.Pause, BellRinger.Stroke, BellRinger.Group, BellRinger.Pause], waits);
        bell.Ring([1]);
        Assert.Equal(7, rung);
    }

    [Fact]
    public void Single_faults_of_the_kit_are_survived_and_a_storm_of_them_is_not()
    {
        FakeTimeProvider clock = new();
        KitFaults faults = new(clock);
        for (int index = 0; index < 500; index++)
        {
            Assert.True(faults.MayGoOn(new InvalidOperationException()));
            clock.Advance(TimeSpan.FromMilliseconds(100));
        }

        Assert.Equal(500, faults.Count);
        Assert.Contains(Enumerable.Range(0, KitFaults.Most + 1), _ => !faults.MayGoOn(new InvalidOperationException()));
    }

    [Fact]
    public void Rows_are_never_given_out_twice()
    {
        Assert.Equal([2, 3, 1], RowBudget.Share(6, new RowRequest(1, 2), new RowRequest(2, 3), new RowRequest(1, 4)));
        Assert.Equal([1, 1, 0], RowBudget.Share(2, new RowRequest(1, 2), new RowRequest(2, 3), new RowRequest(1, 4)));
        Assert.Equal([0, 0, 0], RowBudget.Share(-3, new RowRequest(1, 2), new RowRequest(2, 3), new RowRequest(1, 4)));
    }

    [Fact]
    public void Every_state_has_its_own_mark()
    {
        OrderState[] states = Enum.GetValues<OrderState>();
        Assert.Equal(states.Length, states.Select(Marks.Of).Distinct().Count());
    }
}
