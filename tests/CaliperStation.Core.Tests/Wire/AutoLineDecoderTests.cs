using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;
using CsCheck;

namespace CaliperStation.Core.Tests.Wire;

public sealed class AutoLineDecoderTests
{
    private static readonly FrameOptions Options = FrameOptions.Default with { TwoWord = TwoWordOptions.Direct };

    private static string Bridge(int sequence, long hundredths) =>
        BridgeLineEncoder.Encode(new(sequence, FrameFormat.Bits24, Bits24Encoder.Encode(Length.FromMicrometres(hundredths * 10), LengthUnit.Millimetre), 66_000, false, BridgePower.Good)) + "\r\n";

    [Fact]
    public void Ascii_lines_are_read_as_by_their_own_decoder()
    {
        const string Text = "+1.23 mm\r\n-0.5000 in\rnoise\n2.5 mm extra\r";
        Assert.Equal(
            CollectingSink.Of(new AsciiLineDecoder(), Text).Taken,
            CollectingSink.Of(new AutoLineDecoder(Options), Text).Taken);
    }

    [Fact]
    public void A_bridge_line_turns_it_over_and_from_then_on_an_ascii_line_is_no_reading()
    {
        CollectingSink sink = CollectingSink.Of(new AutoLineDecoder(Options), "+1.23 mm\r\n" + Bridge(0, 1000) + Bridge(1, 1001) + "+9.99 mm\r\n");

        Assert.Equal([FrameEventKind.Value, FrameEventKind.Value, FrameEventKind.Value, FrameEventKind.Refused], sink.Kinds);
        Assert.Equal(Length.FromMicrometres(10_010), sink.Values.Last().Value);
    }

    [Fact]
    public void Lost_repeated_and_restarted_bridge_lines_are_told()
    {
        CollectingSink sink = CollectingSink.Of(new AutoLineDecoder(Options), Bridge(5, 1000) + Bridge(5, 1000) + Bridge(9, 1000) + Bridge(0, 1000));

        Assert.Equal([FrameReason.LineRepeated, FrameReason.LinesLost, FrameReason.BridgeRestarted], sink.Taken.Select(one => one.Event.Reason).Where(reason => reason != FrameReason.None));
    }

    [Fact]
    public void Opened_anew_it_begins_anew()
    {
        AutoLineDecoder decoder = new(Options);
        _ = CollectingSink.Of(decoder, Bridge(0, 1000));
        decoder.Reset();

        Assert.Equal([FrameEventKind.Value], CollectingSink.Of(decoder, "+1.23 mm\r\n").Kinds);
    }

    [Fact]
    public void Pieces_do_not_matter_and_a_line_without_end_fills_nothing()
    {
        string text = "+1.23 mm\r" + new string('7', 500) + "\r\n" + Bridge(0, 1000) + Bridge(1, 1000);
        List<(FrameEvent, string)> whole = CollectingSink.Of(new AutoLineDecoder(Options), text).Taken;
        Gen.Int[1, 70].Array[1, 30].Sample(
            cuts =>
            {
                AutoLineDecoder decoder = new(Options);
                CollectingSink sink = new();
                ReadOnlySpan<byte> rest = Encoding.Latin1.GetBytes(text);
                for (int i = 0; !rest.IsEmpty; i++)
                {
                    int piece = Math.Min(rest.Length, cuts[i % cuts.Length]);
                    decoder.Feed(rest[..piece], sink);
                    rest = rest[piece..];
                }

                return sink.Taken.SequenceEqual(whole);
            },
            iter: 100);
    }

    [Fact]
    public void A_line_broken_off_by_silence_is_told_and_its_rest_is_no_reading()
    {
        AutoLineDecoder decoder = new(Options);
        CollectingSink sink = CollectingSink.Of(decoder, "+1.23 mm\r\n+12.3");
        decoder.Silence(AsciiLineDecoder.BreakOff, sink);
        decoder.Feed("4 mm\r\n"u8, sink);

        Assert.Single(sink.Values);
        Assert.Equal(2, sink.Kinds.Count(kind => kind == FrameEventKind.Refused));
    }
}
