using System.Text.RegularExpressions;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;
using CaliperStation.Screen;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.Input;

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
    private readonly List<OnKit<QueuePage>> _open = [];
    private bool _ended;

    public static TheoryData<int, int> Sizes => new() { { 80, 24 }, { 40, 10 }, { 120, 40 } };

    public void Dispose()
    {
        foreach (OnKit<QueuePage> kit in _open)
        {
            kit.Dispose();
        }
    }

    /// <summary>A list may come from anywhere: what would steer the terminal or break a row is seen as what it is.</summary>
    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_hostile_tag_name_and_message_are_seen_as_what_they_are(int width, int height)
    {
        const string Hostile = "A\u001b[2J\r\n\u202eB", Shown = "A\\x1B[2J\\x0D\\x0A\\u202EB";
        OnKit<QueuePage> kit = Open(_model with { Heading = Hostile, Hand = Hostile, Blouses = [new QueuedBlouse(Hostile, BlouseWants.SetRight, null, Hostile)], Message = Hostile, OpenDemonstration = Hostile }, width, height);

        string[] rows = kit.Rows;

        Assert.Equal(width > 40 ? 5 : 4, rows.Count(row => row.Contains(Shown, StringComparison.Ordinal)));   // heading, hand, blouse, message; the demonstration where its row is not cut
        Assert.All(rows, row => Assert.Equal(PrintableText.Escape(row), row));
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void It_looks_as_it_was_approved(int width, int height)
    {
        OnKit<QueuePage> kit = Open(_model, width, height);
        Golden.Matches($"queue-{width}x{height}", kit.Screen);
        Press(kit, Key.CursorDown, Key.CursorDown);
        Press(kit, Key.Enter);
        Golden.Matches($"queue-asks-{width}x{height}", kit.Screen);
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Its_help_looks_as_it_was_approved(int width, int height)
    {
        OnKit<QueuePage> kit = Open(_model, width, height);
        Press(kit, Key.F1);
        Golden.Matches($"queue-help-{width}x{height}", kit.Screen);
        Press(kit, Key.Esc);
        Assert.Contains("QG-017", kit.Screen, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Without_colour_only_bold_underline_and_reverse_are_sent(bool help)
    {
        OnKit<QueuePage> kit = Open(_model, 80, 24, BenchColours.None);
        Press(kit, help ? [Key.F1] : []);
        string sent = kit.App.Driver!.ToAnsi()!;
        SentToTerminal.HasNoColour(sent);
        Golden.Matches(help ? "queue-help-no-colour-80x24" : "queue-no-colour-80x24", sent.Replace('\e', '␛').ReplaceLineEndings("\n"));
    }

    [Fact]
    public void All_of_many_answers_are_reached_and_the_marked_one_is_taken()
    {
        OnKit<QueuePage> kit = Open(_model, 40, 10);
        Press(kit, Key.Enter);   // goes on: nothing is asked
        Assert.True(_ended);
        kit = Open(_model, 40, 10);
        Press(kit, Key.F8, Key.F8);
        Press(kit, Key.Enter);
        HashSet<string> seen = [];
        for (int answer = 0; answer < 18; answer++)
        {
            seen.UnionWith(Regex.Matches(kit.Screen, @"\d+ ribbons").Select(match => match.Value));
            Press(kit, Key.F8);
        }

        Assert.Equal(_ribbons.Answers.Order(), seen.Order());
        Press(kit, Key.F8);   // round: the usual third, and one more
        Press(kit, Key.Enter);
        Assert.Equal("4 ribbons", Assert.IsType<QueueChoice.Blouse>(_open[^1].Page.Choice).Answers["ribbons"]);
    }

    [Fact]
    public void A_click_on_a_line_takes_that_blouse_and_one_on_a_hint_does_what_its_key_does()
    {
        OnKit<QueuePage> drawn = Open(_model, 80, 24);
        drawn.Click("QG-019");   // within the quiet after the page was opened
        Assert.DoesNotContain(_ribbons.Ask[..17], drawn.Screen, StringComparison.Ordinal);
        _time.Advance(PressGate.Calm);
        drawn.Click("Quayside");   // nothing to click on
        drawn.Click("QG-019");
        Assert.Contains($"QG-019: {_ribbons.Ask[..17]}", drawn.Screen, StringComparison.Ordinal);
        drawn.Click("12 ribbons");   // still the same click
        Assert.False(_ended);
        _time.Advance(PressGate.Calm);
        drawn.Click("12 ribbons");

        Assert.True(_ended);
        QueueChoice.Blouse chosen = Assert.IsType<QueueChoice.Blouse>(drawn.Page.Choice);
        Assert.Equal(("QG-019", "12 ribbons"), (chosen.Queued.Tag, chosen.Answers["ribbons"]));

        OnKit<QueuePage> again = Open(_model, 80, 24);
        _time.Advance(PressGate.Calm);
        again.Click("F1");
        Assert.Contains(BenchHelp.Deeds, again.Screen, StringComparison.Ordinal);
        _time.Advance(PressGate.Calm);
        again.Click("back");
        Assert.Contains("QG-017", again.Screen, StringComparison.Ordinal);
        _time.Advance(PressGate.Calm);
        again.Click("F8");
        again.Press(Key.F1);
        again.Press(Key.F12);
        Assert.IsType<QueueChoice.Leave>(again.Page.Choice);   // the stop keys also leave from the page of help
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
        Assert.Contains($"QG-019: {_ribbons.Ask[..17]}", _open[^1].Screen, StringComparison.Ordinal);
        page.Wired(new CaliperEvent.Press());
        Assert.False(_ended);
        _time.Advance(TimeSpan.FromSeconds(1));
        page.Wired(new CaliperEvent.Press());
        Assert.Equal("3 ribbons", Assert.IsType<QueueChoice.Blouse>(page.Choice).Answers["ribbons"]);
    }

    private OnKit<QueuePage> Open(QueueModel model, int width, int height, BenchColours? colours = null)
    {
        _ended = false;
        OnKit<QueuePage> kit = new(colours ?? BenchColours.Sixteen, () => new QueuePage(model, colours ?? BenchColours.Sixteen, Switches.None, _time, () => _ended = true), width, height);
        _open.Add(kit);
        return kit;
    }

    private void Press(OnKit<QueuePage> kit, params Key[] keys)
    {
        _time.Advance(TimeSpan.FromSeconds(1));
        kit.Press(keys);
    }
}
