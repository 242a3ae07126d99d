using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Standards;

namespace CaliperStation.Core.Tests.Reports;

public sealed class TemplateTests
{
    private static readonly TextWidth Measure = (text, size, _) => text.Length * size * 0.6;

    /// <summary>
    /// The area of a convex body of area A and perimeter P widened by r is A + P·r + π·r² (Steiner's formula; L. A. Santaló, Integral Geometry and Geometric Probability,
    /// 2nd ed. 2004, I.1.6, from memory).
    /// </summary>
    [Theory]
    [InlineData("0")]
    [InlineData("1/8")]
    [InlineData("1/2")]
    public void A_backing_of_one_item_has_the_area_of_Steiners_formula(string margin)
    {
        BackingOutline backing = Assert.Single(Of($"margin = \"{margin}\"", "size = [\"3\", \"5/8\"]"));

        double r = LengthText.Parse(margin, LengthUnit.Inch).Value!.Value.Nanometres / 1e6;
        (double wide, double high) = (76.2, 15.875);
        Assert.Equal((wide * high) + (2 * (wide + high) * r) + (Math.PI * r * r), Area(Assert.Single(backing.Pieces)[0]), tolerance: 0.02 + (0.001 * Math.PI * r * r));   // a round corner is of 24 chords
    }

    [Fact]
    public void Items_apart_become_one_piece_where_the_bridge_reaches_and_are_told_where_not()
    {
        string two = Text("margin = \"1/16\", bridge = \"1/4\"", "size = [\"1\", \"1/2\"]", Second("1/2"));

        Assert.Single(Assert.Single(Backings(two)).Pieces);   // 1/2 in less twice 1/16, and twice 1/4 bridges it
        Assert.Equal(2, Assert.Single(Backings(two.Replace("bridge = \"1/4\"", "bridge = \"1/16\"", StringComparison.Ordinal))).Pieces.Count);
    }

    [Theory]
    [InlineData("top", 0, 1, 6.35 - 1.5875)]
    [InlineData("bottom", 0, -1, 6.35 - 1.5875)]
    [InlineData("left", -1, 0, 12.7 - 1.5875)]
    [InlineData("right", 1, 0, 12.7 - 1.5875)]
    public void Beyond_a_hidden_edge_the_backing_does_not_show(string edge, int right, int up, double furthest)
    {
        BackingOutline backing = Assert.Single(Of($"margin = \"1/8\", inset = \"1/16\", hidden = [\"bar.{edge}\"]", "size = [\"1\", \"1/2\"]"));
        (double centreRight, double centreUp) = (backing.Items[0].Outline.Average(corner => corner.Right), backing.Items[0].Outline.Average(corner => corner.Up));

        double reach = backing.Pieces[0][0].Max(point => ((point.Right - centreRight) * right) + ((point.Up - centreUp) * up));
        double other = backing.Pieces[0][0].Max(point => ((point.Right - centreRight) * -right) + ((point.Up - centreUp) * -up));

        Assert.Equal(furthest, reach, tolerance: 0.002);
        Assert.Equal((Math.Abs(right) * 12.7) + (Math.Abs(up) * 6.35) + 3.175, other, tolerance: 0.002);
    }

    [Fact]
    public void A_cut_leaves_what_lies_under_another_item()
    {
        BackingOutline backing = Assert.Single(Backings(Text("margin = \"1/8\", hidden = [\"bar.top\"]", "size = [\"1\", \"1/2\"]", Second("0"))));

        double top = backing.Items.Single(item => item.Item.Id == "star").Outline.Max(corner => corner.Up);
        Assert.Single(backing.Pieces);
        Assert.Equal(top + 3.175, backing.Pieces[0][0].Max(point => point.Up), tolerance: 0.002);
    }

