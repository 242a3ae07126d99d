using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;
using CsCheck;

namespace CaliperStation.Core.Tests.Wire;

public sealed class BitFrameTests
{
    private static readonly Gen<LengthUnit> Units = Pick.From(LengthUnit.Millimetre, LengthUnit.Inch);

    [Fact]
    public void A_24_bit_frame_round_trips_with_both_resolutions() =>
        Gen.Select(Gen.Int[-1_048_575, 1_048_575], Units, Pick.From(Bits24Options.Default, Bits24Options.Fine)).Sample((counts, unit, options) =>
        {
            Length value = options.StepIn(unit).Times(counts);
            return Bits24Decoder.Decode(Bits24Encoder.Encode(value, unit, options), options) == FrameEvent.Of(value, unit, options.StepIn(unit));
        }, iter: FuzzLength.Of(2_000));

    [Trait("trouble", "T07")]
    [Fact]
    public void T07_all_20_magnitude_bits_and_the_sign_count()
    {
        Length far = Length.FromMicrometres(-10_485_750);
        Assert.Equal(far, Bits24Decoder.Decode(Bits24Encoder.Encode(far, LengthUnit.Millimetre)).Value);
        Assert.Equal(Length.FromMicrometres(655_360), FrameDecode.Decode("24-bit", "000000000000000010000000").Value);
    }

    [Trait("trouble", "T05")]
    [Theory]
    [InlineData("0000 0000 0000 0000 0000 0100")]
    [InlineData("0000 0000 0000 0000 0000 0010")]
    [InlineData("1111 1111 1111 1111 1111 1111")]
    [InlineData("0001 0111 1100 0000 0000 000")]
    [InlineData("0001 0111 1100 0000 0000 0000 0")]
    [InlineData("")]
    [InlineData("hello")]
    [InlineData("0001 0111 1100 0000 0000 0002")]
    public void T04_T05_a_24_bit_frame_of_wrong_length_or_with_its_zero_bits_set_is_refused(string line) =>
        Assert.Equal(FrameEventKind.Refused, FrameDecode.Decode("24-bit", line).Kind);

    [Fact]
    public void Half_an_inch_and_ten_millimetres_differ_in_their_last_bit_only()
    {
        FrameBits inch = Bits24Encoder.Encode(Length.FromNanometres(12_700_000), LengthUnit.Inch);
        FrameBits millimetres = Bits24Encoder.Encode(Length.FromMicrometres(10_000), LengthUnit.Millimetre);
        Assert.Equal(1UL << 23, inch.Bits ^ millimetres.Bits);
    }

    /// <summary>A published analyser picture of one frame read through an inverting stage: word 1 = 3, word 2 = 4826, annotated 5.98 mm, 0.2356 in.</summary>
    [Fact]
    public void The_published_two_word_trace_is_5_985_mm()
    {
        FrameBits frame = new(3UL | (4826UL << 24), 48);
        FrameEvent found = TwoWordDecoder.Decode(frame);
        Assert.Equal(5_985_371, found.Value.Nanometres);                       // 4826 x 1240.234375 = 5 985 371.09...
        Assert.Equal(598, found.Value.Nanometres / 10_000);                    // the display cuts
        Assert.Equal(2356, found.Value.Nanometres * 10_000 / 25_400_000);
        Assert.Null(found.Unit);
        Assert.Equal(found, FrameDecode.Decode("two-word", frame.ToString()));
    }

    /// <summary>Counts per inch: http://www.shumatech.com/support/chinese_scales.htm.</summary>
    [Theory]
    [InlineData(20_480, 25_400_000)]
    [InlineData(-20_480, -25_400_000)]
    [InlineData(1, 1_240)]
    [InlineData(32, 39_688)]      // 39 687.5: half to even
    [InlineData(96, 119_062)]     // 119 062.5: half to even
    [InlineData(-32, -39_688)]
    public void Two_word_counts_are_rounded_half_even_to_the_nanometre(long counts, long nanometres)
    {
        ulong word = (ulong)(counts & 0xFFFFFF);
        Assert.Equal(nanometres, TwoWordDecoder.Decode(new(word << 24, 48)).Value.Nanometres);
        Assert.Equal(-nanometres, TwoWordDecoder.Decode(new(word << 24, 48), TwoWordOptions.Direct).Value.Nanometres);
        Assert.Equal(nanometres, TwoWordDecoder.Decode(new(word, 48), new(TwoWordOrder.DisplayedFirst)).Value.Nanometres);
    }

    [Fact]
    public void Minus_n_is_the_complement_of_n_and_one_so_both_published_signs_agree_within_a_count()
    {
        FrameBits wire = new(((1UL << 24) - 4826) << 24, 48);
        Length direct = TwoWordDecoder.Decode(wire, TwoWordOptions.Direct).Value;
        Length turned = TwoWordDecoder.Decode(wire, new(Inverted: true)).Value;
        Assert.InRange((direct - turned).Abs().Nanometres, 0, 1_241);
    }

    [Fact]
    public void A_two_word_frame_round_trips_within_half_a_count_under_every_setting() =>
        Gen.Select(Gen.Long[-150_000_000, 150_000_000], Gen.Long[-8_000_000, 8_000_000], Gen.Bool, Gen.Bool, Gen.Bool).Sample((nanometres, absolute, first, inverted, negated) =>
        {
            TwoWordOptions options = new(first ? TwoWordOrder.DisplayedFirst : TwoWordOrder.DisplayedSecond, inverted, negated);
            FrameEvent found = TwoWordDecoder.Decode(TwoWordEncoder.Encode(Length.FromNanometres(nanometres), absolute, options), options);
            return Math.Abs(found.Value.Nanometres - nanometres) <= 621;
        }, iter: FuzzLength.Of(2_000));

