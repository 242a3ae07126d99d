using CaliperStation.Core.Bench;
using CaliperStation.Screen;
using Terminal.Gui.Drawing;
using Terminal.Gui.Input;
using Terminal.Gui.Testing;

namespace CaliperStation.Tests.Screen;

[Collection(KitCollection.Name)]
public sealed class BenchWindowTests : IDisposable
{
    private readonly OnKit<BenchWindow> _kit;
    private readonly List<BenchInput> _intents = [];

    public BenchWindowTests() => _kit = new(BenchColours.Sixteen, () => new BenchWindow(BenchSamples.Reading, BenchColours.Sixteen, _intents.Add));

    public void Dispose() => _kit.Dispose();

    [Theory]
    [InlineData(80, 24)]
    [InlineData(120, 40)]
    [InlineData(40, 10)]
    public void The_terminal_shows_what_the_painter_drew(int width, int height)
    {
        _kit.Size(width, height);
        foreach (BenchModel model in (BenchModel[])[BenchSamples.Outside, BenchSamples.Ready, BenchSamples.Across])
        {
            _kit.Page.Show(model);
            _kit.Pump();
            Canvas canvas = BenchPainter.Paint(model, width, height);
            var (entry, keys) = BenchLayout.OwnRows(width, height);
            for (int y = 0; y < height; y++)
            {
                for (int x = 0; x < width && y != keys.Y && (y != entry.Y || x < entry.X); x++)   // the rest is the kit's own
                {
                    Cell cell = _kit.Cells[y, x];
                    Assert.Equal((canvas[x, y].Text, BenchColours.Sixteen[canvas[x, y].Style]), (cell.Grapheme, cell.Attribute!.Value));
                }
            }
        }
    }

    [Theory]
    [InlineData("F5", true)]
    [InlineData("F4", false)]   // the bench's own
    [InlineData("b", false)]    // a letter is set by press-text
    [InlineData("no key", false)]
    public void A_switch_may_be_a_key_that_does_nothing_else_here(string key, bool may) => Assert.Equal(may, SwitchKeys.Validate(key) is null);

    [Fact]
    public void Every_key_tells_its_intent()
    {
        (Key Key, BenchInput Intent)[] keys =
        [
            (Key.Enter, new BenchInput.Press(PressOrigin.Person)),
            (Key.Space, new BenchInput.Press(PressOrigin.Person)),
            (Key.F2, new BenchInput.Press(PressOrigin.Person)),
            (Key.F4, new BenchInput.NotSo()),
            (Key.R.WithCtrl, new BenchInput.NotSo()),
            (Key.F6, new BenchInput.Says(new Answer.Moved([]))),
            (Key.O.WithCtrl, new BenchInput.Says(new Answer.Moved([]))),
            (Key.F9, new BenchInput.Says(new Answer.Yes())),
            (Key.Y.WithCtrl, new BenchInput.Says(new Answer.Yes())),
            (Key.F12, new BenchInput.Says(new Answer.Stop())),
            (Key.Q.WithCtrl, new BenchInput.Says(new Answer.Stop())),
            (Key.C.WithCtrl, new BenchInput.Says(new Answer.Stop())),
        ];
        foreach ((Key key, BenchInput intent) in keys)
        {
            _intents.Clear();
            _kit.Press(key);
            _kit.PressBytes(key);
            Assert.Equal([intent, intent], _intents);
        }
    }

