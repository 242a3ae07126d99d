using CaliperStation.Core.Reports;
using CaliperStation.Screen;
using Terminal.Gui.Drawing;
using Terminal.Gui.Input;

namespace CaliperStation.Tests.Screen;

[Collection(KitCollection.Name)]
public sealed class PlotPageTests : IDisposable
{
    private static readonly TrendPlot _limited = new(
        "step rack-left (left end of the rack above the pocket)", "Quayside parade, 3: 200 coats, out", 200,
        ["wider than chance explains on QG-017 of 2026-11-25: +4.0 t", "usually wider than its nominal, by 0.4 t: more than the scatter explains"],
        [.. Enumerable.Range(0, 200).Select(at => at == 199 ? 9.0 : at % 3)], [.. Enumerable.Repeat(1.0, 200)], new(1, "+1.0 t"), new(-2, "-2.0 t"), new(4, "+4.0 t"));

    private static readonly TrendPlot _few = new("step badge-low", "Quayside parade, 3: 3 coats, no limits", 3, ["3 coats: too few for limits, 10 are needed"], [5, 5, 5], [], null, null, null);

    private readonly OnKit<PlotPage> _kit;
    private int _ended;

    public PlotPageTests() => _kit = new(BenchColours.Sixteen, () => new PlotPage([_limited, _few], BenchColours.Sixteen, () => _ended++));

    public void Dispose() => _kit.Dispose();

    [Theory]
    [InlineData(80, 24)]
    [InlineData(120, 40)]
    [InlineData(40, 10)]
    public void A_chart_has_its_values_limits_and_words_whatever_the_size(int width, int height)
    {
        _kit.Size(width, height);
        string[] rows = _kit.Rows;

        Assert.StartsWith(_limited.Name[..35], rows[0], StringComparison.Ordinal);
        Assert.All((string[])["+4.0 t", "+1.0 t", "-2.0 t"], label => Assert.Single(rows, row => row.StartsWith(label + " ", StringComparison.Ordinal)));
        (int x, int y) = Assert.Single(Cells("X"));
        Assert.Equal(width - 1, x);   // the newest one stands at the right edge
        Assert.Equal(BenchColours.Sixteen[CellStyle.Outside], _kit.Cells[y, x].Attribute!.Value);
        Assert.Equal(width - "+4.0 t ".Length - 1, Cells("*").Count(cell => cell.X >= "+4.0 t ".Length));   // every other place has its value
        Assert.All(Cells("*"), cell => Assert.Equal(BenchColours.Sixteen[CellStyle.Within], _kit.Cells[cell.Y, cell.X].Attribute!.Value));
        Assert.Contains(rows, row => row.Contains("1 of 2", StringComparison.Ordinal));
        Assert.Contains($"newest {width - 7}", string.Join(' ', rows.Select(row => row.Trim())), StringComparison.Ordinal);
        Assert.StartsWith(PlotPage.Keys, rows[^1], StringComparison.Ordinal);
        Assert.Contains(rows, row => row.Contains(_limited.Said[0][..10], StringComparison.Ordinal));
    }

    [Fact]
    public void Keys_go_round_the_charts_and_one_without_limits_is_drawn_too()
    {
        _kit.Press(Key.CursorRight);
        Assert.StartsWith(_few.Name, _kit.Rows[0], StringComparison.Ordinal);
        Assert.Equal([0, 1, 2], Cells("*").Select(cell => cell.X));
        Assert.Empty(Cells("X"));
        _kit.Press(Key.CursorRight);
        Assert.StartsWith(_limited.Name, _kit.Rows[0], StringComparison.Ordinal);
        _kit.Press(Key.CursorLeft);
        Assert.StartsWith(_few.Name, _kit.Rows[0], StringComparison.Ordinal);
        Assert.Equal(0, _ended);
    }

    [Fact]
    public void Esc_enter_q_and_the_keys_that_leave_the_bench_leave()
    {
        Key[] leave = [Key.Esc, Key.Enter, Key.Q, Key.Q.WithCtrl, Key.C.WithCtrl, Key.F12];
        foreach (Key key in leave)
        {
            _kit.Press(key);
        }

        Assert.Equal(leave.Length, _ended);
    }

    private List<(int X, int Y)> Cells(string sign)
    {
        Cell[,] cells = _kit.Cells;
        return [.. Enumerable.Range(0, cells.GetLength(1)).SelectMany(x => Enumerable.Range(0, cells.GetLength(0)).Where(y => cells[y, x].Grapheme == sign).Select(y => (x, y)))];
    }
}