    [Fact]
    public void A_7_digit_frame_round_trips() =>
        Gen.Select(Gen.Int[-999_999, 999_999], Gen.Bool, Units).Sample((digits, half, unit) =>
        {
            Length value = unit == LengthUnit.Millimetre
                ? Length.FromMicrometres(10L * digits)
                : Length.FromNanometres((25_400L * digits) + (half ? (digits < 0 ? -12_700 : 12_700) : 0));
            FrameEvent found = Bcd7Decoder.Decode(Bcd7Encoder.Encode(value, unit));
            return found.Kind == FrameEventKind.Value && found.Value == value && found.Unit == unit;
        }, iter: FuzzLength.Of(2_000));

    [Theory]
    [InlineData("A000000")]
    [InlineData("000F000")]
    [InlineData("0000006")]
    [InlineData("1000 0000 0001 1001 0000 0000 010")]
    public void A_7_digit_frame_with_no_digit_or_a_half_in_millimetres_is_refused(string line) =>
        Assert.Equal(FrameEventKind.Refused, FrameDecode.Decode("7-digit", line).Kind);

    [Fact]
    public void A_13_digit_frame_round_trips_in_every_type_unit_verdict_and_point()
    {
        Bcd13Type[] types = [.. Enum.GetValues<Bcd13Type>().Where(type => type is not (Bcd13Type.NumberOfData or Bcd13Type.Extended))];
        Gen.Select(Pick.From(types), Gen.Int[-999_999, 999_999], Units, Gen.Int[0, 5], Pick.From(Enum.GetValues<Bcd13Verdict>()), Gen.Int[1, 999]).Sample((type, digits, unit, decimals, verdict, entry) =>
        {
            Length value = ShownNumber.In(unit, digits, decimals);
            FrameEvent found = Bcd13Decoder.Decode(Bcd13Encoder.Encode(value, unit, decimals, type, entry, verdict), out Bcd13Type got);
            return found.Kind == FrameEventKind.Value && found.Value == value && found.Unit == unit && got == type;
        }, iter: FuzzLength.Of(3_000));
    }

    [Trait("trouble", "T01")]
    [Fact]
    public void T01_every_nibble_that_is_not_legal_refuses_the_frame()
    {
        int[] good = [15, 15, 15, 15, 0, 0, 1, 2, 3, 4, 5, 2, 0];
        for (int place = 0; place < good.Length; place++)
        {
            for (int nibble = 0; nibble < 16; nibble++)
            {
                int[] changed = [.. good];
                changed[place] = nibble;
                FrameBits frame = changed.Aggregate(default(FrameBits), (bits, one) => bits.AddNibble(one));
                bool legal = place switch
                {
                    0 => nibble is 15 or 2 or 3 or 4 or 5 or 6 or 7,
                    <= 3 => nibble == 15,
                    4 => nibble is 0 or 8,
                    <= 10 => nibble <= 9,
                    11 => nibble <= 5,
                    _ => nibble <= 7,
                };
                Assert.Equal(legal ? FrameEventKind.Value : FrameEventKind.Refused, Bcd13Decoder.Decode(frame).Kind);
            }
        }
    }

    [Trait("trouble", "T02")]
    [Fact]
    public void T02_a_frame_turned_by_any_number_of_nibbles_is_refused()
    {
        string good = "FFFF001234520";
        for (int turn = 1; turn < good.Length; turn++)
        {
            Assert.Equal(FrameEventKind.Refused, FrameDecode.Decode("13-digit", good[turn..] + good[..turn]).Kind);
        }
    }

    [Theory]
    [InlineData("0000000000000", Bcd13Decoder.BadEntry)]
    [InlineData("FFFFFFFFFFFFF", Bcd13Decoder.BadSign)]
    [InlineData("8000001234520", Bcd13Decoder.ExtendedType)]
    [InlineData("9FFF001234520", Bcd13Decoder.BadType)]
    [InlineData("1FFFFFFF0A1FF", Bcd13Decoder.BadFiller)]
    [InlineData("FFFF00123452", FrameText.WrongNibbles)]
    public void A_line_stuck_low_or_high_and_undefined_types_are_refused_with_their_reason(string nibbles, string why) =>
        Assert.Equal(FrameEvent.Refused(why), FrameDecode.Decode("13-digit", nibbles));

    [Trait("trouble", "T15")]
    [Fact]
    public void A_number_of_data_frame_is_ignored() => Assert.Equal(FrameEventKind.Ignored, Bcd13Decoder.Decode(Bcd13Encoder.EncodeCount(42)).Kind);

    [Fact]
    public void An_unknown_format_is_misuse() => Assert.Throws<ArgumentException>(() => FrameDecode.Decode("25-bit", "0"));

    [Theory]
    [InlineData("01A+0000.123\\q")]
    [InlineData("01A+0000.123\\x0")]
    [InlineData("\\")]
    [InlineData("")]
    [InlineData("\u20AC1.00 mm")]
    public void Escaped_text_that_is_none_is_refused(string line) => Assert.Equal(FrameEventKind.Refused, FrameDecode.Decode("ascii", line).Kind);

    [Fact]
    public void Escaped_text_is_decoded_to_its_first_event()
    {
        Assert.Equal(1_000_000, FrameDecode.Decode("ascii", "\\r\\n+1.00 mm\\r\\n+2.00 mm\\r\\n").Value.Nanometres);
        Assert.Equal(1_000_000, FrameDecode.Decode("ascii", "\\x2B1.00 mm").Value.Nanometres);
    }
}
