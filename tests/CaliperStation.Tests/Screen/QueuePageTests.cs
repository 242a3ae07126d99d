using System.Text.RegularExpressions;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;
using CaliperStation.Screen;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.App;
using Terminal.Gui.Drivers;
using Terminal.Gui.Input;
using Terminal.Gui.Testing;

namespace CaliperStation.Tests.Screen;

/// <summary>The first page: its looks at every size, its keys, clicks and wired switch.</summary>
[Collection(KitCollection.Name)]
public sealed class QueuePageTests : IDisposable
{
    private static readonly Question _ribbons = new("ribbons", "How many ribbons does this coat carry?", [.. Enumerable.Range(1, 18).Select(count => $"{count} ribbons")]);

    private static readonly QueueModel _model = new(
        "Quayside Watch, parade blouse 2026-1",
        "AB",
        [
            new QueuedBlouse("QG-017", BlouseWants.GoOn, null, "open") { Waits = "glue set, at 10:40" },
            new QueuedBlouse("QG-018", BlouseWants.SetRight, null, "rack height is outside"),
            new QueuedBlouse("QG-019", BlouseWants.Measure, null, "no record"),
            new QueuedBlouse("QG-020", BlouseWants.Countersign, null, ""),
            new QueuedBlouse("QG-021", BlouseWants.Nothing, null, ""),
        ],
        _ => [(_ribbons, "3 ribbons")],
        "");

    private readonly FakeTimeProvider _time = new();
    private readonly List<(IApplication App, SessionToken Token, QueuePage Page)> _open = [];
    private bool _ended;

    public static TheoryData<int, int> Sizes => new() { { 80, 24 }, { 40, 10 }, { 120, 40 } };