    [Fact]
    public void Left_and_right_of_a_hidden_edge_are_as_the_file_means_them()
    {
        string file = Text("hidden = [\"bar.left\"]", "size = [\"1\", \"1/2\"]");

        Assert.Equal(Edge.Left, StandardFiles.Loaded(file).Landmarks[0].Backing.Hidden[0].Edge);
        Assert.Equal(Edge.Right, StandardFiles.Loaded(file.Replace("unit = \"in\"", "unit = \"in\"\nsides = \"as-worn\"", StringComparison.Ordinal)).Landmarks[0].Backing.Hidden[0].Edge);
    }

    [Theory]
    [InlineData("margin = \"3\"", "margin", "0 to 2 in")]
    [InlineData("margin = \"-1/8\"", "margin", "0 to 2 in")]
    [InlineData("bridge = \"3\"", "bridge", "0 to 2 in")]
    [InlineData("inset = \"2\"", "inset", "0 to 1 in")]
    [InlineData("hole = \"0\"", "hole", "above 0 to 1/4 in")]
    [InlineData("hidden = [\"bra.top\"]", "no item \"bra\"", "\"bar\"")]
    [InlineData("hidden = [\"bar\"]", "\"bar\" names no edge", "bar.top")]
    [InlineData("hidden = [\"bar.up\"]", "\"bar.up\" names no edge", "bar.top")]
    [InlineData("hide = \"x\"", "no key \"hide\"", "")]
    public void A_faulty_backing_is_told_in_words_with_what_to_write(string backing, string message, string instead)
    {
        StandardLoad load = StandardText.Load(Text(backing, "size = [\"1\", \"1/2\"]"));

        Assert.Contains(load.Faults, fault => fault.Message.Contains(message, StringComparison.Ordinal) && fault.Instead.Contains(instead, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("95 mm", true)]
    [InlineData("105 mm", true)]
    [InlineData("94.99 mm", false)]
    [InlineData("105.01 mm", false)]
    [InlineData("0 mm", false)]
    [InlineData("-100 mm", false)]
    public void A_bar_that_no_printer_errs_by_is_refused(string bar, bool isTaken) =>
        Assert.Equal(isTaken, ScaleBars.Fault(LengthText.Parse(bar, LengthUnit.Millimetre).Value!.Value) is null);

    [Fact]
    public void A_printer_that_is_short_gets_everything_larger_and_is_told_by_how_much()
    {
        ScaleBars bars = new(Length.FromMicrometres(99_600), Length.FromMicrometres(100_200));

        Assert.Matches("0[.]40 % .*0[.]20 % ", bars.Words!);
        Assert.Null(ScaleBars.Exact.Words);
        Drawing around = Assert.Single(TemplatePaper.Of(Standard(), Of("", "size = [\"1\", \"1/2\"]"), "nominal places", bars, new PaperSettings(PaperSize.Find("a4")!, Measure, TimeZoneInfo.Utc))).Around;
        Mark.Line[] lines = [.. around.Marks.OfType<Mark.Line>()];
        Assert.Contains(lines, line => Math.Abs(line.Points[1].X - line.Points[0].X - (100 / 0.996)) < 1e-9);
        Assert.Contains(lines, line => Math.Abs(line.Points[1].Y - line.Points[0].Y - (100 / 1.002)) < 1e-9);
    }

    [Fact]
    public void A_measured_place_is_displaced_and_turned_about_its_centre()
    {
        Plan plan = Plan.For(Standard(), new Dictionary<string, string>());
        BackedItem still = BackingOutline.Of(plan, [])[0].Items[0];
        BackedItem moved = BackingOutline.Of(plan, [new ItemPose("bar", 2_000_000, -1_000_000, Math.PI / 2 * 1000, new double[9], [])])[0].Items[0];

        Assert.Equal(still.Pins[0].Right + 2, moved.Pins[0].Right, 1e-9);
        Assert.Equal(still.Pins[0].Up - 1, moved.Pins[0].Up, 1e-9);
        Assert.Equal(12.7, moved.Outline.Max(corner => corner.Right) - moved.Outline.Min(corner => corner.Right), 1e-6);   // a quarter turn: as wide as it was high
        Assert.Equal(25.4, moved.Outline.Max(corner => corner.Up) - moved.Outline.Min(corner => corner.Up), 1e-6);
    }

    [Theory]
    [InlineData("a5")]
    [InlineData("half-letter")]
    [InlineData("a4")]
    [InlineData("letter")]
    public void Sheets_laid_on_each_other_by_their_crosses_are_one_drawing(string size)
    {
        PaperSize paper = PaperSize.Find(size)!;
        IReadOnlyList<TemplateSheet> sheets = TemplatePaper.Of(Standard(), Of("", "size = [\"14\", \"12\"]"), "nominal places", ScaleBars.Exact, new PaperSettings(paper, Measure, TimeZoneInfo.Utc));

        // The same corner of the item on each sheet says how that sheet lies; the crosses must then lie on each other.
        Assert.True(sheets.Count > 1);
        List<DrawPoint[]> crosses = [.. sheets.Select(sheet =>
        {
            DrawPoint origin = sheet.Contents.Marks.OfType<Mark.Area>().Last().Rings[0][0];
            return sheet.Around.Marks.OfType<Mark.Circle>().Select(cross => new DrawPoint(Math.Round(cross.Centre.X - origin.X, 6), Math.Round(cross.Centre.Y - origin.Y, 6))).ToArray();
        })];
        Assert.All(crosses, of => Assert.NotEmpty(of));
        Assert.All(crosses.SelectMany(of => of).Distinct(), cross => Assert.InRange(crosses.Count(of => of.Contains(cross)), 2, 4));

        // Every point of the outline is within the window of some sheet.
        foreach ((DrawPoint point, int index) in sheets[0].Contents.Marks.OfType<Mark.Area>().SelectMany(area => area.Rings).SelectMany(ring => ring).Select((point, index) => (point, index)))
        {
            Assert.Contains(sheets, sheet =>
            {
                DrawPoint here = sheet.Contents.Marks.OfType<Mark.Area>().SelectMany(area => area.Rings).SelectMany(ring => ring).ElementAt(index);
                (double x, double y, double width, double height) = sheet.Window;
                return here.X >= x && here.Y >= y && here.X <= x + width && here.Y <= y + height;
            });
        }
    }

    private static Standard Standard() => StandardFiles.Loaded(Text("", "size = [\"1\", \"1/2\"]"));

    private static IReadOnlyList<BackingOutline> Of(string backing, string size) => Backings(Text(backing, size));

    private static IReadOnlyList<BackingOutline> Backings(string toml) => BackingOutline.Of(Plan.For(StandardFiles.Loaded(toml), new Dictionary<string, string>()), []);

    private static double Area(IReadOnlyList<(double Right, double Up)> ring) => Math.Abs(ring.Select((point, index) =>
    {
        (double right, double up) = ring[(index + 1) % ring.Count];
        return (point.Right * up) - (right * point.Up);
    }).Sum()) / 2;

    private static string Second(string above) => $"""

        [[item]]
        id = "star"
        name = "star"
        stands_on = "bar"
        size = ["1/2", "1/2"]
        place = ["0", "above {above}"]
        pins = [["0", "0"]]
        """;

    private static string Text(string backing, string size, string more = "") => $$"""
        name = "Lock Keepers"
        edition = "1"
        unit = "in"
        [judging]
        within = "1/32"
        [[landmark]]
        name = "left pocket"
        at = ["3", "0"]
        size = ["5", "5"]
        backing = { {{backing}} }
        [[item]]
        id = "bar"
        name = "bar"
        stands_on = "left pocket"
        {{size}}
        place = ["0", "above 1/8"]
        pins = [["0", "0"]]
        """ + more + """

        [[step]]
        id = "bar-low"
        of = "bar"
        from = "left pocket"
        at = ["0", "bottom"]
        grows = "up"
        ask = "Top of the pocket to the bottom of the bar"
        [[relation]]
        id = "bar-height"
        kind = "gap"
        of = ["bar-low"]
        nominal = "1/8"
        """;
}
