using CaliperStation.Screen;
using Terminal.Gui.Drawing;
using CellAttribute = Terminal.Gui.Drawing.Attribute;

namespace CaliperStation.Tests.Screen;

[Collection(KitCollection.Name)]
public class BenchColoursTests
{
    /// <summary>no-color.org: "when present and not an empty string (regardless of its value), prevents the addition of ANSI color".</summary>
    [Theory]
    [InlineData(null, null, "sixteen")]
    [InlineData("", "truecolor", "true")]
    [InlineData(null, "24bit", "true")]
    [InlineData("1", "truecolor", "none")]
    [InlineData("0", null, "none")]
    public void The_environment_chooses_the_colours(string? noColor, string? colorTerm, string expected)
    {
        Dictionary<string, BenchColours> sets = new() { ["true"] = BenchColours.True, ["sixteen"] = BenchColours.Sixteen, ["none"] = BenchColours.None };
        Assert.Same(sets[expected], BenchColours.For(noColor, colorTerm));
    }

    [Fact]
    public void Without_colour_every_ink_is_the_terminals_own() => Assert.All(Enum.GetValues<CellStyle>(), ink =>
        Assert.Equal((Color.None, Color.None), (BenchColours.None[ink].Foreground, BenchColours.None[ink].Background)));

    [Fact]
    public void Verdicts_look_different_in_every_set() => Assert.All(
        (BenchColours[])[BenchColours.True, BenchColours.Sixteen, BenchColours.None],
        set => Assert.Equal(4, ((CellStyle[])[CellStyle.Ground, CellStyle.Within, CellStyle.Borderline, CellStyle.Outside]).Select(ink => set[ink]).Distinct().Count()));

    /// <summary>M. Okabe and K. Ito, "Color Universal Design", 2008, figure of the colour set: sky blue 86 180 233, yellow 240 228 66, vermillion 213 94 0.</summary>
    [Fact]
    public void Verdicts_have_the_colours_of_a_published_set_for_every_colour_vision()
    {
        Assert.Equal(new Color(86, 180, 233), BenchColours.True[CellStyle.Within].Foreground);
        Assert.Equal(new Color(240, 228, 66), BenchColours.True[CellStyle.Borderline].Foreground);
        Assert.Equal(new Color(213, 94, 0), BenchColours.True[CellStyle.Outside].Background);
    }

    /// <summary>WCAG 2.1, success criterion 1.4.3: a contrast of at least 4.5 to 1, with the relative luminance as defined there.</summary>
    [Fact]
    public void Every_text_stands_out_from_its_ground() =>
        Assert.All(Enum.GetValues<CellStyle>(), ink => Assert.True(Contrast(BenchColours.True[ink]) >= 4.5, ink.ToString()));

    private static double Contrast(CellAttribute attribute)
    {
        double[] sorted = [.. new[] { Luminance(attribute.Foreground), Luminance(attribute.Background) }.Order()];
        return (sorted[1] + 0.05) / (sorted[0] + 0.05);
    }

    private static double Luminance(Color colour) => (0.2126 * Linear(colour.R)) + (0.7152 * Linear(colour.G)) + (0.0722 * Linear(colour.B));

    private static double Linear(byte channel)
    {
        double share = channel / 255.0;
        return share <= 0.03928 ? share / 12.92 : Math.Pow((share + 0.055) / 1.055, 2.4);
    }
}
