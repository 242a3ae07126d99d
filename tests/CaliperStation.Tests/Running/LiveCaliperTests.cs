using System.Text;
using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Devices;
using CaliperStation.Running;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Running;

public sealed class LiveCaliperTests
{
    private readonly FakeTimeProvider _time = new();
    private readonly LiveCaliper _live;

    public LiveCaliperTests() => _live = new LiveCaliper("bridge", ReadingSource.Serial, _time);

    [Fact]
    public void What_a_bridge_notices_is_told_and_stays_beside_the_name()
    {
        _live.Saw(new CaliperEvent.Opened());
        List<string> told = [];
        CaliperSink sink = new(seen => told.AddRange(_live.Saw(seen) is { } said ? [said] : []), LengthUnit.Millimetre, ReadingSource.Serial, _time);
        Func<IFrameDecoder> decoders = LineDecoders.For(Settings.Usual with { Fine24 = true });
        IFrameDecoder decoder = decoders();
        foreach ((int sequence, BridgePower power) in ((int, BridgePower)[])[(1, BridgePower.Good), (1, BridgePower.Good), (4, BridgePower.Good), (5, BridgePower.Low), (0, BridgePower.Good)])
        {
            FrameBits bits = Bits24Encoder.Encode(Length.FromMicrometres(1_000), LengthUnit.Millimetre, Bits24Options.Fine);
            decoder.Feed(Encoding.ASCII.GetBytes(BridgeLineEncoder.Encode(new(sequence, FrameFormat.Bits24, bits, 66_000, false, power)) + "\r\n"), sink);
        }

        Assert.Equal(4, told.Count);   // repeated, lost, low, restarted
        Assert.Equal("bridge, 1 gaps, cell low", _live.Words);
        Assert.Equal(Length.FromMicrometres(1), _live.Resolution);
        _live.Saw(new CaliperEvent.Opened());
        Assert.DoesNotContain("cell low", _live.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void A_press_asks_and_the_answer_within_the_window_is_the_reading()
    {
        int sent = 0;
        _live.Saw(new CaliperEvent.Opened());
        _live.AskBy(() => ++sent > 0);
        Assert.True(_live.Ask().Sent);
        _time.Advance(LiveCaliper.Window);

        Assert.Null(_live.Unanswered());
        Assert.Equal("1.00 mm", _live.Answer(ValueNow("1.00 mm"), default)!.Raw);
        Assert.Null(_live.Answer(ValueNow("2.00 mm"), default));   // nobody asked for that one
        Assert.Equal(1, sent);
    }

    [Fact]
    public void Silence_is_told_once_with_what_to_look_at_and_a_late_answer_is_no_reading()
    {
        _live.Saw(new CaliperEvent.Opened());
        _live.AskBy(() => true);
        _live.Ask();
        _time.Advance(LiveCaliper.Window + TimeSpan.FromMilliseconds(1));

        string? words = _live.Unanswered();
        Assert.Contains("cell", words, StringComparison.Ordinal);
        Assert.Contains("RTS, DTR", words, StringComparison.Ordinal);
        Assert.Null(_live.Unanswered());
        CaliperEvent late = ValueNow("1.00 mm");
        _live.Saw(late);
        Assert.Null(_live.Answer(late, default));
        Assert.Null(_live.OwnPress(late, default));
        _time.Advance(TimeSpan.FromSeconds(1));
        Assert.Null(_live.OwnPress(null, default));
    }

    [Fact]
    public void An_error_line_ends_the_waiting_and_a_lost_caliper_is_not_asked()
    {
        _live.Saw(new CaliperEvent.Opened());
        _live.AskBy(() => true);
        _live.Ask();
        Assert.Null(_live.Answer(new CaliperEvent.Refused(FrameFault.Device, "the sensor failed", "ERR0"), default));
        Assert.Null(_live.Answer(ValueNow("1.00 mm"), default));

        _live.Saw(new CaliperEvent.Lost(LossKind.Gone, "It is gone."));
        (bool lostSent, string words) = _live.Ask();
        Assert.False(lostSent);
        Assert.Contains("It is gone.", words, StringComparison.Ordinal);
    }

    [Fact]
    public async Task At_the_plain_bench_a_press_asks_waits_for_the_answer_and_says_what_silence_means()
    {
        using StringWriter error = new();
        WaitingPress press = new(_live, _time, error);
        press.Post(new CaliperEvent.Opened());
        _live.AskBy(() => true);
        press.Post(ValueNow("9.99 mm"));   // before the question: not its answer
        Task<PressResult> answered = press.PressAsync(CheckBench.Step(0), default);
        press.Post(ValueNow("1.00 mm"));
        _time.Advance(TimeSpan.FromMilliseconds(20));   // the bench looks again once: the answer is there
        Assert.Equal("1.00 mm", (await answered.WaitAsync(TimeSpan.FromSeconds(20))).Reading!.Raw);

        Task<PressResult> silent = press.PressAsync(CheckBench.Step(0), default);
        await Devices.EventLog.UntilAsync(() => silent.IsCompleted, _time, TimeSpan.FromMilliseconds(100));
        Assert.Contains("did not answer", (await silent).Refusal, StringComparison.Ordinal);
    }

    [Fact]
    public void A_line_that_opens_after_a_loss_was_told_is_told_too()
    {
        Assert.Null(_live.Saw(new CaliperEvent.Opened()));
        _live.Saw(new CaliperEvent.Lost(LossKind.Gone, "There is no such port."));
        Assert.Contains("is open", _live.Saw(new CaliperEvent.Opened()), StringComparison.Ordinal);
        _live.Saw(ValueNow("1.00 mm"));
        _live.Saw(new CaliperEvent.Lost(LossKind.Gone, "bridge is lost: it no longer answers. Plug it in again."));
        Assert.Equal("caliper lost: it no longer answers. Plug it in again", _live.Words);
        Assert.Equal("bridge is lost: it no longer answers. Plug it in again. Type the length.", _live.Press(default).Refusal);
        Assert.Contains("is back", _live.Saw(new CaliperEvent.Opened()), StringComparison.Ordinal);
    }

    [Fact]
    public void A_lone_value_that_nobody_looked_at_for_long_is_no_press_any_more()
    {
        _live.Saw(new CaliperEvent.Opened());
        CaliperEvent old = ValueNow("1.00 mm");
        _live.Saw(old);
        _live.OwnPress(old, default);
        _time.Advance(LiveCaliper.Window + TimeSpan.FromMilliseconds(1));

        Assert.Null(_live.OwnPress(null, default));
        Assert.Null(_live.Press(default).Reading);
    }

    [Fact]
    public void A_press_says_why_what_comes_is_no_reading()
    {
        _live.Saw(new CaliperEvent.Opened());
        _live.Saw(new CaliperEvent.Refused(FrameFault.NoUnit, "the line names no unit", "3.17"));
        Assert.Contains("names no unit", _live.Press(default).Refusal, StringComparison.Ordinal);
        _live.Saw(ValueNow("1.00 mm"));
        _time.Advance(TimeSpan.FromSeconds(1.5));
        Assert.DoesNotContain("names no unit", _live.Press(default).Refusal, StringComparison.Ordinal);   // that is over
        _live.Saw(new CaliperEvent.Refused(FrameFault.NoUnit, "the line names no unit", "3.17"));
        Assert.Contains("names no unit", _live.Press(default).Refusal, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task At_the_plain_bench_an_error_line_or_a_loss_ends_the_waiting_with_its_reason(bool isError)
    {
        using StringWriter error = new();
        WaitingPress press = new(_live, _time, error);
        press.Post(new CaliperEvent.Opened());
        _live.AskBy(() => true);
        Task<PressResult> asked = press.PressAsync(CheckBench.Step(0), default);
        press.Post(isError ? new CaliperEvent.Refused(FrameFault.Device, "the instrument reports a sensor error", "ERR0") : new CaliperEvent.Lost(LossKind.Gone, "It is gone."));
        _time.Advance(TimeSpan.FromMilliseconds(20));

        Assert.Contains(isError ? "sensor error" : "It is gone.", (await asked.WaitAsync(TimeSpan.FromSeconds(20))).Refusal, StringComparison.Ordinal);
        press.Post(new CaliperEvent.Refused(FrameFault.Device, "the instrument reports a sensor error", "ERR0"));
        Assert.Single(error.ToString().Split('\n'), line => line.Contains("sensor error", StringComparison.Ordinal));   // told once for each reason
    }

    [Fact]
    public async Task At_the_plain_bench_a_press_that_comes_before_the_line_is_open_is_not_lost()
    {
        WaitingPress press = new(_live, _time, TextWriter.Null);
        int sent = 0;
        _live.AskBy(() => ++sent > 0);
        Task<PressResult> asked = press.PressAsync(CheckBench.Step(0), default);
        Assert.Equal(0, sent);
        press.Post(new CaliperEvent.Opened());
        await Devices.EventLog.UntilAsync(() => sent == 1, _time, TimeSpan.Zero);   // what is posted wakes the press; no time need pass
        press.Post(ValueNow("1.00 mm"));

        Assert.Equal("1.00 mm", (await asked.WaitAsync(TimeSpan.FromSeconds(20))).Reading!.Raw);
    }

    [Fact]
    public void At_the_plain_bench_a_second_press_within_300_ms_is_the_same()
    {
        int presses = 0;
        WaitingPress press = new(_live, _time, TextWriter.Null, () => presses++);
        press.Post(new CaliperEvent.Press());
        _time.Advance(TimeSpan.FromMilliseconds(299));
        press.Post(new CaliperEvent.Press());
        Assert.Equal(1, presses);
        _time.Advance(TimeSpan.FromMilliseconds(1));
        press.Post(new CaliperEvent.Press());
        Assert.Equal(2, presses);
    }

    [Fact]
    public void Another_caliper_on_the_line_is_asked_about_before_its_first_reading()
    {
        _live.Saw(new CaliperEvent.Opened());
        Assert.Contains("Another", _live.Saw(new CaliperEvent.Noted(NoteKind.OtherDevice, "another device than before is on this line")), StringComparison.Ordinal);
        for (int i = 0; i < 5; i++)
        {
            _time.Advance(TimeSpan.FromMilliseconds(100));
            _live.Saw(ValueNow("1.00 mm"));
        }

        Assert.Contains("zeroed", _live.Press(default).Refusal, StringComparison.Ordinal);
        Assert.NotNull(_live.Press(default).Reading);
    }

    private CaliperEvent.Value ValueNow(string raw) =>
        new(new Reading(Length.Millimetre, LengthUnit.Millimetre, Length.FromMicrometres(10), ReadingSource.Serial, default, raw) { Arrived = _time.GetElapsedTime(0) });
}
