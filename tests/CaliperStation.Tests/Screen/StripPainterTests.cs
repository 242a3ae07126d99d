using CaliperStation.Screen;

namespace CaliperStation.Tests.Screen;

public class StripPainterTests
{
    public static TheoryData<string> Names => [.. Strips.Keys];

    private static Dictionary<string, LimitStrip> Strips { get; } = new()
    {
        ["guarded"] = new(0.25, 0.75, 0.35, 0.65, 0.5, 0.6, "3½ t", "4½ t"),
        ["plain"] = new(0.25, 0.75, null, null, 0.5, 0.3, "3½ t", "4½ t"),
        ["above-only"] = new(null, 0.7, null, 0.6, null, 0.9, string.Empty, "1 1/8 in"),
        ["below-only"] = new(0.3, null, 0.4, null, null, 0, "1/8 in", string.Empty),
        ["no-room-to-accept"] = new(0.45, 0.55, 0.52, 0.48, 0.5, 1, "7/64 in", "9/64 in"),
        ["no-value"] = new(0.25, 0.75, null, null, 0.5, null, "3½ t", "4½ t"),
    };

    [Theory]
    [MemberData(nameof(Names))]
    public void A_strip_looks_as_it_was_approved(string name) => Golden.Matches(
        "strip-" + name,
        StripPainter.Paint(Strips[name], 49, 3).ToString() + StripPainter.Paint(Strips[name], 24, 2) + StripPainter.Paint(Strips[name], 24, 1));

    [Fact]
    public void The_figures_of_the_limits_are_whole_or_absent()
    {
        LimitStrip strip = Strips["guarded"] with { LowerText = "1 15/32 in", UpperText = "1 17/32 in" };
        for (int width = 2; width < 80; width++)
        {
            string figures = StripPainter.Paint(strip, width, 3).ToString().Split('\n')[2];
            Assert.True(figures.Length == 0 || (figures.Contains(strip.LowerText, StringComparison.Ordinal) && figures.Contains(strip.UpperText, StringComparison.Ordinal)));
            Assert.True(width < 22 || figures.Length > 0);
        }
    }

    [Fact]
    public void Zones_differ_in_meaning_and_in_pattern()
    {
        Canvas canvas = StripPainter.Paint(Strips["guarded"], 100, 3);
        Assert.Equal([("·", CellStyle.Quiet), ("─", CellStyle.Borderline), ("═", CellStyle.Within)], [.. new[] { 10, 30, 40 }.Select(x => (canvas[x, 1].Text, canvas[x, 1].Style))]);
    }
}
