using System.Text.RegularExpressions;
using CaliperStation.Screen;
using Terminal.Gui.App;
using Terminal.Gui.Drawing;
using Terminal.Gui.Drivers;
using Terminal.Gui.Input;
using Terminal.Gui.Testing;
using Terminal.Gui.Time;
using Terminal.Gui.Views;

namespace CaliperStation.Tests.Screen;

/// <summary>A page of the kit, drawn without a terminal; keys are put in, and what it drew is read.</summary>
internal sealed class OnKit<TPage> : IDisposable where TPage : Runnable
{
    private readonly SessionToken _token;

    /// <summary>Begins a page.</summary>
    /// <param name="colours">Its colours.</param>
    /// <param name="page">Makes it, once the kit is ready.</param>
    /// <param name="width">Columns of the screen.</param>
    /// <param name="height">Its rows.</param>
    internal OnKit(BenchColours colours, Func<TPage> page, int width = 80, int height = 24)
    {
        BenchScreen.Prepare(colours);
        App = Application.Create(new VirtualTimeProvider());
        App.Init(DriverRegistry.Names.ANSI);
        App.Driver!.SetScreenSize(width, height);
        Page = page();
        _token = App.Begin(Page)!;
        Pump();
    }

    internal IApplication App { get; }

    internal TPage Page { get; }

    internal Cell[,] Cells => App.Driver!.Contents!;

    /// <summary>What is drawn, each row without the blanks at its end.</summary>
    internal string Screen
    {
        get
        {
            Pump();
            return string.Join('\n', App.Driver!.ToString()!.ReplaceLineEndings("\n").Split('\n').Select(row => row.TrimEnd())) + "\n";
        }
    }

    internal string[] Rows => Screen.Split('\n')[..App.Driver!.Rows];

    public void Dispose()
    {
        App.End(_token);
        Page.Dispose();
        App.Dispose();
    }

    internal void Size(int width, int height)
    {
        App.Driver!.SetScreenSize(width, height);
        App.LayoutAndDraw(true);
    }

    internal void Pump()
    {
        App.TimedEvents!.RunTimers();
        App.LayoutAndDraw();
        App.LayoutAndDraw();   // what a first layout told the texts about their width
    }

    internal void Press(params Key[] keys)
    {
        foreach (Key key in keys)
        {
            App.InjectKey(key);
            Pump();
        }
    }

    /// <summary>Clicks where a text begins.</summary>
    internal void Click(string text)
    {
        string[] rows = Rows;
        int row = Array.FindLastIndex(rows, each => each.Contains(text, StringComparison.Ordinal));
        Assert.True(row >= 0, $"nothing to click on: {text}");
        Click(rows[row].IndexOf(text, StringComparison.Ordinal), row);
    }

    internal void Click(int x, int y)
    {
        foreach (MouseFlags flags in (MouseFlags[])[MouseFlags.LeftButtonPressed, MouseFlags.LeftButtonReleased])
        {
            App.InjectMouse(new Mouse { Flags = flags, ScreenPosition = new System.Drawing.Point(x, y) });
        }

        Pump();
    }

    /// <summary>A key as the bytes that a terminal sends for it.</summary>
    internal void PressBytes(Key key)
    {
        App.GetInputInjector().InjectKey(key, new() { Mode = InputInjectionMode.Pipeline });
        Pump();
    }
}

/// <summary>The bench without a terminal.</summary>
internal static class BenchOnKit
{
    /// <summary>A bench that nothing was done on yet, as it is drawn.</summary>
    internal static string Draw(BenchModel model, int width, int height, bool large = false)
    {
        using OnKit<BenchWindow> kit = new(BenchColours.Sixteen, () => new BenchWindow(model, BenchColours.Sixteen, _ => { }, ScreenSettings.Usual with { Large = large }), width, height);
        return kit.Screen[..^1];
    }
}

/// <summary>What is sent to a terminal.</summary>
internal static class SentToTerminal
{
    /// <summary>Fails where more than bold, underline and reverse is sent: 1, 4 and 7 and what switches them off again; 39 and 49 are the terminal's own colours (ECMA-48, 8.3.117).</summary>
    /// <returns>What is sent.</returns>
    internal static IReadOnlyList<string> HasNoColour(string sent)
    {
        string[] used = [.. Regex.Matches(sent, @"\e\[([0-9;:]*)m").SelectMany(match => match.Groups[1].Value.Split(';')).Distinct()];
        Assert.Empty(used.Except(["0", "1", "4", "7", "22", "24", "27", "39", "49"]));
        return used;
    }
}

/// <summary>Keeps the kit off the real terminal while its tests run; the variable is gone again for programs that other tests start.</summary>
public sealed class NoTerminal : IDisposable
{
    private const string Variable = "DisableRealDriverIO";

    public NoTerminal() => Environment.SetEnvironmentVariable(Variable, "1");

    public void Dispose() => Environment.SetEnvironmentVariable(Variable, null);
}

/// <summary>The kit's settings are one for the whole process.</summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class KitCollection : ICollectionFixture<NoTerminal>
{
    public const string Name = "terminal kit";
}
