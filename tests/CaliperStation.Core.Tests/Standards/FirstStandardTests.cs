using System.Numerics;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Standards;

public class FirstStandardTests
{
    private static List<WornThing> Worn(int chosen, string distance)
    {
        List<WornThing> worn = [];
        foreach (CommonThing thing in CommonThing.All.Where((_, at) => (chosen & (1 << at)) != 0))
        {
            bool stands = worn.Exists(one => one.Thing.Name == thing.On) || !CommonThing.All.Any(other => other.Name == thing.On);
            worn.Add(new WornThing(thing, stands ? thing.On : "left pocket", distance));
        }

        return worn;
    }

    [Theory]
    [InlineData("in", "1/8")]
    [InlineData("mm", "4")]
    [InlineData("t", "4.5")]
    public void Whatever_is_chosen_the_file_loads_and_a_review_finds_nothing(string unit, string distance)
    {
        int all = (1 << CommonThing.All.Count) - 1;
        foreach (int chosen in Enumerable.Range(1, all).Where(each => BitOperations.PopCount((uint)each) is var things && (things <= 2 || things >= CommonThing.All.Count - 1)))   // each two meet, and all but one
        {
            Standard standard = StandardFiles.Loaded(FirstStandard.Text("Company \"x\" \\ y", unit, FirstStandard.LengthOf("1/32 in", unit)!, Worn(chosen, FirstStandard.LengthOf(distance, unit)!)));

            Assert.Equal("Company \"x\" \\ y", standard.Name);
            if ((chosen & (chosen - 1)) == 0 || chosen == all)
            {
                Assert.Empty(StandardReview.Of(standard));
            }
        }
    }

    [Fact]
    public void Its_rules_are_the_distances_that_were_answered()
    {
        Standard standard = StandardFiles.Loaded(FirstStandard.Text("C", "t", "1 t", Worn(1 | 8, "6 t")));

        Assert.Equal((Length.Tick.Times(6), Length.Tick), (standard.FindRelation("ribbon-rack-height")!.Limits[0].Nominal!.Value, standard.Judging.Within));
        Assert.Equal(["left-collar-device-corner", "right-collar-device-corner"], standard.Relations.Select(rule => rule.Id).Where(id => id.EndsWith("corner", StringComparison.Ordinal)));
        Assert.Equal(18, standard.Questions[0].Answers.Count);
    }

    [Theory]
    [InlineData("1/8", "in", "1/8 in")]
    [InlineData("4", "mm", "4 mm")]
    [InlineData("4", "t", "4 t")]
    [InlineData("1/8", "t", "1/8 in")]    // half a tick or an eighth of an inch: nobody's rule has eighths of a tick
    [InlineData("1/8\"", "mm", "1/8 in")]
    [InlineData("3 mm", "in", "3 mm")]
    [InlineData("1/8", "mm", null)]
    [InlineData("0", "in", null)]
    [InlineData("-1", "in", null)]
    [InlineData("30", "in", null)]        // longer than any coat's distance
    [InlineData("four", "t", null)]
    public void A_length_is_answered_as_the_bench_takes_it(string answer, string unit, string? written) => Assert.Equal(written, FirstStandard.LengthOf(answer, unit));

    [Theory]
    [InlineData("breast pocket", true)]
    [InlineData("top of pocket", false)]
    [InlineData("2 pockets", false)]
    [InlineData("a, b", false)]
    [InlineData("", false)]
    public void A_place_is_called_by_words_that_a_line_can_hold(string name, bool good) => Assert.Equal(good, FirstStandard.NameFault(name) is null);
}
