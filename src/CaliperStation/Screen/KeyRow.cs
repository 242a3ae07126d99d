using System.Text;
using CaliperStation.Core.Readings;
using Terminal.Gui.Drawing;
using Terminal.Gui.ViewBase;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>The row of keys: a bar of the kit's. A click on a key's hint is that key.</summary>
internal sealed class KeyRow : Bar
{
    private const int Between = 2;   // columns from one hint to the next

    private readonly OwnPress _clicks;
    private readonly Action<string> _press;
    private IReadOnlyList<KeyHint> _hints = [];
    private KeyHint[] _shown = [];

    /// <summary>A row in a page's last line.</summary>
    /// <param name="colours">How it looks.</param>
    /// <param name="clicks">Hears clicks.</param>
    /// <param name="press">Does what a key does, by the name it is shown by.</param>
    internal KeyRow(BenchColours colours, OwnPress clicks, Action<string> press)
    {
        (_clicks, _press) = (clicks, press);
        (Y, Width, Height, CanFocus) = (Pos.AnchorEnd(1), Dim.Fill(), 1, false);
        SetScheme(new Scheme(colours.Scheme) { HotNormal = colours[CellStyle.Key] });   // the kit shows keys in it
        ViewportChanged += (_, _) => Fit();
    }

    /// <summary>Shows hints, most needed first.</summary>
    internal void Show(IReadOnlyList<KeyHint> hints)
    {
        _hints = hints;
        Fit();
    }

    /// <summary>The hints that have room: whole ones only, for half a hint names a key and not what it does. Help, the last one, always has its room.</summary>
    internal static IEnumerable<KeyHint> Fitting(IReadOnlyList<KeyHint> hints, int width)
    {
        int at = 0;
        for (int each = 0; each < hints.Count; each++)
        {
            int columns = ColumnsOf(hints[each]);
            int kept = each < hints.Count - 1 && ColumnsOf(hints[^1]) < width ? ColumnsOf(hints[^1]) + Between : 0;
            if (at + columns + kept <= width)
            {
                yield return hints[each];
                at += columns + Between;
            }
        }
    }

    private static int ColumnsOf(KeyHint hint) => TextCells.Columns(hint.Key) + (hint.Does.Length > 0 ? 1 + TextCells.Columns(hint.Does) : 0);

    private void Fit()
    {
        KeyHint[] fitting = [.. Fitting(_hints, Viewport.Width)];
        if (fitting.SequenceEqual(_shown))
        {
            return;
        }

        _shown = fitting;
        foreach (View old in SubViews.ToList())
        {
            Remove(old);
            old.Dispose();
        }

        Add([.. fitting.Select(Hint)]);
        SetNeedsDraw();
    }

    /// <summary>The key before what it does, as close as in print; the kit's own places them the other way round and wider.</summary>
    private Shortcut Hint(KeyHint hint)
    {
        Shortcut shown = new()
        {
            HotKeySpecifier = new Rune('\uffff'),   // no letter of it is a key
            Title = string.Concat(TextCells.Elements(hint.Does).Select(element => element.Text)),
            AlignmentModes = AlignmentModes.EndToStart,
            CanFocus = false,   // the keys go to the page
            MouseHighlightStates = MouseState.None,
            Action = () =>
            {
                if (_clicks.Take())
                {
                    _press(hint.Key);
                }
            },
        };
        shown.KeyView.Text = hint.Key;   // not its key: the page hears the keys
        shown.HelpText = "";             // lays the key out; margins set before that are lost
        shown.KeyView.Margin.Thickness = default;
        shown.CommandView!.Margin.Thickness = new Thickness(hint.Does.Length > 0 ? 1 : 0, 0, Between, 0);
        return shown;
    }
}

/// <summary>Tells a press or click that has a quiet before it from one that goes on, is doubled or held. Of what it is not asked about it knows nothing.</summary>
/// <param name="time">The bench's time.</param>
internal sealed class OwnPress(TimeProvider time)
{
    private PressGate _gate = PressGate.Hear(time.GetElapsedTime(0));   // what left the page before may still go on

    /// <summary>Hears one, and says whether it is of its own.</summary>
    internal bool Take()
    {
        TimeSpan now = time.GetElapsedTime(0);
        bool isOwn = _gate.IsCalm(now);
        _gate = PressGate.Hear(now);
        return isOwn;
    }
}
