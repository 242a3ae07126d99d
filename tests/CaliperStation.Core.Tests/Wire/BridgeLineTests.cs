using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;
using CsCheck;

namespace CaliperStation.Core.Tests.Wire;

public sealed class BridgeLineTests
{
    private static readonly FrameBits TenMillimetres = Bits24Encoder.Encode(Length.FromMicrometres(10_000), LengthUnit.Millimetre);

    private static string Line(int sequence, FrameBits? bits = null, FrameFormat format = FrameFormat.Bits24, int silence = 66_000, bool inverted = false, BridgePower power = BridgePower.Good) =>
        BridgeLineEncoder.Encode(new(sequence, format, bits ?? TenMillimetres, silence, inverted, power)) + "\r\n";

    /// <summary>CRC-16/IBM-SDLC over "123456789": https://reveng.sourceforge.io/crc-catalogue/16.htm and https://docs.rs/crc (X25.checksum).</summary>
    [Fact]
    public void The_crc_gives_its_published_check_value() => Assert.Equal(0x906E, Crc16.Of("123456789"u8));

    /// <summary>The lines printed in firmware-notes/bridge-line.md; their CRCs were computed by a separate bit-by-bit program.</summary>
    [Fact]
    public void The_documented_lines_are_what_is_written_and_read()
    {
        Assert.Equal("B1 002A S24 24 8E3000 0066000 D G 1CFF", Line(42).TrimEnd());
        FrameBits bcd = Bcd13Encoder.Encode(Length.FromMicrometres(123_450), LengthUnit.Millimetre, 2);
        Assert.Equal("B1 002B D52 52 FFFF001234520 0450000 D U 4D2B", Line(43, bcd, FrameFormat.Bcd13, 450_000, power: BridgePower.Unknown).TrimEnd());
        Assert.Equal("B1 0010 S24 17 00000 0000115 D G 8157", Line(16, new FrameBits(0, 17), silence: 115).TrimEnd());
    }

    [Fact]
    public void A_bridge_line_round_trips() =>
        Gen.Select(Gen.Int[0, 65_535], Gen.Int[0, 3], Gen.ULong, Gen.Int[1, 64], Gen.Int[0, 9_999_999], Gen.Bool, Gen.Int[0, 2]).Sample((sequence, format, bits, count, silence, inverted, power) =>
        {
            BridgeLine line = new(sequence, (FrameFormat)format, new(count == 64 ? bits : bits & ((1UL << count) - 1), count), silence, inverted, (BridgePower)power);
            string text = BridgeLineEncoder.Encode(line);
            return text.Length <= BridgeLine.Longest && BridgeLine.TryRead(Encoding.ASCII.GetBytes(text), out BridgeLine read, out _) && read == line;
        }, iter: FuzzLength.Of(2_000));

    [Fact]
    public void Any_changed_byte_or_burst_of_two_is_refused()
    {
        byte[] good = Encoding.ASCII.GetBytes(Line(7).TrimEnd());
        for (int place = 0; place < good.Length; place++)
        {
            for (int change = 1; change < 256; change++)
            {
                byte[] bad = [.. good];
                bad[place] ^= (byte)change;
                Assert.False(BridgeLine.TryRead(bad, out _, out _));
                bad[(place + 1) % bad.Length] ^= (byte)(change * 37 & 0xFF);
                Assert.False(BridgeLine.TryRead(bad, out _, out _));
            }
        }
    }

    [Fact]
    public void Each_format_is_decoded_and_an_inverted_input_is_turned_back()
    {
        FrameBits bcd = Bcd13Encoder.Encode(Length.FromMicrometres(12_345), LengthUnit.Millimetre, 3);
        FrameBits words = TwoWordEncoder.Encode(Length.Inch, 3, TwoWordOptions.Direct);
        FrameBits seven = Bcd7Encoder.Encode(Length.Inch, LengthUnit.Inch);
        CollectingSink sink = CollectingSink.Of(new BridgeLineDecoder(),
            Line(1) + Line(2, TenMillimetres.Inverted(), inverted: true) + Line(3, bcd, FrameFormat.Bcd13) + Line(4, words, FrameFormat.TwoWord) + Line(5, seven, FrameFormat.Bcd7));
        Assert.Equal([10_000_000, 10_000_000, 12_345_000, 25_400_000, 25_400_000], sink.Taken.Select(one => one.Event.Value.Nanometres));
    }

