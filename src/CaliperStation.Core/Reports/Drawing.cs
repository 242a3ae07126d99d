using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Reports;

/// <summary>A point of a drawing in millimetres from its top left corner, right and down.</summary>
public readonly record struct DrawPoint(double X, double Y);

/// <summary>A line's look: width in millimetres, colour as <c>#rrggbb</c>, length of a dash in millimetres (0: unbroken).</summary>
public readonly record struct Stroke(double Width, string Colour, double Dash = 0);

/// <summary>Which end of a text stands at its point.</summary>
public enum TextAnchor
{
    /// <summary>Its beginning.</summary>
    Start,

    /// <summary>Its middle.</summary>
    Middle,

    /// <summary>Its end.</summary>
    End,
}

/// <summary>One mark of a drawing.</summary>
public abstract record Mark
{
    private Mark()
    {
    }

    /// <summary>A line through points.</summary>
    public sealed record Line(IReadOnlyList<DrawPoint> Points, Stroke Stroke) : Mark;

    /// <summary>An area within rings, each closed by itself; a ring within a ring is a hole. Filled, outlined or both.</summary>
    public sealed record Area(IReadOnlyList<IReadOnlyList<DrawPoint>> Rings, Stroke? Stroke, string? Fill) : Mark;

    /// <summary>A circle.</summary>
    public sealed record Circle(DrawPoint Centre, double Radius, Stroke? Stroke, string? Fill) : Mark
    {
        /// <summary>What a page shows where it is pointed at; empty for nothing.</summary>
        public string Tip { get; init; } = "";
    }

    /// <summary>A text on its base line. It is as it came: what draws it makes it safe to print.</summary>
    public sealed record Words(DrawPoint At, double Size, string Text, string Colour, TextAnchor Anchor, bool Strong = false) : Mark;
}

/// <summary>A drawing on paper; the same model becomes SVG and PDF.</summary>
/// <param name="Width">Millimetres.</param>
/// <param name="Height">Millimetres.</param>
/// <param name="Marks">What is drawn, the hindmost first.</param>
/// <param name="Title">What it shows, in words.</param>
public sealed record Drawing(double Width, double Height, IReadOnlyList<Mark> Marks, string Title);

/// <summary>Colours of charts that colour-blind eyes tell apart: M. Okabe and K. Ito, Color Universal Design (2008), jfly.uni-koeln.de/color.</summary>
internal static class ChartColours
{
    internal const string Blue = "#0072b2";
    internal const string Vermilion = "#d55e00";
    internal const string Green = "#009e73";

    /// <summary>All of them, for as many series.</summary>
    internal static IReadOnlyList<string> All { get; } = [Blue, Vermilion, Green, "#cc79a7", "#56b4e9", "#e69f00", "#000000"];
}

/// <summary>How wide a text is in the font of the paper once it is made safe to print, in millimetres.</summary>
/// <param name="text">The text.</param>
/// <param name="size">Size of the font in millimetres.</param>
/// <param name="strong">Bold.</param>
public delegate double TextWidth(string text, double size, bool strong);

/// <summary>Writes a drawing as SVG 1.1 that stands alone or within a page: no script, no style sheet, no outside address.</summary>
public static class DrawingSvg
{
    /// <summary>The element; ends with a line feed. The same drawing gives the same text.</summary>
    public static string Of(Drawing drawing)
    {
        StringBuilder svg = new();
        svg.Append(CultureInfo.InvariantCulture, $"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{N(drawing.Width)}mm\" height=\"{N(drawing.Height)}mm\" viewBox=\"0 0 {N(drawing.Width)} {N(drawing.Height)}\" role=\"img\" font-family=\"'DejaVu Sans',Verdana,sans-serif\">\n<title>{Markup.Escape(drawing.Title)}</title>\n");
        foreach (Mark mark in drawing.Marks)
        {
            svg.Append(mark switch
            {
                Mark.Line line => $"<polyline points=\"{string.Join(' ', line.Points.Select(P))}\" fill=\"none\"{Look(line.Stroke)}/>",
                Mark.Area area => $"<path d=\"{string.Join(' ', area.Rings.Select(ring => $"M{string.Join(" L", ring.Select(P))} Z"))}\" fill=\"{area.Fill ?? "none"}\" fill-rule=\"evenodd\"{Look(area.Stroke)}/>",
                Mark.Circle circle => $"<circle cx=\"{N(circle.Centre.X)}\" cy=\"{N(circle.Centre.Y)}\" r=\"{N(circle.Radius)}\" fill=\"{circle.Fill ?? "none"}\"{Look(circle.Stroke)}{(circle.Tip.Length == 0 ? "/>" : $"><title>{Markup.Escape(circle.Tip)}</title></circle>")}",
                Mark.Words words => $"<text x=\"{N(words.At.X)}\" y=\"{N(words.At.Y)}\" font-size=\"{N(words.Size)}\" fill=\"{words.Colour}\"{Anchor(words.Anchor)}{(words.Strong ? " font-weight=\"bold\"" : "")}>{Markup.Escape(words.Text)}</text>",
                _ => throw new System.Diagnostics.UnreachableException(),
            }).Append('\n');
        }

        return svg.Append("</svg>\n").ToString();
    }

    private static string Look(Stroke? stroke) => stroke is not { } line ? ""
        : $" stroke=\"{line.Colour}\" stroke-width=\"{N(line.Width)}\"{(line.Dash > 0 ? $" stroke-dasharray=\"{N(line.Dash)}\"" : "")}";

    private static string Anchor(TextAnchor anchor) => anchor switch
    {
        TextAnchor.Start => "",
        TextAnchor.Middle => " text-anchor=\"middle\"",
        TextAnchor.End => " text-anchor=\"end\"",
    };

    private static string P(DrawPoint point) => $"{N(point.X)},{N(point.Y)}";

    /// <summary>To a thousandth of a millimetre.</summary>
    private static string N(double millimetres)
    {
        string text = millimetres.ToString("0.###", CultureInfo.InvariantCulture);
        return text == "-0" ? "0" : text;
    }
}

/// <summary>Text within SVG and HTML.</summary>
internal static class Markup
{
    /// <summary>The text with every character that means something to markup, or that is not plainly printable, escaped; good within elements and quoted attributes.</summary>
    internal static string Escape(string text)
    {
        StringBuilder escaped = new(text.Length + 16);
        foreach (char c in PrintableText.Escape(text))
        {
            escaped.Append(c switch
            {
                '<' => "&lt;",
                '>' => "&gt;",
                '&' => "&amp;",
                '"' => "&quot;",
                '\'' => "&#39;",
                _ => c.ToString(),
            });
        }

        return escaped.ToString();
    }
}
