using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using CsCheck;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

public sealed class EmulationTests
{
    private static readonly Length _count = Length.FromNanometres(12_700);

    [Fact]
    public void The_noise_is_the_published_generator()
    {
        // First outputs of SplitMix64 from seed 0, as printed beside several public implementations (from memory):
        // e220a8397b1dcdaf, 6e789e6aa1b965f4, 06c45d188009454f.
        SeededNoise noise = new(0);

        Assert.Equal([0xE220A8397B1DCDAFul, 0x6E789E6AA1B965F4ul, 0x06C45D188009454Ful], [noise.Bits(0), noise.Bits(1), noise.Bits(2)]);
    }

    [Fact]
    public void The_same_seed_gives_the_same_values_and_another_gives_others()
    {
        Assert.Equal(Values(7), Values(7));
        Assert.NotEqual(Values(7), Values(8));
    }

    [Fact]
    public void A_hand_drifts_then_rests_within_one_count() => Gen.Select(Gen.ULong, Gen.Long[-500_000, 80_000_000], Gen.Long[0, 80_000_000], Gen.Int[0, 5_000])
        .Sample((seed, from, to, milliseconds) =>
        {
            HandEmulation hand = new(seed, _count);
            TimeSpan since = TimeSpan.FromMilliseconds(milliseconds);
            Length shown = hand.At(Length.FromNanometres(from), Length.FromNanometres(to), 3, since);
            Length off = (shown - hand.Steady(Length.FromNanometres(to))).Abs();

            Assert.Equal(0, shown.Nanometres % _count.Nanometres);
            Assert.InRange(hand.DriftOf(3).TotalMilliseconds, 400, 800);
            Assert.True(since < hand.DriftOf(3) || off <= _count);
        }, iter: 2_000);

    [Fact]
    public void A_new_gap_is_reached_in_under_a_second_and_then_held()
    {
        FakeTimeProvider time = new();
        EmulatedCaliper caliper = new(LengthUnit.Inch, 1, time);
        caliper.SetTarget(Length.Inch);
        Assert.True(caliper.Now().Reading.Value < Length.HalfTick);   // still near where it was
        time.Advance(TimeSpan.FromMilliseconds(801));

        for (int i = 0; i < 100; i++)
        {
            Assert.True((caliper.Now().Reading.Value - Length.Inch).Abs() <= caliper.Resolution);
            time.Advance(TimeSpan.FromMilliseconds(80));
        }
    }

    [Fact]
    public void Settling_gives_the_steady_value_at_once()
    {
        FakeTimeProvider time = new();
        EmulatedCaliper caliper = new(LengthUnit.Millimetre, 1, time);

        Assert.Equal("+12.35 mm", caliper.Settle(Length.FromNanometres(12_346_000)).Reading.Raw);
        Assert.True((caliper.Now().Reading.Value - Length.FromMicrometres(12_350)).Abs() <= caliper.Resolution);
    }

    [Fact]
    public void It_shows_a_value_every_80_ms_until_it_is_closed()
    {
        FakeTimeProvider time = new();
        EmulatedCaliper caliper = new(LengthUnit.Inch, 1, time);
        SteppedCaliper run = new(caliper, time);

        Assert.IsType<CaliperEvent.Opened>(run.Next());
        Assert.Equal(10, run.For(10 * EmulatedCaliper.ShowEvery).OfType<CaliperEvent.Value>().Count());
        List<CaliperEvent> events = [];
        caliper.Step(events.Add);
        Assert.Equal(EmulatedCaliper.ShowEvery, caliper.Step(events.Add));   // an early step does nothing
        Assert.Single(events);
    }

    [Fact]
    public void A_request_is_answered_at_once_with_the_settled_value_of_its_target_and_refused_before_it_is_open_and_after()
    {
        FakeTimeProvider time = new();
        EmulatedCaliper caliper = new(LengthUnit.Millimetre, 1, time);
        List<CaliperEvent> events = [];
        Assert.True(caliper.Asks);
        Assert.False(caliper.Request());
        caliper.Step(events.Add);
        caliper.SetTarget(Length.FromNanometres(12_346_000));
        Assert.True(caliper.Request());

        Reading answer = Assert.IsType<CaliperEvent.Value>(events[^1]).Reading;
        Assert.Equal((Length.FromMicrometres(12_350), ReadingSource.Emulated, time.GetElapsedTime(0)), (answer.Value, answer.Source, answer.Arrived));
        caliper.Close();
        Assert.False(caliper.Request());
        Assert.Equal(2, events.Count);
    }

    [Theory]
    [InlineData(0, LengthUnit.Inch, "+0.0000 in")]
    [InlineData(-12_700, LengthUnit.Inch, "-0.0005 in")]
    [InlineData(34_137_600, LengthUnit.Inch, "+1.3440 in")]
    [InlineData(-500_000, LengthUnit.Millimetre, "-0.50 mm")]
    [InlineData(150_000_000, LengthUnit.Millimetre, "+150.00 mm")]
    public void A_value_is_said_as_a_caliper_says_it(long nanometres, LengthUnit unit, string text) =>
        Assert.Equal(text, TransmittedValue.Text(Length.FromNanometres(nanometres), unit));

    [Fact]
    public void What_it_says_decodes_to_what_it_meant() => Gen.Select(Gen.Long[-20_000, 20_000], Gen.Bool).Sample((counts, inch) =>
    {
        LengthUnit unit = inch ? LengthUnit.Inch : LengthUnit.Millimetre;
        Length value = TransmittedValue.ResolutionOf(unit).Times(counts);
        List<CaliperEvent> events = [];
        new AsciiLineDecoder().Feed(System.Text.Encoding.ASCII.GetBytes(TransmittedValue.Text(value, unit) + "\r"), new CaliperSink(events.Add, LengthUnit.Inch, ReadingSource.Emulated, TimeProvider.System));

        Reading heard = Assert.IsType<CaliperEvent.Value>(Assert.Single(events)).Reading;
        Assert.Equal((value, unit), (heard.Value, heard.Unit));
    }, iter: 500);

    private static List<string> Values(ulong seed)
    {
        FakeTimeProvider time = new();
        EmulatedCaliper caliper = new(LengthUnit.Inch, seed, time);
        List<string> values = [];
        foreach (long ticks in (long[])[20, 4, 57])
        {
            caliper.SetTarget(Length.FromTicks(ticks));
            for (int i = 0; i < 20; i++)
            {
                time.Advance(EmulatedCaliper.ShowEvery);
                values.Add(caliper.Now().Reading.Raw);
            }
        }

        return values;
    }
}
