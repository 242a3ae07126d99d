using CaliperStation.Core.Judging;
using CaliperStation.Core.Reports;
using Terminal.Gui.Drawing;
using CellAttribute = Terminal.Gui.Drawing.Attribute;

namespace CaliperStation.Screen;

/// <summary>How each meaning looks, in three sets: true colour, the terminal's sixteen, and none.</summary>
/// <remarks>
/// The true colours are of the set that M. Okabe and K. Ito chose to be told apart with any colour vision
/// ("Color Universal Design", 2008, https://jfly.uni-koeln.de/color/): sky blue within, yellow borderline, vermillion outside.
/// The sixteen follow them as near as they go; there, outside is a filled bar, so that it stands out without any hue. Without
/// colour there is bold, underline and reverse only (SGR 1, 4, 7), as no-color.org asks.
/// </remarks>
internal sealed class BenchColours
{
    private readonly CellAttribute[] _of;

    private BenchColours(Func<CellStyle, CellAttribute> of) => _of = Array.ConvertAll(Enum.GetValues<CellStyle>(), style => of(style));

    /// <summary>For a terminal that says it shows 24-bit colours.</summary>
    public static BenchColours True { get; } = new(OfTrue);

    /// <summary>For every other terminal with colours.</summary>
    public static BenchColours Sixteen { get; } = new(OfSixteen);

    /// <summary>For <c>NO_COLOR</c>.</summary>
    public static BenchColours None { get; } = new(OfNone);

    /// <summary>The attribute of a meaning.</summary>
    public CellAttribute this[CellStyle style] => _of[(int)style];

    /// <summary>The same for the kit's own views: every role is said, for those that are not the kit makes up in colours of its own.</summary>
    public Scheme Scheme
    {
        get
        {
            CellAttribute ground = this[CellStyle.Ground], strong = this[CellStyle.Strong];
            return new Scheme
            {
                Normal = ground,
                HotNormal = ground,
                Disabled = this[CellStyle.Quiet],
                ReadOnly = ground,
                Editable = ground,
                Focus = strong,
                HotFocus = strong,
                Active = strong,
                HotActive = strong,
                Highlight = strong,
            };
        }
    }

    /// <summary>The set that the environment asks for.</summary>
    /// <param name="noColor"><c>NO_COLOR</c>: anything but empty turns colour off (no-color.org).</param>
    /// <param name="colorTerm"><c>COLORTERM</c>: <c>truecolor</c> or <c>24bit</c>, common practice of terminals.</param>
    public static BenchColours For(string? noColor, string? colorTerm) =>
        !string.IsNullOrEmpty(noColor) ? None : colorTerm is "truecolor" or "24bit" ? True : Sixteen;

    private static CellAttribute OfTrue(CellStyle style) => style switch
    {
        CellStyle.Ground => On(new Color(215, 215, 215), Black),
        CellStyle.Quiet => On(new Color(140, 140, 140), Black),
        CellStyle.Strong => On(new Color(255, 255, 255), Black, TextStyle.Bold),
        CellStyle.Heading => On(new Color(215, 215, 215), Black, TextStyle.Bold),
        CellStyle.Within => On(new Color(86, 180, 233), Black),
        CellStyle.Borderline => On(new Color(240, 228, 66), Black),
        CellStyle.Outside => On(Black, new Color(213, 94, 0), TextStyle.Bold),
        CellStyle.Caution => On(new Color(230, 159, 0), Black, TextStyle.Bold),
        CellStyle.Gap => On(new Color(204, 121, 167), Black, TextStyle.Bold),
        CellStyle.Key => On(Black, new Color(190, 190, 190)),
    };

    private static CellAttribute OfSixteen(CellStyle style) => style switch
    {
        CellStyle.Ground => On(ColorName16.Gray, ColorName16.Black),
        CellStyle.Quiet => On(ColorName16.DarkGray, ColorName16.Black),
        CellStyle.Strong => On(ColorName16.White, ColorName16.Black, TextStyle.Bold),
        CellStyle.Heading => On(ColorName16.White, ColorName16.Black),
        CellStyle.Within => On(ColorName16.BrightCyan, ColorName16.Black),
        CellStyle.Borderline => On(ColorName16.BrightYellow, ColorName16.Black),
        CellStyle.Outside => On(ColorName16.White, ColorName16.Red, TextStyle.Bold),
        CellStyle.Caution => On(ColorName16.Yellow, ColorName16.Black, TextStyle.Bold),
        CellStyle.Gap => On(ColorName16.BrightMagenta, ColorName16.Black, TextStyle.Bold),
        CellStyle.Key => On(ColorName16.Black, ColorName16.Gray),
    };

