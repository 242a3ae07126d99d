using System.Drawing;
using System.Globalization;
using System.Text;
using CaliperStation.Core.Reports;
using Terminal.Gui.Drawing;
using Terminal.Gui.Input;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>Charts of what drifts, one at a time, on the kit's graph view: values, those beyond the limits with another sign, the moving average, what is usual and the limits.</summary>
internal sealed class PlotPage : Runnable
{
    private const int Low = 16;   // rows: a terminal with fewer gives the words less room, so that a plot is left
    internal const string Keys = "→ next  ← before  q leave";

    private readonly IReadOnlyList<TrendPlot> _plots;
    private readonly BenchColours _colours;
    private readonly Action _end;
    private readonly Label _name = new() { Width = Dim.Fill() };
    private readonly Label _standing = new() { Width = Dim.Fill() };
    private readonly GraphView _graph = new() { Width = Dim.Fill(), CanFocus = false };
    private readonly Label _said = new() { Width = Dim.Fill() };
    private readonly Label _keys = new() { Y = Pos.AnchorEnd(1), Width = Dim.Fill(), Text = Keys };
    private int _shown;
    private Size _laidOut;

    /// <summary>The page.</summary>
    /// <param name="plots">At least one.</param>
    /// <param name="colours">How it looks.</param>
    /// <param name="end">Ends the screen.</param>
    internal PlotPage(IReadOnlyList<TrendPlot> plots, BenchColours colours, Action end)
    {
        (_plots, _colours, _end) = (plots, colours, end);
        Width = Dim.Fill();
        Height = Dim.Fill();
        CanFocus = true;
        SetScheme(new Scheme(colours[CellStyle.Ground]));
        _name.SetScheme(new Scheme(colours[CellStyle.Heading]));
        _graph.SetScheme(new Scheme(colours[CellStyle.Ground]));
        _graph.AxisX.Visible = false;
        _graph.AxisY.Visible = false;
        Add(_name, _standing, _graph, _said, _keys);
        FrameChanged += (_, _) => Show();
        Show();
    }

    /// <summary>Shows the charts until a key or a signal ends it; false when this is no terminal that they can be drawn on.</summary>
    internal static bool Show(IReadOnlyList<TrendPlot> plots)
    {
        using BenchScreen? screen = BenchScreen.TryOpen((colours, end) => new PlotPage(plots, colours, end), ScreenSettings.Usual);
        screen?.Run(_ => { });
        return screen is not null;
    }

    /// <inheritdoc />
    protected override bool OnKeyDown(Key key)
    {
        int by = key == Key.CursorRight || key == Key.CursorDown || key == Key.Space || key == Key.Tab || key == Key.F8 ? 1
            : key == Key.CursorLeft || key == Key.CursorUp || key == Key.Tab.WithShift ? -1
            : 0;
        if (by != 0)
        {
            _shown = (_shown + by + _plots.Count) % _plots.Count;
            _laidOut = default;
            Show();
            return true;
        }

        if (key == Key.Esc || key == Key.Q || key == Key.Q.WithShift || key == Key.Enter || key == Key.Q.WithCtrl || key == Key.C.WithCtrl || key == Key.F12)
        {
            _end();
            return true;
        }

        return base.OnKeyDown(key);
    }

    private void Show()
    {
        Size size = Frame.Size;
        if (size == _laidOut || size.Width < 2)
        {
            return;
        }

        _laidOut = size;
        TrendPlot plot = _plots[_shown];
        int left = size.Height - 1;   // without the keys
        bool isLow = size.Height < Low;
        int Lay(Label label, string text, int most, int y)
        {
            string[] lines = [.. TextCells.Wrap(text, size.Width, Math.Max(0, Math.Min(most, left - (isLow ? 3 : 5))))];
            (label.Y, label.Height, label.Text) = (y, lines.Length, string.Join('\n', lines));
            left -= lines.Length;
            return lines.Length;
        }

        int margin = plot.Lines.Count == 0 ? 0 : plot.Lines.Max(line => TextCells.Columns(line.Words)) + 1;
        int drawn = Math.Min(plot.Values.Count, Math.Max(1, size.Width - margin));
        int top = Lay(_name, plot.Name, isLow ? 1 : 2, 0);
        top += Lay(_standing, string.Create(CultureInfo.InvariantCulture, $"{_shown + 1} of {_plots.Count}: {plot.Standing}{(drawn < plot.Count ? $"; the newest {drawn} are drawn" : "")}"), 2, top);
        int below = Lay(_said, plot.Said.Count == 0 ? "Nothing is out." : string.Join("; ", plot.Said) + ".", isLow ? 2 : 4, 0);
        _said.Y = Pos.AnchorEnd(1 + below);
        (_graph.Y, _graph.Height) = (top, left);
        Draw(plot, margin, drawn, left);
        SetNeedsLayout();
        SetNeedsDraw();
    }

    private void Draw(TrendPlot plot, int margin, int count, int height)
    {
        (double low, double high) = plot.Range;
        double range = high - low is > 0 and var wide && double.IsFinite(wide) ? wide : 1;
        int first = plot.Values.Count - count;
        int rows = Math.Max(2, height);
        float cell = 1f / (rows - 1);   // the graph is one high, whatever the values are
        float Up(double value) => (float)((value - low) / range);

        _graph.Reset();
        _graph.AxisX.Visible = false;
        _graph.AxisY.Visible = false;
        _graph.GraphColor = _colours[CellStyle.Ground];
        _graph.MarginLeft = (uint)margin;
        _graph.CellSize = new PointF(1, cell);
        _graph.ScrollOffset = new PointF(0, -cell / 2);
        foreach (PlotLine line in plot.Lines)
        {
            bool isCentre = line == plot.Centre;
            _graph.Annotations.Add(new PathAnnotation
            {
                BeforeSeries = true,
                LineRune = new Rune(isCentre ? '─' : '·'),
                LineColor = _colours[CellStyle.Quiet],
                Points = [new PointF(0, Up(line.Nanometres)), new PointF(count - 1, Up(line.Nanometres))],
            });
            _graph.Annotations.Add(new TextAnnotation { Text = line.Words.PadLeft(margin - 1), GraphPosition = new PointF(-margin, Up(line.Nanometres)) });
        }

        void Add(char sign, CellStyle style, IEnumerable<int> places, IReadOnlyList<double> values) => _graph.Series.Add(new ScatterSeries
        {
            Fill = new GraphCellToRender(new Rune(sign), _colours[style]),
            Points = [.. places.Select(at => new PointF(at, Up(values[first + at])))],
        });

        int[] all = [.. Enumerable.Range(0, count)];
        if (plot.Averages.Count == plot.Values.Count)
        {
            Add('~', CellStyle.Quiet, all, plot.Averages);
        }

        Add('*', CellStyle.Within, all.Where(at => !plot.IsBeyond(plot.Values[first + at])), plot.Values);
        Add('X', CellStyle.Outside, all.Where(at => plot.IsBeyond(plot.Values[first + at])), plot.Values);
    }
}
