using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;

namespace CaliperStation.Core.Tests.Wire;

public sealed class AsciiLineDecoderTests
{
    [Theory]
    [InlineData("+12.345 mm\r", 12_345_000, LengthUnit.Millimetre, 1_000)]
    [InlineData("+12.345 mm\n", 12_345_000, LengthUnit.Millimetre, 1_000)]
    [InlineData("+12.345 mm\r\n", 12_345_000, LengthUnit.Millimetre, 1_000)]
    [InlineData("-0.5000 in\r\n", -12_700_000, LengthUnit.Inch, 2_540)]
    [InlineData("0.5000 in\r", 12_700_000, LengthUnit.Inch, 2_540)]
    [InlineData("-0.00 mm\r\n", 0, LengthUnit.Millimetre, 10_000)]
    [InlineData("12,34 mm\r\n", 12_340_000, LengthUnit.Millimetre, 10_000)]
    public void A_decimal_line_with_a_unit_is_its_value(string text, long nanometres, LengthUnit unit, long step)
    {
        CollectingSink sink = CollectingSink.Of(new AsciiLineDecoder(), text);
        Assert.Equal([FrameEvent.Of(Length.FromNanometres(nanometres), unit, Length.FromNanometres(step))], sink.Taken.Select(one => one.Event));
        Assert.Equal(text.TrimEnd('\r', '\n'), sink.Taken[0].Raw);
    }

    [Fact]
    public void Lines_with_mixed_terminators_are_each_one_event()
    {
        CollectingSink sink = CollectingSink.Of(new AsciiLineDecoder(), "+1.00 mm\r+2.00 mm\n+3.00 mm\r\n\r\n+4.00 mm\n\r");
        Assert.Equal([1, 2, 3, 4], sink.Values.Select(one => one.Value.Nanometres / 1_000_000));
        Assert.Equal(4, sink.Taken.Count);
    }

    [Trait("trouble", "T64")]
    [Fact]
    public void T64_a_line_split_anywhere_decodes_the_same()
    {
        byte[] line = Encoding.ASCII.GetBytes("-12.345 mm\r\n");
        for (int cut = 0; cut <= line.Length; cut++)
        {
            AsciiLineDecoder decoder = new();
            CollectingSink sink = new();
            decoder.Feed(line.AsSpan(0, cut), sink);
            decoder.Silence(TimeSpan.FromMilliseconds(249), sink);
            decoder.Feed(line.AsSpan(cut), sink);
            Assert.Equal(-12_345_000, Assert.Single(sink.Values).Value.Nanometres);
        }
    }

    [Trait("trouble", "T63")]
    [Fact]
    public void T63_a_line_broken_by_250_ms_of_silence_is_dropped_and_its_rest_is_not_taken_for_a_line()
    {
        AsciiLineDecoder decoder = new();
        CollectingSink sink = CollectingSink.Of(decoder, "+1");
        decoder.Silence(TimeSpan.FromMilliseconds(250), sink);
        decoder.Feed("2.345 mm\r\n+9.99 mm\r\n"u8, sink);
        Assert.Equal([FrameEventKind.Refused, FrameEventKind.Refused, FrameEventKind.Value], sink.Kinds);
        Assert.Equal(9_990_000, sink.Values.Single().Value.Nanometres);
    }

    [Fact]
    public void After_opening_the_tail_of_a_line_is_ignored_and_a_whole_signed_line_is_not_lost()
    {
        AsciiLineDecoder decoder = new();
        decoder.Reset();
        CollectingSink tail = CollectingSink.Of(decoder, "2.345 mm\r\n+12.345 mm\r\n");
        Assert.Equal([FrameEventKind.Ignored, FrameEventKind.Value], tail.Kinds);

        decoder.Reset();
        Assert.Equal([FrameEventKind.Value], CollectingSink.Of(decoder, "+12.345 mm\r\n").Kinds);

        decoder.Reset();
        Assert.Equal([FrameEventKind.Value], CollectingSink.Of(decoder, "01A+0000.123\r+1.0 mm\r").Kinds.Skip(1));
    }

