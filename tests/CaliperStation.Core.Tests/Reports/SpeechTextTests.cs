using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Tests.Bench;

namespace CaliperStation.Core.Tests.Reports;

public sealed class SpeechTextTests
{
    [Theory]
    [InlineData("14 t", "fourteen ticks")]
    [InlineData("1 t", "one tick")]
    [InlineData("16½ t", "sixteen and a half ticks")]
    [InlineData("½ t", "a half tick")]
    [InlineData("-2 t", "minus two ticks")]
    [InlineData("0 t", "zero ticks")]
    [InlineData("7/16 in", "seven sixteenths inch")]
    [InlineData("1 11/32 in", "one and eleven thirty-seconds inches")]
    [InlineData("1/64 in", "one sixty-fourth inch")]
    [InlineData("34.13 mm", "thirty-four point one three millimetres")]
    [InlineData("120 mm", "one hundred twenty millimetres")]
    [InlineData("up 1½ t, right 2 t", "up one and a half ticks, right two ticks")]
    [InlineData("blouse QG-017 of row2", "blouse QG-017 of row2")]
    public void Figures_are_words(string text, string spoken) => Assert.Equal(spoken, SpeechText.Spoken(text));

    /// <summary>A blouse whose rack lies too far left and tilted, worked by one switch with the screen covered: all that is heard.</summary>
    [Fact]
    public void A_blouse_is_worked_by_ear()
    {
        TestBench bench = TestBench.Open(TestBench.Streaming);
        bench.See(new CaliperEvent.Opened());
        while (bench.State.Want.Prompt is Prompt.See)
        {
            bench.Press();
        }

        Dictionary<string, double> gaps = new()
        {
            ["rack-left"] = 9.53,
            ["rack-right"] = 12.70,
            ["rack-low-left"] = 3.18,
            ["rack-low-right"] = 4.76,
        };
        Dictionary<string, double> after = new()
        {
            ["rack-left"] = 11.11,
            ["rack-right"] = 11.40,
            ["rack-low-left"] = 4.70,
            ["rack-low-right"] = 4.90,
        };
        for (int reading = 0; reading < 4; reading++)
        {
            bench.Read(gaps[bench.WantedStep!]);
        }

        while (bench.State.Want.Pin is not null)
        {
            bench.Press();
            bench.Wait(900);
        }

        for (int reading = 0; reading < 4 && bench.WantedStep is { } step && after.ContainsKey(step); reading++)
        {
            bench.Read(after[step]);
        }

        bench.Do(new BenchInput.NotSo(), 1_000);
        bench.Press();
        bench.See(new CaliperEvent.Lost(LossKind.Gone, "The caliper is gone."));
        Assert.Equal(
            [
                "Hands washed and dry, or clean gloves on",
                "Pocket flaps pressed flat and cool",
                "Blades sheathed; hot glue and solvents off the bench",
                "rack left",
                "twelve ticks. rack right",
                "sixteen ticks. outside, rack centred, three over. rack low left",
                "four ticks. outside, rack height, one under. rack low right",
                "six ticks. outside, rack level, one over. rack, left pin, up two, right two and a half",
                "moved. rack, right pin, right two and a half",
                "moved. rack left",
                "fourteen ticks. rack right",
                "fourteen and a half ticks. within. rack low left",
                "six ticks. within. rack low right",
                "six ticks. within. Rack flat on the cloth, no ribbon curled",
                "not so. set it right: Rack flat on the cloth, no ribbon curled",
                "lantern low left",
                "caliper lost",
            ],
            bench.Spoken);
    }

    [Fact]
    public void A_step_is_called_by_its_short_name_and_else_by_the_words_of_its_id()
    {
        string standard = Standards.StandardFiles.Text("harbour-lantern-long.toml").Replace("id    = \"rack-left\"", "id    = \"rack-left\"\nshort = \"left end\"", StringComparison.Ordinal);
        TestBench bench = TestBench.Open(Core.Standards.Plan.For(Standards.StandardFiles.Loaded(standard), new Dictionary<string, string>())).Ready();
        Assert.EndsWith("left end", bench.Spoken[^1], StringComparison.Ordinal);
        bench.Say("14 t");
        Assert.EndsWith("rack right", bench.Spoken[^1], StringComparison.Ordinal);
    }

    [Fact]
    public void Nothing_told_is_nothing_said() => Assert.Equal("", SpeechText.Of([], LengthDisplay.Ticks));

    [Fact]
    public void What_is_spoken_is_one_line_whatever_a_text_holds() =>
        Assert.DoesNotContain('\n', SpeechText.Of([new Said.Remarked("one\ntwo")], LengthDisplay.Ticks));
}
