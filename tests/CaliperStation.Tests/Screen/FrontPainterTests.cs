using CaliperStation.Screen;
using CsCheck;

namespace CaliperStation.Tests.Screen;

public class FrontPainterTests
{
    private static readonly FrontShape Pocket = new("left pocket", true, 0, -3, 5, 6, OrderState.Ahead);

    [Theory]
    [InlineData("closed", 0.0)]
    [InlineData("eighth", 0.125)]
    [InlineData("two-inches", 2.0)]
    public void A_gap_upwards_is_opened_so_that_both_its_marks_are_seen(string name, double gap)
    {
        FrontShape rack = new("ribbon rack", false, 0, gap + 0.375, 4.125, 0.75, OrderState.Now);
        FrontDrawing drawing = new([Pocket, rack], new FrontGap(-1.5, 0, -1.5, gap, "pocket to rack"), []);
        string text = FrontPainter.Paint(drawing, 30, 14).ToString();
        Assert.Equal((1, 1), (text.Count(character => character == '▲'), text.Count(character => character == '▼')));
        Assert.Contains("↕ pocket to rack", text, StringComparison.Ordinal);
        Golden.Matches("front-up-" + name, text);
    }

    [Theory]
    [InlineData("left", -2.5, -2.4)]
    [InlineData("right", 2.5, 2.4)]
    public void A_gap_across_has_its_marks_side_by_side(string name, double from, double to)
    {
        FrontShape badge = new("badge", false, 0, -2, 4.8, 1, OrderState.Outside);
        FrontDrawing drawing = new([Pocket, badge], new FrontGap(from, -2, to, -2, "edge to edge"), []);
        string text = FrontPainter.Paint(drawing, 40, 16).ToString();
        Assert.Matches("◄─+►", text);
        Golden.Matches("front-across-" + name, text);
    }

    [Fact]
    public void Moves_point_from_their_pins()
    {
        FrontShape rack = new("rack", false, 0, 1, 4, 2, OrderState.Outside);
        FrontDrawing drawing = new(
            [Pocket, rack],
            null,
            [new FrontArrow(-1.5, 1, 0, 0.03), new FrontArrow(0, 1, 0, -1), new FrontArrow(1, 1, -1, 0), new FrontArrow(1.5, 1, 1, 1)]);
        Golden.Matches("front-moves", FrontPainter.Paint(drawing, 40, 14).ToString());
    }

    [Fact]
    public void A_row_counts_for_two_columns()
    {
        Canvas canvas = FrontPainter.Paint(new FrontDrawing([new FrontShape("", false, 0, 0, 8, 8, OrderState.Now)], null, []), 40, 20);
        string[] rows = [.. canvas.ToString().Split('\n').Where(row => row.Length > 0)];
        Assert.InRange((double)(rows[0].Trim().Length - 1) / (rows.Length - 1), 1.8, 2.2);
    }

    [Fact]
    public void Anything_can_be_drawn_at_any_size() =>
        Gen.Select(Gen.Double[-20, 20], Gen.Double[-20, 20], Gen.Double[-1, 9], Gen.Double[-1, 9], Gen.Int[0, 90], Gen.Int[0, 40]).Sample(
            (right, up, width, height, columns, rows) =>
            {
                FrontShape shape = new("a name of some length", false, right, up, width, height, OrderState.Stale);
                FrontDrawing drawing = new([Pocket, shape], new FrontGap(0, 0, right, up, "from here to there"), [new FrontArrow(right, up, width, -height)]);
                Canvas canvas = FrontPainter.Paint(drawing, columns, rows);
                Assert.Equal((columns, rows), (canvas.Width, canvas.Height));
            },
            iter: 300);
}