    public void Dispose()
    {
        foreach ((IApplication app, SessionToken token, QueuePage page) in _open)
        {
            app.End(token);
            page.Dispose();
            app.Dispose();
        }
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void It_looks_as_it_was_approved(int width, int height)
    {
        IApplication app = Open(_model, width, height);
        Golden.Matches($"queue-{width}x{height}", Screen(app));
        Press(app, Key.CursorDown, Key.CursorDown);
        Press(app, Key.Enter);
        Golden.Matches($"queue-asks-{width}x{height}", Screen(app));
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Its_help_looks_as_it_was_approved(int width, int height)
    {
        IApplication app = Open(_model, width, height);
        Press(app, Key.F1);
        Golden.Matches($"queue-help-{width}x{height}", Screen(app));
        Press(app, Key.Esc);
        Assert.Contains("QG-017", Screen(app), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Without_colour_only_bold_underline_and_reverse_are_sent(bool help)
    {
        IApplication app = Open(_model, 80, 24, BenchColours.None);
        Press(app, help ? [Key.F1] : []);
        string sent = app.Driver!.ToAnsi()!;
        string[] used = [.. Regex.Matches(sent, @"\e\[([0-9;:]*)m").SelectMany(match => match.Groups[1].Value.Split(';')).Distinct()];
        Assert.Empty(used.Except(["0", "1", "4", "7", "22", "24", "27", "39", "49"]));
        Golden.Matches(help ? "queue-help-no-colour-80x24" : "queue-no-colour-80x24", sent.Replace('\e', '␛').ReplaceLineEndings("\n"));
    }

    [Fact]
    public void All_of_many_answers_are_reached_and_the_marked_one_is_taken()
    {
        IApplication app = Open(_model, 40, 10);
        Press(app, Key.Enter);   // goes on: nothing is asked
        Assert.True(_ended);
        app = Open(_model, 40, 10);
        Press(app, Key.F8, Key.F8);
        Press(app, Key.Enter);
        HashSet<string> seen = [];
        for (int answer = 0; answer < 18; answer++)
        {
            seen.UnionWith(Regex.Matches(Screen(app), @"\d+ ribbons").Select(match => match.Value));
            Press(app, Key.F8);
        }

        Assert.Equal(_ribbons.Answers.Order(), seen.Order());
        Press(app, Key.F8);   // round: the usual third, and one more
        Press(app, Key.Enter);
        Assert.Equal("4 ribbons", Assert.IsType<QueueChoice.Blouse>(_open[^1].Page.Choice).Answers["ribbons"]);
    }

    [Fact]
    public void A_click_on_a_line_takes_that_blouse_and_one_on_a_hint_does_what_its_key_does()
    {
        QueuePage? page = null;
        Drawn Open() => new(() => page = new QueuePage(_model, BenchColours.Sixteen, Switches.None, _time, () => _ended = true), 80, 24);
        using (Drawn drawn = Open())
        {
            drawn.Click("QG-019");   // within the quiet after the page was opened
            Assert.DoesNotContain("How many ribbons", drawn.Text, StringComparison.Ordinal);
            _time.Advance(PressGate.Calm);
            drawn.Click("Quayside");   // nothing to click on
            drawn.Click("QG-019");
            Assert.Contains("QG-019: How many ribbons", drawn.Text, StringComparison.Ordinal);
            drawn.Click("12 ribbons");   // still the same click
            Assert.False(_ended);
            _time.Advance(PressGate.Calm);
            drawn.Click("12 ribbons");
        }

        Assert.True(_ended);
        QueueChoice.Blouse chosen = Assert.IsType<QueueChoice.Blouse>(page!.Choice);
        Assert.Equal(("QG-019", "12 ribbons"), (chosen.Queued.Tag, chosen.Answers["ribbons"]));

        using Drawn again = Open();
        _time.Advance(PressGate.Calm);
        again.Click("F1");
        Assert.Contains("What can be done now", again.Text, StringComparison.Ordinal);
        _time.Advance(PressGate.Calm);
        again.Click("back");
        Assert.Contains("QG-017", again.Text, StringComparison.Ordinal);
        _time.Advance(PressGate.Calm);
        again.Click("F8");
        again.Press(Key.F1);
        again.Press(Key.F12);
        Assert.IsType<QueueChoice.Leave>(page!.Choice);   // the stop keys also leave from the page of help
    }

    [Fact]
    public void A_wired_switch_takes_the_one_on_top_and_a_held_one_is_one_press()
    {
        Open(_model, 80, 24);
        QueuePage page = _open[^1].Page;
        page.Wired(new CaliperEvent.Press());   // within the quiet after the page was opened
        Assert.False(_ended);
        _time.Advance(TimeSpan.FromSeconds(1));
        page.Wired(new CaliperEvent.NotSo());
        page.Wired(new CaliperEvent.NotSo());
        page.Wired(new CaliperEvent.Press());
        Assert.Contains("QG-019: How many ribbons", Screen(_open[^1].App), StringComparison.Ordinal);
        page.Wired(new CaliperEvent.Press());
        Assert.False(_ended);
        _time.Advance(TimeSpan.FromSeconds(1));
        page.Wired(new CaliperEvent.Press());
        Assert.Equal("3 ribbons", Assert.IsType<QueueChoice.Blouse>(page.Choice).Answers["ribbons"]);
    }

    private IApplication Open(QueueModel model, int width, int height, BenchColours? colours = null)
    {
        BenchScreen.Prepare(colours ?? BenchColours.Sixteen);
        _ended = false;
        IApplication app = Application.Create();
        app.Init(DriverRegistry.Names.ANSI);
        app.Driver!.SetScreenSize(width, height);
        QueuePage page = new(model, colours ?? BenchColours.Sixteen, Switches.None, _time, () => _ended = true);
        _open.Add((app, app.Begin(page)!, page));
        Pump(app);
        return app;
    }

    private static void Pump(IApplication app)
    {
        app.TimedEvents!.RunTimers();
        app.LayoutAndDraw();
        app.LayoutAndDraw();   // what a first layout told the texts about their width
    }

    private static string Screen(IApplication app)
    {
        Pump(app);
        return string.Join('\n', app.Driver!.ToString()!.ReplaceLineEndings("\n").Split('\n').Select(row => row.TrimEnd())) + "\n";
    }

    private void Press(IApplication app, params Key[] keys)
    {
        _time.Advance(TimeSpan.FromSeconds(1));
        foreach (Key key in keys)
        {
            app.InjectKey(key);
        }

        Pump(app);
    }
}
