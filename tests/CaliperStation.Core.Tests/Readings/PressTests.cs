using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;

namespace CaliperStation.Core.Tests.Readings;

public sealed class PressTests
{
    private static TimeSpan Ms(int milliseconds) => TimeSpan.FromMilliseconds(milliseconds);

    private static Reading At(int milliseconds) =>
        new(Length.Millimetre, LengthUnit.Millimetre, Length.FromMicrometres(10), ReadingSource.Serial, default, "") { Arrived = Ms(milliseconds) };

    [Fact]
    public void A_second_press_inside_300_ms_is_one_press()
    {
        PressGate gate = PressGate.Hear(Ms(1_000));
        Assert.True(default(PressGate).IsNew(Ms(1_000)));
        Assert.False(gate.IsNew(Ms(1_002)));
        Assert.False(gate.IsNew(Ms(1_299)));
        Assert.True(gate.IsNew(Ms(1_300)));
    }

    /// <summary>Counted from the last press heard, so that one that repeats faster than the lock-out is one press for as long as it lasts.</summary>
    [Fact]
    public void T39_a_trigger_that_repeats_every_200_ms_is_one_press()
    {
        PressGate gate = default;
        int pressed = 0;
        for (int i = 0; i < 100; i++)
        {
            pressed += gate.IsNew(Ms(i * 200)) ? 1 : 0;
            gate = PressGate.Hear(Ms(i * 200));
        }

        Assert.Equal(1, pressed);
    }

    [Fact]
    public void The_first_repeat_of_a_key_held_down_is_not_calm_and_may_follow()
    {
        PressGate gate = PressGate.Hear(Ms(0));
        Assert.Equal((true, false, true), (gate.IsNew(Ms(500)), gate.IsCalm(Ms(500)), gate.Follows(Ms(500))));
        Assert.Equal((true, true, true), (gate.IsNew(Ms(800)), gate.IsCalm(Ms(800)), gate.Follows(Ms(1_400))));
        Assert.False(gate.Follows(Ms(1_401)));
    }

    [Fact]
    public void A_value_alone_is_a_press_and_after_two_it_is_one_at_once()
    {
        (SendingHabit habit, bool pressed) = new SendingHabit().Push(At(5_000));
        Assert.False(pressed);
        Assert.Null(habit.Poll(Ms(5_399)).Pressed);
        (habit, Reading? lone) = habit.Poll(Ms(5_400));
        Assert.Equal(At(5_000), lone);
        Assert.Null(habit.Poll(Ms(5_500)).Pressed);
        (habit, pressed) = habit.Push(At(8_000));
        Assert.False(pressed);
        (habit, lone) = habit.Poll(Ms(8_400));
        Assert.NotNull(lone);
        Assert.Equal(SenderKind.OnKey, habit.Kind);
        (habit, pressed) = habit.Push(At(12_000));
        Assert.True(pressed);
        Assert.Null(habit.Poll(Ms(12_500)).Pressed);
    }

    [Fact]
    public void A_free_running_caliper_never_presses_not_even_when_it_falls_silent()
    {
        SendingHabit habit = new();
        for (int i = 0; i < 10; i++)
        {
            (habit, bool pressed) = habit.Push(At(i * 330));
            Assert.False(pressed);
            Assert.Null(habit.Poll(Ms((i * 330) + 329)).Pressed);
        }

        Assert.Equal(SenderKind.FreeRunning, habit.Kind);
        (habit, bool late) = habit.Push(At(60_000));
        Assert.False(late);
        Assert.Null(habit.Poll(Ms(61_000)).Pressed);
    }
}
