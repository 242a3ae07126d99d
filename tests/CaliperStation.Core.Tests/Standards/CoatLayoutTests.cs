using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Standards;

public sealed class CoatLayoutTests
{
    private static readonly Plan Lantern = PlanOf(StandardFiles.Text("harbour-lantern.toml"), ("spark", "yes"));

    /// <summary>The demonstration's own figures: pocket's top at 1 1/2 in, rack of 3/4 in above 3/16, badge of 1 in above 5/16 of that, spark of 5/8 above 3/16.</summary>
    [Theory]
    [InlineData("ribbon pocket", "3 3/4", "-1 1/4")]
    [InlineData("rack", "3 3/4", "2 1/16")]
    [InlineData("lantern", "3 3/4", "3 1/4")]
    [InlineData("spark", "3 3/4", "4 1/4")]
    [InlineData("plate", "-3 3/4", "2 3/16")]
    public void A_thing_lies_where_what_it_stands_on_puts_it(string name, string right, string up)
    {
        CoatPlace place = new CoatLayout(Lantern).Of(name);

        Assert.Equal(("", Inch(right), Inch(up)), (place.Ground, place.Centre.Right, place.Centre.Up));
    }

    [Theory]
    [InlineData("rack-low-left", "3/16")]
    [InlineData("rack-left", "7/16")]        // (5 − 4 1/8) / 2
    [InlineData("lantern-low-right", "5/16")]
    [InlineData("lantern-left", "1 3/16")]   // (4 1/8 − 1 3/4) / 2, from the rack's left end
    [InlineData("spark-low", "3/16")]
    [InlineData("plate-right", "1")]         // (5 − 3) / 2
    public void A_step_reads_what_is_drawn(string step, string length) => Assert.Equal(Inch(length), new CoatLayout(Lantern).Drawn(Lantern.FindStep(step)!));

    [Fact]
    public void What_stands_on_an_item_stands_on_its_landmark_at_last() => Assert.Equal(("ribbon pocket", "plate pocket", "plate pocket"), (new CoatLayout(Lantern).RootOf("spark"), new CoatLayout(Lantern).RootOf("plate"), new CoatLayout(Lantern).RootOf("plate pocket")));

    [Fact]
    public void Nothing_is_said_between_places_whose_distance_no_file_states()
    {
        Plan plan = PlanOf(SmallStandard.Text.Replace("at      = [\"3\", \"2\"]", "", StringComparison.Ordinal));
        CoatPlace rack = new CoatLayout(plan).Of("rack");

        Assert.Equal("left pocket", rack.Ground);
        Assert.Equal(new PlanePoint(Length.Zero, Inch("1/2")), rack.Centre);
        Assert.Equal(rack.Centre, new CoatLayout(plan).Between("badge", "rack") + new CoatLayout(plan).Of("badge").Centre);
        Assert.Equal(rack.Centre - new CoatLayout(plan).Of("left pocket").Centre, new CoatLayout(plan).Between("left pocket", "rack"));
        Assert.Null(new CoatLayout(plan).Between("rack", "a sleeve"));
        CoatPlace drawn = CoatPicture.Of(plan)["rack"];
        Assert.Equal("", drawn.Ground);
        Assert.True(drawn.Centre.Right < Length.Zero, "the left pocket is at the viewer's left");
    }

    [Fact]
    public void A_corner_is_placed_from_itself_and_its_cloth_lies_above()
    {
        Plan wardens = PlanOf(StandardFiles.Docs(Path.Combine("examples", "orrery-bridge-wardens.toml")));
        IReadOnlyDictionary<string, CoatPlace> picture = CoatPicture.Of(wardens);
        CoatPlace corner = picture["left collar corner"], wheel = picture["collar-left"];

        Assert.Equal(Millimetres(230), corner.Centre.Up - corner.Size.Up.DividedBy(2, Rounding.HalfEven));
        Assert.Equal(Millimetres(45), corner.Centre.Right);   // the wearer's left is the viewer's right
        Length beyond = Length.FromNanometres((long)Math.Round(37_000_000 / Math.Sqrt(2)));   // 25 mm to the rim of a wheel of 24 mm, at 45 degrees
        Assert.Equal(new PlanePoint(Millimetres(45) + beyond, Millimetres(230) + beyond), wheel.Centre);
    }

    [Fact]
    public void Every_item_and_what_it_stands_on_is_in_the_picture()
    {
        foreach (string file in Directory.GetFiles(StandardFiles.DocsPath("examples"), "*.toml"))
        {
            Plan plan = PlanOf(File.ReadAllText(file));
            IReadOnlyDictionary<string, CoatPlace> picture = CoatPicture.Of(plan);

            Assert.Superset(plan.Items.Select(item => item.Id).Concat(plan.Items.Select(item => item.StandsOn)).ToHashSet(), picture.Keys.ToHashSet());
            Assert.All(picture.Values, place => Assert.True(place.Size.Right > Length.Zero && place.Size.Up > Length.Zero && place.Ground.Length == 0));
        }
    }

    [Theory]
    [InlineData(LastRow.Centred, 0)]
    [InlineData(LastRow.FlushLeft, -10)]
    [InlineData(LastRow.FlushRight, 10)]
    public void A_short_top_row_lies_where_the_file_says(LastRow last, int topRight)
    {
        RowLayout rows = new([3, 3, 1], new PlanePoint(Millimetres(10), Millimetres(4)), [Millimetres(1), Millimetres(1)], last);

        IReadOnlyList<PlanePoint> parts = rows.Parts;

        Assert.Equal(7, parts.Count);
        Assert.Equal(new PlanePoint(Millimetres(-10), Millimetres(-5)), parts[0]);   // bottom row first, from the left; 14 mm high in all
        Assert.Equal(new PlanePoint(Millimetres(10), Millimetres(0)), parts[5]);
        Assert.Equal(new PlanePoint(Millimetres(topRight), Millimetres(5)), parts[6]);
    }

    private static Plan PlanOf(string toml, params (string Question, string Answer)[] answers) => Plan.For(StandardFiles.Loaded(toml), answers.ToDictionary(answer => answer.Question, answer => answer.Answer));

    private static Length Inch(string text) => LengthText.Parse(text, LengthUnit.Inch).Value!.Value;

    private static Length Millimetres(int length) => Length.FromMicrometres(length * 1000);
}
