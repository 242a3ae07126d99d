using System.Text;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Tests.Standards;

/// <summary>A cord that is to run parallel to a seam, read at two places 5 in apart.</summary>
public sealed class ParallelTests
{
    private static readonly Plan _plan = Plan.For(StandardFiles.Loaded(Text("within = \"1 deg\"")), new Dictionary<string, string>());

    /// <summary>1/16 in over 5 in is atan(0.0125) = 0.716 15°, 1/8 in over 5 in 1.432 10° (plain trigonometry, from memory).</summary>
    [Theory]
    [InlineData(27, 27, 0, Verdict.Within)]
    [InlineData(29, 27, 0.71615, Verdict.Within)]
    [InlineData(27, 31, -1.43210, Verdict.Outside)]
    public void Two_edges_are_parallel_as_far_as_the_angle_between_them(int first, int second, double degrees, Verdict verdict)
    {
        Judgement judgement = Assert.Single(new RelationEvaluation(_plan, Readings(first, second)).All);

        Assert.Equal(Dimension.Angle, judgement.Dimension);
        Assert.Equal(degrees, judgement.Value / 1000 * 180 / Math.PI, 1e-5);
        Assert.Equal(verdict, judgement.Verdict);
    }

    [Fact]
    public void Advice_turns_it_until_the_edges_are_parallel()
    {
        Advice advice = Advise.For(_plan, Readings(27, 35), CorrectingSettings.For(_plan.Standard, Length.HalfTick));
        ItemMove move = Assert.Single(advice.Moves);

        Assert.Equal("cord", move.Item);
        long now = Length.FromTicks(35).Nanometres - Length.FromTicks(27).Nanometres;
        Dictionary<string, Length> should = move.Should.ToDictionary(pair => pair.Step, pair => pair.Should);
        Assert.InRange(Math.Abs((should["right"] - should["left"]).Nanometres), 0, now / 3);
    }

    [Theory]
    [InlineData("", "within")]
    [InlineData("within = \"1/64\"", "within")]
    [InlineData("nominal = \"45 deg\"\nwithin = \"1 deg\"", "nominal")]
    public void It_says_its_angle_and_nothing_else(string limits, string key)
    {
        TextFault fault = StandardText.Load(Encoding.UTF8.GetBytes(Text(limits))).Faults[0];

        Assert.Contains(key, fault.Message + fault.Instead, StringComparison.Ordinal);
    }

    [Fact]
    public void It_needs_its_span() =>
        Assert.NotEmpty(StandardText.Load(Encoding.UTF8.GetBytes(Text("within = \"1 deg\"").Replace("span = \"5\"", "", StringComparison.Ordinal))).Faults);

    private static Dictionary<string, Measured> Readings(int first, int second) => new()
    {
        ["left"] = new Measured(ExactLength.From(Length.FromTicks(first)), 100_000),
        ["right"] = new Measured(ExactLength.From(Length.FromTicks(second)), 100_000),
    };

    private static string Text(string limits) => $"""
        name = "Parallel"
        edition = "1"
        unit = "in"
        [[landmark]]
        name = "seam"
        at = ["0", "0"]
        size = ["8", "1"]
        [[item]]
        id = "cord"
        name = "cord"
        stands_on = "seam"
        size = ["6", "1/4"]
        place = ["0", "above 27/32"]
        pins = [["-2 1/2", "0"], ["2 1/2", "0"]]
        [[step]]
        id = "left"
        of = "cord"
        from = "seam"
        at = ["-2 1/2", "bottom"]
        grows = "up"
        ask = "Seam to the cord, at its left pin"
        [[step]]
        id = "right"
        of = "cord"
        from = "seam"
        at = ["2 1/2", "bottom"]
        grows = "up"
        ask = "Seam to the cord, at its right pin"
        [[relation]]
        id = "along"
        kind = "parallel"
        of = ["left", "right"]
        span = "5"
        {limits}
        """;
}
