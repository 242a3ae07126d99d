using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Core.Tests.Readings;

public sealed class PressTests
{
    private static TimeSpan Ms(int milliseconds) => TimeSpan.FromMilliseconds(milliseconds);

    private static Sample At(int milliseconds) => new(Length.Millimetre, LengthUnit.Millimetre, Length.FromMicrometres(10), Ms(milliseconds));

    [Fact]
    public void A_second_press_inside_300_ms_is_one_press()
    {
        PressGate gate = new();
        Assert.True(gate.Accept(Ms(1_000)));
        Assert.False(gate.Accept(Ms(1_002)));
        Assert.False(gate.Accept(Ms(1_299)));
        Assert.True(gate.Accept(Ms(1_300)));
    }

    [Fact]
    public void T39_a_trigger_that_repeats_every_200_ms_gives_a_press_each_400_ms_and_not_each_200()
    {
        PressGate gate = new();
        Assert.Equal(5, Enumerable.Range(0, 10).Count(i => gate.Accept(Ms(i * 200))));
    }

    [Fact]
    public void A_value_alone_is_a_press_and_after_two_it_is_one_at_once()
    {
        SendingHabit habit = new();
        Assert.False(habit.Push(At(5_000)));
        Assert.Null(habit.Poll(Ms(5_399)));
        Assert.Equal(At(5_000), habit.Poll(Ms(5_400)));
        Assert.Null(habit.Poll(Ms(5_500)));
        Assert.False(habit.Push(At(8_000)));
        Assert.NotNull(habit.Poll(Ms(8_400)));
        Assert.Equal(SenderKind.OnKey, habit.Kind);
        Assert.True(habit.Push(At(12_000)));
        Assert.Null(habit.Poll(Ms(12_500)));
    }

    [Fact]
    public void A_free_running_caliper_never_presses_not_even_when_it_falls_silent()
    {
        SendingHabit habit = new();
        for (int i = 0; i < 10; i++)
        {
            Assert.False(habit.Push(At(i * 330)));
            Assert.Null(habit.Poll(Ms((i * 330) + 329)));
        }

        Assert.Equal(SenderKind.FreeRunning, habit.Kind);
        Assert.False(habit.Push(At(60_000)));
        Assert.Null(habit.Poll(Ms(61_000)));
    }

    [Fact]
    public void A_habit_that_was_set_is_not_learnt_again()
    {
        SendingHabit habit = new(SenderKind.OnKey);
        Assert.True(habit.Push(At(0)));
        habit.Clear();
        Assert.True(habit.Push(At(100)));
        SendingHabit free = new(SenderKind.FreeRunning);
        Assert.False(free.Push(At(0)));
        Assert.Null(free.Poll(Ms(5_000)));
    }

    [Fact]
    public void After_a_loss_no_value_from_before_becomes_a_press()
    {
        SendingHabit habit = new();
        habit.Push(At(5_000));
        habit.Clear();
        Assert.Null(habit.Poll(Ms(6_000)));
    }
}
