using CaliperStation.Cli;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Screen;

namespace CaliperStation.Tests.Screen;

/// <summary>What the screen is told to show, of the demonstration's standard.</summary>
public sealed class BenchPresenterTests
{
    private const string Hostile = "A\u001b[2J\r\n\u202eB";

    private TimeSpan _now;
    private BenchState _state;

    public BenchPresenterTests()
    {
        Plan plan = Plan.For(StandardSource.Demonstration().Standard, new Dictionary<string, string>());
        SittingEvent.Started started = new("s-1", "HL-001", "AB", plan.Standard.Sha256, plan.Answers) { At = At };
        _state = BenchEngine.Begin(new Work.Measuring(SittingView.Of(Sitting.Begin(plan, started))), new LiveCaliper(), new BenchSetup(), new Moment(_now, At)).State;
        while (_state.Want.Prompt is Prompt.See)
        {
            Say("ok");
        }
    }

    private DateTimeOffset At => new DateTimeOffset(2026, 3, 1, 9, 0, 0, TimeSpan.Zero) + _now;

    private BenchModel Model => BenchPresenter.Of(_state, _now);

    private void Say(string line)
    {
        _now += TimeSpan.FromSeconds(2);
        _state = BenchEngine.Step(_state, new BenchInput.Says(Answer.Of(line)), new Moment(_now, At)).State;
    }

    [Fact]
    public void A_reading_that_only_its_pair_judges_is_given_no_nominal()
    {
        Assert.NotEmpty(Model.Target);
        Assert.DoesNotContain(Model.Target, char.IsDigit);
    }

    /// <summary>Names and prompts reach the model as they came; what is seen of them is their characters, and not what those would do.</summary>
    [Theory]
    [InlineData(80, 24)]
    [InlineData(120, 40)]
    [InlineData(40, 10)]
    public void A_hostile_name_and_prompt_are_seen_as_what_they_are(int width, int height)
    {
        Standard standard = StandardSource.Demonstration().Standard;
        Plan plan = Plan.For(
            standard with
            {
                Name = Hostile,
                Items = [.. standard.Items.Select(item => item with { Name = Hostile })],
                Looks = [.. standard.Looks.Select(look => look with { Ask = Hostile, Hint = Hostile, Caution = Hostile })],
            },
            new Dictionary<string, string>());
        SittingEvent.Started started = new("s-1", Hostile, "AB", plan.Standard.Sha256, plan.Answers) { At = At };
        _state = BenchEngine.Begin(new Work.Measuring(SittingView.Of(Sitting.Begin(plan, started))), new LiveCaliper(), new BenchSetup(), new Moment(_now, At)).State;

        Canvas canvas = BenchPainter.Paint(Model, width, height);

        Assert.Equal(Hostile, Model.Prompt.Ask);
        string[] rows = canvas.ToString().Split('\n');
        Assert.All(rows, row => Assert.Equal(PrintableText.Escape(row), row));
        Assert.All(rows, row => Assert.InRange(TextCells.Columns(row), 0, width));
        Assert.Contains("A\\x1B[2J\\x0D\\x0A\\u202EB", canvas.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_look_is_offered_a_yes_and_a_no_and_after_a_no_a_reason()
    {
        foreach (string line in (string[])["14 t", "14 t", "6 t", "6 t"])
        {
            Say(line);
        }

        Assert.Equal((PromptKind.Look, OrderState.Now), (Model.Prompt.Kind, Model.Order[Model.Current].State));
        Assert.Equal([BenchKeys.NameOf(BenchAction.Enter), BenchKeys.NameOf(BenchAction.NotSo)], Model.Keys.Take(2).Select(hint => hint.Key));
        Say("no");
        Assert.Equal(OrderState.Outside, Model.Order[Model.Current].State);
        Assert.Contains(Model.Keys, hint => hint.Key == BenchKeys.NameOf(BenchAction.Aside));
        Say("yes");
        Assert.Equal("lantern-low-left", Assert.IsType<Prompt.Read>(_state.Want.Prompt).Step.Id);
    }
}
