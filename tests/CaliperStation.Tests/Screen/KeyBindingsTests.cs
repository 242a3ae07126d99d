using CaliperStation.Core.Bench;
using CaliperStation.Screen;

namespace CaliperStation.Tests.Screen;

[Collection(KitCollection.Name)]
public class KeyBindingsTests
{
    private readonly KeyBindings _desk = new();

    [Fact]
    public void Enter_with_nothing_typed_is_a_press() => Assert.Equal(new BenchInput.Press(PressOrigin.Person), _desk.Do(BenchAction.Enter));

    [Fact]
    public void Enter_gives_what_was_typed_and_empties_the_line()
    {
        _desk.Entry.InsertText("1 11/32 in ");
        Assert.Equal(new BenchInput.Says(Answer.Of("1 11/32 in")), _desk.Do(BenchAction.Enter));
        Assert.Equal(new BenchInput.Press(PressOrigin.Person), _desk.Do(BenchAction.Enter));
    }

    [Fact]
    public void Setting_aside_asks_for_a_reason_and_goes_nowhere_without_one()
    {
        Assert.Null(_desk.Do(BenchAction.Aside));
        Assert.True(_desk.Entry.IsReason);
        Assert.Null(_desk.Do(BenchAction.Press));
        Assert.Null(_desk.Do(BenchAction.Enter));
        Assert.False(_desk.Entry.IsReason);
        Assert.Null(_desk.Do(BenchAction.Aside));
        _desk.Entry.InsertText("cloth is worn");
        Assert.Equal(new BenchInput.Says(new Answer.Aside("cloth is worn")), _desk.Do(BenchAction.Enter));
        Assert.False(_desk.Entry.IsReason);
    }

    [Fact]
    public void Where_nothing_is_to_be_set_aside_no_reason_is_asked_and_the_sitting_says_why()
    {
        _desk.CanSetAside = false;

        Assert.Equal(new BenchInput.Says(new Answer.Aside("")), _desk.Do(BenchAction.Aside));
        Assert.False(_desk.Entry.IsReason);
    }

    [Fact]
    public void A_foot_press_drops_what_is_typed()
    {
        _desk.Entry.InsertText("12");
        Assert.Equal(new BenchInput.Press(PressOrigin.Person), _desk.Do(BenchAction.Press));
        Assert.Equal(string.Empty, _desk.Entry.Text);
    }

    [Theory]
    [InlineData("12\e[2J.5\r99", @"12\x1B[2J.5")]
    [InlineData("7.5\n8", "7.5")]
    [InlineData("\u202E12", @"\u202E12")]
    public void Of_pasted_text_the_first_line_goes_in_and_shows_what_it_is(string pasted, string shown) => Assert.Equal(shown, _desk.Entry.Fitting(pasted));

    [Fact]
    public void An_entry_has_an_end_and_no_half_of_a_pair()
    {
        _desk.Entry.InsertText(new string('a', Answer.MaxLineLength - 1));
        Assert.Equal("", _desk.Entry.Fitting("😀"));
        Assert.Equal("b", _desk.Entry.Fitting("bcd"));
        _desk.Do(BenchAction.Clear);
        Assert.Equal(Answer.MaxLineLength, _desk.Entry.Fitting(new string('x', 1_000_000)).Length);
    }
}