    [Fact]
    public void Lost_and_repeated_lines_are_told_and_counted()
    {
        BridgeLineDecoder decoder = new();
        CollectingSink sink = CollectingSink.Of(decoder, Line(65_534) + Line(65_535) + Line(65_535) + Line(2));
        Assert.Equal([FrameReason.None, FrameReason.None, FrameReason.LineRepeated, FrameReason.LinesLost, FrameReason.None], sink.Taken.Select(one => one.Event.Reason));
        Assert.Equal((2, 1), (decoder.LostLines, decoder.RepeatedLines));
    }

    [Fact]
    public void A_bridge_that_started_again_has_lost_nothing()
    {
        BridgeLineDecoder decoder = new();
        CollectingSink sink = CollectingSink.Of(decoder, Line(900) + Line(0) + Line(1));
        Assert.Equal(FrameEvent.Noted(FrameReason.BridgeRestarted, BridgeLineDecoder.Restarted), sink.Taken[1].Event);
        Assert.Equal(3, sink.Values.Count());
        Assert.Equal(0, decoder.LostLines);
    }

    [Fact]
    public void After_the_port_was_lost_nothing_counts_as_lost_and_the_first_rest_of_a_line_is_ignored()
    {
        BridgeLineDecoder decoder = new();
        CollectingSink.Of(decoder, Line(1) + "B1 00");
        decoder.Reset();
        CollectingSink sink = CollectingSink.Of(decoder, Line(9)[12..] + Line(10));
        Assert.Equal([FrameEventKind.Ignored, FrameEventKind.Value], sink.Kinds);
        Assert.Equal(0, decoder.LostLines);
    }

    [Fact]
    public void A_frame_without_the_silence_before_it_is_refused()
    {
        CollectingSink sink = CollectingSink.Of(new BridgeLineDecoder(), Line(1, silence: 4_999) + Line(2, silence: 5_000));
        Assert.Equal([FrameEventKind.Refused, FrameEventKind.Value], sink.Kinds);
    }

    [Fact]
    public void T01_T03_a_frame_of_a_wrong_number_of_bits_comes_through_and_is_refused()
    {
        CollectingSink sink = CollectingSink.Of(new BridgeLineDecoder(), Line(1, new FrameBits(0b1000, 17)) + Line(2, new FrameBits(0b1000, 12)));
        Assert.Equal([FrameEventKind.Refused, FrameEventKind.Refused], sink.Kinds);
    }

    [Trait("trouble", "T18")]
    [Fact]
    public void T18_a_low_cell_is_told_once_and_again_after_it_was_good()
    {
        CollectingSink sink = CollectingSink.Of(new BridgeLineDecoder(),
            Line(1, power: BridgePower.Low) + Line(2, power: BridgePower.Low) + Line(3) + Line(4, power: BridgePower.Low));
        Assert.Equal(2, sink.Taken.Count(one => one.Event is { Kind: FrameEventKind.Noted, Reason: FrameReason.CellLow }));
        Assert.Equal(4, sink.Values.Count());
    }

    [Trait("trouble", "T52")]
    [Fact]
    public void T52_a_bridges_own_words_are_its_error_and_other_words_are_refused()
    {
        CollectingSink sink = CollectingSink.Of(new BridgeLineDecoder(), Line(1) + "# no clock seen\r\nAT+GCAP\r\n");
        Assert.Equal([FrameEventKind.Value, FrameEventKind.DeviceError, FrameEventKind.Refused], sink.Kinds);
    }
}
