using CaliperStation.Screen;
using CsCheck;

namespace CaliperStation.Tests.Screen;

[Collection(KitCollection.Name)]
public class ScreenGoldenTests
{
    private static readonly Dictionary<string, BenchModel> Models = new()
    {
        ["ready"] = BenchSamples.Ready,
        ["reading"] = BenchSamples.Reading,
        ["across"] = BenchSamples.Across,
        ["outside"] = BenchSamples.Outside,
        ["sign"] = BenchSamples.Sign,
        ["lost"] = BenchSamples.Lost,
    };

    public static TheoryData<string, int, int> Screens
    {
        get
        {
            TheoryData<string, int, int> screens = [];
            foreach (string name in Models.Keys)
            {
                screens.Add(name, 80, 24);
                screens.Add(name, 120, 40);
                screens.Add(name, 40, 10);
                screens.Add(name, 60, 16);
            }

            return screens;
        }
    }

    [Theory]
    [MemberData(nameof(Screens))]
    public void A_screen_looks_as_it_was_approved(string name, int width, int height) =>
        Golden.Matches($"screen-{name}-{width}x{height}", BenchOnKit.Draw(Models[name], width, height));

    [Fact]
    public void The_current_line_is_seen_wherever_it_is()
    {
        Gen.Select(Gen.Int[1, 200], Gen.Int[0, 199], Gen.Int[60, 130], Gen.Int[16, 45]).Where(t => t.Item2 < t.Item1).Sample(
            (count, current, width, height) =>
            {
                OrderLine[] order = [.. Enumerable.Range(0, count).Select(index => new OrderLine($"line{index}.", OrderState.Ahead, index % 7 == 0, string.Empty))];
                BenchModel model = BenchSamples.Reading with { Order = order, Current = current };
                string screen = BenchPainter.Paint(model, width, height).ToString();
                Assert.Contains($"line{current}.", screen, StringComparison.Ordinal);
                Assert.Contains($"line{current / 7 * 7}.", screen, StringComparison.Ordinal);
            },
            iter: 200);
    }

    [Fact]
    public void A_prompt_of_any_usual_length_is_shown_whole()
    {
        string ask = string.Join(' ', Enumerable.Range(100, 45)); // 179 characters
        foreach ((int width, int height) in ((int, int)[])[(80, 24), (120, 40), (60, 16), (40, 10)])
        {
            string screen = BenchPainter.Paint(BenchSamples.Reading with { Prompt = BenchSamples.Reading.Prompt with { Ask = ask } }, width, height).ToString();
            Assert.All(ask.Split(' '), word => Assert.Contains(word, screen, StringComparison.Ordinal));
        }
    }

    [Fact]
    public void A_caution_is_seen_at_every_size()
    {
        BenchModel model = BenchSamples.Reading with { Prompt = new BenchPrompt(PromptKind.Reading, new string('x', 4000), "hint", "Mind it.") };
        foreach ((int width, int height) in ((int, int)[])[(80, 24), (120, 40), (60, 16), (40, 10)])
        {
            Assert.Contains("! Mind it.", BenchPainter.Paint(model, width, height).ToString(), StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Hostile_text_stays_inside_its_region_and_sends_no_control_character()
    {
        string hostile = string.Concat(Enumerable.Repeat("\e[2J\u202E\u0301\u0301漢字\r\n\tx\0👩‍👩‍👧 " + new string('\u0301', 30), 50));
        BenchModel reading = BenchSamples.Reading;
        BenchModel model = reading with
        {
            Standard = hostile,
            Tag = hostile,
            Caliper = hostile,
            Order = [.. reading.Order.Select(line => line with { Text = hostile, Value = hostile })],
            Prompt = new BenchPrompt(PromptKind.Reading, hostile, hostile, hostile),
            Live = new LiveReadout(hostile, hostile, LiveState.Steady),
            Strip = new LimitStrip(double.NaN, double.PositiveInfinity, -5, 1e300, double.NegativeInfinity, 7, hostile, hostile),
            Front = new FrontDrawing(
                [new FrontShape(hostile, false, 1e300, double.NaN, 1e308, -4, OrderState.Stale), new FrontShape(hostile, true, 0, 0, 1, 1, OrderState.Ahead)],
                new FrontGap(double.NaN, 0, 1e200, 0, hostile),
                [new FrontArrow(0, double.NaN, double.PositiveInfinity, 1)]),
            LastVerdict = reading.LastVerdict! with { Word = hostile, Detail = hostile },
            Message = hostile,
            Advice = [hostile, hostile],
            Keys = [new KeyHint(hostile, hostile), new KeyHint("F2", "press")],
        };
        for (int width = 0; width <= 130; width += 13)
        {
            for (int height = 0; height <= 42; height += 7)
            {
                Check(BenchPainter.Paint(model, width, height));
            }
        }

        Check(BenchPainter.Paint(model, 80, 24));
    }

    private static void Check(Canvas canvas)
    {
        BenchLayout layout = BenchLayout.Compute(canvas.Width, canvas.Height, 99, 9, 9);
        for (int y = 0; y < canvas.Height; y++)
        {
            string row = string.Concat(Enumerable.Range(0, canvas.Width).Select(x => canvas[x, y].Text));
            Assert.DoesNotContain(row, char.IsControl);
            Assert.Equal(canvas.Width, TextCells.Columns(row));
            Assert.All(Enumerable.Range(0, canvas.Width).Where(x => canvas[x, y].Text.Length == 0), x => Assert.Equal(2, TextCells.Columns(canvas[x - 1, y].Text)));
        }

        for (int row = 0; row < layout.Divider.Height; row++)
        {
            Assert.Equal("│", canvas[layout.Divider.X, layout.Divider.Y + row].Text);
        }
    }
}