    [Fact]
    public void After_opening_and_a_silence_an_unsigned_first_line_is_whole()
    {
        AsciiLineDecoder decoder = new();
        decoder.Reset();
        CollectingSink sink = new();
        decoder.Silence(TimeSpan.FromMilliseconds(50), sink);
        decoder.Feed("2.345 mm\r\n"u8, sink);
        Assert.Equal([FrameEventKind.Value], sink.Kinds);
    }

    [Trait("trouble", "T62")]
    [Fact]
    public void T62_a_junk_byte_at_plug_in_costs_no_line_that_comes_later()
    {
        AsciiLineDecoder decoder = new();
        decoder.Reset();
        CollectingSink sink = new();
        decoder.Feed([0xFF], sink);
        decoder.Silence(TimeSpan.FromMilliseconds(250), sink);
        decoder.Silence(TimeSpan.FromSeconds(1), sink);
        decoder.Feed("12.34 mm\r"u8, sink);
        Assert.Equal([FrameEventKind.Ignored, FrameEventKind.Value], sink.Kinds);
    }

    [Trait("trouble", "T67")]
    [Fact]
    public void T67_blanks_are_legal_between_sign_and_first_digit_only()
    {
        Assert.Equal(-12_340_000, CollectingSink.Of(new AsciiLineDecoder(), "-  12.34 mm\r").Values.Single().Value.Nanometres);
        Assert.Empty(CollectingSink.Of(new AsciiLineDecoder(), "-1 2.34 mm\r-12 .34 mm\r-12. 34 mm\r").Values);
    }

    [Fact]
    public void T34_one_comma_is_a_decimal_mark_when_no_point_is_there()
    {
        Assert.Equal(123_456_000, CollectingSink.Of(new AsciiLineDecoder(), "123,456 mm\r").Values.Single().Value.Nanometres);
        Assert.Empty(CollectingSink.Of(new AsciiLineDecoder(), "1,234.56 mm\r1.234,56 mm\r1,234,56 mm\r").Values);
    }

    [Fact]
    public void Nothing_from_before_a_reset_is_joined_to_what_comes_after()
    {
        AsciiLineDecoder decoder = new();
        CollectingSink sink = CollectingSink.Of(decoder, "+1");
        decoder.Reset();
        decoder.Feed("2.345 mm\r\n"u8, sink);
        Assert.Empty(sink.Values);
    }

    [Fact]
    public void A_stream_without_terminator_fills_64_bytes_and_no_more()
    {
        AsciiLineDecoder decoder = new();
        CollectingSink sink = CollectingSink.Of(decoder, new string('7', 5_000));
        Assert.Empty(sink.Taken);
        decoder.Feed("\r+1.00 mm\r"u8, sink);
        Assert.Equal([FrameEventKind.Refused, FrameEventKind.Value], sink.Kinds);
        Assert.Equal(AsciiLineDecoder.MaxLineLength, sink.Taken[0].Raw.Length);
    }

    [Theory]
    [InlineData("12345 mm")]
    [InlineData("911")]
    [InlineData("5")]
    [InlineData("+12. mm")]
    [InlineData(".50 mm")]
    [InlineData("12.3O mm")]
    [InlineData("+-12.34 mm")]
    [InlineData("+12.34 mm x")]
    [InlineData("1.2.3 mm")]
    [InlineData("1,234.5 mm")]
    [InlineData("+12.34")]
    [InlineData("12.34 cm")]
    [InlineData("\u001b[2J12.34 mm")]
    [InlineData("0.1234567 mm")]
    public void A_line_that_is_no_whole_reading_is_refused_with_a_reason(string line)
    {
        (FrameEvent found, _) = Assert.Single(CollectingSink.Of(new AsciiLineDecoder(), line + "\r\n").Taken);
        Assert.Equal(FrameEventKind.Refused, found.Kind);
        Assert.False(string.IsNullOrEmpty(found.Why));
    }
}
