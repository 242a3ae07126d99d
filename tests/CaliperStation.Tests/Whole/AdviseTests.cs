using System.Text.Json;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Tests.Whole;

public sealed class AdviseTests : IDisposable
{
    private const string Middle = """

        [[step]]
        id = "bar-low-middle"
        of = "bar"
        from = "left pocket"
        at = ["0", "-1/4"]
        grows = "up"
        ask = "Top of the pocket to the bottom of the bar, in the middle"

        [[relation]]
        id = "bar-middle"
        kind = "gap"
        of = ["bar-low-middle"]
        nominal = "1/8"
        """;

    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [Fact]
    public void Displacements_moves_and_what_follows_are_told_in_words()
    {
        Ran ran = Advise(TestStandard.Text, "bar-low-left,1/4\nbar-low-right,1/8\nstar-gap,1/4\n");

        Assert.Equal(1, ran.ExitCode);
        Assert.Equal(
            """
            displacements, left and right as you face the blouse:
              bar   sideways unseen, up 2 t, turned 3.6° clockwise
              star  sideways unseen, up 2 t, turn unseen
            fewest re-pins: 2 items
              bar: left pin: down 4 t; right pin: leave
                Pins are sharp: move them with the point away from you, count them, and follow your company's safety rules.
                then: bar-low-left 4 t, bar-low-right 4 t, star-gap 8 t
                measure again: bar-low-left, bar-low-right, star-gap
                alone it will put out: star-height
              star: pin: down 2 t
                Pins are sharp: move them with the point away from you, count them, and follow your company's safety rules.
                then: star-gap 8 t
                measure again: star-gap
                alone it will put out: star-height

            """,
            ran.Output.ReplaceLineEndings("\n"));
        Assert.Empty(ran.Error);
    }

    [Fact]
    public void All_of_it_is_one_json_object_with_whole_nanometres()
    {
        Ran ran = Advise(TestStandard.Text, "bar-low-left,1/4\nbar-low-right,1/8\nstar-gap,1/4\n", "--json");

        Assert.Equal(1, ran.ExitCode);
        JsonElement told = JsonDocument.Parse(ran.Output).RootElement;
        JsonElement bar = told.GetProperty("displacements")[0];
        Assert.Equal(("bar", 1_587_500), (bar.GetProperty("item").GetString(), bar.GetProperty("upNm").GetInt64()));
        Assert.Equal(["right"], bar.GetProperty("unseen").EnumerateArray().Select(each => each.GetString()));
        JsonElement left = told.GetProperty("advice")[0].GetProperty("moves")[0];
        Assert.Equal((0, 0L, -3_175_000L, "left pin: down 4 t"), (left.GetProperty("pin").GetInt32(), left.GetProperty("rightNm").GetInt64(), left.GetProperty("upNm").GetInt64(), left.GetProperty("words").GetString()));
        Assert.Equal(("bar", true), (told.GetProperty("fewest").GetProperty("items")[0].GetString(), told.GetProperty("fewest").GetProperty("proven").GetBoolean()));
    }

    [Fact]
    public void A_coat_within_needs_no_move_and_ends_with_0()
    {
        Ran ran = Advise(TestStandard.Text, "bar-low-left,1/8\nbar-low-right,1/8\nstar-gap,1/4\n");

        Assert.Equal(0, ran.ExitCode);
        Assert.DoesNotContain("pin:", ran.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_reading_that_does_not_fit_is_to_be_taken_again_before_any_pin_is_moved()
    {
        const string Readings = "bar-low-left,1/8\nbar-low-right,1/8\nbar-low-middle,3/8\n";
        Ran words = Advise(TestStandard.Text + Middle, Readings);
        Ran json = Advise(TestStandard.Text + Middle, Readings, "--json");

        Assert.Equal((1, 1), (words.ExitCode, json.ExitCode));
        Plan plan = Plan.For(StandardText.Load(TestStandard.Text + Middle).Standard!, new Dictionary<string, string>());
        Conflict conflict = Assert.Single(Core.Correcting.Advise.For(plan, ReadingsFile.Read(plan, Readings).Readings, CorrectingSettings.For(plan.Standard)).Contradictions);
        Assert.Equal(ConflictKind.TwoRules, conflict.Kind);
        JsonElement told = JsonDocument.Parse(json.Output).RootElement;
        Assert.Equal(["bar-low-left", "bar-low-right", "bar-low-middle"], told.GetProperty("doubtful").EnumerateArray().Select(step => step.GetString()));
        Assert.Equal([conflict.Words], told.GetProperty("conflicts").EnumerateArray().Select(each => each.GetString()));
        Assert.Contains(": bar-low-left, bar-low-right, bar-low-middle\n", words.Output, StringComparison.Ordinal);
        Assert.Contains(conflict.Words, words.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Moves_smaller_than_the_hand_can_do_by_the_settings_are_left_out()
    {
        Directory.CreateDirectory(_station.Store);
        string readings = "bar-low-left,3/16\nbar-low-right,11/64\nstar-gap,1/4\n";

        long[] Moves() => [.. JsonDocument.Parse(Advise(TestStandard.Text, readings, "--json").Output).RootElement.GetProperty("advice")[0]
            .GetProperty("moves").EnumerateArray().Select(pin => pin.GetProperty("upNm").GetInt64() / Length.FromSixtyFourths(1).Nanometres)];

        Assert.Equal([-4, -3], Moves());
        File.WriteAllText(Path.Combine(_station.Store, "settings.toml"), "smallest-move = \"1/16 in\"\n");
        Assert.All(Moves(), halfTicks => Assert.Equal(0, halfTicks % 4));
        Assert.Contains(-4, Moves());
    }

    [Theory]
    [InlineData("bar-low-left 1/8", ":1:1: ")]
    [InlineData("bar-low-left,1/8\nbar-low-left,1/8", ":2:1: ")]
    [InlineData("\u001b[31m,1/8", ":1:1: ")]
    [InlineData("bar-low-left,11/4", ":1:14: ")]
    public void A_line_that_is_no_reading_is_told_with_its_place_and_nothing_is_advised(string line, string place)
    {
        Ran ran = Advise(TestStandard.Text, line + "\n");

        Assert.Equal(3, ran.ExitCode);
        Assert.Contains("readings.csv" + place, ran.Error, StringComparison.Ordinal);
        Assert.Empty(ran.Output);
        Assert.DoesNotContain('\u001b', ran.Error);
    }

    private Ran Advise(string standard, string readings, params IEnumerable<string> options) =>
        _station.Run("", ["advise", _station.File("coat.toml", standard), "--readings", _station.File("readings.csv", readings), .. options]);
}
