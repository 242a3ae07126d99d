using CaliperStation.Cli;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Screen;
using Microsoft.Extensions.Time.Testing;
using Terminal.Gui.Input;
using KeyBindings = CaliperStation.Screen.KeyBindings;

namespace CaliperStation.Tests.Screen;

/// <summary>Help and the row of keys: of every kind of prompt of the demonstration's standard.</summary>
[Collection(KitCollection.Name)]
public sealed class HelpTests
{
    private static readonly Dictionary<string, string[]> _prompts = new()
    {
        ["ready"] = [],
        ["reading"] = ["ok", "ok", "ok", "ok", "14 t"],
        ["before-a-move"] = ["ok", "ok", "ok", "ok", "14 t", "18 t"],
        ["deciding"] = ["ok", "ok", "ok", "ok", "14 t", "18 t", "6 t", "6 t"],
        ["look"] = ["ok", "ok", "ok", "ok", "14 t", "14 t", "6 t", "6 t"],
        ["look-no"] = ["ok", "ok", "ok", "ok", "14 t", "14 t", "6 t", "6 t", "no"],
        ["doubt"] = ["ok", "ok", "ok", "ok", "400 mm"],
        ["reason"] = ["ok", "ok", "ok", "ok", "14 t", "18 t", "6 t", "6 t", "aside"],
    };

    private readonly FakeTimeProvider _time = new();
    private readonly List<BenchInput> _intents = [];

    public HelpTests() => BenchScreen.Prepare(BenchColours.Sixteen);

    public static TheoryData<string> Prompts => [.. _prompts.Keys];

    [Theory]
    [MemberData(nameof(Prompts))]
    public void Every_key_of_the_row_does_something(string prompt)
    {
        BenchState state = State(prompt);
        BenchModel model = BenchPresenter.Of(state, Now);
        foreach (KeyHint hint in model.Keys.Where(hint => hint.Key != BenchKeys.NameOf(BenchAction.Help)))
        {
            Assert.True(Key.TryParse(hint.Key.Replace("Ctrl-", "Ctrl+", StringComparison.Ordinal), out Key? key));
            _intents.Clear();
            using BenchWindow window = new(model, BenchColours.Sixteen, _intents.Add, null, _time);
            window.NewKeyDownEvent(key!);
            if (_intents.Count == 0)
            {
                Assert.Equal(BenchKeys.NameOf(BenchAction.Aside), hint.Key);   // it asks for the reason first
                window.NewKeyDownEvent(new Key('x'));
                _time.Advance(TimeSpan.FromSeconds(2));
                window.NewKeyDownEvent(Key.Enter);
            }

            Assert.True(DoesSomething(state, Assert.Single(_intents)), $"{prompt}: {hint.Key} {hint.Does}");
        }
    }

    [Theory]
    [MemberData(nameof(Prompts))]
    public void Every_line_of_help_that_can_be_chosen_does_something_or_asks_for_the_rest(string prompt)
    {
        BenchState state = State(prompt);
        BenchModel model = BenchPresenter.Of(state, Now);
        List<(string Word, string Takes)> begun = [];
        KeyBindings bindings = new();
        void Act(BenchAction action)
        {
            if (bindings.Do(action) is { } intent)
            {
                _intents.Add(intent);
            }
        }

        foreach (HelpLine line in BenchHelp.Of(model, _intents.Add, Act, (word, takes) => begun.Add((word, takes))).SelectMany(line => line.Choices.Count > 0 ? line.Choices : [line]).Where(line => line.Do is not null))
        {
            _intents.Clear();
            begun.Clear();
            bindings.Entry.Clear();
            (bindings.CanSetAside, bindings.OffersReasons) = (true, prompt == "reason");
            line.Do!();
            Assert.True(begun.Count == 1 || bindings.Entry.IsReason || DoesSomething(state, Assert.Single(_intents)), $"{prompt}: {line.What} {line.Means}");
        }
    }

    [Theory]
    [InlineData("reading", 80, 24)]
    [InlineData("reading", 40, 10)]
    [InlineData("reading", 120, 40)]
    [InlineData("deciding", 80, 24)]
    [InlineData("deciding", 40, 10)]
    [InlineData("deciding", 120, 40)]
    [InlineData("doubt", 80, 24)]
    public void A_page_of_help_looks_as_it_was_approved(string prompt, int width, int height)
    {
        using OnKit<BenchWindow> bench = OpenHelp(prompt, width, height);
        Golden.Matches($"help-{prompt}-{width}x{height}", bench.Screen);
    }