    [Fact]
    public void A_pedal_that_types_a_letter_or_another_key_is_a_press_and_never_in_the_entry()
    {
        using BenchWindow window = new(BenchSamples.Reading, BenchColours.Sixteen, _intents.Add, new ScreenSettings(new Switches(SwitchKeys.Of("F5", "b"), SwitchKeys.None)));
        foreach (Key key in (Key[])[new Key('b'), Key.F5, new Key('1'), new Key('b'), Key.Enter])
        {
            window.NewKeyDownEvent(key);
        }

        BenchInput press = new BenchInput.Press(PressOrigin.Person);
        Assert.Equal([press, press, press, press], _intents);   // the third drops the 1; Enter finds nothing typed
        window.Show(BenchSamples.Outside);
        window.NewKeyDownEvent(Key.F8);
        window.NewKeyDownEvent(new Key('b'));
        window.NewKeyDownEvent(Key.Enter);
        Assert.Equal(4, _intents.Count);   // no press while a reason is asked for, and no letter in it
    }

    [Theory]
    [InlineData("F8")]
    [InlineData("Ctrl+A")]
    public void A_reason_is_asked_for_in_the_entry_line(string key)
    {
        Assert.True(Key.TryParse(key, out Key? aside));
        _kit.Page.Show(BenchSamples.Outside);
        _kit.Press(aside!);
        Assert.Contains("Reason:", _kit.Screen, StringComparison.Ordinal);
        Type("old cloth");
        Assert.Contains("Reason: old cloth", _kit.Screen, StringComparison.Ordinal);
        _kit.Press(Key.Enter);
        Assert.Equal([new BenchInput.Says(new Answer.Aside("old cloth"))], _intents);
        Assert.DoesNotContain("Reason:", _kit.Screen, StringComparison.Ordinal);
    }

    [Fact]
    public void No_reason_is_asked_for_where_nothing_is_to_be_set_aside()
    {
        _kit.Press(Key.F8);

        Assert.DoesNotContain("Reason:", _kit.Screen, StringComparison.Ordinal);
        Assert.Equal([new BenchInput.Says(new Answer.Aside(""))], _intents);
    }

    [Fact]
    public void Esc_drops_the_entry_and_does_not_end_the_bench()
    {
        Type("12");
        _kit.Press(Key.Esc);
        Assert.DoesNotContain("> 12", _kit.Screen, StringComparison.Ordinal);
        Assert.Empty(_intents);
    }

    [Fact]
    public void A_caliper_that_types_is_read_as_one_line()
    {
        foreach (char character in "12.345")
        {
            _kit.PressBytes(new Key(character));
        }

        Assert.Contains("> 12.345", _kit.Screen, StringComparison.Ordinal);
        _kit.PressBytes(Key.Enter);
        Assert.Equal([new BenchInput.Says(Answer.Of("12.345"))], _intents);
    }

    [Theory]
    [InlineData("1 11/32\"")]
    [InlineData("-.5in")]
    [InlineData("1½ t")]
    [InlineData("MOVED rack")]
    public void Anything_can_be_typed(string text)
    {
        Type(text);
        _kit.Press(Key.Enter);
        Assert.Equal([new BenchInput.Says(Answer.Of(text))], _intents);
    }

    [Theory]
    [InlineData("7.5\r\n8", "> 7.5")]
    [InlineData("\e[31m\u202E7", @"> \x1B[31m\u202E7")]
    public void Pasting_fills_the_entry_and_presses_nothing(string pasted, string shown)
    {
        _kit.App.RaisePasteEvent(pasted);
        _kit.Pump();
        Assert.Contains(shown + "\n", _kit.Screen, StringComparison.Ordinal);
        Assert.Empty(_intents);
    }

    [Fact]
    public void The_typed_line_is_edited_by_the_kits_keys()
    {
        Type("137 t");
        _kit.Press(Key.Home, Key.Delete, Key.D2, Key.End, Key.CursorLeft, Key.CursorLeft, Key.Backspace, Key.D8);
        Assert.Contains("> 238 t", _kit.Screen, StringComparison.Ordinal);
        _kit.Press(Key.Home, Key.End.WithShift, Key.D9);   // what is selected is replaced
        Assert.Contains("> 9\n", _kit.Screen, StringComparison.Ordinal);
        Assert.DoesNotContain("238", _kit.Screen, StringComparison.Ordinal);
        _kit.Press(Key.Space, Key.T, Key.Enter);
        Assert.Equal([new BenchInput.Says(Answer.Of("9 t"))], _intents);
    }

