using CaliperStation.Core.Bench;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Records;
using CaliperStation.Core.Tests.Sittings;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Core.Tests.Bench;

/// <summary>What the lines say of it. The coat's limits are 3 ± 0.5 mm and one take is good to 0.166 mm.</summary>
public sealed class SaidInWordsTests
{
    private static readonly LengthDisplay Show = LengthDisplay.Millimetre;

    [Fact]
    public void A_borderline_verdict_says_how_well_this_bench_can_tell()
    {
        TestBench bench = TestBench.Open(Coat.RackBadgeCord().Plan()).Ready();
        bench.Say("3.45 mm");

        Said.Judged judged = Assert.Single(bench.Told.OfType<Said.Judged>());
        double band = Judge.GuardFactor(judged.Standard.Judging, judged.Judgement.Degrees) * judged.Judgement.Uncertainty / 1e6;
        (string kind, string words) = Assert.Single(BenchText.Lines(judged, Show));
        Assert.Equal("borderline", kind);
        Assert.EndsWith(FormattableString.Invariant($", {Math.Ceiling(band * 1000) / 1000:F3} mm"), words, StringComparison.Ordinal);
        bench.Say("retake");
        bench.Say("3.00 mm");
        Assert.DoesNotContain("told", BenchText.Words(Assert.Single(bench.Told.OfType<Said.Judged>()), Show), StringComparison.Ordinal);
    }

    [Fact]
    public void Moving_what_was_not_read_yet_says_that_nothing_is_read_again()
    {
        TestBench bench = TestBench.Open(Coat.RackBadgeCord().Plan()).Ready();
        bench.Say("moved badge");
        Assert.False(Assert.Single(bench.Told.OfType<Said.Moved>()).MakesStale);
        Assert.Contains("nothing", BenchText.Words(bench.Told.OfType<Said.Moved>().Single(), Show), StringComparison.Ordinal);

        bench.Say("3 mm");
        bench.Say("moved rack");
        Assert.True(Assert.Single(bench.Told.OfType<Said.Moved>()).MakesStale);
        Assert.Equal("rack", BenchText.Words(bench.Told.OfType<Said.Moved>().Single(), Show));
    }

    [Fact]
    public void A_step_and_an_item_are_named_as_the_bench_names_them()
    {
        TestBench bench = TestBench.Open().Ready();
        Plan plan = bench.State.Work.View.State.Plan;
        bench.Say("14 t");
        string name = plan.Steps[0].Name;
        bench.Say($"retake {name.ToUpperInvariant()}");
        Assert.Equal(plan.Steps[0].Id, Assert.Single(bench.Written.OfType<SittingEvent.Withdrew>()).Step);

        Item item = plan.Items.First(item => item.Name.Contains(' ', StringComparison.Ordinal));
        bench.Say($"moved {item.Name}");
        Assert.Equal([item.Id], Assert.Single(bench.Written.OfType<SittingEvent.Moved>()).Items);
    }

    [Fact]
    public void Before_the_signature_only_what_lies_off_its_place_is_said()
    {
        TestBench bench = TestBench.Open(Coat.RackBadgeCord().Plan()).Ready();
        foreach (string length in (string[])["3.00 mm", "3.01 mm", "2.99 mm", "3.20 mm"])
        {
            bench.Say(length);
        }

        Said.Displaced[] all = [.. bench.Told.OfType<Said.Displaced>()];
        Assert.Equal(3, all.Length);   // in JSON each item is told
        Assert.Equal("cord: up 0.20 mm", Assert.Single(all.SelectMany(said => BenchText.Lines(said, Show))).Words);
    }

    [Fact]
    public void What_the_second_hand_read_otherwise_is_said_last_with_both_values()
    {
        Record first = RemeasurementSample.First();
        Remeasurement second = RemeasurementSample.Begun(first, RecordKind.Countersign, "rack-left", "rack-right", "badge-gap");
        TestBench bench = TestBench.Open(new Work.Remeasuring(second));
        foreach (string line in (string[])["4.00 mm", "3.10 mm", "3.01 mm", "sign CD"])
        {
            bench.Say(line);
            bench.Say("yes");   // 4 mm is asked about
        }

        Remeasurement signed = Assert.IsType<Work.Remeasuring>(bench.State.Work).Remeasurement;
        bench.Do(new BenchInput.Filed(RecordOfRemeasurement.Make(signed, first, new ChainPlace(first.Chain, 2, new string('b', 64))), null), 20);

        Assert.Equal(["rack-right", "badge-gap", "rack-left"], bench.Told.OfType<Said.Compared>().Select(compared => compared.Comparison.Step));
        Said.Closed closed = Assert.IsType<Said.Closed>(bench.Told[^1]);
        string words = BenchText.Words(closed, Show);
        Assert.EndsWith(": 1 of 3 readings: rack left, first 3.00 mm, now 4.00 mm", words, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("rack-height", "rack height at rack left")]
    [InlineData("rack-level", "rack level")]
    [InlineData("badge-height", "badge height")]
    public void A_rule_has_one_name_wherever_it_is_told(string rule, string name)
    {
        TestBench bench = TestBench.Open(Coat.RackBadgeCord().Plan()).Ready();
        List<Said.Judged> told = [];
        foreach (string length in (string[])["3.00 mm", "3.01 mm", "2.99 mm"])
        {
            bench.Say(length);
            told.AddRange(bench.Told.OfType<Said.Judged>());
        }

        Standard standard = bench.State.Work.View.State.Plan.Standard;
        Judgement judgement = bench.State.Work.View.Judgements.First(judged => judged.Relation.Id == rule);

        Assert.Equal(name, StandardWords.Relation(standard, rule, judgement.Steps));
        Assert.Equal(name.Replace(" at rack left", "", StringComparison.Ordinal), StandardWords.Relation(null, rule, []));
        Assert.All(told.Where(judged => judged.Judgement.Relation.Id == rule), judged =>
            Assert.StartsWith(StandardWords.Relation(standard, rule, judged.Judgement.Steps) + ": ", BenchText.Words(judged, Show), StringComparison.Ordinal));
    }
}