    [Theory]
    [InlineData("deciding", 80, 24)]
    [InlineData("deciding", 40, 10)]
    [InlineData("deciding", 120, 40)]
    [InlineData("reading", 80, 24)]
    [InlineData("look", 80, 24)]
    public void The_row_of_keys_of_the_real_bench_has_help_at_every_size_and_at_80_all_of_them(string prompt, int width, int height)
    {
        BenchModel model = BenchPresenter.Of(State(prompt), Now);
        KeyHint[] shown = [.. KeyRow.Fitting(model.Keys, width)];
        Assert.Equal(BenchKeys.NameOf(BenchAction.Help), shown[^1].Key);
        Assert.True(width < 80 || shown.Length == model.Keys.Count);
        Golden.Matches($"real-{prompt}-{width}x{height}", BenchOnKit.Draw(model, width, height));
    }

    [Theory]
    [InlineData("reading", 120, 40)]
    [InlineData("before-a-move", 120, 40)]
    [InlineData("deciding", 120, 40)]
    [InlineData("deciding", 160, 50)]
    public void The_large_face_looks_as_it_was_approved(string prompt, int width, int height) =>
        Golden.Matches($"large-{prompt}-{width}x{height}", BenchOnKit.Draw(BenchPresenter.Of(State(prompt), Now), width, height, large: true));

    [Theory]
    [InlineData(80, 24)]
    [InlineData(40, 10)]
    [InlineData(119, 60)]
    public void Where_the_large_face_has_no_room_the_usual_one_is_shown(int width, int height)
    {
        BenchModel model = BenchPresenter.Of(State("deciding"), Now);
        Assert.Equal(BenchPainter.Paint(model, width, height).ToString(), BenchPainter.Paint(model, width, height, large: true).ToString());
    }

    [Theory]
    [InlineData(80, 24)]
    [InlineData(40, 10)]
    public void Every_line_of_help_is_reached_by_one_key(int width, int height)
    {
        using OnKit<BenchWindow> whole = OpenHelp("deciding", width, 200), bench = OpenHelp("deciding", width, height);
        HashSet<string> all = [.. Rows(whole)], seen = [];
        for (int press = 0; press < all.Count; press++)
        {
            seen.UnionWith(Rows(bench));
            bench.Press(Key.CursorDown);
        }

        Assert.Empty(all.Except(seen));
        static IEnumerable<string> Rows(OnKit<BenchWindow> bench) => bench.Screen.Split('\n').Skip(1).Select(row => row.Trim(' ', '►')).Where(row => row.Length > 0 && !row.StartsWith('↓'));
    }

    /// <summary>Each of the kit's own ways through a list ends on a line that can be chosen or read, never on a heading.</summary>
    [Theory]
    [InlineData(80, 24)]
    [InlineData(40, 10)]
    public void The_lists_own_keys_go_through_the_page_and_back_and_what_is_marked_is_seen(int width, int height)
    {
        using OnKit<BenchWindow> bench = OpenHelp("deciding", width, height);
        string top = bench.Screen;
        bench.Press(Key.End);
        Assert.DoesNotContain("more below", bench.Screen, StringComparison.Ordinal);
        Assert.Contains("►", bench.Screen, StringComparison.Ordinal);
        bench.Press(Key.Home);
        Assert.Equal(top, bench.Screen);
        int pages = 0;
        for (; bench.Screen.Contains("more below", StringComparison.Ordinal); pages++)
        {
            Assert.True(pages < 20);
            bench.Press(Key.PageDown);
            Assert.Single(bench.Screen.Split('\n'), row => row.StartsWith('►'));
        }

        for (; pages >= 0; pages--)
        {
            bench.Press(Key.PageUp);
            Assert.Single(bench.Screen.Split('\n'), row => row.StartsWith('►'));
        }

        Assert.Equal(top, bench.Screen);
    }

    [Fact]
    public void An_earlier_reading_is_taken_again_by_the_list()
    {
        using BenchWindow window = new(BenchPresenter.Of(State("look"), Now), BenchColours.Sixteen, _intents.Add, null, _time);
        window.NewKeyDownEvent(Key.F1);
        string[] lines = ["back", .. BenchPresenter.Of(State("look"), Now).Offers.Select(offer => offer.Word)];
        for (int at = 0; at < Array.IndexOf(lines, "retake"); at++)
        {
            window.NewKeyDownEvent(Key.CursorDown);
        }

        Choose(window, Key.Enter);
        window.NewKeyDownEvent(Key.CursorDown);
        window.NewKeyDownEvent(Key.CursorDown);
        window.NewKeyDownEvent(Key.CursorDown);
        Choose(window, Key.Enter);
        Assert.Equal([new BenchInput.Says(new Answer.Retake("rack-right"))], _intents);
    }