    [Fact]
    public void The_end_of_a_line_longer_than_its_room_is_seen_and_the_line_has_an_end()
    {
        for (int typed = 0; typed < Answer.MaxLineLength + 3; typed++)
        {
            _kit.App.InjectKey(typed < Answer.MaxLineLength - 3 ? Key.D1 : new Key((char)('2' + (typed % 3))));
        }

        _kit.Pump();
        Assert.Matches("> 1+[234]{3}\n", _kit.Screen);
        _kit.Press(Key.Enter);
        Assert.Equal(Answer.MaxLineLength, Assert.IsType<Answer.Number>(Assert.IsType<BenchInput.Says>(Assert.Single(_intents)).Answer).Text.Length);
    }

    /// <summary>What opens menus or other modes in the kit's field would take the keys of the bench.</summary>
    [Fact]
    public void The_kits_menu_and_overwriting_stay_shut()
    {
        Type("12");
        _kit.Press(Key.F10.WithShift, Key.InsertChar, Key.CursorLeft, Key.D9);
        Assert.Contains("> 192", _kit.Screen, StringComparison.Ordinal);
        _kit.Press(Key.F2);
        Assert.Equal([new BenchInput.Press(PressOrigin.Person)], _intents);
    }

    [Fact]
    public void A_line_that_was_being_typed_is_gone_on_with_after_the_page_of_help()
    {
        Type("12");
        _kit.Press(Key.F1, Key.Esc, Key.D3);
        Assert.Contains("> 123", _kit.Screen, StringComparison.Ordinal);
    }

    [Fact]
    public void A_control_character_that_is_typed_shows_what_it_is()
    {
        _kit.Press(new Key('\u202E'), Key.D7);
        Assert.Contains(@"> \u202E7", _kit.Screen, StringComparison.Ordinal);
    }

    [Fact]
    public void Keys_without_a_meaning_do_nothing()
    {
        _kit.Press(Key.F1, Key.F3, Key.F5, Key.F7, Key.Tab, Key.CursorUp, Key.PageDown, Key.Z.WithCtrl, Key.X.WithAlt, Key.InsertChar);
        Assert.Empty(_intents);
        Assert.Contains("> ", _kit.Screen, StringComparison.Ordinal);
    }

    [Fact]
    public void A_changed_value_sends_only_what_changed()
    {
        string drawn = Dirty(() => _kit.Page.Show(BenchSamples.Reading with { Message = BenchSamples.Reading.Message + "!" }));
        Assert.Equal("!", drawn.TrimEnd()); // the kit sends the next cell again, too
        Assert.InRange(drawn.Length, 1, 2);
    }

    [Fact]
    public void Without_colour_only_bold_underline_and_reverse_are_sent()
    {
        using OnKit<BenchWindow> plain = new(BenchColours.None, () => new BenchWindow(BenchSamples.Outside, BenchColours.None, _intents.Add));

        Assert.Contains("7", SentToTerminal.HasNoColour(plain.App.Driver!.ToAnsi()!));
    }

    private string Dirty(Action change)
    {
        foreach (ref Cell cell in System.Runtime.InteropServices.MemoryMarshal.CreateSpan(ref _kit.Cells[0, 0], _kit.Cells.Length))
        {
            cell.IsDirty = false;
        }

        change();
        string dirty = string.Empty;
        _kit.Page.DrawComplete += (_, _) => dirty += string.Concat(_kit.Cells.Cast<Cell>().Where(cell => cell.IsDirty).Select(cell => cell.Grapheme));
        _kit.Pump();
        return dirty;
    }

    private void Type(string text)
    {
        foreach (char character in text)
        {
            _kit.Press(new Key(character));
        }
    }
}
