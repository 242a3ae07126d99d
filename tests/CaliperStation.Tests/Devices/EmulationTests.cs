using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
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
        Assert.True(caliper.Now().Length < Length.HalfTick);   // still near where it was
        time.Advance(TimeSpan.FromMilliseconds(801));

        for (int i = 0; i < 100; i++)
        {
            Assert.True((caliper.Now().Length - Length.Inch).Abs() <= caliper.Resolution);
            time.Advance(TimeSpan.FromMilliseconds(80));
        }
    }

    [Fact]
    public void Settling_gives_the_steady_value_at_once()
    {
        FakeTimeProvider time = new();
        EmulatedCaliper caliper = new(LengthUnit.Millimetre, 1, time);

        Assert.Equal("+12.35 mm", caliper.Settle(Length.FromNanometres(12_346_000)).Raw);
        Assert.True((caliper.Now().Length - Length.FromMicrometres(12_350)).Abs() <= caliper.Resolution);
    }

    [Fact]
    public async Task It_shows_a_value_every_80_ms_until_it_is_stopped()
    {
        FakeTimeProvider time = new();
        EventLog log = new();
        using CancellationTokenSource stop = new();
        Task run = new EmulatedCaliper(LengthUnit.Inch, 1, time).RunAsync(log.Post, stop.Token);

        Assert.IsType<CaliperEvent.Opened>(await log.NextAsync());
        for (int i = 0; i < 3; i++)
        {
            time.Advance(EmulatedCaliper.ShowEvery);
            Assert.IsType<CaliperEvent.Value>(await log.NextAsync());
        }

        await stop.CancelAsync();
        await run;
    }

    [Theory]
    [InlineData(0, LengthUnit.Inch, "+0.0000 in")]
    [InlineData(-12_700, LengthUnit.Inch, "-0.0005 in")]
    [InlineData(41_275_000, LengthUnit.Inch, "+1.6250 in")]
    [InlineData(-500_000, LengthUnit.Millimetre, "-0.50 mm")]
    [InlineData(150_000_000, LengthUnit.Millimetre, "+150.00 mm")]
    public void A_value_is_said_as_a_caliper_says_it(long nanometres, LengthUnit unit, string text) =>
        Assert.Equal(text, SpokenValue.Text(Length.FromNanometres(nanometres), unit));

    [Fact]
    public void What_it_says_decodes_to_what_it_meant() => Gen.Select(Gen.Long[-20_000, 20_000], Gen.Bool).Sample((counts, inch) =>
    {
        LengthUnit unit = inch ? LengthUnit.Inch : LengthUnit.Millimetre;
        Length value = SpokenValue.ResolutionOf(unit).Times(counts);
        List<CaliperEvent> events = [];
        new AsciiLineDecoder().Feed(System.Text.Encoding.ASCII.GetBytes(SpokenValue.Text(value, unit) + "\r"), new CaliperSink(events.Add, LengthUnit.Inch));

        CaliperEvent.Value heard = Assert.IsType<CaliperEvent.Value>(Assert.Single(events));
        Assert.Equal((value, unit), (heard.Length, heard.Unit));
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
                values.Add(caliper.Now().Raw);
            }
        }

        return values;
    }
}