    private static CellAttribute OfNone(CellStyle foreground) => On(Color.None, Color.None, foreground switch
    {
        CellStyle.Ground or CellStyle.Quiet => TextStyle.None,
        CellStyle.Strong or CellStyle.Heading or CellStyle.Within or CellStyle.Caution or CellStyle.Gap => TextStyle.Bold,
        CellStyle.Borderline => TextStyle.Underline,
        CellStyle.Outside => TextStyle.Bold | TextStyle.Reverse,
        CellStyle.Key => TextStyle.Reverse,
    });

    private static Color Black => new(0, 0, 0);

    private static CellAttribute On(Color foreground, Color ground, TextStyle style = TextStyle.None) => new(foreground, ground, style);

    private static CellAttribute On(ColorName16 foreground, ColorName16 ground, TextStyle style = TextStyle.None) => new(new Color(foreground), new Color(ground), style);
}

/// <summary>What a cell of the screen means; <see cref="BenchColours"/> alone knows how each meaning looks.</summary>
internal enum CellStyle
{
    /// <summary>Ordinary text and blank ground.</summary>
    Ground,

    /// <summary>Of less weight: lines between the regions, what is still to come, what is moving.</summary>
    Quiet,

    /// <summary>What is to be read first: the prompt, the value, the current line.</summary>
    Strong,

    /// <summary>An item's name over its steps; the header.</summary>
    Heading,

    /// <summary>The verdict within.</summary>
    Within,

    /// <summary>The verdict borderline.</summary>
    Borderline,

    /// <summary>The verdict outside.</summary>
    Outside,

    /// <summary>A caution, and trouble with the caliper.</summary>
    Caution,

    /// <summary>The gap to be measured.</summary>
    Gap,

    /// <summary>A key's name, and what is being typed.</summary>
    Key,
}

/// <summary>The mark and style of every state and verdict, so that a colour is never the only sign.</summary>
/// <remarks>All marks are in the WGL4 set (from memory), which the usual console fonts cover.</remarks>
internal static class Marks
{
    /// <summary>The mark of a state of work.</summary>
    public static char Of(OrderState state) => state switch
    {
        OrderState.Ahead => '·',
        OrderState.Now => '►',
        OrderState.Within => VerdictText.Mark(Verdict.Within),
        OrderState.Borderline => VerdictText.Mark(Verdict.Borderline),
        OrderState.Outside => VerdictText.Mark(Verdict.Outside),
        OrderState.Stale => '○',
        OrderState.Aside => '»',
        OrderState.Done => '■',
    };

    /// <summary>What the mark says, in words.</summary>
    public static string WordsOf(OrderState state) => state switch
    {
        OrderState.Ahead => "to come",
        OrderState.Now => "now",
        OrderState.Within => "within, done",
        OrderState.Borderline => "borderline",
        OrderState.Outside => "outside, not so",
        OrderState.Stale => "to be read again",
        OrderState.Aside => "set aside",
        OrderState.Done => "read",
    };

    /// <summary>The style of a state of work.</summary>
    public static CellStyle StyleOf(OrderState state) => state switch
    {
        OrderState.Ahead => CellStyle.Quiet,
        OrderState.Now => CellStyle.Strong,
        OrderState.Within => CellStyle.Within,
        OrderState.Borderline => CellStyle.Borderline,
        OrderState.Outside => CellStyle.Outside,
        OrderState.Stale => CellStyle.Borderline,
        OrderState.Aside => CellStyle.Caution,
        OrderState.Done => CellStyle.Ground,
    };

    /// <summary>A verdict as a state of work.</summary>
    public static OrderState StateOf(Verdict verdict) => verdict switch
    {
        Verdict.Within => OrderState.Within,
        Verdict.Borderline => OrderState.Borderline,
        Verdict.Outside => OrderState.Outside,
    };
}