    [Fact]
    public void A_word_that_wants_more_is_put_into_the_entry()
    {
        using BenchWindow window = new(BenchPresenter.Of(State("ready"), Now), BenchColours.Sixteen, _intents.Add, null, _time);
        window.NewKeyDownEvent(Key.F1);
        string[] lines = ["back", .. BenchPresenter.Of(State("ready"), Now).Offers.Select(offer => offer.Word)];
        for (int at = 0; at < Array.IndexOf(lines, "abandon"); at++)
        {
            window.NewKeyDownEvent(Key.CursorDown);
        }

        Choose(window, Key.Enter);
        foreach (char typed in "not this coat")
        {
            window.NewKeyDownEvent(new Key(typed));
            _time.Advance(TimeSpan.FromMilliseconds(150));
        }

        Choose(window, Key.Enter);
        Assert.Equal([new BenchInput.Says(new Answer.Abandon("not this coat"))], _intents);
    }

    [Fact]
    public void A_key_held_on_the_page_of_help_is_one_press()
    {
        using BenchWindow window = new(BenchPresenter.Of(State("reading"), Now), BenchColours.Sixteen, _intents.Add, null, _time);
        window.NewKeyDownEvent(Key.F1);
        window.NewKeyDownEvent(Key.Enter);   // back
        _time.Advance(TimeSpan.FromMilliseconds(500));
        for (int repeat = 0; repeat < 100; repeat++)
        {
            window.NewKeyDownEvent(Key.Enter);
            _time.Advance(TimeSpan.FromMilliseconds(33));
        }

        Assert.Empty(_intents);
        Choose(window, Key.Enter);
        Assert.Equal([new BenchInput.Press(PressOrigin.Person)], _intents);
    }

    private void Choose(BenchWindow window, Key key)
    {
        _time.Advance(TimeSpan.FromSeconds(1));
        window.NewKeyDownEvent(key);
    }

    internal static TimeSpan Now => TimeSpan.FromSeconds(100);

    private static Moment At(double seconds) => new(TimeSpan.FromSeconds(seconds), new DateTimeOffset(2026, 3, 1, 9, 0, 0, TimeSpan.Zero) + TimeSpan.FromSeconds(seconds));

    private OnKit<BenchWindow> OpenHelp(string prompt, int width, int height)
    {
        OnKit<BenchWindow> bench = new(BenchColours.Sixteen, () => new BenchWindow(BenchPresenter.Of(State(prompt), Now), BenchColours.Sixteen, _intents.Add, null, _time), width, height);
        bench.Press(Key.F1);
        return bench;
    }

    internal static BenchState State(string prompt)
    {
        Plan plan = Plan.For(StandardSource.Demonstration().Standard, new Dictionary<string, string>());
        SittingEvent.Started started = new("s-1", "HL-001", "AB", plan.Standard.Sha256, plan.Answers) { At = At(0).At };
        LiveCaliper caliper = new() { Name = "caliper", Source = ReadingSource.Serial };
        BenchSetup setup = new() { Reasons = prompt == "reason" ? ["as ordered", "the cloth does not allow it"] : [] };
        BenchState state = BenchEngine.Begin(new Work.Measuring(SittingView.Of(Sitting.Begin(plan, started))), caliper, setup, At(0)).State;
        double now = 0;
        state = BenchEngine.Step(state, new BenchInput.Caliper(new CaliperEvent.Opened()), At(now)).State;
        foreach (string line in _prompts[prompt])
        {
            state = BenchEngine.Step(state, new BenchInput.Says(Answer.Of(line)), At(now += 2)).State;
        }

        return state;
    }

    private static bool DoesSomething(BenchState before, BenchInput input)
    {
        BenchState state = before;
        double now = 200;
        state = BenchEngine.Step(state, input, At(now)).State;
        bool waits = state.IsBusy;   // for the caliper
        for (int tick = 0; tick < 60; tick++)
        {
            state = BenchEngine.Step(state, new BenchInput.Tick(), At(now += 0.02)).State;
        }

        return waits || (state.End, state.Work, state.Warning, state.Offered, state.PinsMoved) != (before.End, before.Work, before.Warning, before.Offered, before.PinsMoved);
    }
}
