using CaliperStation.Screen;
using Terminal.Gui.App;
using Terminal.Gui.Drivers;
using Terminal.Gui.Input;
using Terminal.Gui.Testing;
using Terminal.Gui.Time;
using Terminal.Gui.Views;

namespace CaliperStation.Tests.Screen;

/// <summary>A window of the kit's as its driver holds it, without a terminal; for tests of <see cref="KitCollection"/>.</summary>
internal sealed class Drawn : IDisposable
{
    private readonly IApplication _app;
    private readonly SessionToken _token;
    private readonly Runnable _window;

    internal Drawn(Func<Runnable> window, int width, int height, BenchColours? colours = null)
    {
        BenchScreen.Prepare(colours ?? BenchColours.Sixteen);
        _app = Application.Create(new VirtualTimeProvider());
        _app.Init(DriverRegistry.Names.ANSI);
        _app.Driver!.SetScreenSize(width, height);
        _window = window();
        _token = _app.Begin(_window)!;
        Draw();
    }

    /// <summary>All rows, without the blanks at their ends.</summary>
    internal string Text
    {
        get
        {
            Draw();
            return string.Join('\n', _app.Driver!.ToString()!.ReplaceLineEndings("\n").Split('\n').Select(row => row.TrimEnd()));
        }
    }

    /// <summary>A bench that nothing was done on yet.</summary>
    internal static string Bench(BenchModel model, int width, int height, bool large = false)
    {
        using Drawn drawn = new(() => new BenchWindow(model, BenchColours.Sixteen, _ => { }, ScreenSettings.Usual with { Large = large }), width, height);
        return drawn.Text;
    }

    internal void Press(params Key[] keys)
    {
        foreach (Key key in keys)
        {
            _app.InjectKey(key);
        }

        Draw();
    }

    /// <summary>Clicks where a text begins.</summary>
    internal void Click(string text)
    {
        string[] rows = Text.Split('\n');
        int row = Array.FindLastIndex(rows, each => each.Contains(text, StringComparison.Ordinal));
        Assert.True(row >= 0, $"nothing to click on: {text}");
        Click(rows[row].IndexOf(text, StringComparison.Ordinal), row);
    }

    internal void Click(int x, int y)
    {
        foreach (MouseFlags flags in (MouseFlags[])[MouseFlags.LeftButtonPressed, MouseFlags.LeftButtonReleased])
        {
            _app.InjectMouse(new Mouse { Flags = flags, ScreenPosition = new System.Drawing.Point(x, y) });
        }

        Draw();
    }

    public void Dispose()
    {
        _app.End(_token);
        _window.Dispose();
        _app.Dispose();
    }

    private void Draw()
    {
        _app.TimedEvents!.RunTimers();
        _app.LayoutAndDraw();
        _app.LayoutAndDraw();   // what a first layout told the texts about their width
    }
}
