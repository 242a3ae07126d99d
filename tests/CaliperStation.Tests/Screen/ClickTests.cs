using CaliperStation.Core.Bench;
using CaliperStation.Core.Readings;
using CaliperStation.Screen;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.Input;

namespace CaliperStation.Tests.Screen;

/// <summary>The mouse on the bench: the row of keys and the page of help, by presses and releases as a terminal sends them.</summary>
[Collection(KitCollection.Name)]
public sealed class ClickTests : IDisposable
{
    private static readonly BenchModel _model = BenchPresenter.Of(HelpTests.State("deciding"), HelpTests.Now);

    private readonly FakeTimeProvider _time = new();
    private readonly List<BenchInput> _intents = [];
    private readonly OnKit<BenchWindow> _bench;

    public ClickTests()
    {
        _bench = new OnKit<BenchWindow>(BenchColours.Sixteen, () => new BenchWindow(_model, BenchColours.Sixteen, _intents.Add, null, _time), 80, 24);
        Quiet();
    }

    public void Dispose() => _bench.Dispose();

    [Theory]
    [InlineData("F6")]
    [InlineData("all moved")]
    public void A_click_on_either_part_of_a_hint_is_its_key(string part)
    {
        _bench.Click(part);
        Assert.Equal([new BenchInput.Says(new Answer.Moved([]))], _intents);
    }

    [Fact]
    public void A_click_that_left_the_page_before_or_is_doubled_is_none_of_its_own()
    {
        using OnKit<BenchWindow> bench = new(BenchColours.Sixteen, () => new BenchWindow(_model, BenchColours.Sixteen, _intents.Add, null, _time), 80, 24);
        bench.Click("F6");
        Assert.Empty(_intents);
        for (int click = 0; click < 3; click++)
        {
            _bench.Click("F6");
        }

        Assert.Single(_intents);
    }

    [Theory]
    [InlineData(79, 23)]
    [InlineData(50, 5)]
    [InlineData(3, 15)]
    public void A_click_on_a_dead_spot_swallows_nothing(int x, int y)
    {
        _bench.Click(x, y);
        _bench.Click("F6");
        Assert.Single(_intents);
        _bench.Press(Key.D7);
        Assert.Contains("> 7", _bench.Screen, StringComparison.Ordinal);   // and the keys go where they went
    }

    [Fact]
    public void The_page_of_help_is_opened_gone_through_and_left_by_clicks()
    {
        _bench.Click("F1");
        Assert.Contains("► back", _bench.Screen, StringComparison.Ordinal);
        Quiet();
        _bench.Click("↓");
        Assert.DoesNotContain("► back", _bench.Screen, StringComparison.Ordinal);
        Quiet();
        _bench.Click("↑");
        Assert.Contains("► back", _bench.Screen, StringComparison.Ordinal);
        _bench.Click("What is shown");   // a heading
        _bench.Click(79, 22);            // nothing
        Assert.Contains("► back", _bench.Screen, StringComparison.Ordinal);
        Quiet();
        _bench.Click("Esc");
        Assert.DoesNotContain("► back", _bench.Screen, StringComparison.Ordinal);
        Assert.Empty(_intents);
    }

    [Fact]
    public void A_click_on_a_line_of_help_does_it()
    {
        _bench.Press(Key.F1);
        _bench.Click("F8");
        Assert.Contains("Reason:", _bench.Screen, StringComparison.Ordinal);
    }

    [Fact]
    public void The_second_half_of_a_click_that_left_the_page_of_help_is_none_at_the_bench()
    {
        string keys = _bench.Screen.Split('\n')[23];
        _bench.Press(Key.F1);
        int x = _bench.Screen.Split('\n')[23].IndexOf("Esc", StringComparison.Ordinal);
        Assert.InRange(x, keys.IndexOf("F6", StringComparison.Ordinal), keys.IndexOf("F8", StringComparison.Ordinal) - 3);
        _bench.Click(x, 23);
        _bench.Click(x, 23);
        Assert.Equal(keys, _bench.Screen.Split('\n')[23]);
        Assert.Empty(_intents);
        Quiet();
        _bench.Click(x, 23);
        Assert.Equal([new BenchInput.Says(new Answer.Moved([]))], _intents);
    }

    [Fact]
    public void While_a_reason_is_asked_for_the_row_of_keys_is_that_of_the_asking()
    {
        _bench.Click("F8");
        Assert.Contains("Reason:", _bench.Screen, StringComparison.Ordinal);
        Assert.DoesNotContain("F6", _bench.Screen, StringComparison.Ordinal);
        Quiet();
        _bench.Click("Esc");
        Assert.DoesNotContain("Reason:", _bench.Screen, StringComparison.Ordinal);
        Quiet();
        _bench.Click("F8");
        _bench.Press(Key.X);
        Quiet();
        _bench.Click("Enter take it");
        Assert.Equal([new BenchInput.Says(new Answer.Aside("x"))], _intents);
        Assert.Contains("F6", _bench.Screen, StringComparison.Ordinal);
    }

    [Fact]
    public void A_word_that_wants_more_says_what_and_is_dropped_by_a_click()
    {
        _bench.Press(Key.F1);
        _bench.Click("abandon REASON");
        Assert.Contains("> abandon  REASON", _bench.Screen, StringComparison.Ordinal);
        _bench.Press(Key.X);
        Assert.Contains("> abandon x\n", _bench.Screen, StringComparison.Ordinal);
        Quiet();
        _bench.Click("Esc");
        Assert.Contains(">   press one of the keys below", _bench.Screen, StringComparison.Ordinal);
        Assert.Contains("F6", _bench.Screen, StringComparison.Ordinal);
        Assert.Empty(_intents);
    }

    private void Quiet() => _time.Advance(PressGate.Calm);
}
