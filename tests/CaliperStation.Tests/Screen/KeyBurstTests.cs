using CaliperStation.Core.Bench;
using CaliperStation.Screen;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.App;
using Terminal.Gui.Drivers;
using Terminal.Gui.Input;
using Terminal.Gui.Time;

namespace CaliperStation.Tests.Screen;

[Collection(KitCollection.Name)]
public sealed class KeyBurstTests : IDisposable
{
    private readonly FakeTimeProvider _time = new();
    private readonly List<BenchInput> _intents = [];
    private readonly BenchWindow _window;

    public KeyBurstTests()
    {
        BenchScreen.Prepare(BenchColours.Sixteen);
        using IApplication app = Application.Create(new VirtualTimeProvider());
        app.Init(DriverRegistry.Names.ANSI);
        _window = new BenchWindow(BenchSamples.Reading, BenchColours.Sixteen, _intents.Add, pace: _time);
    }

    public void Dispose() => _window.Dispose();

    [Trait("trouble", "T26")]
    [Theory]
    [InlineData(7)]
    [InlineData(20)]
    [InlineData(30)]
    public void Keys_faster_than_a_person_are_an_instruments(int milliseconds)
    {
        Type("12.34", milliseconds);
        End(Key.Enter, milliseconds);
        Type("-0.5000in", milliseconds);
        End(Key.Tab, milliseconds);

        Assert.Equal([new BenchInput.Instrument("12.34", false), new BenchInput.Instrument("-0.5000in", false)], _intents);
    }

    /// <summary>A key each 20 ms, looked at each 20 ms and drawn each 8: some come together, some 40 ms apart.</summary>
    [Fact]
    public void Keys_that_come_in_heaps_are_told_by_their_mean()
    {
        foreach ((char key, int after) in new[] { ('1', 0), ('2', 40), ('.', 0), ('3', 40), ('4', 8) })
        {
            Type(key.ToString(), after);
        }

        End(Key.Enter, 40);

        Assert.Equal([new BenchInput.Instrument("12.34", false)], _intents);
    }

    [Theory]
    [InlineData("12.34", 40)]
    [InlineData("12.34", 90)]
    [InlineData("1/8", 5)]
    [InlineData("12", 5)]
    public void Slower_or_fewer_keys_are_a_persons(string text, int milliseconds)
    {
        Type(text, milliseconds);
        End(Key.Enter, milliseconds);

        Assert.Equal([new BenchInput.Says(Answer.Of(text))], _intents);
    }

    [Fact]
    public void A_burst_whose_enter_comes_later_is_a_persons_and_a_late_tab_is_nothing()
    {
        Type("12.34", 5);
        End(Key.Tab, 100);
        End(Key.Enter, 100);

        Assert.Equal([new BenchInput.Says(Answer.Of("12.34"))], _intents);
    }

    [Fact]
    public void Keys_of_a_person_before_the_calipers_make_it_no_reading()
    {
        Type("12", 200);
        _time.Advance(TimeSpan.FromSeconds(1));
        Type("3.456", 10);
        End(Key.Enter, 10);

        Assert.Equal([new BenchInput.Instrument("123.456", true)], _intents);
    }

    /// <summary>Sent by a program or pasted key by key: no caliper types these.</summary>
    [Theory]
    [InlineData("7/16")]
    [InlineData("1 11/32 in")]
    [InlineData("1in 11t")]
    [InlineData("moved rack")]
    [InlineData("QGAB")]
    public void What_only_a_person_writes_is_a_persons_at_any_pace(string text)
    {
        Type(text, 1);
        End(Key.Enter, 1);

        Assert.Equal([new BenchInput.Says(Answer.Of(text))], _intents);
    }

    [Fact]
    public void A_value_that_lost_its_point_is_still_an_instruments()
    {
        Type("317", 10);
        End(Key.Enter, 10);

        Assert.Equal([new BenchInput.Instrument("317", false)], _intents);
    }

    [Fact]
    public void A_blank_before_the_unit_is_the_instruments_too()
    {
        Type("3.17 mm", 10);
        End(Key.Tab, 10);

        Assert.Equal([new BenchInput.Instrument("3.17 mm", false)], _intents);
    }

    [Fact]
    public void A_device_that_marks_the_field_first_asks_for_no_reason()
    {
        _window.NewKeyDownEvent(Key.A.WithCtrl);
        Type("3.17mm", 10);
        End(Key.Enter, 10);
        Type("3.18mm", 10);
        End(Key.Enter, 10);
        _window.Show(BenchSamples.Outside);
        _window.NewKeyDownEvent(Key.A.WithCtrl);
        Type("3.19mm", 10);
        End(Key.Enter, 10);
        _window.NewKeyDownEvent(Key.A.WithCtrl);
        Type("3.17mm", 90);
        End(Key.Enter, 90);

        Assert.Equal([new BenchInput.Instrument("3.17mm", false), new BenchInput.Instrument("3.18mm", false), new BenchInput.Instrument("3.19mm", false), new BenchInput.Says(new Answer.Aside("3.17mm"))], _intents);
    }

    /// <summary>7 is Home, the point Delete, 8 up, 3 page down; the same keys of a person move the caret.</summary>
    [Trait("trouble", "T33")]
    [Fact]
    public void T33_a_number_pad_with_its_lock_off_is_told_and_takes_nothing()
    {
        foreach (Key key in (Key[])[Key.Home, Key.Delete, Key.CursorUp, Key.PageDown, Key.Enter])
        {
            End(key, 8);
        }

        Assert.Equal([new BenchInput.UnlockedPad()], _intents);
        _intents.Clear();
        foreach (Key key in (Key[])[Key.Home, Key.Delete, Key.Enter])
        {
            End(key, 90);
        }

        Assert.Equal([new BenchInput.Press(PressOrigin.Person)], _intents);
    }

    [Fact]
    public void A_reason_typed_ever_so_fast_is_a_reason()
    {
        _window.Show(BenchSamples.Outside);
        _window.NewKeyDownEvent(Key.F8);
        Type("12.34", 5);
        End(Key.Enter, 5);

        Assert.Equal([new BenchInput.Says(new Answer.Aside("12.34"))], _intents);
    }

    private void Type(string text, int milliseconds)
    {
        foreach (char character in text)
        {
            _time.Advance(TimeSpan.FromMilliseconds(milliseconds));
            _window.NewKeyDownEvent(character == ' ' ? Key.Space : new Key(character));
        }
    }

    private void End(Key key, int milliseconds)
    {
        _time.Advance(TimeSpan.FromMilliseconds(milliseconds));
        _window.NewKeyDownEvent(key);
    }
}
