using CaliperStation.Core.Bench;
using CaliperStation.Screen;
using CsCheck;

namespace CaliperStation.Tests.Screen;

public class KeyBindingsTests
{
    private readonly KeyBindings _desk = new();

    [Fact]
    public void Enter_with_nothing_typed_is_a_press() => Assert.Equal(new BenchInput.Press(PressOrigin.Person), _desk.Do(BenchAction.Enter));

    [Fact]
    public void Enter_gives_what_was_typed_and_empties_the_line()
    {
        _desk.Type("1 11/32 in ");
        Assert.Equal(new BenchInput.Says(Answer.Of("1 11/32 in")), _desk.Do(BenchAction.Enter));
        Assert.Equal(new BenchInput.Press(PressOrigin.Person), _desk.Do(BenchAction.Enter));
    }

    [Fact]
    public void Space_is_a_press_only_while_nothing_is_typed()
    {
        Assert.Equal(new BenchInput.Press(PressOrigin.Person), _desk.Do(BenchAction.Space));
        _desk.Type("1");
        Assert.Null(_desk.Do(BenchAction.Space));
        Assert.Equal("1 ", _desk.Entry.Text);
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
        _desk.Type("cloth is worn");
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
        _desk.Type("12");
        Assert.Equal(new BenchInput.Press(PressOrigin.Person), _desk.Do(BenchAction.Press));
        Assert.Equal(string.Empty, _desk.Entry.Text);
    }

    [Fact]
    public void Pasted_text_is_cut_at_its_first_line_and_made_printable()
    {
        _desk.Type("12\e[2J.5\r99");
        Assert.Equal(@"12\x1B[2J.5", _desk.Entry.Text);
    }

    [Fact]
    public void Editing_agrees_with_a_plain_list_of_characters()
    {
        BenchAction[] actions = [BenchAction.Backspace, BenchAction.Delete, BenchAction.Left, BenchAction.Right, BenchAction.Home, BenchAction.End];
        Gen.OneOf(Gen.Int[0, actions.Length - 1].Select(index => ((BenchAction?)actions[index], 'x')), Gen.Char['a', 'z'].Select(typed => ((BenchAction?)null, typed)))
            .Array[0, 60]
            .Sample(
                keys =>
                {
                    KeyBindings bindings = new();
                    List<char> model = [];
                    int caret = 0;
                    foreach ((BenchAction? action, char typed) in keys)
                    {
                        switch (action)
                        {
                            case null:
                                bindings.Type(typed.ToString());
                                model.Insert(caret++, typed);
                                continue;
                            case BenchAction.Backspace when caret > 0:
                                model.RemoveAt(--caret);
                                break;
                            case BenchAction.Delete when caret < model.Count:
                                model.RemoveAt(caret);
                                break;
                            case BenchAction.Left:
                                caret = Math.Max(0, caret - 1);
                                break;
                            case BenchAction.Right:
                                caret = Math.Min(model.Count, caret + 1);
                                break;
                            case BenchAction.Home:
                                caret = 0;
                                break;
                            case BenchAction.End:
                                caret = model.Count;
                                break;
                        }

                        bindings.Do(action.Value);
                    }

                    Assert.Equal((string.Concat(model), caret), (bindings.Entry.Text, bindings.Entry.Caret));
                },
                iter: 200);
    }

    [Fact]
    public void An_entry_has_an_end_and_no_half_of_a_pair()
    {
        _desk.Type(new string('a', EntryLine.Longest - 1) + "😀");
        Assert.Equal(EntryLine.Longest - 1, _desk.Entry.Text.Length);
        _desk.Do(BenchAction.Clear);
        _desk.Type("a😀");
        _desk.Do(BenchAction.Backspace);
        Assert.Equal("a", _desk.Entry.Text);
    }

    [Fact]
    public void The_caret_is_seen_in_an_entry_longer_than_the_line()
    {
        _desk.Type(new string('1', 100) + "2345");
        Canvas canvas = new(30, 1);
        EntryPainter.Paint(canvas, canvas.All, _desk.Entry, PromptKind.Reading);
        Assert.Equal("> 11111111111111111111111" + "2345", canvas.ToString().TrimEnd());
        Assert.Equal(CellStyle.Key, canvas[29, 0].Style);
    }
}
